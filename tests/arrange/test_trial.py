"""How far a try is judged: what is left out would have changed nothing."""

from collections.abc import Iterator
from functools import partial
from operator import lt

import numpy as np
import pytest

from app.arrange.mend_all import mend_all
from app.arrange.trial import Trials
from app.arrange.tries import shifted
from app.arrange.ways_out import ways_out
from app.budget import Budget
from app.checks.run import NOTES_ALONE, OF_PLACES, judged_by, run, run_places
from app.checks.snag import Snag
from app.placing.core import Core
from app.scene.build import Scene, build_scene
from tests.placing.rooms import ROOMS

NAMES = ("double garage", "basement", "L")
TRIES = 6
FAR_MM = 900.0


def tries_in(name: str) -> Iterator[tuple[Trials, Scene, Snag]]:
    """Yield stations of a room pushed anywhere near, each with a finding of the room as it was."""
    scene = build_scene(ROOMS[name]())
    before = run(scene)
    trials = Trials.of(scene, before, Budget(10**9))
    weighed = [snag for snag in before if snag.severity != "note" and snag.pieces]
    rng = np.random.default_rng(3)
    roots = Core.of(scene).free
    for number in range(TRIES):
        dx, dy = rng.uniform(-FAR_MM, FAR_MM, 2).tolist()
        changed = scene.moved(shifted(scene, roots[number % len(roots)], dx, dy))
        for snag in weighed:
            yield trials, changed, snag


@pytest.mark.parametrize("name", NAMES)
def test_a_try_that_places_refuse_is_refused_by_all_quick_checks(name: str) -> None:
    helped = 0
    for trials, changed, snag in tries_in(name):
        whole = trials.compared(trials.was_quick, run(changed, full=False), snag)
        assert trials.quick_effect(changed, snag) == whole
        helped += whole is not None
    assert helped


@pytest.mark.parametrize("name", NAMES)
def test_the_slow_checks_never_make_a_try_better(name: str) -> None:
    for trials, changed, snag in tries_in(name):
        quick, whole = trials.quick_effect(changed, snag), trials.effect(changed, snag)
        if whole is None:
            continue
        assert quick is not None
        assert quick.rank <= whole.rank
        assert trials.effect(changed, snag, wanted=partial(lt, whole.rank)) is None
        assert trials.compared(trials.was, run(changed), snag) == whole


@pytest.mark.parametrize("name", NAMES)
def test_places_say_alone_what_they_say_among_all(name: str) -> None:
    for _, changed, _ in tries_in(name):
        if not changed.plan.situations:
            by_places = set(judged_by(OF_PLACES, changed))
            assert set(run_places(changed)) == {one for one in run(changed) if one in by_places}


@pytest.mark.parametrize("name", ROOMS)
def test_some_checks_say_no_more_than_notes(name: str) -> None:
    scene = build_scene(ROOMS[name]())
    whole, weighed = run(scene), run(scene, weighed=True)
    assert {one.severity for one in judged_by(NOTES_ALONE, scene)} <= {"note"}
    assert [one for one in whole if one.severity != "note"] == [
        one for one in weighed if one.severity != "note"
    ]


def test_mending_is_the_same_from_a_scene_that_was_asked_before() -> None:
    plan = ROOMS["single garage"]()
    scene = build_scene(plan)
    ways_out(scene, run(scene))
    assert mend_all(plan, scene=scene) == mend_all(plan)
