"""What is not seated in its station is seated by the search, and the station counts as moved."""

import pytest

from app.arranging.arrange import unmended
from app.arranging.problem import Problem, Task
from app.checks.run import run
from app.model.base import json_of
from app.model.kit import Pose
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.arranging.hand_made import changed, sample
from tests.arranging.test_search import searched, stops_again
from tests.builders import make_plan, make_room, place

OFF_MM = 400


def lifted_off(plan: Plan) -> Plan:
    """The plan with its bar in the middle of the rack instead of on the hooks."""
    rack = plan.piece("rack-1").pose
    return changed(plan, "bar-1", pose=json_of(rack))


def own_stops(plan: Plan) -> list[str]:
    """The codes of the stops about bars that nothing holds."""
    return [s.code for s in run(build_scene(plan)) if s.code == "bar-rests-on-nothing"]


def test_a_bar_off_its_hooks_is_laid_on_them_and_counts_as_a_move() -> None:
    plan = lifted_off(sample("single-garage"))
    assert own_stops(plan)
    search = searched(plan, 12, number=1)
    whole = [one for one in search.layouts.every if not one.stops]
    assert whole
    for one in whole:
        assert stops_again(search.problem, one) == 0
        assert "rack-1" in one.moved


def test_as_it_stands_the_bar_is_off_its_hooks() -> None:
    plan = lifted_off(sample("single-garage"))
    problem = Problem(Task(plan))
    assert "bar-rests-on-nothing" in [snag.code for snag in problem.stops(problem.verdict)]
    assert problem.as_is.plan == plan
    # nothing else of the station has moved, and nothing of any other
    assert set(problem.seats) == {"bar-1"}
    assert problem.moved({"rack-1": plan.piece("rack-1").pose}) == ("rack-1",)


def test_what_is_seated_stays_so() -> None:
    problem = Problem(Task(sample("double-garage")))
    assert not problem.seats
    assert problem.scene is problem.as_is


def test_of_several_off_their_hooks_no_more_are_seated_than_may_move() -> None:
    plan = make_plan(
        *(
            piece
            for key, x in (("a", 1500), ("b", 4500))
            for piece in (
                place("half-rack", x, 1500, piece_id=f"rack-{key}"),
                place("bar-20", x, 1500 + OFF_MM, piece_id=f"bar-{key}", carried_by=f"rack-{key}"),
            )
        ),
        room=make_room(6000, 4000),
    )
    for most, seated in ((1, 1), (2, 2), (None, 2)):
        problem = Problem(Task(plan, moves_at_most=most))
        assert len(problem.seated) == seated
        left = [s for s in problem.stops(run(problem.scene)) if s.code == "bar-rests-on-nothing"]
        assert len(left) == 2 - seated


@pytest.mark.parametrize("angle", [0.0, 90.0, 217.0])
def test_a_bench_beside_its_rack_is_put_where_one_presses(angle: float) -> None:
    rack = place("half-rack", 3000, 3000, angle, piece_id="rack")
    beside = place("flat-bench", 1300, 1200, angle, piece_id="bench", carried_by="rack")
    plan = make_plan(rack, beside, room=make_room(6000, 6000))
    problem = Problem(Task(plan))
    assert set(problem.seats) == {"bench"}
    there = problem.scene.placed["bench"]
    assert there.footprint.distance(problem.scene.placed["rack"].footprint) == 0
    # where moves are counted nobody is made to move what the judge has nothing against
    assert not Problem(Task(plan, moves_at_most=1)).seats


def test_a_bar_that_belongs_to_no_rack_is_told_as_what_no_layout_mends() -> None:
    plan = make_plan(
        place("half-rack", 1500, 1500, piece_id="rack"),
        place("bar-20", 4000, 3000, piece_id="bar"),
        room=make_room(6000, 4000),
    )
    problem = Problem(Task(plan))
    assert not problem.seats
    assert any("it belongs to no rack or stand" in words for words in unmended(problem))
    whole = [one for one in searched(plan, 6).layouts.every if not one.stops]
    assert whole


def test_the_bar_of_a_rack_that_is_pinned_is_told_too() -> None:
    plan = changed(lifted_off(sample("single-garage")), "rack-1", pinned=True)
    problem = Problem(Task(plan))
    assert not problem.seats
    assert any("nothing holds it there" in words for words in unmended(problem))


def test_putting_it_on_the_plan_lays_the_bar_on_its_hooks() -> None:
    plan = lifted_off(sample("single-garage"))
    problem = Problem(Task(plan, moves_at_most=1))
    search = searched(plan, 6, task=problem.task)
    best = search.layouts.best
    assert best is not None
    assert not own_stops(problem.plan_with(best.poses))
    there = build_scene(problem.plan_with(best.poses)).placed["bar-1"].pose
    assert isinstance(there, Pose)
    assert there != plan.piece("bar-1").pose
