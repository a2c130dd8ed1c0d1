"""Packings whose optimum is known: the squares of 1 to n in the least box that holds them.

The boxes are those of R. E. Korf, "Optimal rectangle packing: initial results", ICAPS 2003 (from
memory; that they hold the squares is shown here, that none is smaller is not). Things ask for no
space and the room is bare: what is left is packing alone.
"""

import pytest

from app.arranging.problem import Problem, Task
from app.arranging.search import Search
from app.model.plan import Plan
from tests.arranging.test_search import stops_again
from tests.builders import make_plan, make_room, place

UNIT_MM = 300.0
LARGER = 1.05
BOXES = {3: (5, 3), 4: (7, 5), 5: (12, 5), 6: (11, 9), 7: (22, 7)}
"""Least boxes for the squares of 1 to n, sides in units."""


def box(width: float, depth: float, sides: tuple[int, ...]) -> Plan:
    """Squares of so many units in a bare room, all in one heap; sides of the room in mm."""
    pieces = [
        place(
            "other-thing",
            width / 2,
            depth / 2,
            piece_id=f"of-{side}",
            width=side * UNIT_MM,
            depth=side * UNIT_MM,
            height=500,
        )
        for side in sides
    ]
    return make_plan(*pieces, room=make_room(width, depth))


def steps_to_pack(plan: Plan, most: int) -> int | None:
    """How many steps a search makes till all have a place and the judge has no stop; None."""
    problem = Problem(Task(plan))
    search = Search(problem, 1, 0)
    for step in range(1, most + 1):
        search.step()
        best = search.layouts.best
        if best is not None and not best.stops:
            assert stops_again(problem, best) == 0
            return step
    return None


@pytest.mark.parametrize(
    ("count", "larger", "steps"),
    [
        (3, 1.0, 40),
        (7, 1.0, 60),
        *(
            pytest.param(count, larger, 100, marks=pytest.mark.long)
            for count in (4, 5, 6)
            for larger in (1.0, LARGER)
        ),
    ],
)
def test_consecutive_squares_are_packed_into_their_least_box(
    count: int, larger: float, steps: int
) -> None:
    wide, deep = BOXES[count]
    plan = box(wide * UNIT_MM * larger, deep * UNIT_MM * larger, tuple(range(1, count + 1)))
    assert steps_to_pack(plan, steps) is not None
