"""Ways out for what nothing holds: kit that stands on the floor and serves as well, or bolts.

Where no wall or ceiling here carries a load, a fitter looks for what needs neither.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any

from app.arrange.exchanged import exchanged
from app.arrange.joining import ways_in
from app.arrange.offer import fits
from app.arrange.sense import may_move
from app.arrange.swaps import Proposal
from app.budget import Budget
from app.changes.commands import edits
from app.changes.difference import difference
from app.checks.lift_out import HOLDER
from app.checks.snag import Snag
from app.library.kit import KitType, kit_types
from app.model.base import json_of
from app.model.kit import Pose
from app.model.phases import without
from app.model.plan import Plan
from app.scene.build import Placed, Scene, build_scene
from app.wording import lower

KITS_AT_MOST = 3
"""Kinds of kit that are tried, those that cost least first."""
_HOOKS = "bar-hooks"
_STANDS = (None, "bolt", "ballast")
"""Fixings of what stands on the floor by itself."""


def standing_instead(scene: Scene, snag: Snag, budget: Budget) -> Iterator[Proposal]:
    """Yield kit on the floor that serves for what hangs where nothing carries it, in its place."""
    if "standing" not in snag.eased_by or snag.severity != "stop":
        return
    hung = scene.placed[snag.pieces[0]]
    if hung.root != hung.piece.id or not may_move(scene, hung.root):
        return
    mates = [one for one in scene.stations[hung.root] if one is not hung]
    gone = {placed.piece.id for placed in scene.stations[hung.root]}
    rest = build_scene(without(scene.plan, gone))
    for kit in _that_serve(scene, hung):
        offer = fits(rest, kit.width_mm, kit.depth_mm, kit.height_mm, kit.key, budget)
        if not offer.fits or offer.place is None:
            continue
        plan = _with(scene, hung, mates, kit, offer.place)
        if plan is None:
            continue
        says = f"Take the {lower(kit.name)} instead: it stands on the floor, where it fits."
        command = difference(scene.plan, plan, "edit", says)
        if command is not None:
            yield says, command


def on_hooks_instead(scene: Scene, snag: Snag, budget: Budget) -> Iterator[Proposal]:
    """Yield hooks on a wall for a holder in which no bar comes out upright under this ceiling."""
    holder = scene.placed[snag.pieces[0]]
    if holder.kit.key != HOLDER or not may_move(scene, holder.root):
        return
    kit = kit_types()[_HOOKS]
    rest = build_scene(without(scene.plan, {holder.piece.id}))
    offer = fits(rest, kit.width_mm, kit.depth_mm, kit.height_mm, kit.key, budget)
    if len(scene.stations[holder.root]) > 1 or not offer.fits or offer.place is None:
        return
    plan = _with(scene, holder, [], kit, offer.place)
    says = f"Take {lower(kit.name)} instead: bars lie on them."
    command = None if plan is None else difference(scene.plan, plan, "edit", says)
    if command is not None:
        yield says, command


def held_down(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Yield bolts for what tips because it stands loose."""
    if "bolts" in snag.eased_by:
        placed = scene.placed[snag.pieces[0]]
        says = f"Bolt the {lower(placed.name)} to the floor."
        yield says, edits(scene.plan, placed.piece.id, says, bolted=True)


def _that_serve(scene: Scene, hung: Placed) -> list[KitType]:
    """Return types on which all is done that anybody wants to do on this one, the cheapest first.

    Where nobody has said so it is all that is done on it.
    """
    uses = {use.movement for use in hung.kit.uses}
    wanted = {
        movement
        for movement in uses
        if any(person.wish_for(movement) in ("want", "nice") for person in scene.plan.people)
    }
    serve = [
        kit
        for kit in kit_types().values()
        if kit.fixing in _STANDS
        and bool(kit.rests) == bool(hung.kit.rests)
        and uses
        and (wanted or uses) <= {use.movement for use in kit.uses}
    ]
    serve.sort(key=lambda kit: (kit.price_minor is None, kit.price_minor or 0))
    return serve[:KITS_AT_MOST]


def _with(scene: Scene, hung: Placed, mates: list[Placed], kit: KitType, pose: Pose) -> Plan | None:
    """Return the plan with another type in place of what hangs; None where it holds not as much.

    What was carried goes with it, each on the first hooks or place that takes it.
    """
    old = hung.piece
    plan = exchanged(scene.plan, old.id, kit, pose=json_of(pose), bolted=kit.fixing == "bolt")
    host = build_scene(plan).placed[old.id]
    moved: dict[str, Any] = {}
    for mate in mates:
        poses = ways_in(host, mate.kit)
        if not poses or mate.piece.carried_by != old.id:
            return None
        moved[mate.piece.id] = {**json_of(mate.piece), "pose": json_of(poses[0])}
    return _changed(plan, moved)


def _changed(plan: Plan, pieces: dict[str, Any]) -> Plan:
    """Return a plan with some of its pieces as in the data that is given by their ids."""
    data = json_of(plan)
    return Plan.model_validate(
        {**data, "pieces": [pieces.get(one["id"], one) for one in data["pieces"]]}
    )


def on_the_floor(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Let a bar that no rack is left for lie on the floor, off what carried it."""
    bar = scene.placed[snag.pieces[0]]
    sentence = f"Let the {lower(bar.name)} lie on the floor."
    yield sentence, edits(scene.plan, bar.piece.id, sentence, on_floor=True, carried_by=None)
