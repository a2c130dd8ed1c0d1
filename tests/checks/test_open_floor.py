"""The card of a person before there is any kit. Figures: common practice, no source."""

import pytest

from app.checks.open_floor import CardLine, card
from app.library.movements import movements
from app.model.room import LowThing, Plane
from app.scene.build import build_scene
from tests.builders import found, make_person, make_plan, make_room, rectangle


def lines(height: float, stature: float = 1750, reach: float | None = None) -> dict[str, CardLine]:
    person = make_person(stature, reach=reach)
    plan = make_plan(room=make_room(6000, 6000, height, covering=20), people=[person])
    (one,) = card(build_scene(plan))
    return {line.movement: line for line in one.lines}


def test_the_card_holds_what_is_asked_of_everybody() -> None:
    assert set(lines(2500)) == {key for key, row in movements().items() if row.on_card}


@pytest.mark.parametrize(
    ("height", "reach", "expected"),
    [
        (2200, None, "does-not"),
        (2400, None, "tight"),
        (2500, None, "tight"),
        (2500, 2100, "fits"),
        # 20 + 2100 + 225, and 25 + 100 more
        (2345, 2100, "tight"),
        (2343, 2100, "does-not"),
        (2470, 2100, "fits"),
        (2468, 2100, "tight"),
    ],
)
def test_a_standing_press_by_height(height: float, reach: float | None, expected: str) -> None:
    assert lines(height, reach=reach)["standing-press"].verdict == expected


def test_the_sentence_says_how_much() -> None:
    line = lines(2300, reach=2100)["standing-press"]
    assert (line.clear_mm, line.least_mm, line.need_mm) == (2300, 2345, 2470)
    assert line.sentence == "45 mm too low: 2300 of the 2345 mm needed"


def test_a_room_too_small_is_said() -> None:
    person = make_person(1750)
    plan = make_plan(room=make_room(1800, 1800, 2600), people=[person])
    (one,) = card(build_scene(plan))
    skip = next(line for line in one.lines if line.movement == "skip")
    assert (skip.verdict, skip.clear_mm) == ("does-not", None)
    assert "too small" in skip.sentence


def test_under_a_slope_it_may_fit_in_part_of_the_room_only() -> None:
    slope = Plane(id="roof", height_mm=1800, rise_x=200)
    plan = make_plan(room=make_room(6000, 6000, planes=[slope]), people=[make_person(1750)])
    (one,) = card(build_scene(plan))
    skip = next(line for line in one.lines if line.movement == "skip")
    assert (skip.verdict, skip.everywhere) == ("fits", False)
    # the areas of skipping reach nearly to the wall where the roof is 1800 high
    assert skip.sentence.split(". Not everywhere: at its lowest the room has ")[1].startswith("18")


def test_what_hangs_lowest_is_named_and_said_once_for_the_card() -> None:
    beam = LowThing(
        id="beam", kind="beam", label="Steel beam", outline=rectangle(0, 0, 1500, 6000),
        bottom_mm=2050,
    )  # fmt: skip
    plan = make_plan(
        room=make_room(6000, 6000, 3000, low_things=[beam]), people=[make_person(1750)]
    )
    (one,) = card(build_scene(plan))
    press = next(line for line in one.lines if line.movement == "standing-press")
    assert "Not everywhere: under the steel beam the room has 2050 mm clear" in press.sentence
    assert one.lowest_words == "under the steel beam the room has 2050 mm clear"
    assert press.beside(one.lowest).endswith("; not everywhere")
    assert "steel beam" not in press.beside(one.lowest)
    everywhere = next(line for line in one.lines if line.everywhere)
    assert everywhere.beside(one.lowest) == everywhere.sentence


def test_what_is_wanted_without_kit_is_judged_on_the_bare_floor() -> None:
    def snags(height: float, **said: list[str]) -> list[str]:
        person = make_person(1750, **said)  # type: ignore[arg-type]
        plan = make_plan(room=make_room(6000, 6000, height, covering=20), people=[person])
        return [snag.severity for snag in found(plan, "headroom")]

    assert snags(2200, want=["standing-press"]) == ["stop"]
    assert snags(2400, want=["standing-press"]) == ["care"]
    assert snags(2700, want=["standing-press"]) == []
    assert snags(2200, no=["standing-press"]) == []
    assert snags(2200, nice=["standing-press"]) == []
