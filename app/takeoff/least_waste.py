"""Bars filled one by one with as little waste as can be found, the longest piece left in each.

Minimum bin slack (Gupta and Ho, A new heuristic algorithm for the one-dimensional bin-packing
problem, Production Planning and Control 10, 1999). A search for one bar that is cut short leaves
pieces for the later ones: how short is best hangs on the list, so several are tried. Where no two
lengths are alike this comes nearer to the least than patterns that are added one by one.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Sequence
from itertools import accumulate
from operator import neg

from app.takeoff.bars import Column, Task, cost_of

LOOKS_FOR_A_BAR = (5, 20, 300, 1_500)
"""Pieces laid into one bar on trial before the best found is taken: on the published sets each of
these is the best for one of them, and the whole takes a tenth of a second for 200 lengths."""


def least_waste(task: Task, goal: int) -> dict[Column, int] | None:
    """Return a plan of one length of stock; None where there are several.

    Ends with the first plan that costs no more than the goal, else with the cheapest found.
    """
    if len(task.stocks) > 1:
        return None
    best: dict[Column, int] | None = None
    for looks in LOOKS_FOR_A_BAR:
        plan = _filled(task, looks)
        if best is None or cost_of(task, plan) < cost_of(task, best):
            best = plan
        if cost_of(task, best) <= goal:
            break
    return best


def _filled(task: Task, looks: int) -> dict[Column, int]:
    left = list(task.wanted)
    used: dict[Column, int] = {}
    while any(left):
        counts = _bar(task.lengths, left, task.stocks[0], looks)
        # the same bar again and again until one of its lengths runs out
        times = min(have // c for have, c in zip(left, counts, strict=True) if c)
        left = [have - times * c for have, c in zip(left, counts, strict=True)]
        used[0, counts] = used.get((0, counts), 0) + times
    return used


def _bar(lengths: Sequence[int], left: Sequence[int], stock: int, looks: int) -> tuple[int, ...]:
    """Return one bar that holds the longest piece left and wastes little; `lengths` fall."""
    kinds = [kind for kind, count in enumerate(left) if count]
    sizes = [lengths[kind] for kind in kinds]
    have = [left[kind] for kind in kinds]
    # what the pieces from each kind on come to: a bar that takes them all is filled no further
    rest = [*accumulate(n * size for n, size in zip(reversed(have), reversed(sizes), strict=True))]
    rest.reverse()
    counts = [0] * len(kinds)
    counts[0] = 1
    best, least, seen = list(counts), stock - sizes[0], 0

    def go_on(kind: int, room: int) -> None:
        nonlocal best, least, seen
        seen += 1
        if room < least:
            best, least = list(counts), room
        # lengths fall: from here on they fit
        for other in range(max(kind, bisect_left(sizes, -room, key=neg)), len(kinds)):
            if not least or seen > looks or room - rest[other] >= least:
                return
            if counts[other] == have[other]:
                continue
            counts[other] += 1
            go_on(other, room - sizes[other])
            counts[other] -= 1

    go_on(0, stock - sizes[0])
    made = [0] * len(lengths)
    for kind, count in zip(kinds, best, strict=True):
        made[kind] = count
    return tuple(made)
