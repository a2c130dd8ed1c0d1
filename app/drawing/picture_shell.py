"""The room itself as faces for the picture: floor and doorways, walls cut low, columns."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from app.drawing.picture_faces import Face, level, polygons_of, prism
from app.drawing.picture_glass import is_near
from app.drawing.picture_inks import GLASS
from app.drawing.picture_view import Floats, View
from app.drawing.wall_glass import glass
from app.model.finishing import MirrorArea
from app.scene.build import Scene
from app.scene.doors import OpeningShape
from app.scene.walls import WallShape
from app.units import FOOT_MM, MM_PER_M, Units

ROOM, FLOOR = "room", "floor"
"""What the faces of the room belong to as one thing, and those of its floor alone."""
FLOOR_INK, WAY_INK = "picture-floor", "picture-way-floor"
"""The floor, and what of it is a doorway or is swung over by a door."""
NEAR_WALL_MM, FAR_WALL_MM = 250.0, 900.0
"""Walls are cut: low where they would hide the room, at desk height where they frame it."""
_FEET = 3
"""The side of a square of the floor in feet, about the metre that it is in metric."""


def mirror_owner(area: MirrorArea) -> str:
    """Return what the faces of a mirror on a wall belong to."""
    return f"mirror-{area.id}"


def room_faces(scene: Scene, view: View) -> Iterator[Face]:
    """Yield the floor with its squares and doorways, the walls cut low, the columns."""
    room = scene.room
    yield from _floor(scene, view)
    for wall in room.walls:
        near = is_near(wall, view)
        high = NEAR_WALL_MM if near else FAR_WALL_MM
        openings = [o for o in room.openings if o.wall.id == wall.id]
        yield from _wall(wall, openings, high, view)
        # one on a near wall would hide the room: its outline is dashed
        for one in glass(scene) if not near else ():
            if one.wall is wall:
                low, area = one.area.bottom_mm, one.area
                top, owner = low + area.height_mm, mirror_owner(area)
                yield from prism(one.outline, low, top, owner, GLASS, view)
    for column, polygon in room.columns:
        yield from prism(polygon, 0.0, FAR_WALL_MM, column.id, "picture-wall", view)


def _floor(scene: Scene, view: View) -> Iterator[Face]:
    """Yield the floor with its squares, the floor that leaves swing over, and the doorways."""
    room = scene.room
    whole = level(room.free, 0.0, FLOOR, FLOOR_INK, view)
    squares = _squares(room.free, square_mm(scene.plan.units), view)
    edges = np.concatenate([whole.edges, squares])
    # of one body: what is swung over is drawn upon the floor, in whose plane it lies
    body = object()
    yield Face(whole.flat, whole.plane, edges, FLOOR, FLOOR_INK, body)
    swings = shapely.union_all(
        [sweep.polygon for o in room.openings for sweep in o.sweeps if sweep.hinge is not None]
    )
    for polygon in polygons_of(swings.intersection(room.free)):
        swung = level(polygon, 0.0, FLOOR, WAY_INK, view)
        yield Face(swung.flat, swung.plane, swung.edges, FLOOR, WAY_INK, body)
    for opening in room.openings:
        if opening.opening.kind != "window":
            yield level(opening.hole, 0.0, opening.opening.id, WAY_INK, view)


def _wall(wall: WallShape, openings: list[OpeningShape], high: float, view: View) -> Iterator[Face]:
    """Yield a wall, less its openings above their sills."""
    sills = sorted({min(o.opening.sill_mm, high) for o in openings} | {high})
    low = 0.0
    for top in sills:
        holes = [o.hole for o in openings if o.opening.sill_mm <= low]
        base = wall.polygon.difference(shapely.union_all([hole.buffer(1) for hole in holes]))
        if top > low:
            yield from prism(base, low, top, f"wall-{wall.id}", "picture-wall", view)
        low = top


def square_mm(units: Units) -> float:
    """Return the side of the squares of the floor: a metre, or three feet."""
    return float(MM_PER_M if units == "metric" else _FEET * FOOT_MM)


def _squares(free: BaseGeometry, side: float, view: View) -> Floats:
    """Return the lines of a net over the floor as strokes on the paper."""
    x0, y0, x1, y1 = free.bounds
    lines = [shapely.linestrings([(x, y0), (x, y1)]) for x in np.arange(x0 + side, x1, side)]
    lines += [shapely.linestrings([(x0, y), (x1, y)]) for y in np.arange(y0 + side, y1, side)]
    rows = []
    for line in lines:
        for part in shapely.get_parts(shapely.intersection(line, free)):
            xy = shapely.get_coordinates(part)
            if len(xy) == 2:
                rows.append(view.flat(np.column_stack([xy, np.zeros(2)])))
    return np.array(rows).reshape(-1, 2, 2)
