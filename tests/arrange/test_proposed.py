"""What is taken over for a proposed plan is what would be found of it from nothing."""

import numpy as np
import pytest

from app.arrange.proposed import proposed
from app.changes.commands import Command, apply, edits, wishes
from app.checks.run import ASK_NO_WISHES, judged_by, run
from app.library.movements import movements
from app.model.plan import Plan
from app.published.register import overridden
from app.scene.build import build_scene
from tests.placing.rooms import ROOMS, laid_out


def proposals(plan: Plan) -> list[Command]:
    """Give commands of each kind that ways out make: wishes, sizes and plates of one thing."""
    wished = [
        wishes(plan, person.id, **{key.replace("-", "_"): word})
        for person in plan.people
        for key, word in (("squat", "no"), ("step-up", "want"), ("run", "nice"))
    ]
    tall = [edits(plan, piece.id, height_mm=900) for piece in plan.pieces[:3]]
    bars = [piece.id for piece in plan.pieces if piece.type.startswith("bar-")]
    return [*wished, *tall, *(edits(plan, bar, plate_mm=280) for bar in bars)]


@pytest.mark.parametrize("name", ROOMS)
def test_a_proposed_plan_is_judged_as_if_nothing_had_been_known(name: str) -> None:
    scene = laid_out(ROOMS[name](), np.random.default_rng(3))
    run(scene)
    for command in proposals(scene.plan):
        fresh = build_scene(apply(scene.plan, command))
        assert run(proposed(scene, command)) == run(fresh), command.changes


@pytest.mark.parametrize("name", ROOMS)
def test_some_checks_say_the_same_whatever_people_want(name: str) -> None:
    plan = ROOMS[name]()
    overrides = {override.id: override.value for override in plan.overrides}
    said = []
    for word in ("want", "nice", "no", None):
        other = plan
        for person in plan.people:
            every = {key.replace("-", "_"): word for key in movements()}
            other = apply(other, wishes(other, person.id, "", **every))
        with overridden(overrides):
            said.append(judged_by(ASK_NO_WISHES, build_scene(other)))
    assert all(one == said[0] for one in said[1:])
