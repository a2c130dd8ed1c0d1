"""Ways out by getting what is missing: catches, a bar on its hooks, kit placed where it fits."""

from __future__ import annotations

from collections.abc import Iterator

from app.arrange.joining import joined, usual_bar
from app.arrange.offer import fits
from app.arrange.swaps import Proposal
from app.budget import Budget
from app.changes.commands import adds, edits
from app.checks.alone import catch_heights
from app.checks.goes_together import is_plates
from app.checks.snag import Snag
from app.library.kit import KitType, kit_types
from app.model.kit import Piece, Pose
from app.model.room_walls import fresh_id
from app.scene.build import Scene
from app.wording import lower, phrase

KITS_AT_MOST = 3
"""Kinds of kit that are tried for a movement, those that cost least first: of what stands, and of
what hangs on a wall."""
_PLATES = "iron-plates"


def to_get(scene: Scene, snag: Snag, budget: Budget) -> Iterator[Proposal]:
    """Yield what to buy for a finding that says that something is missing."""
    if snag.code == "no-catches":
        yield from _catches(scene, snag)
    elif snag.code == "incomplete":
        yield from _bar_and_plates(scene, snag, budget)
    elif snag.code == "missing-kit":
        yield from _kit_for(scene, snag, budget)


def _catches(scene: Scene, snag: Snag) -> Iterator[Proposal]:
    """Yield catches that are fitted to what holds the bar."""
    placed = scene.placed[snag.pieces[0]]
    heights = catch_heights(scene, placed.root)
    name = lower(placed.name)
    use = "squat" if snag.movement == "squat" else "press"
    advice = phrase("Get catches for the {}, and set them before each {}.", name, use)
    if heights is not None:
        advice = phrase(
            "Get catches for the {}, and set them at {:bare} to {:mm}.",
            name,
            heights.least_mm,
            heights.most_mm,
        )
    sentence = advice.worded(scene.plan.units)
    yield sentence, edits(scene.plan, placed.piece.id, sentence, catches=True)


def _bar_and_plates(scene: Scene, snag: Snag, budget: Budget) -> Iterator[Proposal]:
    """Yield the usual bar on the hooks of a rack, with plates beside it where there are none."""
    host = scene.placed[snag.pieces[0]]
    usual = usual_bar(scene, host)
    if usual is None:
        return
    kit, poses = usual
    taken = {piece.id for piece in scene.plan.pieces}
    bars = any(mate.kit.bar is not None for mate in scene.stations[host.root])
    plates = any(is_plates(placed) for placed in scene.order)
    for pose in poses:
        new = []
        if not bars:
            bar_id = fresh_id(kit.key, taken)
            new.append(Piece(id=bar_id, type=kit.key, pose=pose, carried_by=host.piece.id))
        if not plates:
            stack = kit_types()[_PLATES]
            where = _place_for(scene, stack, budget)
            if where is not None:
                new.append(Piece(id=fresh_id(_PLATES, taken), type=_PLATES, pose=where))
        if new:
            names = " and a ".join(lower(kit_types()[piece.type].name) for piece in new)
            sentence = f"Get a {names} for the {lower(host.name)}."
            yield sentence, adds(new, says=sentence)


def _kit_for(scene: Scene, snag: Snag, budget: Budget) -> Iterator[Proposal]:
    """Yield kit for what is wanted and cannot be done here, placed where it may stand."""
    movement = snag.movement
    if movement is None:
        return
    made = [
        kit for kit in kit_types().values() if any(use.movement == movement for use in kit.uses)
    ]
    made.sort(key=lambda kit: (kit.price_minor is None, kit.price_minor or 0))
    standing = [kit for kit in made if not kit.for_wall][:KITS_AT_MOST]
    walled = [kit for kit in made if kit.for_wall][:KITS_AT_MOST]
    taken = {piece.id for piece in scene.plan.pieces}
    # a wall has to hold it: what stands comes first
    for kit in (*standing, *walled):
        where = _place_for(scene, kit, budget)
        if where is not None:
            piece = Piece(id=fresh_id(kit.key, taken), type=kit.key, pose=where)
            sentence = f"Get a {lower(kit.name)}: there is a place for it."
            yield sentence, adds([piece], says=sentence)


def _place_for(scene: Scene, kit: KitType, budget: Budget) -> Pose | None:
    there = joined(scene, kit.key, budget=budget)
    if there is not None:
        return there.pose
    offer = fits(scene, kit.width_mm, kit.depth_mm, kit.height_mm, kit.key, budget)
    return offer.place if offer.fits else None
