"""Two that change places: a plate tree goes to the bar where a shelf stood. Common practice."""

import pytest

from app.arranging.exchange import exchanged, exchanges
from app.arranging.problem import Problem, Task
from app.arranging.search import Search
from app.model.plan import Plan
from tests.builders import make_plan, make_room, place, turned_plan

FROM_PRESENT = 3
"""The search that begins with the plan as it is."""


def garage(tree_x: float, wide: float = 900, turned: float = 0) -> Plan:
    """A rack with a bar at the right of 7 x 5 m, a shelf by its side, a tree at the back wall."""
    plan = make_plan(
        place("mid-rack", 5500, 900, piece_id="rack"),
        place("bar-20", 5500, 1413, carried_by="rack", piece_id="bar"),
        place("kettlebell-shelf", 3600, 200, width=wide, piece_id="shelf"),
        place("plate-tree", tree_x, 300, piece_id="tree"),
        room=make_room(7000, 5000, 2700),
    )
    return turned_plan(plan, turned)


@pytest.mark.parametrize("turned", [0, 30])
@pytest.mark.parametrize(
    ("tree_x", "wide", "pairs"),
    # 2750 is halfway from near to far for plates, which is at 2816; 2800 is more than thrice a tree
    [(2825, 900, 0), (2805, 900, 1), (1000, 900, 1), (1000, 2800, 0)],
)
def test_what_is_far_from_its_own_changes_places_with_what_is_alike(
    tree_x: float, wide: float, pairs: int, turned: float
) -> None:
    search = Search(Problem(Task(garage(tree_x, wide, turned))), 1, FROM_PRESENT)
    there = search.problem.present
    found = exchanges(search.problem, search.drawer, search.closing.merits, there)
    assert found == [("tree", "shelf")] * pairs


@pytest.mark.parametrize("turned", [0, 30])
def test_each_stands_with_its_back_where_the_other_had_it(turned: float) -> None:
    search = Search(Problem(Task(garage(1000, 900, turned))), 1, FROM_PRESENT)
    there, merits = search.problem.present, search.closing.merits
    pair = ("tree", "shelf")
    (after,) = exchanged(search.problem, search.drawer, merits, there, pair)
    assert not any(search.drawer.adrift(root, after) for root in pair)
    assert not merits.apart(after)
    assert after.without("tree").without("shelf").at == there.without("tree").without("shelf").at


def test_going_through_a_layout_brings_the_plates_to_the_bar() -> None:
    search = Search(Problem(Task(garage(1000))), 1, FROM_PRESENT)
    search.step()
    first = search.state
    assert first is not None
    closing, last = search.closing, first
    closing._state, closing._pairs = first, [("tree", "shelf")]
    last = closing.step([first]) or first
    assert last.value > first.value
    assert not closing.merits.apart(last.layout)
