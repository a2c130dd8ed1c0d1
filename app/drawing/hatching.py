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


def hatch(area: BaseGeometry, spacing_mm: float, turn_deg: float, ink: str) -> Strokes:
    """Return the strokes that fill an area, `spacing_mm` apart, at `turn_deg` clockwise to x."""
    if area.is_empty:
        return Strokes((), ink)
    angle = math.radians(turn_deg)
    along = np.array([math.cos(angle), math.sin(angle)])
    across = np.array([-along[1], along[0]])
    x0, y0, x1, y1 = area.bounds
    corners = np.array([[x0, y0], [x1, y0], [x1, y1], [x0, y1]])
    near, far = (corners @ across).min(), (corners @ across).max()
    # an area far larger than the spacing would fill a file with lines nobody can tell apart
    spacing = max(spacing_mm, (far - near) / _MOST)
    steps = np.arange(math.ceil(near / spacing), math.floor(far / spacing) + 1) * spacing
    left, right = (corners @ along).min() - 1, (corners @ along).max() + 1
    ends = np.stack(
        [
            steps[:, None] * across + left * along,
            steps[:, None] * across + right * along,
        ],
        axis=1,
    )
    if not len(ends):
        return Strokes((), ink)
    cut = shapely.get_parts(shapely.intersection(shapely.linestrings(ends), area))
    cut = cut[
        (shapely.get_type_id(cut) == shapely.GeometryType.LINESTRING) & ~shapely.is_empty(cut)
    ]
    xy, index = shapely.get_coordinates(cut, return_index=True)
    numbers = np.arange(len(cut))
    starts = xy[np.searchsorted(index, numbers)].tolist()
    stops = xy[np.searchsorted(index, numbers, side="right") - 1].tolist()
    lines: list[tuple[Point, Point]] = [
        ((ax, ay), (bx, by)) for (ax, ay), (bx, by) in zip(starts, stops, strict=True)
    ]
    return Strokes(tuple(lines), ink)
