"""What a figure must know of where it will be shown, and the heights it wants to be lettered."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from app.drawing.primitives import Point, Polygon, Region
from app.units import Units


@dataclass(frozen=True, slots=True)
class Medium:
    """How large lettering is in mm of the room, in which units, and how areas are hatched.

    With `strokes` hatching is drawn as real lines (paper), else patterns of the page fill it. With
    `bounds_only` only how far a figure reaches is wanted, and nothing is hatched.
    """

    em_mm: float
    units: Units
    strokes: bool
    bounds_only: bool = False


@dataclass(frozen=True, slots=True)
class Level:
    """A height in words, and where in the room it is true: a point, a line or an area."""

    words: str
    where: BaseGeometry


def rings_of(area: BaseGeometry) -> tuple[tuple[Point, ...], ...]:
    """Return every ring of an area, holes too, without the point that closes it."""
    if isinstance(area, shapely.Polygon) and not area.interiors:
        # nearly all there is, and taken apart much faster than what has holes
        xy = shapely.get_coordinates(area).tolist()
        return (tuple([(x, y) for x, y in xy[:-1]]),) if xy else ()
    rings: list[tuple[Point, ...]] = []
    for part in shapely.get_parts(area):
        if isinstance(part, shapely.Polygon) and not part.is_empty:
            for ring in (part.exterior, *part.interiors):
                rings.append(tuple((x, y) for x, y in ring.coords[:-1]))
    return tuple(rings)


def rings_of_each(areas: Sequence[BaseGeometry]) -> list[tuple[tuple[Point, ...], ...]]:
    """Return the rings of each area, as `rings_of` does, those without holes at one go."""
    several = np.array([*areas], dtype=object)
    # what is no polygon has no holes either, and is taken apart by itself
    plain = (shapely.get_type_id(several) == shapely.GeometryType.POLYGON) & (
        shapely.get_num_interior_rings(several) == 0
    )
    xs, ys = shapely.get_coordinates(several[plain]).T.tolist()
    points = list(zip(xs, ys, strict=True))
    counts = shapely.get_num_coordinates(several).tolist()
    rings: list[tuple[tuple[Point, ...], ...]] = []
    at = 0
    for area, count, simple in zip(areas, counts, plain.tolist(), strict=True):
        if simple and count:
            rings.append((tuple(points[at : at + count - 1]),))
            at += count
        else:
            rings.append(rings_of(area))
    return rings


def region(area: BaseGeometry, ink: str, fill: str = "") -> Polygon | Region:
    """Return an area as the plainest primitive that can show it."""
    rings = rings_of(area)
    return Polygon(rings[0], ink, fill) if len(rings) == 1 else Region(rings, ink, fill)
