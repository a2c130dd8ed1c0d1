"""Hatching as real strokes, so that print keeps them crisp at any size.

The lines lie on one grid over the whole room: where two hatched areas overlap the lines meet and
nothing grows darker.
"""

from __future__ import annotations

import math

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from app.drawing.primitives import Point, Strokes

_MOST = 4000
_SHORTEST_MM = 1e-6
"""A stroke shorter than this is a line that only meets a corner, and rounding."""


def hatch(area: BaseGeometry, spacing_mm: float, turn_deg: float, ink: str) -> Strokes:
    """Return the strokes that fill an area, `spacing_mm` apart, at `turn_deg` clockwise to x."""
    if area.is_empty:
        return Strokes((), ink)
    angle = math.radians(turn_deg)
    along = np.array([math.cos(angle), math.sin(angle)])
    across = np.array([-along[1], along[0]])
    x0, y0, x1, y1 = area.bounds
    corners = np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])
    # an area far larger than the spacing would fill a file with lines nobody can tell apart
    spacing = max(spacing_mm, float(np.ptp(corners @ across)) / _MOST)
    parts = shapely.get_parts(area)
    xy, ring = shapely.get_coordinates(
        shapely.get_rings(parts[shapely.get_type_id(parts) == shapely.GeometryType.POLYGON]),
        return_index=True,
    )
    side = ring[:-1] == ring[1:]
    u, v = xy @ along, (xy @ across) / spacing
    u0, v0, u1, v1 = u[:-1][side], v[:-1][side], u[1:][side], v[1:][side]
    # every side is met by the lines from its lower end on and short of its upper one, so that a
    # corner counts once where a line runs in and out: inside is between the odd and the even
    first = np.ceil(np.minimum(v0, v1)).astype(np.intp)
    count = np.ceil(np.maximum(v0, v1)).astype(np.intp) - first
    of_side = np.repeat(np.arange(len(count)), count)
    number = np.arange(len(of_side)) - np.repeat(np.cumsum(count) - count, count) + first[of_side]
    share = (number - v0[of_side]) / (v1 - v0)[of_side]
    met = u0[of_side] + (u1 - u0)[of_side] * share
    order = np.lexsort((met, number))
    points = met[order, None] * along + (number[order, None] * spacing) * across
    pairs = points.reshape(-1, 4)[np.diff(met[order].reshape(-1, 2))[:, 0] > _SHORTEST_MM]
    lines: list[tuple[Point, Point]] = [((ax, ay), (bx, by)) for ax, ay, bx, by in pairs.tolist()]
    return Strokes(tuple(lines), ink)
