"""Samples and rooms of many shapes: layouts found beside layouts made by hand with care."""

from collections.abc import Callable
from functools import partial

import pytest

from app.arranging.problem import Problem, Task
from app.arranging.score import score
from app.checks.run import run
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.arranging.hand_made import CELLAR, DOUBLE, SINGLE, Poses, low_cellar, placed_at, sample
from tests.arranging.rooms import BY_HAND, ROOMS
from tests.arranging.test_search import searched, stops_again

SAMPLES: dict[str, tuple[Callable[[], Plan], Poses]] = {
    "single garage": (partial(sample, "single-garage"), SINGLE),
    "double garage": (partial(sample, "double-garage"), DOUBLE),
    "cellar": (low_cellar, CELLAR),
}
EVERY = SAMPLES | {name: (make, BY_HAND[name]) for name, make in ROOMS.items()}


def by_hand(name: str) -> float:
    make, poses = EVERY[name]
    plan = make()
    scene = build_scene(placed_at(plan, poses))
    verdict = run(scene)
    assert not Problem(Task(plan)).stops(verdict)
    return score(scene, verdict).total


@pytest.mark.parametrize(
    ("name", "steps"),
    [
        ("spare room", 8),
        *(pytest.param(name, 400, marks=pytest.mark.long) for name in EVERY),
    ],
)
def test_a_layout_as_good_as_one_made_by_hand_is_found(name: str, steps: int) -> None:
    best, made, plan = None, by_hand(name), EVERY[name][0]()
    for number in range(4):
        search = searched(plan, steps, number)
        for one in search.layouts.every:
            if not one.stops and (best is None or one.rank < best.rank):
                best = one
        if best is not None and best.total >= made:
            break
    assert best is not None
    assert stops_again(Problem(Task(plan)), best) == 0
    assert best.total >= made
