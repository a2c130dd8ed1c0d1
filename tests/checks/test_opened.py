"""The lid of a freezer comes to 1500, 80 deep at the back: nothing may be in its way."""

from __future__ import annotations

import pytest

from tests.builders import found, low_thing, make_plan, make_room, place, rectangle, turned_plan

CODE = "opened-"
FREEZER = place("chest-freezer", 2500, 2500)


@pytest.mark.parametrize("angle", [0, 23])
@pytest.mark.parametrize(("height", "measured"), [(1500, None), (1499, None), (1498, 1498)])
def test_a_lid_under_the_ceiling(height: float, measured: int | None, angle: float) -> None:
    rows = found(turned_plan(make_plan(FREEZER, room=make_room(height=height)), angle), CODE)
    assert [(s.severity, s.measured, s.required) for s in rows] == (
        [] if measured is None else [("care", measured, 1500)]
    )


def test_it_says_what_is_over_it() -> None:
    room = make_room(low_things=[low_thing(rectangle(2000, 2100, 3000, 2300), 1400)])
    (snag,) = found(make_plan(FREEZER, room=room), CODE)
    assert snag.sentence == "With its lid up it comes to 1500; the beam is at 1400 mm over it."
    assert snag.pieces == ("chest-freezer",)
    assert snag.names == ("Chest freezer", "with its lid up")
    # a beam over its front is over no lid, and over a lid that is higher than it no matter
    front = make_room(low_things=[low_thing(rectangle(2000, 2600, 3000, 2800), 1400)])
    assert found(make_plan(FREEZER, room=front), CODE) == []
    drawn = FREEZER.model_copy(update={"state": "lid-up"})
    assert found(make_plan(drawn, room=room), CODE) == []


def test_a_boiler_over_the_lid_is_named_with_its_piece() -> None:
    # 1800 high and 750 long: its underside is at 1050
    boiler = place("boiler", 2500, 2250, stays=True)
    (snag,) = found(make_plan(FREEZER, boiler), CODE)
    assert (snag.measured, snag.pieces) == (1050, ("chest-freezer", "boiler"))
    assert "the boiler is at 1050 mm over it" in snag.sentence
    # beside the lid it is in nobody's way
    beside = place("boiler", 2500, 2000, stays=True)
    assert found(make_plan(FREEZER, beside), CODE) == []


def test_what_does_not_open_is_not_judged() -> None:
    washer = place("washing-machine", 2500, 2500)
    assert found(make_plan(washer, room=make_room(height=900)), CODE) == []
