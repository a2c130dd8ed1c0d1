"""What walls and openings are called in sentences: as people and the drawing call them."""

from __future__ import annotations

from app.scene.build import Scene
from app.scene.doors import OpeningShape


def wall_called(scene: Scene, wall_id: str) -> str:
    """Say which wall: "the back wall", or by its letter in the drawing, "wall E".

    Raises ValueError for a wall that the room has not.
    """
    return scene.fixed_names[[shape.id for shape in scene.room.walls].index(wall_id)]


def corner_name(index: int) -> str:
    """Return what a corner of the room is called on every sheet: C1, C2 ..."""
    return f"C{index + 1}"


def opening_name(scene: Scene, shape: OpeningShape) -> str:
    """Say which opening: its label, else its kind, and its wall where there are several."""
    opening = shape.opening
    if opening.label:
        return opening.label
    kind = _kind(shape)
    alike = [other for other in scene.room.openings if _kind(other) == kind]
    return kind if len(alike) == 1 else f"{kind} in {wall_called(scene, opening.wall)}"


def _kind(shape: OpeningShape) -> str:
    if shape.opening.is_garage_door:
        return "garage door"
    return shape.opening.kind if shape.opening.kind in ("window", "gap") else "door"
