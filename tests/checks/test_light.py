"""The note on light: only once somebody has chosen, with what dark walls cost.

300 lx after EN 12464-1; reflectances 0.8 white, 0.4 light grey, 0.1 black.
"""

import pytest

from app.model.finishing import LightChoice, PaintJob
from app.model.fit_out import FitOut
from app.model.plan import Plan
from app.published.register import published
from tests.builders import found, make_plan, make_room


def lit(colour: str | None, choice: LightChoice | None, width: float = 6000) -> Plan:
    plan = make_plan(room=make_room(width, 4600, 2400))
    jobs = () if colour is None else (PaintJob(id="walls", surface="walls", colour=colour),)
    return plan.model_copy(update={"fit_out": FitOut(light=choice, paint=jobs)})


def test_nothing_chosen_nothing_said() -> None:
    assert found(lit("black", None), "light") == []


@pytest.mark.parametrize("colour", ["white", "light grey"])
def test_bright_walls_say_nothing(colour: str) -> None:
    assert found(lit(colour, LightChoice()), "light") == []


def test_what_black_walls_cost() -> None:
    # 27.6 m2, 300 lx, 5000 lm, 0.8 kept: 4.14 fittings between white walls (0.5), so 5;
    # 6.9 between black ones (0.3), so 7; 5 give 362 lx between white, 217 between black
    (snag,) = found(lit("black", LightChoice()), "light")
    assert snag.severity == "note"
    assert "5 fittings would do" in snag.sentence
    assert "take 145 lux of that and make it 2 more" in snag.sentence
    assert published("light.used.dark") == 0.3


def test_fittings_that_find_no_place_give_no_light() -> None:
    choice = LightChoice(wanted_lux=3000, fitting="batten-600")
    (snag,) = found(lit("white", choice, 1000), "light")
    assert snag.severity == "note"
    assert snag.measured is not None
    assert snag.measured < 3000
    assert "Of the 20 fittings needed (LED batten, 0.6 m) 18 find a place" in snag.sentence
    assert "of the 3000 lux needed" in snag.sentence


def test_a_fitting_that_nobody_knows_is_left_to_the_quantities() -> None:
    assert found(lit("black", LightChoice(fitting="candle")), "light") == []


def test_the_note_on_light_tells_its_working() -> None:
    # 6 x 4.6 m; 7 fittings of 5000 lm, 0.3 of it arrives and 0.8 is kept: 304 lx
    (snag,) = found(lit("black", LightChoice()), "light")
    assert snag.sentence == (
        "Between white walls 5 fittings would do; walls as dark as these take 145 lux of that and "
        "make it 2 more. An estimate: the maker's figures for the fitting decide."
    )
    assert (snag.measured, snag.required) == (304, 300)
    assert [value for _, value in snag.working] == pytest.approx([27.6, 0.1, 0.3, 5000])
    # used and dirty 0.7 is kept: what is told is for that
    dirty = LightChoice(dirty=True)
    (worse,) = found(lit("black", dirty), "light")
    kept = published("light.maintenance-dirty")
    assert kept < published("light.maintenance")
    # 27.6 x 300 / (5000 x 0.3 x kept) fittings, upwards
    needed = -(-27.6 * 300 // (5000 * 0.3 * kept))
    assert worse.measured == round(needed * 5000 * 0.3 * kept / 27.6)
