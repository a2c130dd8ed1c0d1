"""Where a movement fits: exactly, by moving its area against the walls and all that hangs too low.

A place is free when the area about it lies in the room and nothing over it is lower than what is
needed. The places that are not are those of each too low part grown by the area (the Minkowski
sum with the area turned over), so no grid is needed.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from itertools import pairwise

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from app.checks.open_floor import directions, open_demand
from app.library.movements import Movement
from app.model.people import Person
from app.scene.build import Scene
from app.scene.overhead import Above, lower_part
from app.scene.shapes import turned
from app.scene.swept import area_size_mm, held_anywhere, parts
from app.scene.tolerance import HALF_MM, enough_mm

_SLIVER_MM = 1.0


def region(scene: Scene, person: Person, row: Movement, cautious: bool) -> BaseGeometry:
    """Return the middles of the movement on the open floor where it fits, along or across.

    With `cautious` what is needed with its margin counts, else the least.
    """
    along, across = directions(scene.room)
    regions = [_one_way(scene, person, row, angle, cautious) for angle in (along, across)]
    return shapely.union_all(regions)


def _one_way(
    scene: Scene, person: Person, row: Movement, angle: float, cautious: bool
) -> BaseGeometry:
    held = held_anywhere(scene, row.key)
    width, depth = area_size_mm(row.key, held)
    body = _box(width - 2 * row.wander_mm, depth - 2 * row.wander_mm)
    free: BaseGeometry = _shrunk(scene.room.grown, turned(body, angle))
    for part in parts(row.key, held):
        asked = open_demand(scene, person, row.key, part.held_mm)
        high = enough_mm(asked.need_mm if cautious else asked.least_mm)
        area = turned(part.area, angle).buffer(-HALF_MM, join_style="mitre")
        low = [lower_part(item, high) for item in scene.room.training.items]
        blocked = [grown(one, area) for one in low if not one.is_empty]
        if blocked:
            free = free.difference(shapely.union_all(blocked))
    return free.buffer(-_SLIVER_MM).buffer(_SLIVER_MM)


def half_plane(item: Above, high_mm: float) -> BaseGeometry:
    """Return the part of the bounds of something overhead in which it is lower than a height."""
    return lower_part(replace(item, polygon=shapely.box(*item.polygon.bounds)), high_mm)


def grown(shape: BaseGeometry, area: Polygon) -> BaseGeometry:
    """Return all middles at which a convex area about the origin meets a shape."""
    over = -np.asarray(area.exterior.coords)[:-1]
    hulls = []
    for convex in _convex_parts(shape):
        points = np.asarray(convex)[:, None, :] + over[None, :, :]
        hulls.append(shapely.MultiPoint(points.reshape(-1, 2)).convex_hull)
    return shapely.union_all(hulls)


def _shrunk(room: Polygon, area: Polygon) -> BaseGeometry:
    """Return all middles at which a convex area about the origin lies in a room."""
    rings = [room.exterior, *room.interiors]
    over = -np.asarray(area.exterior.coords)[:-1]
    hulls = []
    for ring in rings:
        for start, end in pairwise(ring.coords):
            points = np.asarray([start, end])[:, None, :] + over[None, :, :]
            hulls.append(shapely.MultiPoint(points.reshape(-1, 2)).convex_hull)
    return room.difference(shapely.union_all(hulls))


def _convex_parts(shape: BaseGeometry) -> Iterator[Sequence[tuple[float, ...]]]:
    """Yield convex rings that make up a shape: itself where it is convex, else its triangles."""
    for part in shapely.get_parts(shape):
        if not isinstance(part, Polygon) or part.is_empty:
            continue
        if math.isclose(part.area, part.convex_hull.area, rel_tol=1e-9):
            yield list(part.exterior.coords)[:-1]
            continue
        for triangle in shapely.get_parts(shapely.delaunay_triangles(part)):
            inside = triangle.intersection(part)
            if inside.area > 0:
                yield list(inside.convex_hull.exterior.coords)[:-1]


def _box(width: float, depth: float) -> Polygon:
    w, d = width / 2, depth / 2
    return Polygon([(-w, -d), (w, -d), (w, d), (-w, d)])
