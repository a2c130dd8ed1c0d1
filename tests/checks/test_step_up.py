"""Stepping onto a box: the height with the box is needed over it, that of the floor before it.

H + box over the box, H over the floor before it (practice sheet of a fitter, no source). A person
of 1800 on a step of 150, 1100 by 400, at the middle of a room of 5 x 5 m: over the step 1950 at
least, before it 1800. The head wanders 100 beyond the step; 450 before it is stood on.
"""

import pytest

from app.checks.snag import Snag
from app.model.kit import Piece
from app.model.room import LowThing
from tests.builders import (
    judge,
    low_thing,
    make_person,
    make_plan,
    make_room,
    place,
    rectangle,
    turned_plan,
)

PERSON = make_person(1800, want=("step-up",))
STEP = place("step", 2500, 2500)
TURNED = [0, 37]
LONG = 5000


def duct(y0: float, y1: float, bottom: float) -> LowThing:
    """What hangs low across the whole room, between two distances from its back wall."""
    return low_thing(rectangle(0, y0, LONG, y1), bottom, f"duct-{y0:g}")


def rows(*low: LowThing, kit: tuple[Piece, ...] = (STEP,), angle: float = 0) -> list[Snag]:
    room = make_room(low_things=low)
    plan = make_plan(*kit, room=room, people=[PERSON])
    return [
        snag
        for snag in judge(turned_plan(plan, angle))
        if snag.movement == "step-up" or snag.code.startswith("room-in-front")
    ]


@pytest.mark.parametrize("angle", TURNED)
@pytest.mark.parametrize(
    ("bottom", "severity"), [(1949, "stop"), (1950, "care"), (2074, "care"), (2075, None)]
)
def test_over_the_box_the_height_is_that_of_who_stands_on_it(
    bottom: float, severity: str | None, angle: float
) -> None:
    # with 25 of shoe and a margin of 100: 2075
    said = rows(duct(2400, 2600, bottom), angle=angle)
    assert [snag.severity for snag in said] == ([severity] if severity else [])


@pytest.mark.parametrize("angle", TURNED)
def test_before_the_box_nobody_is_as_high_as_on_it(angle: float) -> None:
    # 1930 is too low on the step and enough before it; both sides are left
    low = [duct(2850, 3100, 1930), duct(1900, 2150, 1930)]
    assert rows(*low, angle=angle) == []
    # 51 mm nearer it is over the head that wanders: 100 beyond the edges at 2300 and 2700
    (stop,) = rows(duct(2799, 3100, 1930), angle=angle)
    assert (stop.severity, stop.measured, stop.required) == ("stop", 1930, 1950)
    assert rows(duct(2801, 3100, 1930), angle=angle) == []


@pytest.mark.parametrize("angle", TURNED)
def test_one_side_that_is_high_enough_will_do(angle: float) -> None:
    front, back = duct(2850, 5000, 1700), duct(0, 2150, 1700)
    assert rows(front, angle=angle) == []
    assert rows(back, angle=angle) == []
    (stop,) = rows(front, back, angle=angle)
    assert (stop.severity, stop.measured, stop.required) == ("stop", 1700, 1800)
    assert stop.sentence.endswith("1700 of the 1800 needed before the step, on the floor.")


@pytest.mark.parametrize("angle", TURNED)
@pytest.mark.parametrize(("bottom", "hits"), [(1799, True), (1800, False)])
def test_the_floor_before_it_counts_as_far_as_one_stands(
    bottom: float, hits: bool, angle: float
) -> None:
    back = duct(0, 2150, 1700)
    # 450 before the front edge at 2700
    assert any(s.severity == "stop" for s in rows(back, duct(3149, 3400, bottom), angle=angle)) == (
        hits
    )
    assert rows(back, duct(3151, 3400, 1000), angle=angle) == []


@pytest.mark.parametrize("angle", TURNED)
def test_a_free_side_that_is_too_low_leaves_the_other_which_wants_its_room(angle: float) -> None:
    # the chest, 500 deep, stands 400 before the step
    chest = place("other-thing", 2500, 2700 + 400 + 250, width=1200, depth=500)
    assert rows(kit=(STEP, chest), angle=angle) == []
    (care,) = rows(duct(0, 2150, 1700), kit=(STEP, chest), angle=angle)
    assert care.severity == "care"
    assert (care.measured, care.need) == (400, 600)
    assert care.sentence == (
        "In front 400 mm to the other thing; behind it is too low for 1.80 m to stand. "
        "Allow 600 on one side."
    )
    # with 600 before it that side will do
    far = place("other-thing", 2500, 2700 + 600 + 250, width=1200, depth=500)
    assert rows(duct(0, 2150, 1700), kit=(STEP, far), angle=angle) == []


def test_beyond_a_wall_nobody_steps_up_from() -> None:
    # its back 100 from the wall: only the front is left, and there it is low
    step = place("step", 2500, 300)
    (stop,) = rows(duct(600, 1000, 1700), kit=(step,))
    assert (stop.severity, stop.measured) == ("stop", 1700)
    assert rows(kit=(step,)) == []


@pytest.mark.parametrize("angle", TURNED)
def test_a_box_is_stepped_onto_from_any_of_its_sides(angle: float) -> None:
    # laid 500 high it takes 750 by 600 of floor: its left edge at 2500 - 375, its back at 2200
    box = place("jump-box", 2500, 2500)
    low = [
        low_thing(rectangle(2880, 0, 5000, 5000), 1700, "right"),
        low_thing(rectangle(0, 0, 5000, 2090), 1700, "back"),
        low_thing(rectangle(0, 2910, 5000, 5000), 1700, "front"),
    ]
    left = low_thing(rectangle(0, 0, 2020, 5000), 1700, "left")
    assert [s for s in rows(*low[1:], kit=(box,), angle=angle) if s.severity == "stop"] == []
    (stop,) = rows(*low, left, kit=(box,), angle=angle)
    assert stop.severity == "stop"
