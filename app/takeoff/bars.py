"""Bars before and after the search: what is to be cut, a first plan, what is cut too much."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from app.takeoff.patterns import Counts


@dataclass(frozen=True, slots=True)
class Task:
    """Everything in whole steps, the kerf added; `costs` of the stocks share no divisor."""

    lengths: tuple[int, ...]
    wanted: tuple[int, ...]
    stocks: tuple[int, ...]
    costs: tuple[int, ...]


Column = tuple[int, Counts]
"""The number of a stock length and what is cut from it."""


def least_by_length(task: Task) -> int:
    """Return what no plan can cost less than: all lengths from the stock that is cheapest by it."""
    net = sum(length * count for length, count in zip(task.lengths, task.wanted, strict=True))
    pairs = zip(task.stocks, task.costs, strict=True)
    return max(min(-(-net * cost // stock) for stock, cost in pairs), 1)


def cost_of(task: Task, used: Mapping[Column, int]) -> int:
    """Return what the columns used cost together."""
    return sum(times * task.costs[k] for (k, _), times in used.items())


def singles(task: Task) -> list[Column]:
    """One pattern for each length: as many as fit of it alone, from each stock."""
    count = len(task.lengths)
    return [
        (k, tuple(stock // length if j == i else 0 for j in range(count)))
        for k, stock in enumerate(task.stocks)
        for i, length in enumerate(task.lengths)
        if length <= stock
    ]


def first_fit(task: Task) -> dict[Column, int]:
    """Fill bar after bar, longest pieces first, for each stock alone; give the cheapest."""
    plans = []
    for k, stock in enumerate(task.stocks):
        if task.lengths[0] > stock:
            continue
        left = list(task.wanted)
        used: dict[Column, int] = {}
        while any(left):
            room, counts = stock, []
            for length, count in zip(task.lengths, left, strict=True):
                counts.append(min(count, room // length))
                room -= counts[-1] * length
            # The same bar again and again until one of its lengths runs out: a thousand pieces take
            # as many steps as there are lengths.
            times = min(have // c for have, c in zip(left, counts, strict=True) if c)
            left = [have - times * c for have, c in zip(left, counts, strict=True)]
            column = (k, tuple(counts))
            used[column] = used.get(column, 0) + times
        plans.append(used)
    return min(plans, key=lambda used: cost_of(task, used))


def trimmed(task: Task, used: Mapping[Column, int]) -> dict[Column, int]:
    """Leave out what is cut too much, and no bar without a piece."""
    surplus = [-count for count in task.wanted]
    for (_, counts), times in used.items():
        surplus = [s + times * c for s, c in zip(surplus, counts, strict=True)]
    bars = dict(used)
    for i, over in enumerate(surplus):
        for column in [c for c in bars if c[1][i]]:
            while over > 0 and column in bars:
                k, counts = column
                # All bars alike lose the same at once, or a purchase of thousands would be walked
                # bar by bar.
                drop = min(over, counts[i])
                times = min(bars[column], over // drop)
                less = (k, (*counts[:i], counts[i] - drop, *counts[i + 1 :]))
                bars[column] -= times
                if not bars[column]:
                    del bars[column]
                bars[less] = bars.get(less, 0) + times
                over -= times * drop
    return {column: times for column, times in bars.items() if any(column[1])}
