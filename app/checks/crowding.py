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
Few = NDArray[np.int32]
"""Numbers of things: half as wide, for there may be millions of pairs."""
Floats = NDArray[np.float64]

PAIRS_AT_MOST = 30_000
"""Pairs of solids that one check measures: a hall of 3,000 pieces with two things wrong at each
has a third of that."""

ROWS_AT_LEAST = 200
"""No check ends before it has so many rows: more than anybody mends before looking again."""

ROWS_AT_MOST = 1000
"""Rows of one check: what a page can list and be sent in a moment."""

OWNERS_AT_A_TIME = 64
"""Things whose neighbours are asked for in one call: what they are near to fits into memory."""


def near_pairs(
    cores: Geometries, owners: Numbers, count: int, first: int = PAIRS_AT_MOST
) -> tuple[int, Iterator[tuple[Numbers, Numbers]]]:
    """Return how many pairs of owners have boxes that meet, and the pairs, deepest boxes first.

    The smaller number comes first in a pair. The pairs come in two parts, `first` of them and then
    all the others: there may be millions, and sorting what nobody looks at takes long. `owners`
    are in rising order; one of `count` and above is never the first of a pair. Of boxes that meet
    as deeply the pair with the smaller numbers comes first.
    """
    starts = np.flatnonzero(np.r_[True, np.diff(owners) != 0]) if len(owners) else owners
    names = owners[starts]
    bounds = shapely.bounds(cores)
    low = np.minimum.reduceat(bounds[:, :2], starts) if len(starts) else bounds[:, :2]
    high = np.maximum.reduceat(bounds[:, 2:], starts) if len(starts) else bounds[:, 2:]
    boxes: Geometries = np.asarray(shapely.box(*low.T, *high.T), dtype=object)
    tree = shapely.STRtree(boxes)
    pieces = np.flatnonzero(names < count)
    meetings = [_meeting(tree, boxes, low, high, some) for some in _some_at_a_time(pieces)]
    if not meetings:
        return 0, iter(())
    one, other = (np.concatenate([part[i] for part in meetings]) for i in (0, 1))
    deep = np.concatenate([part[2] for part in meetings])

    def in_order() -> Iterator[tuple[Numbers, Numbers]]:
        before = deepest(deep, one.astype(np.intp) * len(names) + other, first)
        for part in (before, ~before):
            a, b = one[part], other[part]
            order = np.lexsort((b, a, -deep[part]))
            yield names[a[order]], names[b[order]]

    return len(one), in_order()


def _some_at_a_time(pieces: Numbers) -> Iterator[Numbers]:
    for at in range(0, len(pieces), OWNERS_AT_A_TIME):
        yield pieces[at : at + OWNERS_AT_A_TIME]


def _meeting(
    tree: shapely.STRtree, boxes: Geometries, low: Floats, high: Floats, some: Numbers
) -> tuple[Few, Few, NDArray[np.float32]]:
    """Return pairs of some boxes and later ones that meet, and how deep they are in one another."""
    of, other = tree.query(boxes[some])
    one = some[of].astype(np.int32)
    other = other.astype(np.int32)
    keep = one < other
    one, other = one[keep], other[keep]
    across, along = (
        np.minimum(high[one, axis], high[other, axis])
        - np.maximum(low[one, axis], low[other, axis])
        for axis in (0, 1)
    )
    return one, other, np.minimum(across, along).astype(np.float32)


def deepest(deep: NDArray[np.floating], numbers: Numbers, count: int) -> NDArray[np.bool_]:
    """Return which are the `count` deepest; of those as deep the ones with the smaller numbers."""
    if len(deep) <= count:
        return np.ones(len(deep), dtype=np.bool_)
    least = np.partition(deep, len(deep) - count)[len(deep) - count]
    chosen: NDArray[np.bool_] = deep > least
    alike = np.flatnonzero(deep == least)
    wanted = count - int(chosen.sum())
    chosen[alike[np.argpartition(numbers[alike], wanted - 1)[:wanted]]] = True
    return chosen


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
