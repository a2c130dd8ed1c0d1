"""Kit that all has a place and is too much for a room: common practice, no source."""

import pytest

from app.arranging.best_layouts import JudgedLayout, Looks
from app.arranging.choosing import different
from app.arranging.problem import Task
from app.arranging.too_much import Without, crowded, crowded_words, lighter
from app.budget import Budget
from app.checks.run import run
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.arranging.test_search import searched
from tests.builders import make_plan, make_room, place


def overfull(turned: int = 0) -> Plan:
    """A running machine asks for 2 m behind it; the room of 2.9 m holds three things more."""
    size = (2400, 2900) if not turned else (2900, 2400)
    return make_plan(
        place("running-machine", 1200, 1200, piece_id="run"),
        place("adjustable-bench", 1200, 1000, piece_id="bench"),
        place("jump-box", 2000, 1500, piece_id="box"),
        place("shelving", 500, 500, piece_id="shelf"),
        room=make_room(*size),
    )


def layout(cares: int, share: float, stops: int = 0) -> JudgedLayout:
    return JudgedLayout({}, 70.0, stops, cares, (), Looks("", ""), {"no-care": share})


@pytest.mark.parametrize(
    ("cares", "share", "told"),
    [(5, 0.33, True), (5, 0.34, False), (4, 0.33, False), (9, 0.1, True)],
)
def test_too_much_is_as_much_as_two_spaces_and_five_cares(
    cares: int, share: float, told: bool
) -> None:
    task, one = Task(overfull()), layout(cares, share)
    assert (crowded(task, [one]) == one) is told
    # one with fewer cares is a choice that is not overfull, one with a stop is none
    assert crowded(task, [one, layout(3, 0.5)]) is None
    assert crowded(task, [layout(9, 0.1, stops=1)]) is None
    # where few may move the rest may be why
    assert crowded(Task(overfull(), moves_at_most=2), [one]) is None


@pytest.mark.parametrize("turned", [0, 90])
def test_it_is_said_without_what_there_is_less_to_mind(turned: int) -> None:
    plan = overfull(turned)
    task, search = Task(plan), searched(plan, 12)
    best = crowded(task, different(search.layouts))
    assert best is not None
    found = list(lighter(task, best, steps=12))
    # whatever else is left out, there is no room behind the belt
    least = min(found, key=lambda one: one.cares)
    assert least.name == "Running machine"
    assert all(one.cares <= best.cares - 2 for one in found)
    # as many as the judge finds in the layout of all the rest
    verdict = run(build_scene(search.problem.plan_with(best.poses)))
    assert sum(snag.severity == "care" for snag in verdict) == best.cares


def test_no_trial_is_told_of_that_was_not_made() -> None:
    best = layout(9, 0.1)
    assert list(lighter(Task(overfull()), best, Budget(0))) == []


def test_what_helps_most_is_named_first_and_three_things_at_most() -> None:
    found = [Without(f"Thing {cares}", cares) for cares in (4, 0, 3, 1)]
    words = crowded_words(9, 8, found, tried=True)
    assert words == (
        "9 things are much for this room: each layout leaves 8 cares or more. Found with one thing "
        "left out: no care without the thing 0, 1 care without the thing 1, 3 cares without the "
        "thing 3."
    )
    assert crowded_words(9, 8, [], tried=False).endswith("8 cares or more.")
    assert "being tried" in crowded_words(9, 8, [], tried=False, trying=True)
    assert crowded_words(9, 8, [], tried=True).endswith("and that helped little.")
