"""Two stations that change places: each stands with its back where that of the other one was.

For what is far from the things it is used with, while something of about its size stands there:
neither can go by itself. Common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from app.arranging.candidates import Drawer, Frame
from app.arranging.merit import Merits
from app.arranging.problem import Problem
from app.placing.layout import Layout
from app.placing.standing import Standing
from app.scene.shapes import turned_points

Floats = NDArray[np.float64]
LIKE_SHARE = 3.0
"""How many times as much floor one may take as the other: a tree and a shelf, not a box and a
rack."""
PARTNERS = 3
"""Stations tried for each that stands far off: those nearest to what it is used with."""
Exchange = tuple[str, str]


def exchanges(problem: Problem, drawer: Drawer, merits: Merits, layout: Layout) -> list[Exchange]:
    """Return pairs worth trying: one far from what it is used with, one of like size nearer to it.

    What is larger than what it is used with stays: plates are carried to the rack.
    """
    pairs: dict[frozenset[str], Exchange] = {}
    for root in merits.apart(layout):
        used = [other for other, *_ in merits.pulls[root] if other in layout.at]
        goal = max(used, key=lambda other: problem.sizes.get(other, math.inf))
        if problem.sizes[root] > problem.sizes.get(goal, math.inf):
            continue
        near = [
            other
            for other in problem.free
            if other in layout.at
            and other not in (root, goal)
            and drawer.frames[other].has_back
            and _alike(problem.sizes[root], problem.sizes[other])
            and _away(layout, other, goal) < _away(layout, root, goal)
        ]
        near.sort(key=lambda other: _away(layout, other, goal))
        for other in near[:PARTNERS]:
            pairs.setdefault(frozenset((root, other)), (root, other))
    return list(pairs.values())


def exchanged(
    problem: Problem, drawer: Drawer, merits: Merits, layout: Layout, pair: Exchange
) -> Iterator[Layout]:
    """Return the layout in which two have changed places that promises most, none if none may be.

    Each is turned as the other was, with an end of it or its middle where that of the other was.
    """
    one, other = pair
    here, there = layout.at[one], layout.at[other]
    rest = layout.without(one).without(other)
    best: tuple[float, Layout] | None = None
    for put, value in _put(problem, drawer, merits, rest, one, there, other):
        for whole, more in _put(problem, drawer, merits, put, other, here, one):
            if best is None or value + more > best[0]:
                best = value + more, whole
    if best is not None:
        yield best[1]


def _put(
    problem: Problem,
    drawer: Drawer,
    merits: Merits,
    rest: Layout,
    root: str,
    at: Standing,
    was: str,
) -> Iterator[tuple[Layout, float]]:
    """Return layouts in which a station stands where another one was, and what each promises."""
    points = _places(drawer.frames[root], drawer.frames[was], at)
    points = points[problem.core.admits(root, at.turn_deg, points, rest)]
    if len(points):
        floor = merits.open_floor(rest)
        promise = merits.of(root, at.turn_deg, points, rest, floor)
        for (x, y), value in zip(points, promise, strict=True):
            yield rest.put(root, at.turn_deg, (float(x), float(y))), float(value)


def _places(mine: Frame, theirs: Frame, at: Standing) -> Floats:
    """Return places at which a back lies in the line of another's: end to end, or mid to mid."""
    left, low, right, _ = mine.carrier
    their_left, their_low, their_right, _ = theirs.carrier
    middle = (their_left + their_right - left - right) / 2
    y = their_low - low
    shifts = np.array([(their_left - left, y), (middle, y), (their_right - right, y)])
    places: Floats = turned_points(shifts, at.turn_deg) + np.array([at.x_mm, at.y_mm])
    return places


def _alike(one: float, other: float) -> bool:
    return max(one, other) <= LIKE_SHARE * min(one, other)


def _away(layout: Layout, one: str, other: str) -> float:
    a, b = layout.at[one], layout.at[other]
    return math.dist((a.x_mm, a.y_mm), (b.x_mm, b.y_mm))
