"""Where few may move and not every stop can go: what leaves fewest is shown, and said."""

import pytest

from app.arranging.arrange import Answers, Arranged
from app.arranging.choosing import knee
from app.arranging.crew import Crew
from app.arranging.failure import ways_to_a_layout
from app.arranging.in_part import curve_in_part, in_part
from app.arranging.problem import Task
from app.arranging.search import Search
from app.arranging.shown import name_of, shown
from app.budget import Budget
from app.model.plan import Plan
from tests.arranging.test_few_moves import few
from tests.builders import make_plan, make_room, place

PAIRS = (("a", 800, "b", 1100), ("c", 4000, "d", 4300))


def two_faults() -> Plan:
    """Two pairs of boxes that stand in one another, far apart."""
    return make_plan(
        *(
            place(
                "other-thing",
                x,
                y,
                piece_id=key,
                width=600,
                depth=600,
                height=500,
                label=f"Box {key}",
            )
            for y, (one, x0, other, x1) in zip((800, 3000), PAIRS, strict=True)
            for key, x in ((one, x0), (other, x1))
        ),
        room=make_room(5000, 4000),
    )


@pytest.fixture(scope="module")
def one_move() -> Search:
    return few(two_faults(), 1, 12)


def answer_of(search: Search) -> Arranged:
    crew = Crew(search.problem.task)
    crew.layouts.join(search.layouts.every)
    return Answers(search.problem).so_far(crew)


def test_the_best_single_move_is_shown_with_what_stays(one_move: Search) -> None:
    answer = answer_of(one_move)
    assert answer.layouts
    assert not answer.found
    for one in answer.layouts:
        assert (one.stops, len(one.moved)) == (1, 1)
        assert one.reasons[0].startswith("1 of 2 stops stays: box ")
    assert [(m.count, m.layout.stops) for m in answer.moves] == [(1, 1)]
    assert answer.missing == ()


def test_it_is_called_by_what_moves(one_move: Search) -> None:
    names = [one.name for one in answer_of(one_move).layouts]
    assert len(set(names)) == len(names)
    assert all(name.startswith("Box ") and " moved" in name for name in names)


def test_with_moves_enough_none_with_a_stop_is_shown() -> None:
    answer = answer_of(few(two_faults(), 2, 30))
    assert answer.found
    assert not any(one.stops for one in answer.layouts)
    # the way there is told all the same: one move takes away one stop of the two
    assert [(m.count, m.layout.stops) for m in answer.moves] == [(1, 1), (2, 0)]
    gains = [m.gain for m in answer.moves]
    assert gains == sorted(gains)
    # however much the first gains: it leaves a stop that the second does not
    assert knee(answer.moves) == answer.moves[1]


def test_what_is_no_better_than_the_plan_is_not_shown(one_move: Search) -> None:
    assert in_part(one_move.layouts, 2, -1e3)
    assert not in_part(one_move.layouts, 1, 1e3)
    assert not curve_in_part(one_move.layouts, 1, 1e3)
    assert not in_part(one_move.layouts, 0, 0.0)


def test_with_how_many_more_a_layout_was_found_is_told() -> None:
    ways = ways_to_a_layout(Task(two_faults(), moves_at_most=1), Budget(400), 6)
    assert [way.sentence for way in ways] == ["With 2 pieces moving a layout was found."]


def test_the_bar_that_is_laid_on_its_hooks_is_said() -> None:
    plan = make_plan(
        place("half-rack", 2500, 1500, piece_id="rack"),
        place("bar-20", 2500, 1500, piece_id="bar", carried_by="rack"),
        room=make_room(5000, 4000),
    )
    search = few(plan, 1, 4)
    best = search.layouts.best
    assert best is not None
    one = shown(search.problem, best)
    assert one.seated == ("bar 20 kg laid on its hooks",)
    assert one.seated[0] not in one.reasons
    assert name_of(search.problem, best, [best]) == "Half rack moved"
