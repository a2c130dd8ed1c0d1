"""A way out of each snag: a sentence and the commands that carry it out, judged beforehand."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from app.arrange.moves import Mover, better, hangs_on_place
from app.arrange.swaps import proposals, without
from app.changes.commands import Command, apply, edits, moves
from app.changes.difference import difference
from app.checks.run import run
from app.checks.snag import Snag, lower
from app.errors import ElbowroomError
from app.scene.build import Scene, build_scene


@dataclass(frozen=True, slots=True)
class Remedy:
    """What mends a snag: in words, and as commands that are carried out as they stand.

    `gives_up` tells that it mends by doing without what was wanted.
    """

    sentence: str
    commands: tuple[Command, ...]
    gives_up: bool = False


def remedies(
    scene: Scene, snags: Iterable[Snag], pause: Callable[[], None] | None = None
) -> dict[str, Remedy]:
    """Return a remedy for each snag that has one, by key. `scene` is that of its own plan.

    `pause` is called between tries.
    """
    before = run(scene)
    mover = Mover(scene, before, pause) if pause else Mover(scene, before)
    offered = {}
    for snag in snags:
        remedy = remedy_for(scene, snag, before, mover)
        if remedy is not None:
            offered[snag.key] = remedy
    return offered


def remedy_for(scene: Scene, snag: Snag, before: tuple[Snag, ...], mover: Mover) -> Remedy | None:
    """Find the way out of one snag, or None when nothing tried here mends it.

    Each proposal has gone before the full judge: the snag is gone and no stop is new.
    """
    for sentence, command in () if mover.tired else proposals(scene, snag):
        mover.judging()
        try:
            after = run(build_scene(apply(scene.plan, command)))
        except ElbowroomError:
            continue
        if better(after, snag, before):
            return Remedy(sentence, (command,))
    if snag.code == "bar-rests-on-nothing":
        moved = _laid_and_moved(scene, snag, before, mover)
        return moved or _on_the_floor(scene, snag, before, mover)
    if snag.code == "headroom" and snag.severity == "stop":
        sentence, command = without(scene, snag)
        return Remedy(sentence, (command,), gives_up=True)
    if snag.severity == "note" or not hangs_on_place(snag):
        return None
    move = mover.smallest(snag)
    if move is None:
        return None
    command = moves(scene.plan, move.poses, name="mend", says=move.sentence)
    return Remedy(move.sentence, (command,))


def _on_the_floor(
    scene: Scene, snag: Snag, before: tuple[Snag, ...], mover: Mover
) -> Remedy | None:
    """Let a bar that no rack is left for lie on the floor, off what carried it."""
    if mover.tired:
        return None
    mover.judging()
    bar = scene.placed[snag.pieces[0]]
    sentence = f"Let the {lower(bar.name)} lie on the floor."
    command = edits(scene.plan, bar.piece.id, sentence, on_floor=True, carried_by=None)
    after = run(build_scene(apply(scene.plan, command)))
    return Remedy(sentence, (command,)) if better(after, snag, before) else None


def _laid_and_moved(
    scene: Scene, snag: Snag, before: tuple[Snag, ...], mover: Mover
) -> Remedy | None:
    """Lay a bar on a rack that must be moved for it, as one step: its ends need room."""
    for sentence, command in () if mover.tired else proposals(scene, snag):
        mover.judging()
        laid = build_scene(apply(scene.plan, command))
        after = run(laid)
        known = {other.key for other in before}
        new = [one for one in after if one.severity == "stop" and one.key not in known]
        if not new or not hangs_on_place(new[0]):
            continue
        move = Mover(laid, after, mover.pause).smallest(new[0])
        if move is None:
            continue
        moved = apply(laid.plan, moves(laid.plan, move.poses))
        if better(run(build_scene(moved)), snag, before):
            both = f"{sentence} {move.sentence}"
            whole = difference(scene.plan, moved, "mend", both)
            return None if whole is None else Remedy(both, (whole,))
    return None
