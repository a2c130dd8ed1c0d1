"""Pieces that may be left out: what is found of the rest is never worse for them."""

import pytest

from app.arranging.arrange import Answers, begin
from app.arranging.best_layouts import BestLayouts
from app.arranging.problem import Problem, Task
from app.arranging.workers import shared_out, work
from app.checks.run import run
from app.model.phases import without
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.arranging.hidden import hidden_room
from tests.builders import make_plan, make_room, place


def found(task: Task, steps: int) -> BestLayouts:
    layouts = BestLayouts()
    for job in shared_out(task, 1, seed=1, steps=steps):
        for report in work(job):
            layouts.join(report.layouts)
    return layouts


def crowd(count: int = 3) -> Plan:
    """Boxes of 1 x 1.5 m in a room that holds two of them."""
    boxes = [
        place("other-thing", piece_id=f"b{i}", width=1000, depth=1500, height=500)
        for i in range(count)
    ]
    return make_plan(*boxes, room=make_room(2000, 1500))


@pytest.mark.parametrize("worth", [0.0, 8.0])
@pytest.mark.parametrize("plan", [hidden_room(1), hidden_room(2)], ids=["one", "two"])
def test_what_may_be_left_out_never_makes_the_best_of_the_rest_worse(
    plan: Plan, worth: float
) -> None:
    piece = Problem(Task(plan)).free[0]
    members = Problem(Task(plan)).members([piece])
    rest = found(Task(without(plan, members)), 2).best
    best = found(Task(plan, worths=((piece, worth),)), 2).best
    assert best is not None
    assert rest is not None
    assert (-best.stops, best.value) >= (-rest.stops, rest.value)


def test_more_time_never_makes_the_best_worse() -> None:
    task = Task(crowd(), worths=(("b0", 5.0), ("b1", 5.0)))
    values = [one.value for steps in (1, 2, 4) if (one := found(task, steps).best) is not None]
    assert values == sorted(values)


def test_of_three_that_have_no_place_together_the_least_worth_is_left_out() -> None:
    task = Task(crowd(), worths=(("b0", 30.0), ("b1", 20.0), ("b2", 10.0)))
    best = found(task, 10).best
    assert best is not None
    assert best.looks.left_out == ("b2",)
    assert set(best.poses) == {"b0", "b1"}
    assert best.worth == 50.0


def test_what_is_left_out_is_told_and_taken_off_the_plan() -> None:
    task = Task(crowd(), worths=(("b2", 10.0),))
    crew = begin(task, steps=4, processes=0)
    crew.join()
    problem = Problem(task)
    (first, *_) = Answers(problem).so_far(crew).layouts
    assert first.stops == 0
    assert first.left_out == ("other thing",)
    assert first.layout is not None
    after = problem.plan_with(first.poses, first.layout.looks.left_out)
    assert {piece.id for piece in after.pieces} == {"b0", "b1"}
    assert not [snag for snag in run(build_scene(after)) if snag.severity == "stop"]


def test_what_stays_is_worth_nothing_to_leave_out() -> None:
    plan = make_plan(place("chest-freezer", 600, 400, stays=True), place("fan", 2000, 2000))
    assert Problem(Task(plan, worths=(("chest-freezer-1", 4.0),))).worths == {}
