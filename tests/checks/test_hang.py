"""How one hangs from a bar as high as it is. Ratios of the register, sums by hand."""

import pytest

from app.model.kit import Piece
from app.model.plan import Plan
from tests.builders import found, judge, make_person, make_plan, make_room, place, turned_plan


@pytest.mark.parametrize(("bar", "asked"), [(1400, None), (1398, 1420)])
def test_a_bar_so_low_that_drawn_up_knees_meet_the_floor_is_a_care(
    bar: float, asked: int | None
) -> None:
    # 0.80 of 1750 (common practice, no source) over 20 of rubber, on which the rack stands
    rack = Piece.model_validate({**place("short-rack").model_dump(), "bar_height_mm": bar})
    people = [make_person(1750, want=["pull-up"])]
    plan = make_plan(rack, room=make_room(6000, 6000, 2600, covering=20), people=people)
    low = [(s.severity, s.measured, s.required) for s in judge(plan) if s.code == "hang"]
    assert low == ([] if asked is None else [("care", bar + 20, asked)])


def _under_a_bar(bar: float, angle: float, wish: str = "want") -> Plan:
    rack = Piece.model_validate({**place("tall-rack").model_dump(), "bar_height_mm": bar})
    asked = ["pull-up"]
    person = make_person(1800, want=asked) if wish == "want" else make_person(1800, nice=asked)
    room = make_room(6000, 6000, 3200, covering=20)
    return turned_plan(make_plan(rack, room=room, people=[person]), angle)


@pytest.mark.parametrize("angle", [0.0, 37.0])
@pytest.mark.parametrize(
    ("bar", "done"),
    [
        # 1800 x 1.253 + 20 = 2275.4 straight; x 0.97 + 20 = 1766 bent; the rack stands on the 20
        (2256, None),
        (2255, "with the lower legs bent back there is room"),
        (1746, "with the lower legs bent back there is room"),
        (1745, "there is room with the knees drawn up"),
    ],
)
def test_that_knees_are_bent_or_drawn_up_is_said(
    bar: float, done: str | None, angle: float
) -> None:
    said = [snag.sentence for snag in judge(_under_a_bar(bar, angle)) if snag.code == "hang-form"]
    start = f"The bar at {bar + 20} mm is too low to hang from with straight legs, which takes "
    assert said == ([] if done is None else [f"{start}2275 mm; {done}."])


def test_nobody_is_told_of_knees_who_does_not_want_to_hang() -> None:
    assert not found(_under_a_bar(1900, 0, "nice"), "hang-form")
    assert len(found(_under_a_bar(1900, 0), "hang-form")) == 1
