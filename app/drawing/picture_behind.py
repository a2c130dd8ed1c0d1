"""Which of two faces of a picture lies behind the other, for thousands of pairs at one go."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from app.drawing.picture_clip import (
    SPECK_MM2,
    area_of,
    halves,
    meeting,
    parted,
    quads_of,
    shared,
)

Floats = NDArray[np.float64]
Pairs = NDArray[np.intp]
Bools = NDArray[np.bool_]

NEARER_MM = 0.5
"""How much nearer a face must be to hide another: faces that touch hide nothing of each other."""


def overlap(areas: NDArray[np.object_], one: Pairs, other: Pairs) -> Bools:
    """Return which pairs of areas share more than rounding, (n,)."""
    quads, four_sided = quads_of(areas)
    plain = four_sided[one] & four_sided[other]
    real = np.zeros(len(one), dtype=bool)
    real[plain] = meeting(quads[one[plain]], quads[other[plain]])
    common = shapely.intersection(areas[one[~plain]], areas[other[~plain]])
    real[~plain] = shapely.area(common) >= SPECK_MM2
    return real


def sided(areas: NDArray[np.object_], gap: Floats, one: Pairs, other: Pairs) -> tuple[Bools, Bools]:
    """Return which pairs of areas share more than a speck, and where the second is nearer, (n,).

    They are cut where they meet: `gap` (n, 3) has one sign over what a pair shares, but for
    rounding.
    """
    quads, four_sided = quads_of(areas)
    plain = four_sided[one] & four_sided[other]
    real, nearer = np.zeros(len(one), dtype=bool), np.zeros(len(one), dtype=bool)
    corners, there = shared(quads[one[plain]], quads[other[plain]])
    real[plain] = there.any(axis=1) & (area_of(corners) >= SPECK_MM2)
    by = gap[plain, 0, None] + (gap[plain, None, 1:] * corners).sum(axis=2)
    nearer[plain] = by.max(axis=1, initial=-np.inf) + by.min(axis=1, initial=np.inf) > 0
    common = shapely.intersection(areas[one[~plain]], areas[other[~plain]])
    real[~plain] = shapely.area(common) >= SPECK_MM2
    at = np.zeros((len(common), 2))
    some = ~shapely.is_empty(common)
    at[some] = shapely.get_coordinates(shapely.point_on_surface(common[some]))
    nearer[~plain] = gap[~plain, 0] + (gap[~plain, 1:] * at).sum(axis=1) > 0
    return real, nearer


def related(
    flats: NDArray[np.object_], planes: Floats, one: Pairs, other: Pairs
) -> tuple[Pairs, Pairs]:
    """Return which pairs lie one behind the other, the first behind, and which cross."""
    gap = planes[other] - planes[one]
    # where neither is nearer within both boxes, the pair is settled without geometry
    low, high = _range(gap, flats, one, other)
    some = np.flatnonzero((low < -NEARER_MM) | (high > NEARER_MM))
    quads, four_sided = quads_of(flats)
    plain = four_sided[one[some]] & four_sided[other[some]]
    four, others = some[plain], some[~plain]
    four = four[meeting(quads[one[four]], quads[other[four]])]
    others = others[_touching(flats, one[others], other[others])]
    # where one is nearer all over both boxes, it is so over whatever they share
    clear = (low > NEARER_MM) | (high < -NEARER_MM)
    told = np.concatenate([four[clear[four]], others[clear[others]]])
    several = [
        (told, high[told] > NEARER_MM, low[told] < -NEARER_MM),
        _nearer_by_corners(quads, gap, one, other, four[~clear[four]]),
        _nearer_by_areas(flats, gap, one, other, others[~clear[others]]),
    ]
    some, near, far = (np.concatenate(each) for each in zip(*several, strict=True))
    pairs = np.column_stack([one[some], other[some]])
    behind = np.concatenate([pairs[near & ~far], pairs[far & ~near][:, ::-1]])
    return behind, pairs[near & far]


def _nearer_by_corners(
    quads: Floats, gap: Floats, one: Pairs, other: Pairs, some: Pairs
) -> tuple[Pairs, Bools, Bools]:
    """Return which pairs share more than a speck, and whether the second is nearer, or farther.

    `some` are pairs that meet. They are asked at the corners of what they share: between them it is
    neither more nor less.
    """
    corners, there = shared(quads[one[some]], quads[other[some]])
    real = there.any(axis=1) & (area_of(corners) >= SPECK_MM2)
    some, corners = some[real], corners[real]
    by = gap[some, 0, None] + (gap[some, None, 1:] * corners).sum(axis=2)
    near, far = by.max(axis=1, initial=0) > NEARER_MM, by.min(axis=1, initial=0) < -NEARER_MM
    both = np.flatnonzero(near & far)
    nearer, farther = parted(corners[both], there[real][both], by[both])
    near[both], far[both] = nearer >= SPECK_MM2, farther >= SPECK_MM2
    return some, near, far


def _nearer_by_areas(
    flats: NDArray[np.object_], gap: Floats, one: Pairs, other: Pairs, some: Pairs
) -> tuple[Pairs, Bools, Bools]:
    """Return the same of pairs of any outline."""
    common = shapely.intersection(flats[one[some]], flats[other[some]])
    real = shapely.area(common) >= SPECK_MM2
    some, common = some[real], common[real]
    if not len(some):
        return some, np.empty(0, dtype=bool), np.empty(0, dtype=bool)
    xy, of = shapely.get_coordinates(common, return_index=True)
    by = gap[some][of, 0] + (gap[some][of, 1:] * xy).sum(axis=1)
    starts = np.searchsorted(of, np.arange(len(some)))
    near = np.maximum.reduceat(by, starts) > NEARER_MM
    far = np.minimum.reduceat(by, starts) < -NEARER_MM
    for k in np.flatnonzero(near & far):
        near[k], far[k] = (side is not None for side in halves(common[k], gap[some[k]]))
    return some, near, far


def _touching(flats: NDArray[np.object_], one: Pairs, other: Pairs) -> Bools:
    """Return which pairs of outlines have a point in common, (n,): those of many corners ready."""
    corners = shapely.get_num_coordinates(flats)
    swap = corners[one] < corners[other]
    many, few = np.where(swap, other, one), np.where(swap, one, other)
    numbers, at = np.unique(many, return_inverse=True)
    # copies of their own: two threads must not prepare one polygon at the same time
    ready = np.array(shapely.from_wkb(shapely.to_wkb(flats[numbers])), dtype=object)
    shapely.prepare(ready)
    touching: Bools = shapely.intersects(ready[at], flats[few])
    return touching


def _range(
    gap: Floats, flats: NDArray[np.object_], one: Pairs, other: Pairs
) -> tuple[Floats, Floats]:
    """Return the least and greatest of how much nearer the second is, over their common box."""
    boxes = shapely.bounds(flats)
    low = np.maximum(boxes[one][:, :2], boxes[other][:, :2])
    high = np.minimum(boxes[one][:, 2:], boxes[other][:, 2:])
    ends = gap[:, 1:, None] * np.stack([low, high], axis=2)
    least = gap[:, 0] + ends.min(axis=2).sum(axis=1)
    most = gap[:, 0] + ends.max(axis=2).sum(axis=1)
    return least, most
