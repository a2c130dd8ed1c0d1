"""The scene of a plan that is proposed: what does not hang on the proposal is not asked again."""

from __future__ import annotations

from app.changes.commands import Command, apply
from app.checks.run import judged_but_for_wishes
from app.checks.spots import take_over_clears
from app.library.own import refused_by_all
from app.model.people import Person
from app.model.plan import Plan
from app.scene.build import Scene, build_scene

_PLAN_FIELDS = tuple(name for name in Plan.model_fields if name != "people")
_PERSON_FIELDS = tuple(name for name in Person.model_fields if name != "wishes")


def proposed(scene: Scene, command: Command) -> Scene:
    """Return the scene of the plan of a scene after a command.

    Raises an ElbowroomError where there is no such plan, or it cannot be built.
    """
    plan = apply(scene.plan, command)
    changed = build_scene(plan)
    if changed.room is not scene.room or plan.overrides != scene.plan.overrides:
        return changed
    if refused_by_all(plan) != refused_by_all(scene.plan):
        # then kit needs other room
        return changed
    take_over_clears(changed, scene, _touched(changed, scene))
    if not plan.situations and _only_wishes(scene.plan, plan):
        judged_but_for_wishes(changed, scene)
    return changed


def _touched(changed: Scene, scene: Scene) -> frozenset[str]:
    """Return the stations of a changed plan that are not what they were."""
    before = {root: tuple(p.piece for p in there) for root, there in scene.stations.items()}
    now = {root: tuple(p.piece for p in there) for root, there in changed.stations.items()}
    return frozenset(root for root, pieces in now.items() if before.get(root) != pieces)


def _only_wishes(one: Plan, other: Plan) -> bool:
    """Return whether two plans differ in nothing but what people want to do."""
    if len(one.people) != len(other.people):
        return False
    return all(getattr(one, name) == getattr(other, name) for name in _PLAN_FIELDS) and all(
        getattr(a, name) == getattr(b, name)
        for a, b in zip(one.people, other.people, strict=True)
        for name in _PERSON_FIELDS
    )
