"""After a drop: the scene of a plan in which only poses have changed.

It is made from the scene before and shares what was answered there, each answer under all that it
hangs on: so of a new verdict only that is asked anew which hangs on what was moved.
"""

from __future__ import annotations

from dataclasses import replace

from app.model.kit import Piece
from app.model.plan import Plan
from app.scene.build import Scene

_PLAN_FIELDS = tuple(name for name in Plan.model_fields if name != "pieces")
_PIECE_FIELDS = tuple(name for name in Piece.model_fields if name != "pose")


def dropped(scene: Scene, plan: Plan) -> Scene | None:
    """Return the scene of a plan that differs from that of a scene in poses alone, else None."""
    if not _alike_but_for_poses(scene.plan, plan):
        return None
    poses = {
        piece.id: piece.pose
        for was, piece in zip(scene.order, plan.pieces, strict=True)
        if was.pose != piece.pose
    }
    there = scene.moved(poses)
    pieces = {piece.id: piece for piece in plan.pieces}
    placed = {key: replace(was, piece=pieces[key]) for key, was in there.placed.items()}
    return there.of_plan(plan, placed)


def _alike_but_for_poses(one: Plan, other: Plan) -> bool:
    if len(one.pieces) != len(other.pieces):
        return False
    if any(getattr(one, name) != getattr(other, name) for name in _PLAN_FIELDS):
        return False
    return all(
        all(getattr(a, name) == getattr(b, name) for name in _PIECE_FIELDS)
        for a, b in zip(one.pieces, other.pieces, strict=True)
        if a is not b
    )
