"""Bare walls: nearer to one of them than to anything else a machine may stand on one side."""

from __future__ import annotations

from shapely import LineString

from app.library.own import MANUAL_SOURCE, OWN_SOURCE
from app.model.room import Opening
from app.published.register import published
from app.scene.build import Scene
from app.scene.tolerance import TOLERANCE_MM, falls_short

_SILL = "glass.stumble-sill-mm"


def near_a_bare_wall(scene: Scene, number: int, other: int, measured: float) -> bool:
    """Return whether what is short of room is near to a wall alone, and far enough off that.

    A wall with a door there is not bare, nor one with a window, but for one above the shoulders.
    """
    shape = scene.spaces.shapes[number]
    wall = other - len(scene.order)
    if not shape.space.to_wall_mm or not 0 <= wall < len(scene.room.walls):
        return False
    if shape.space.source in (MANUAL_SOURCE, OWN_SOURCE):
        return False
    if falls_short(measured, shape.space.to_wall_mm):
        return False
    core = scene.spaces.cores[number]
    return not any(
        opening.wall is scene.room.walls[wall]
        and not _is_high_window(opening.opening)
        and LineString([opening.left, opening.right]).distance(core) <= TOLERANCE_MM
        for opening in scene.room.openings
    )


def is_above_shoulders(low_mm: float) -> bool:
    """Return whether glass begins so high, in mm, that nobody who stumbles falls against it."""
    return not falls_short(low_mm, published(_SILL))


def _is_high_window(opening: Opening) -> bool:
    return opening.kind == "window" and is_above_shoulders(opening.sill_mm)
