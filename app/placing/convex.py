"""Convex polygons and their sums: where one thing meets another, as places of one of them.

A thing that moves meets one that stands where its middle lies in the sum of the standing outline
and the moving one turned by half a turn. Of convex outlines that sum is found by merging their
sides by direction; any outline is the union of convex ones, so its sums are unions too.
"""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from app.scene.tolerance import Geometries

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Ring = Floats
"""Corners of a convex polygon against the clock, (k, 2) in mm; the first is not repeated."""

GROWN_MM = 0.015
"""Forbidden places are grown by so much, that rounding errs on the refusing side: places in a plan
are told to a hundredth of a mm, those of two pieces in two stations are off by 0.014 at most."""
_FLAT = 1e-9
"""Share of its hull by which a convex polygon may be smaller: rounding of its area."""


def rings(shape: BaseGeometry) -> list[Ring]:
    """Return convex polygons whose union is a shape; what has no area is left out."""
    made: list[Ring] = []
    for part in shapely.get_parts(shape):
        if not isinstance(part, Polygon) or part.is_empty:
            continue
        if _is_convex(part):
            made.append(_ring(part))
        else:
            triangles = shapely.get_parts(shapely.constrained_delaunay_triangles(part))
            made += [_ring(one) for one in _joined(list(triangles))]
    return made


def _is_convex(polygon: Polygon) -> bool:
    hull = polygon.convex_hull.area
    return not polygon.interiors and hull - polygon.area <= _FLAT * hull


def _ring(polygon: Polygon) -> Ring:
    hull = shapely.orient_polygons(polygon.convex_hull)
    return shapely.get_coordinates(hull)[:-1]


def _joined(parts: list[Polygon]) -> list[Polygon]:
    """Join triangles to larger convex polygons while any two make one."""
    done: list[Polygon] = []
    while parts:
        one = parts.pop()
        for i, other in enumerate(parts):
            both = one.union(other)
            if isinstance(both, Polygon) and _is_convex(both):
                parts[i] = both
                break
        else:
            done.append(one)
    return done


def turned(ring: Ring, angle_deg: float) -> Ring:
    """Turn points about the origin, clockwise as drawn."""
    cos, sin = math.cos(math.radians(angle_deg)), math.sin(math.radians(angle_deg))
    result: Ring = ring @ np.array([[cos, sin], [-sin, cos]])
    return result


def turned_shape(shape: BaseGeometry, angle_deg: float) -> BaseGeometry:
    """Turn a shape about the origin, clockwise as drawn."""
    if not angle_deg:
        return shape
    result: BaseGeometry = shapely.transform(shape, lambda xy: turned(xy, angle_deg))
    return result


def moved_shape(shape: BaseGeometry, x: float, y: float) -> BaseGeometry:
    """Move a shape by so many mm."""
    result: BaseGeometry = shapely.transform(shape, lambda xy: xy + np.array((x, y)))
    return result


def mirrored(shape: BaseGeometry) -> BaseGeometry:
    """Turn a shape about the origin by half a turn: seen from the other of two things."""
    result: BaseGeometry = shapely.transform(shape, np.negative)
    return result


def meeting(standing: list[Ring], moving: list[Ring], of: Ints, by: Ints) -> Geometries:
    """Return where things meet: polygons, one for each pair `standing[of[i]]`, `moving[by[i]]`.

    A polygon holds the places of the moving thing's origin at which the two have a point in common.
    """
    made: Geometries = np.empty(len(of), dtype=object)
    if not len(of):
        return made
    sides_a = np.array([len(ring) for ring in standing])
    sides_b = np.array([len(ring) for ring in moving])
    from_a = [_from_lowest(ring) for ring in standing]
    from_b = [_from_lowest(-ring) for ring in moving]
    kinds = sides_a[of] * (sides_b.max() + 1) + sides_b[by]
    for kind in np.unique(kinds):
        mine = np.flatnonzero(kinds == kind)
        a = np.stack([from_a[i] for i in of[mine]])
        b = np.stack([from_b[i] for i in by[mine]])
        made[mine] = shapely.polygons(_merged(a, b))
    return made


def _from_lowest(ring: Ring) -> Ring:
    start = int(np.lexsort((ring[:, 0], ring[:, 1]))[0])
    return np.concatenate((ring[start:], ring[:start]))


def _merged(a: Floats, b: Floats) -> Floats:
    """Add convex polygons pair by pair: their sides, sorted by direction, one after another.

    Both begin at their lowest corner, (n, k, 2) and (n, m, 2); so does the sum, (n, k + m, 2).
    """
    sides = np.concatenate(
        [np.roll(a, -1, axis=1) - a, np.roll(b, -1, axis=1) - b], axis=1, dtype=np.float64
    )
    ways = np.mod(np.arctan2(sides[..., 1], sides[..., 0]), 2 * math.pi)
    order = np.argsort(ways, axis=1, kind="stable")
    sides = np.take_along_axis(sides, order[..., None], axis=1)
    corners = np.cumsum(sides, axis=1) - sides
    return corners + (a[:, :1] + b[:, :1])


def united(polygons: list[BaseGeometry] | Geometries) -> BaseGeometry:
    """Return the union of polygons, grown by what rounding may lose."""
    if not len(polygons):
        return Polygon()
    union: BaseGeometry = shapely.union_all(np.asarray(polygons, dtype=object))
    return grown(union, GROWN_MM)


def grown(shape: BaseGeometry, by_mm: float) -> BaseGeometry:
    """Return a shape with its sides moved outwards, its corners kept."""
    # where two sides are all but in one line their mitre is looked for far off or nowhere, and then
    # left out
    with np.errstate(divide="ignore", invalid="ignore"):
        result: BaseGeometry = shapely.buffer(shape, by_mm, join_style="mitre")
    return result


def below(ring: Ring, coefficients: tuple[float, float, float], height_mm: float) -> Ring | None:
    """Return the part of a convex polygon over which a + b x + c y is less than a height."""
    a, b, c = coefficients
    over = a + b * ring[:, 0] + c * ring[:, 1] - height_mm
    if (over < 0).all():
        return ring
    if (over >= 0).all():
        return None
    corners: list[Floats] = []
    for i in range(len(ring)):
        j = (i + 1) % len(ring)
        if over[i] < 0:
            corners.append(ring[i])
        if (over[i] < 0) != (over[j] < 0):
            share = over[i] / (over[i] - over[j])
            corners.append(ring[i] + share * (ring[j] - ring[i]))
    return np.array(corners) if len(corners) > 2 else None
