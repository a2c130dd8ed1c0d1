"""Straight rows of fittings where no even pattern hangs free: each moved along its row alone.

Rows and the places in them are found by dynamic programming over a grid: of all ways to hang so
many in so many straight rows, each of which holds as many as the others or one more, the one in
which they are moved least from where they would be even.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations, islice
from typing import TypeAlias

import numpy as np

from app.scene.tolerance import TOLERANCE_MM

Values: TypeAlias = np.ndarray[tuple[int, ...], np.dtype[np.float64]]
Numbers: TypeAlias = np.ndarray[tuple[int, ...], np.dtype[np.intp]]

CLOSEST = 0.6
"""How near to one another two rows, or two fittings of one, may come: a share of what is even."""
SHARED_MM = 600.0
"""How far a fitting is moved for hanging in line with those of the next row: half its length."""
ORDERS = 24
"""In how many orders fuller and emptier rows are tried: all of them up to four rows of six."""


@dataclass(frozen=True, slots=True)
class Grid:
    """Places for fittings: `along` each row and on which `lines` rows may lie, rising, in mm.

    `cost_mm`, (lines, along), is how many mm a fitting would rather be moved than hang there:
    infinite where none may.
    """

    along: Values
    lines: Values
    cost_mm: Values


def uneven(count: int, rows: int, long: float, wide: float) -> float:
    """Return how far the distance between rows is from that within them, as a logarithm."""
    return abs(math.log((wide / rows) / (long / math.ceil(count / rows))))


def even_middles(count: int, start: float, end: float) -> list[float]:
    """Return the middles of so many equal parts of a length."""
    return [start + (end - start) * (2 * i + 1) / (2 * count) for i in range(count)]


def straight_rows(
    grid: Grid,
    count: int,
    extent: tuple[float, float, float, float],
    size_mm: tuple[float, float],
    less_even: float,
) -> tuple[float, list[tuple[float, float]]]:
    """Return middles in straight rows, along and across each, and their cost; none for no such.

    `extent` is the room's least and greatest coordinate along and across the rows, `size_mm` that
    of a fitting. Rows are tried that are so much `less_even` at most than the evenest, as `uneven`
    tells it.
    """
    u0, u1, v0, v1 = extent
    long, wide = u1 - u0, v1 - v0
    between = math.sqrt(long * wide / count)
    gap = max(size_mm[0], between / 2)
    askew = {rows: uneven(count, rows, long, wide) for rows in range(1, count + 1)}
    best: tuple[float, list[tuple[float, float]]] = math.inf, []
    for rows in sorted(askew, key=lambda rows: askew[rows]):
        if askew[rows] > min(askew.values()) + less_even:
            break
        fewest, more = divmod(count, rows)
        ways = {
            size: _in_row(grid, size, u0, u1, gap)
            for size in ({fewest, fewest + 1} if more else {fewest})
        }
        apart = max(CLOSEST * wide / rows, between / 2, size_mm[1])
        middles = even_middles(rows, v0, v1)
        orders = [
            [fewest + (row in fuller) for row in range(rows)]
            for fuller in islice(combinations(range(rows), more), ORDERS)
        ]
        moved = np.array(
            [
                [
                    ways[size][0] + size * np.abs(grid.lines - middle)
                    for size, middle in zip(sizes, middles, strict=True)
                ]
                for sizes in orders
            ]
        )
        costs, lines = _one_each(moved.transpose(1, 0, 2), grid.lines, apart)
        first = int(np.argmin(costs))
        # what is twice as far apart one way as the other has each that much out of its place
        cost = float(costs[first]) + count * askew[rows] * between / 2
        if cost < best[0]:
            chosen = lines[first].tolist()
            best = cost, list(_spots(grid, chosen, orders[first], ways, extent, gap))
    return best


Ways: TypeAlias = dict[int, tuple[Values, Numbers]]
"""By how many hang in a row: what each line costs, and at which places they hang on it."""


def _in_row(
    grid: Grid, count: int, start: float, end: float, gap_mm: float
) -> tuple[Values, Numbers]:
    """Return for each line the least cost of so many in a row on it, and their places, by index."""
    gap = max(gap_mm, CLOSEST * (end - start) / count)
    ideal = even_middles(count, start, end)
    return _one_each(
        np.stack([grid.cost_mm + np.abs(grid.along - at) for at in ideal]), grid.along, gap
    )


def _one_each(costs: Values, at: Values, apart: float) -> tuple[Values, Numbers]:
    """Return the least cost of taking one place after the other, (many,), and which, by index.

    `costs` is (how many, many, places), the places (many, how many); two that follow one another
    lie so far `apart` at least.
    """
    nearest = np.searchsorted(at, at - apart + TOLERANCE_MM, side="right") - 1
    numbers = np.arange(len(at))
    total, came = costs[0], []
    for cost in costs[1:]:
        so_far = np.minimum.accumulate(total, axis=-1)
        best = np.maximum.accumulate(np.where(total == so_far, numbers, 0), axis=-1)
        came.append(np.where(nearest >= 0, best[:, nearest], 0))
        total = np.where(nearest >= 0, so_far[:, nearest], np.inf) + cost
    many = np.arange(len(total))
    places = [np.argmin(total, axis=-1)]
    least = total[many, places[0]]
    for step in reversed(came):
        places.append(step[many, places[-1]])
    return least, np.stack(places[::-1], axis=-1)


def _spots(
    grid: Grid,
    lines: Sequence[int],
    sizes: Sequence[int],
    ways: Ways,
    extent: tuple[float, float, float, float],
    gap_mm: float,
) -> Iterator[tuple[float, float]]:
    """Yield the middles; rows of as many share their places along them where that costs little."""
    start, end, _, _ = extent
    columns = np.zeros(0, dtype=np.intp)
    for size in sorted(set(sizes), reverse=True):
        alike = [line for line, held in zip(lines, sizes, strict=True) if held == size]
        mean = grid.cost_mm[alike].mean(axis=0)
        # fuller rows come first: what hangs in the others hangs in line with them
        in_line = np.isin(np.arange(len(mean)), columns) if columns.size else np.isfinite(mean)
        together = Grid(grid.along, grid.lines[:1], np.where(in_line, mean, np.inf)[None, :])
        cost, places = _in_row(together, size, start, end, gap_mm)
        apart = sum(ways[size][0][line] for line in alike)
        shared = cost[0] * len(alike) <= apart + SHARED_MM * size * len(alike)
        # that one of a row is hardly moved does not let another be moved the further
        shared = shared and all(
            float(np.abs(grid.along[places[0]] - grid.along[ways[size][1][line]]).max())
            <= SHARED_MM
            for line in alike
        )
        for line in alike:
            own = places[0] if shared else ways[size][1][line]
            columns = own if not columns.size else columns
            for place in own:
                yield float(grid.along[place]), float(grid.lines[line])
