"""Limits where everything stands in one place: how many pairs are looked at, and what is said then.

The pairs of things grow with the square of their number. The limits are counts of pairs and of
rows, never a time, so that a plan gets the same verdict on every machine. What was not looked at
is a `stop` of its own: nobody may read that nothing is wrong where not everything was judged.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray

from app.checks.snag import Snag
from app.scene.tolerance import Geometries

Numbers = NDArray[np.intp]

PAIRS_AT_MOST = 30_000
"""Pairs of solids that one check measures: a hall of 3,000 pieces with two things wrong at each
has a third of that."""

ROWS_AT_LEAST = 200
"""No check ends before it has so many rows: more than anybody mends before looking again."""

ROWS_AT_MOST = 1000
"""Rows of one check: what a page can list and be sent in a moment."""

OWNERS_AT_A_TIME = 64
"""Things whose neighbours are asked for in one call: what they are near to fits into memory."""


def near_pairs(cores: Geometries, owners: Numbers, count: int) -> tuple[Numbers, Numbers]:
    """Return the pairs of owners whose boxes meet, the smaller number first, deepest boxes first.

    `owners` are in rising order; one of `count` and above is never the first of a pair. Of boxes
    that meet as deeply the pair with the smaller numbers comes first.
    """
    starts = np.flatnonzero(np.r_[True, np.diff(owners) != 0]) if len(owners) else owners
    names = owners[starts]
    bounds = shapely.bounds(cores)
    low = np.minimum.reduceat(bounds[:, :2], starts) if len(starts) else bounds[:, :2]
    high = np.maximum.reduceat(bounds[:, 2:], starts) if len(starts) else bounds[:, 2:]
    boxes: Geometries = np.asarray(shapely.box(*low.T, *high.T), dtype=object)
    tree = shapely.STRtree(boxes)
    pieces = np.flatnonzero(names < count)
    found: list[tuple[Numbers, Numbers, NDArray[np.float32]]] = []
    for at in range(0, len(pieces), OWNERS_AT_A_TIME):
        some = pieces[at : at + OWNERS_AT_A_TIME]
        of, other = tree.query(boxes[some])
        one, other = some[of].astype(np.int32), other.astype(np.int32)
        keep = one < other
        one, other = one[keep], other[keep]
        sides = np.minimum(high[one], high[other]) - np.maximum(low[one], low[other])
        found.append((one, other, sides.min(axis=1).astype(np.float32)))
    if not found:
        return owners[:0], owners[:0]
    one, other = (np.concatenate([part[i] for part in found]) for i in (0, 1))
    deep = np.concatenate([part[2] for part in found])
    order = np.lexsort((other, one, -deep))
    return names[one[order]], names[other[order]]


def parts_of_pairs(owners: Numbers, one: Numbers, other: Numbers) -> tuple[Numbers, Numbers]:
    """Return every part of the first with every part of the second, for pairs of owners."""
    first, last = np.searchsorted(owners, one), np.searchsorted(owners, one, side="right")
    start, end = np.searchsorted(owners, other), np.searchsorted(owners, other, side="right")
    across = end - start
    counts = (last - first) * across
    which = np.repeat(np.arange(len(one)), counts)
    number = np.arange(int(counts.sum())) - np.repeat(np.cumsum(counts) - counts, counts)
    return first[which] + number // across[which], start[which] + number % across[which]


def not_looked_at(code: str, what: str, count: int) -> Iterator[Snag]:
    """Yield the stop that says how many pairs were not looked at, if there are any."""
    if count:
        yield Snag(
            code=code,
            severity="stop",
            template="{} more pairs not looked at: {}. Nothing here says that they are well; "
            "take the things apart first.",
            values=(f"{count:,}", what),
            names=("too much in one place",),
            measured=count,
            unit="pairs",
        )
