"""Finding room for lettering and numbers where they hide least of what is drawn."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from copy import copy
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from app.drawing.primitives import Point

Floats = NDArray[np.float64]

_AT_ONCE = 12
"""Spots looked at together: all that is near one is looked at once, and often no dearer ones."""
_MEETS, _TOUCH = 3.0, 0.005
"""What it costs to meet a taken box at all, where more than this share of the own box is shared:
also a little hides a figure."""


@dataclass(frozen=True, slots=True)
class Spot:
    """A place that would do: its middle, and what it costs to stand there at all."""

    at: Point
    cost: float = 0.0


class Crowd:
    """What is drawn already: strokes that should stay readable and boxes that are taken.

    The strokes are lines and rings, or straight ones as an array (n, 2, 2) of their ends.
    """

    def __init__(
        self, strokes: Iterable[BaseGeometry] | Floats, within: BaseGeometry | None = None
    ) -> None:
        self._starts, self._ends = _segments(strokes)
        low, high = np.minimum(self._starts, self._ends), np.maximum(self._starts, self._ends)
        # left, top, right and foot of the box of each stroke
        self._sides = np.ascontiguousarray(np.hstack([low, high]).T)
        self._count = 0
        self._taken: NDArray[np.object_] = np.empty(16, dtype=object)
        self._taken_bounds: NDArray[np.float64] = np.empty((16, 4))
        # which of them fill their bounds: what those share with a box is told by their sides
        self._upright: NDArray[np.bool_] = np.zeros(16, dtype=bool)
        self._within = None
        if within is not None:
            # a copy of its own: two threads must not prepare one polygon at the same time
            self._within = shapely.from_wkb(shapely.to_wkb(within))
            shapely.prepare(self._within)

    def copy(self) -> Crowd:
        """Return a crowd of the same strokes and places, to take more of its own."""
        other = copy(self)
        other._taken, other._taken_bounds = self._taken.copy(), self._taken_bounds.copy()
        other._upright = self._upright.copy()
        return other

    def take(self, box: BaseGeometry) -> None:
        """Mark a place as taken."""
        if self._count == len(self._taken):
            self._taken = np.concatenate([self._taken, np.empty_like(self._taken)])
            self._taken_bounds = np.concatenate(
                [self._taken_bounds, np.empty_like(self._taken_bounds)]
            )
            self._upright = np.concatenate([self._upright, np.zeros_like(self._upright)])
        x0, y0, x1, y1 = box.bounds
        self._taken[self._count] = box
        self._taken_bounds[self._count] = x0, y0, x1, y1
        self._upright[self._count] = math.isclose(box.area, (x1 - x0) * (y1 - y0))
        self._count += 1

    def take_all(self, places: NDArray[np.object_]) -> None:
        """Mark places as taken, all at one go."""
        bounds = shapely.bounds(places).reshape(-1, 4)
        sides = bounds[:, 2:] - bounds[:, :2]
        count = self._count
        self._taken = np.concatenate([self._taken[:count], places])
        self._taken_bounds = np.concatenate([self._taken_bounds[:count], bounds])
        upright = np.isclose(shapely.area(places), sides[:, 0] * sides[:, 1])
        self._upright = np.concatenate([self._upright[:count], upright])
        self._count = len(self._taken)

    def meets(self, box: BaseGeometry) -> bool:
        """Return whether a box reaches into a place that is taken."""
        a, b, c, d = self._taken_bounds[: self._count].T
        x0, y0, x1, y1 = box.bounds
        near = self._taken[: self._count][(a < x1) & (c > x0) & (b < y1) & (d > y0)]
        return bool(shapely.intersects(near, box).any())

    def free(self, at: Floats, width: float, height: float, bare: bool = False) -> NDArray[np.intp]:
        """Return which boxes round middles (n, 2) meet no taken one, and where `bare`, no stroke.

        A taken place counts by its bounds here.
        """
        x0, y0 = at[:, :1] - width / 2, at[:, 1:] - height / 2
        x1, y1 = at[:, :1] + width / 2, at[:, 1:] + height / 2
        a, b, c, d = self._taken_bounds[: self._count].T
        some = np.flatnonzero(~((x0 < c) & (x1 > a) & (y0 < d) & (y1 > b)).any(axis=1))
        if bare and len(some):
            some = some[self._stroke_within(x0[some], y0[some], x1[some], y1[some]) <= 0]
        return some

    def within(self, at: Point, width: float, height: float) -> Point:
        """Push a box of this size round a point into the bounds of the area given at the start."""
        if self._within is None:
            return at
        x0, y0, x1, y1 = self._within.bounds
        x = min(max(at[0], x0 + width / 2), max(x1 - width / 2, x0 + width / 2))
        y = min(max(at[1], y0 + height / 2), max(y1 - height / 2, y0 + height / 2))
        return x, y

    def place(
        self, width: float, height: float, spots: Sequence[Spot], anywhere: bool = False
    ) -> Point:
        """Choose the spot where a box of this size hides least, mark it taken, give its middle.

        Costs count in box heights: hidden strokes by their length, taken boxes by their area, and
        what lies outside the area given at the start unless `anywhere` will do.
        """
        if not spots:
            raise ValueError("there is no spot to choose from")
        at = np.array([spot.at for spot in spots], dtype=np.float64)
        own = np.array([spot.cost for spot in spots], dtype=np.float64)
        return spots[self.choose(width, height, at, own, anywhere)].at

    def choose(
        self, width: float, height: float, at: Floats, own: Floats, anywhere: bool = False
    ) -> int:
        """Choose like `place` among middles (n, 2) that cost `own` (n,); give the number of one."""
        order = np.argsort(own, kind="stable")
        best, least = int(order[0]), np.inf
        x0, y0 = at[:, 0] - width / 2, at[:, 1] - height / 2
        x1, y1 = at[:, 0] + width / 2, at[:, 1] + height / 2
        # dearer spots are looked at only while one of them could still be the best
        for start in range(0, len(order), _AT_ONCE):
            some = order[start : start + _AT_ONCE]
            if own[some[0]] > least:
                break
            sides = x0[some], y0[some], x1[some], y1[some]
            costs = own[some] + self._hidden(sides, width, height, anywhere)
            cheapest = int(some[np.lexsort((some, costs))[0]])
            cost = float(costs.min())
            if (cost, cheapest) < (least, best):
                best, least = cheapest, cost
        self.take(shapely.box(x0[best], y0[best], x1[best], y1[best]))
        return best

    def crossed(self, lines: NDArray[np.object_]) -> Floats:
        """Return how many taken places each of n lines meets, shape (n,)."""
        if not self._count:
            return np.zeros(len(lines))
        taken = shapely.STRtree(self._taken[: self._count])
        at, _ = taken.query(lines, predicate="intersects")
        return np.bincount(at, minlength=len(lines)).astype(np.float64)

    def _hidden(
        self, sides: tuple[Floats, Floats, Floats, Floats], width: float, height: float,
        anywhere: bool,
    ) -> Floats:  # fmt: skip
        """Return what each of n boxes costs by what it would hide and where it would stand.

        Their sides are left, top, right and foot, (n,) each.
        """
        boxes = shapely.box(*sides)
        costs: Floats = np.zeros(len(boxes), dtype=np.float64)
        costs += self._stroke_within(*(side[:, None] for side in sides)) / height
        box_at, shared = self._shared(boxes, sides)
        meets = np.where(shared > _TOUCH * width * height, _MEETS, 0.0)
        np.add.at(costs, box_at, meets + 20 * shared / (width * height))
        if self._within is not None and not anywhere:
            out = ~shapely.contains_properly(self._within, boxes)
            if out.any():
                inside = shapely.area(shapely.intersection(boxes[out], self._within))
                costs[out] += 12 * (1 - inside / (width * height))
        return costs

    def _shared(
        self, boxes: NDArray[np.object_], sides: tuple[Floats, Floats, Floats, Floats]
    ) -> tuple[NDArray[np.intp], Floats]:
        """Return which box meets a taken place, and the area that both share, once a meeting."""
        x0, y0, x1, y1 = (side[:, None] for side in sides)
        a, b, c, d = self._taken_bounds[: self._count].T
        box_at, taken_at = np.nonzero((x0 < c) & (x1 > a) & (y0 < d) & (y1 > b))
        x0, y0, x1, y1 = (side[box_at] for side in sides)
        a, b, c, d = self._taken_bounds[taken_at].T
        shared = (np.minimum(x1, c) - np.maximum(x0, a)) * (np.minimum(y1, d) - np.maximum(y0, b))
        askew = ~self._upright[taken_at]
        if askew.any():
            taken = self._taken[taken_at[askew]]
            shared[askew] = shapely.area(shapely.intersection(boxes[box_at[askew]], taken))
        return box_at, shared

    def _stroke_within(self, x0: Floats, y0: Floats, x1: Floats, y1: Floats) -> Floats:
        """Return length of all strokes in each of n boxes; their sides have the shape (n, 1)."""
        left, top, right, foot = self._sides
        near = (left <= x1.max()) & (right >= x0.min()) & (top <= y1.max()) & (foot >= y0.min())
        some = np.flatnonzero(near)
        left, top, right, foot = (side[some] for side in self._sides)
        box, at = np.nonzero((left <= x1) & (right >= x0) & (top <= y1) & (foot >= y0))
        some = some[at]
        start, run = self._starts[some], self._ends[some] - self._starts[some]
        enters, leaves = np.zeros(len(some)), np.ones(len(some))
        # each stroke is cut off at the two sides of the box across it, then at those along it
        for axis, near_side, far_side in ((0, x0, x1), (1, y0, y1)):
            along = run[:, axis]
            # one that does not move that way is within the two sides, for it is near
            moves = along != 0
            step = np.where(moves, along, 1.0)
            first, second = (
                (side[box, 0] - start[:, axis]) / step for side in (near_side, far_side)
            )
            enters = np.where(moves, np.maximum(enters, np.minimum(first, second)), enters)
            leaves = np.where(moves, np.minimum(leaves, np.maximum(first, second)), leaves)
        length = np.clip(leaves - enters, 0.0, None) * np.hypot(run[:, 0], run[:, 1])
        return np.bincount(box, length, minlength=len(x0)).astype(np.float64)


def _segments(strokes: Iterable[BaseGeometry] | Floats) -> tuple[Floats, Floats]:
    """Take lines and rings apart: where each straight piece starts and ends, (n, 2) in mm."""
    if isinstance(strokes, np.ndarray):
        return strokes[:, 0], strokes[:, 1]
    lines = shapely.get_parts(np.array(list(strokes), dtype=object))
    points, line_at = shapely.get_coordinates(lines, return_index=True)
    same = line_at[:-1] == line_at[1:]
    return points[:-1][same], points[1:][same]


def around(at: Point, width: float, height: float) -> BaseGeometry:
    """Return the box of this size round a point."""
    x, y = at
    return shapely.box(x - width / 2, y - height / 2, x + width / 2, y + height / 2)


def grid(bounds: Sequence[float], step: float, most: int = 18) -> list[Point]:
    """Return points all over a rectangle (min x, min y, max x, max y), about `step` apart."""
    x0, y0, x1, y1 = bounds
    nx = int(min(most, max(2, (x1 - x0) // step + 1)))
    ny = int(min(most, max(2, (y1 - y0) // step + 1)))
    across = np.linspace(x0, x1, nx).tolist()
    return [(x, y) for y in np.linspace(y0, y1, ny).tolist() for x in across]
