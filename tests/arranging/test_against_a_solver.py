"""The search beside a general constraint solver that proves its optimum, by the same tables."""

import pytest

from app.arranging.problem import Problem, Task
from app.model.plan import Plan
from app.model.room import Opening
from tests.arranging.solver import searched, solved
from tests.builders import make_plan, make_room, place

DOOR = Opening(
    id="door",
    wall="front",
    kind="hinged",
    offset_mm=200,
    width_mm=800,
    height_mm=2000,
    swing="out",
    way_out=True,
)
KIT = (
    "adjustable-bench",
    "dumbbell-rack-2",
    "plate-tree",
)
"""Things without a choice of sides: what is wanted of them is a matter of one pose or a pair."""
WITHIN = 0.98


def crowd(count: int, width: float, depth: float) -> Problem:
    kit = [place(kind, width / 2, depth / 2) for kind in KIT[:count]]
    plan: Plan = make_plan(*kit, room=make_room(width, depth, 2400, openings=(DOOR,)))
    return Problem(Task(plan))


@pytest.mark.long
@pytest.mark.parametrize(
    ("count", "width", "depth", "steps"),
    [(2, 2200, 2000, 8), (3, 2400, 2200, 40)],
)
def test_the_search_is_within_two_percent_of_a_proven_optimum(
    count: int, width: float, depth: float, steps: int
) -> None:
    best, proven = solved(crowd(count, width, depth), 600)
    assert proven
    assert searched(crowd(count, width, depth), steps) >= WITHIN * best
