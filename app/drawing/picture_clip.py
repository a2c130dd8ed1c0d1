"""What outlines on the paper share, for thousands of pairs at one go, and how they are cut.

Nearly all faces of a picture are seen as four-sided: asked one by one, what each pair shares would
take most of the time that the picture takes. The one is clipped by the sides of the other, one side
after the other (Sutherland and Hodgman, Reentrant polygon clipping, 1974).
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

Floats = NDArray[np.float64]

SIDES = 4
SPECK_MM2 = 25.0
"""Areas on the paper smaller than this are rounding, or too small to be seen at any scale."""
BESIDE_MM = 1.0
"""How far beside a face a stroke on its edge may run and still be its own."""
FEW_CORNERS = 12
"""Outlines with no more points than this are cut point by point: that is faster than asking."""


def quads_of(flats: NDArray[np.object_]) -> tuple[Floats, NDArray[np.bool_]]:
    """Return the corners (n, 4, 2) of outlines, and which of them are convex and four-sided.

    Corners run so that what is inside lies to the left in numbers; of others they mean nothing.
    """
    ring, of = shapely.get_coordinates(flats, return_index=True)
    count = np.bincount(of, minlength=len(flats))
    one_ring = (shapely.get_type_id(flats) == shapely.GeometryType.POLYGON) & (count == SIDES + 1)
    corners = np.zeros((len(flats), SIDES, 2))
    corners[one_ring] = ring[one_ring[of]].reshape(-1, SIDES + 1, 2)[:, :SIDES]
    along = np.roll(corners, -1, axis=1) - corners
    turn = _cross(along, np.roll(along, -1, axis=1))
    clockwise = turn.sum(axis=1) < 0
    corners[clockwise] = corners[clockwise, ::-1]
    convex = (turn >= 0).all(axis=1) | (turn <= 0).all(axis=1)
    sides = (along != 0).any(axis=2).all(axis=1)
    return corners, one_ring & convex & sides & (turn != 0).any(axis=1)


def shared(one: Floats, other: Floats) -> tuple[Floats, NDArray[np.bool_]]:
    """Return the corners (n, m, 2) of what pairs of convex quads (n, 4, 2) share.

    The second tells which of the m corners there are; the others of a row repeat one of these,
    so that neither least, greatest nor area changes by them. A row without any shares nothing.
    """
    corners, there = one, np.ones(one.shape[:2], dtype=bool)
    for i in range(SIDES):
        start = other[:, i, None]
        way = other[:, (i + 1) % SIDES, None] - start
        corners, there = _clipped(corners, there, _cross(way, corners - start))
    return corners, there


def parted(corners: Floats, there: NDArray[np.bool_], side: Floats) -> tuple[Floats, Floats]:
    """Return the areas of what of rings lies where `side` (n, m) is more than nought, and less."""
    return area_of(_clipped(corners, there, side)[0]), area_of(_clipped(corners, there, -side)[0])


def halved(
    ring: Sequence[Sequence[float]], side: Sequence[float]
) -> tuple[list[Sequence[float]], list[Sequence[float]]] | None:
    """Cut one ring where `side` changes its sign: what is not negative, what is not positive.

    None where it does so more than twice: such a ring may fall into more than two pieces.
    """
    more: list[Sequence[float]] = []
    less: list[Sequence[float]] = []
    changes = 0
    for i, (at, here) in enumerate(zip(ring, side, strict=True)):
        before, there = ring[i - 1], side[i - 1]
        if (here > 0 > there) or (here < 0 < there):
            share = there / (there - here)
            met = [a + (b - a) * share for a, b in zip(before, at, strict=True)]
            more.append(met)
            less.append(met)
        changes += (here >= 0) != (there >= 0)
        if here >= 0:
            more.append(at)
        if here <= 0:
            less.append(at)
    return (more, less) if changes <= 2 else None


def halves(shape: BaseGeometry, gap: Floats) -> tuple[BaseGeometry | None, BaseGeometry | None]:
    """Cut an area by the line on which a gap is nought: where it is more, where it is less.

    A side that is no more than a speck is None.
    """
    steep = float(np.hypot(gap[1], gap[2]))
    if steep == 0:
        return (shape, None) if gap[0] > 0 else (None, shape)
    xy = shapely.get_coordinates(shape)
    if isinstance(shape, shapely.Polygon) and not shape.interiors and len(xy) <= FEW_CORNERS:
        two = halved(xy[:-1].tolist(), (gap[0] + xy[:-1] @ gap[1:]).tolist())
        if two is not None:
            some = [shapely.Polygon(ring) if len(ring) > 2 else None for ring in two]
            more, less = (one if one and one.area >= SPECK_MM2 else None for one in some)
            return more, less
    out = gap[1:] / steep
    on = -out * (gap[0] / steep)
    along = np.array([-out[1], out[0]])
    far = float(np.abs(xy).max() + np.abs(on).max()) * 4 + 1
    rings = [
        [on - along * far, on + along * far, on + (along + way) * far, on + (way - along) * far]
        for way in (out, -out)
    ]
    halves = np.array(shapely.polygons(np.array(rings)), dtype=object)
    sides = np.array(shapely.intersection(shape, halves), dtype=object)
    one, other = (side if side.area >= SPECK_MM2 else None for side in sides)
    return one, other


def on_side(edges: Floats, gap: Floats) -> Floats:
    """Return strokes (n, 2, 2) as far as a gap is not less than nought on them, or a little so."""
    side = gap[0] + edges @ gap[1:] + BESIDE_MM * float(np.hypot(gap[1], gap[2]))
    out: NDArray[np.bool_] = np.asarray(side < 0)
    both = ~out.all(axis=1)
    edges, side, out = edges[both], side[both], out[both]
    cut = np.flatnonzero(out.any(axis=1))
    if len(cut):
        share = side[cut, 0] / (side[cut, 0] - side[cut, 1])
        met = edges[cut, 0] + share[:, None] * (edges[cut, 1] - edges[cut, 0])
        edges = edges.copy()
        edges[cut, np.argmax(out[cut], axis=1)] = met
    return edges


def area_of(corners: Floats) -> Floats:
    """Return the areas (n,) of rings (n, m, 2); corners that repeat the one before add nothing."""
    # from a corner of each: far from the origin the products would lose what is small
    xy = corners - corners[:, :1]
    area: Floats = np.abs(_cross(xy, np.roll(xy, -1, axis=1)).sum(axis=1)) / 2
    return area


def _clipped(
    corners: Floats, there: NDArray[np.bool_], side: Floats
) -> tuple[Floats, NDArray[np.bool_]]:
    """Keep of rings what lies where `side` (n, m) is not negative: each side gives up to two."""
    before, side_before = np.roll(corners, 1, axis=1), np.roll(side, 1, axis=1)
    inside = side >= 0
    crosses = inside != (side_before >= 0)
    with np.errstate(divide="ignore", invalid="ignore"):
        share = np.where(crosses, side_before / (side_before - side), 0.0)
    met = before + (corners - before) * share[..., None]
    count, most = corners.shape[0], corners.shape[1] * 2
    made = np.stack([met, corners], axis=2).reshape(count, most, 2)
    stays = np.stack([crosses, inside], axis=2).reshape(count, most)
    # what is kept comes first, in its order; the rest repeats the first of it
    order = np.argsort(~stays, axis=1, kind="stable")
    widest = max(int(stays.sum(axis=1).max(initial=0)), 1)
    order = order[:, :widest]
    made = np.take_along_axis(made, order[..., None], axis=1)
    stays = np.take_along_axis(stays, order, axis=1)
    any_there: NDArray[np.bool_] = np.logical_or.reduce(there, axis=1)
    return np.where(stays[..., None], made, made[:, :1]), stays & any_there[:, None]


def _cross(one: Floats, other: Floats) -> Floats:
    product: Floats = one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0]
    return product
