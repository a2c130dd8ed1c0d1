"""Where the largest kit is built: its longest part flat on the floor and room round it."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from app.library.parcels import parcels
from app.published.register import published
from app.scene.build import Placed, Scene
from app.works.kit_tasks import first_built

STEP_MM = 100.0
"""Places are tried so far apart: nobody lays a part down more exactly."""

Corner = tuple[float, float]


@dataclass(frozen=True, slots=True)
class BuildingRoom:
    """The largest piece, its longest part in mm, and the rectangles of the part and round it.

    The rectangles are None where no such room is free.
    """

    placed: Placed
    long_mm: float
    wide_mm: float
    round_mm: float
    part: tuple[Corner, ...] | None
    free: tuple[Corner, ...] | None


def building_room(scene: Scene) -> BuildingRoom | None:
    """Return where the largest is built first, nearest to its place; None where nothing is built.

    What stays is in the way, no other kit is: it is built before that comes.
    """
    placed = first_built(scene)
    if placed is None:
        return None
    long, wide = _part(placed)
    margin = published("works.build-round.mm")
    floor: BaseGeometry = scene.room.free
    for other in scene.order:
        if other.piece.stays:
            floor = floor.difference(other.footprint)
    best: tuple[float, float, Corner] | None = None
    for angle in sorted({round(_angle(wall.along) % 90, 3) for wall in scene.room.walls}):
        turned = shapely.affinity.rotate(floor, -angle, origin=(0, 0))
        goal = shapely.affinity.rotate(shapely.Point(placed.at), -angle, origin=(0, 0))
        shapely.prepare(turned)
        x0, y0, x1, y1 = turned.bounds
        for across, deep, more in ((long, wide, 0.0), (wide, long, 90.0)):
            half_x, half_y = across / 2 + margin, deep / 2 + margin
            if x1 - x0 < 2 * half_x or y1 - y0 < 2 * half_y:
                continue
            xs = np.arange(x0 + half_x, x1 - half_x + 1, STEP_MM)
            ys = np.arange(y0 + half_y, y1 - half_y + 1, STEP_MM)
            x, y = (each.ravel() for each in np.meshgrid(xs, ys))
            boxes = shapely.box(x - half_x, y - half_y, x + half_x, y + half_y)
            fits = np.flatnonzero(shapely.covers(turned.buffer(1, join_style="mitre"), boxes))
            if not len(fits):
                continue
            far = np.hypot(x[fits] - goal.x, y[fits] - goal.y)
            nearest = int(fits[np.argmin(far)])
            at = _turned((float(x[nearest]), float(y[nearest])), angle)
            if best is None or float(far.min()) < best[0]:
                best = float(far.min()), angle + more, at
    if best is None:
        return BuildingRoom(placed, long, wide, margin, None, None)
    _, angle, at = best
    part = _rectangle(at, angle, long, wide)
    around = _rectangle(at, angle, long + 2 * margin, wide + 2 * margin)
    return BuildingRoom(placed, long, wide, margin, part, around)


def _part(placed: Placed) -> tuple[float, float]:
    """Return length and width of the longest part as it lies flat: that of its parcel, if known."""
    parcel = parcels().get(placed.kit.key)
    extent = placed.extent
    if parcel is not None:
        long, wide, _ = sorted(parcel.box(extent), reverse=True)
        return long, wide
    long, wide, _ = sorted((extent.width_mm, extent.depth_mm, extent.height_mm), reverse=True)
    return long, wide


def _angle(along: Corner) -> float:
    return math.degrees(math.atan2(along[1], along[0]))


def _turned(at: Corner, angle_deg: float) -> Corner:
    c, s = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    return at[0] * c - at[1] * s, at[0] * s + at[1] * c


def _rectangle(at: Corner, angle_deg: float, long: float, wide: float) -> tuple[Corner, ...]:
    made = []
    for sx, sy in ((-1, -1), (1, -1), (1, 1), (-1, 1)):
        dx, dy = _turned((sx * long / 2, sy * wide / 2), angle_deg)
        made.append((at[0] + dx, at[1] + dy))
    return tuple(made)
