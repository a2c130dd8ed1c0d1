"""A search for months rests while nobody looks, and tells its answer to whoever comes back."""

import threading

from app.costs.cost import costs
from app.model.base import json_of
from app.model.plan import Plan
from app.scene.build import build_scene
from app.takeoff.quantities import take_off
from app.usecases.buying import AWAY_S, Run
from app.usecases.files import samples
from app.usecases.onlooker import SEEN_S
from app.works.months import Asked, asked_of

PATIENCE_S = 60.0
"""A test that waits so long for what must come has failed."""
LATE = 5
"""The step at which whoever looked has gone, some steps after there is a first choice."""


def upstairs() -> Asked:
    plan = next(one.plan for one in samples() if one.key == "upstairs-room")
    phasing = {**json_of(plan.phasing), "put_by_minor": 90_000, "a_month_minor": 100_050}
    scene = build_scene(Plan.model_validate({**json_of(plan), "phasing": phasing}))
    return asked_of(scene, costs(scene, take_off(scene)), "2027-04")


class Away:
    """A clock that jumps when a search has made some steps."""

    def __init__(self, jump_s: float) -> None:
        self.now, self.steps, self.jump_s = 0.0, 0, jump_s
        self.jumped = threading.Event()

    def look(self) -> None:
        self.steps += 1
        if self.steps == LATE:
            self.now += self.jump_s
            self.jumped.set()


def test_it_rests_while_nobody_looks_and_goes_on_when_somebody_does() -> None:
    asked, away = upstairs(), Away(SEEN_S + 1)
    run = Run(asked, away.look, lambda: away.now)
    assert away.jumped.wait(PATIENCE_S)
    choice, settled = run.newest(0.1)
    assert run.running
    assert not settled
    assert not choice.proven
    assert sum(choice.spent_minor) > 0
    run.seen()
    answer, settled = run.newest(PATIENCE_S)
    assert settled
    assert answer.proven
    assert answer == asked.best()


def test_one_that_is_stopped_keeps_what_it_found_and_settles_nothing() -> None:
    away = Away(SEEN_S + 1)
    run = Run(upstairs(), away.look, lambda: away.now)
    assert away.jumped.wait(PATIENCE_S)
    run.stop()
    choice, settled = run.newest(PATIENCE_S)
    assert not settled
    assert not choice.proven
    assert not run.running


def test_one_that_nobody_comes_back_to_ends() -> None:
    away = Away(AWAY_S + 1)
    run = Run(upstairs(), away.look, lambda: away.now)
    assert not run.newest(PATIENCE_S)[1]
    assert not run.running
