"""Ways out by getting what is missing: catches, a bar on its hooks, kit placed where it fits."""

from __future__ import annotations

from collections.abc import Iterator

from app.arrange.joining import usual_bar
from app.arrange.outfits import place_for, whole_sets
from app.arrange.swaps import Proposal
from app.budget import Budget
from app.changes.commands import adds, edits
from app.checks.alone import catch_heights
from app.checks.goes_together import is_plates
from app.checks.snag import Snag
from app.library.kit import kit_types
from app.model.kit import Piece
from app.model.room_walls import fresh_id
from app.scene.build import Scene
from app.wording import lower, phrase

_PLATES = "iron-plates"


def to_get(scene: Scene, snag: Snag, budget: Budget) -> Iterator[Proposal]:
    """Yield what to buy for a finding that says that something is missing."""
    if snag.code == "no-catches":
        yield from _catches(scene, snag)
    elif snag.code == "incomplete":
        yield from _bar_and_plates(scene, snag, budget)
    elif snag.code == "missing-kit":
        yield from whole_sets(scene, snag, budget)


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
            where = place_for(scene, stack, budget)
            if where is not None:
                new.append(Piece(id=fresh_id(_PLATES, taken), type=_PLATES, pose=where))
        if new:
            names = " and a ".join(lower(kit_types()[piece.type].name) for piece in new)
            sentence = f"Get a {names} for the {lower(host.name)}."
            yield sentence, adds(new, says=sentence)
