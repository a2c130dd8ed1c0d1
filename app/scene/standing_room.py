"""Where a thing is stood up: the greatest clear height over a square of floor, wherever it lies.

Middles of squares that lie in the room and meet nothing lower than a height are what is left of the
room when its outline and all that hangs lower, each grown by the square, are taken off (Lozano-
Perez, Spatial planning: a configuration space approach, IEEE Transactions on Computers 32, 1983).
The height is then found by halving.
"""

from __future__ import annotations

import math
from bisect import bisect_left

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from app.scene.overhead import Above, Overhead, lower_part
from app.scene.room import RoomShape
from app.scene.tolerance import TOLERANCE_MM

FINE_MM = TOLERANCE_MM / 8
"""How near the halving comes: far below what is told, a whole millimetre."""

Floats = NDArray[np.float64]


def highest_over_square_mm(room: RoomShape, side_mm: float) -> float:
    """Return the greatest clear height in mm over any square of floor, doors shut.

    The squares lie along the longest wall. Where none of this side lies in the room, it is that
    over the whole floor.
    """
    square = _along_longest_wall(room, side_mm - TOLERANCE_MM)
    middles = room.grown.difference(_met_at_edges(room.grown, square))
    overhead = room.shut
    if middles.is_empty:
        whole = np.array([room.free.buffer(-TOLERANCE_MM, join_style="mitre")], dtype=object)
        return float(overhead.clear(whole)[0][0])

    def stands(height: float) -> bool:
        return not _left(middles, overhead, height, square).is_empty

    # most ceilings are level: then it is one of their heights, and exactly so
    levels = sorted({end for item in overhead.items for end in _ends(item)})
    first = bisect_left(levels, True, key=lambda level: not stands(level))
    if first == len(levels):
        return levels[-1]
    low, high = levels[first - 1], levels[first]
    if not any(_slopes(item) for item in overhead.items):
        return low
    while high - low > FINE_MM:
        middle = (low + high) / 2
        low, high = (middle, high) if stands(middle) else (low, middle)
    return low


def _along_longest_wall(room: RoomShape, side_mm: float) -> Floats:
    """Return the corners, (4, 2), of a square about the origin."""
    longest = max(room.walls, key=lambda wall: round(math.dist(wall.start, wall.end)))
    ax, ay = (part * side_mm / 2 for part in longest.along)
    return np.array(
        [(ax - ay, ay + ax), (-ax - ay, ax - ay), (ay - ax, -ax - ay), (ax + ay, ay - ax)]
    )


def _slopes(item: Above) -> bool:
    return item.coefficients[1:] != (0, 0)


def _ends(item: Above) -> tuple[float, float]:
    heights = item.heights(item.polygon)
    return float(heights.min()), float(heights.max())


def _left(middles: BaseGeometry, overhead: Overhead, height: float, square: Floats) -> BaseGeometry:
    """Return those middles of squares over which everything is at least so high."""
    low = [
        shapely.union(part, _met_at_edges(part, square))
        for item in overhead.items
        for part in shapely.get_parts(lower_part(item, height))
        if isinstance(part, Polygon) and not part.is_empty
    ]
    return middles.difference(shapely.union_all(low)) if low else middles


def _met_at_edges(shape: Polygon, square: Floats) -> BaseGeometry:
    """Return where the middles of squares are that meet an edge: each stretch grown by one."""
    stretches = []
    for ring in (shape.exterior, *shape.interiors):
        xy = shapely.get_coordinates(ring)
        ends = np.stack([xy[:-1], xy[1:]], axis=1)
        corners = ends[:, :, None, :] + square[None, None, :, :]
        stretches.append(corners.reshape(len(ends), -1, 2))
    return shapely.union_all(shapely.convex_hull(shapely.multipoints(np.concatenate(stretches))))
