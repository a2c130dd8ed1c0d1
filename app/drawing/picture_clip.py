"""What outlines on the paper share, for thousands of pairs at one go, and how they are cut.

Nearly all faces of a picture are seen as four-sided: asked one by one, what each pair shares would
take most of the time that the picture takes. The one is clipped by the sides of the other, one side
after the other (Sutherland and Hodgman, Reentrant polygon clipping, 1974).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

Floats = NDArray[np.float64]
Stroke: TypeAlias = list[list[float]]
"""Both ends of a stroke on the paper."""
Outline: TypeAlias = "BaseGeometry | list[list[float]]"
"""An area on the paper, or the corners of one."""

SIDES = 4
SPECK_MM2 = 25.0
"""Areas on the paper smaller than this are rounding, or too small to be seen at any scale."""
ROUNDING_MM = 0.01
"""Outlines that reach into one another by less than this only touch."""
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


def meeting(one: Floats, other: Floats) -> NDArray[np.bool_]:
    """Return which pairs of convex quads (n, 4, 2) no side of either keeps apart, (n,).

    Quads that reach into one another by less than rounding are apart.
    """
    meet = np.arange(len(one))
    for turned in (False, True):
        these, those = (other[meet], one[meet]) if turned else (one[meet], other[meet])
        x, y = (np.ascontiguousarray(those[..., k].T) for k in (0, 1))
        here = np.ones(len(meet), dtype=bool)
        for i in range(SIDES):
            start = these[:, i]
            way = these[:, (i + 1) % SIDES] - start
            # how far the farthest of those corners lies to the left of this side: that is inside
            left = (way[:, 0] * (y - start[:, 1]) - way[:, 1] * (x - start[:, 0])).max(axis=0)
            here &= left > ROUNDING_MM * np.hypot(way[:, 0], way[:, 1])
        meet = meet[here]
    both = np.zeros(len(one), dtype=bool)
    both[meet] = True
    return both


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


def few_corners(shape: BaseGeometry) -> list[list[float]] | None:
    """Return the corners of an outline that has but a few and no holes, without the last again."""
    if not isinstance(shape, shapely.Polygon) or shape.interiors:
        return None
    xy: list[list[float]] = shapely.get_coordinates(shape).tolist()
    return xy[:-1] if len(xy) <= FEW_CORNERS else None


def cut_ring(
    ring: list[list[float]], edges: list[Stroke], gaps: Sequence[Sequence[float]]
) -> list[tuple[list[list[float]], list[Stroke]]] | None:
    """Cut a ring and the strokes on it by the lines on which gaps are nought, one after the other.

    As `halves` and `on_side` do, without an area made of each step. None where a cut leaves more
    than two pieces.
    """
    pieces = [(ring, edges)]
    for a, b, c in gaps:
        less = BESIDE_MM * math.hypot(b, c)
        cut: list[tuple[list[list[float]], list[Stroke]]] = []
        for corners, strokes in pieces:
            side = [a + b * x + c * y for x, y in corners]
            two = halved(corners, side)
            if two is None:
                return None
            for way, half in zip((1.0, -1.0), two, strict=True):
                if len(half) > 2 and _ring_area(half) >= SPECK_MM2:
                    some = _strokes_on(strokes, (way * a, way * b, way * c), less)
                    cut.append(([list(corner) for corner in half], some))
        pieces = cut
    return pieces


def outlined(outlines: Sequence[Outline]) -> NDArray[np.object_]:
    """Return outlines as areas: those given by their corners are made at one go."""
    areas = np.empty(len(outlines), dtype=object)
    rings = [(i, one) for i, one in enumerate(outlines) if isinstance(one, list)]
    for i, one in enumerate(outlines):
        if not isinstance(one, list):
            areas[i] = one
    if rings:
        of = np.repeat(np.arange(len(rings)), [len(ring) for _, ring in rings])
        corners = np.array([corner for _, ring in rings for corner in ring])
        made = shapely.polygons(shapely.linearrings(corners, indices=of))
        areas[[i for i, _ in rings]] = made
    return areas


def _ring_area(ring: Sequence[Sequence[float]]) -> float:
    # from a corner of it: far from the origin the products would lose what is small
    x0, y0 = ring[0]
    area, before = 0.0, ring[-1]
    for at in ring:
        area += (before[0] - x0) * (at[1] - y0) - (at[0] - x0) * (before[1] - y0)
        before = at
    return abs(area) / 2


def _strokes_on(
    strokes: list[Stroke], gap: tuple[float, float, float], less: float
) -> list[Stroke]:
    """Return strokes as far as they lie on the side where a gap is not less than nought."""
    a, b, c = gap
    some: list[Stroke] = []
    for stroke in strokes:
        (x0, y0), (x1, y1) = stroke
        start, end = a + b * x0 + c * y0 + less, a + b * x1 + c * y1 + less
        if start < 0 and end < 0:
            continue
        if start < 0 or end < 0:
            share = start / (start - end)
            met = [x0 + share * (x1 - x0), y0 + share * (y1 - y0)]
            some.append([met, [x1, y1]] if start < 0 else [[x0, y0], met])
        else:
            some.append(stroke)
    return some


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
