"""The numbers of the pieces in a section: each on its own piece, else led to it by a line."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from typing import TypeAlias

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from app.drawing.medium import Medium
from app.drawing.placing import Crowd, Floats
from app.drawing.primitives import Circle, Item, Line, Text
from app.drawing.sheets.cutting_plane import Seen

_RADIUS_EM, _MIDDLE_EM, _DOT_EM = 0.74, 0.36, 0.16
_AIR_EM = 0.3
"""What is free round figures that a number keeps off."""
_WHOLE = np.array([(x, y) for x in (0.5, 0.3, 0.7, 0.12, 0.88) for y in (0.6, 0.8, 0.35, 0.15)])
_WHOLE_COSTS = np.abs(_WHOLE - _WHOLE[0]).sum(axis=1)
"""Where a number is tried over the whole of a piece, as shares of it across and up, (n, 2)."""
_PART = np.array([(x, y) for x in (0.5, 0.15, 0.85) for y in (0.5, 0.15, 0.85)])
"""Where it is tried in each part of a piece."""
_PART_COSTS = 0.5 + np.abs(_PART - _PART[0]).sum(axis=1)
_OTHER_SHARE = 0.12
"""A ring that covers more of another piece than this share of itself is read as that one's."""
_FEW = 8
"""So many places are looked at closely, the best ones."""
_TIPS = 12
"""So many points of a piece are tried as the end of a line to it."""
_LINED_COST = 0.8
"""What it costs that a dimension line runs through the ring."""
_CROSSED_COST = 4.0
"""What it costs that a line to a piece runs through words, somebody or another number."""
_FOREIGN_COST = 3.0
"""So many times as long is a line as it runs over another piece."""
_TURNS = np.linspace(0.0, 2 * np.pi, 8, endpoint=False)
_DISC = np.concatenate(
    [[[0.0, 0.0]], *(far * np.column_stack([np.cos(_TURNS), np.sin(_TURNS)]) for far in (0.6, 1.0))]
)
"""Points of a ring of radius 1, (17, 2): enough to tell how much of it is over something."""
_ON_WAY = np.linspace(0.05, 0.95, 10)
"""Where on the way to a piece it is asked what it runs over, as shares of it."""


def piece_numbers(
    seen: Sequence[Seen],
    numbers: dict[str, int],
    taken: Sequence[BaseGeometry],
    lines: Sequence[BaseGeometry],
    hides: Sequence[tuple[float, BaseGeometry]],
    opened: BaseGeometry,
    medium: Medium,
) -> tuple[Item, ...]:
    """Number the pieces, y down: rings on what is seen of each, off people, figures and others.

    What has no such place is led to by a line from where nothing else is. `hides` is what stands
    before them (z up), each with how far behind the cut, `opened` what one looks into (z up).
    What is hidden has no number.
    """
    if not seen:
        return ()
    em = medium.em_mm
    crowd = Crowd(lines)
    sides = shapely.bounds(np.array(taken, dtype=object)).reshape(-1, 4)
    air = em * _AIR_EM
    crowd.take_all(shapely.box(*(sides + np.array([-air, -air, air, air])).T))
    # what is cut is drawn over all that stands behind it; the nearest first
    order = [*(one for one in seen if not one.cut), *(one for one in seen if one.cut)][::-1]
    within = shapely.transform(opened, lambda xy: xy * (1, -1))
    found = _Rings(crowd, em, within, _Painted.of(order), [], [])
    places = found.places(order, hides)
    # what has a place on itself first: lines to others keep off it
    for i, (good, _, _) in enumerate(places):
        if len(good):
            found.stand(places[i], str(numbers[order[i].placed.piece.id]))
    for i, (good, on, costs) in enumerate(places):
        if len(on) and not len(good):
            found.lead(i, on, costs, str(numbers[order[i].placed.piece.id]))
    return (*found.leaders, *found.rings)


@dataclass(frozen=True, slots=True)
class _Painted:
    """All boxes of a section, z up: their sides, how much their ends are raised, whose they are."""

    sides: Floats
    raised: Floats
    owner: NDArray[np.intp]

    @staticmethod
    def of(order: Sequence[Seen]) -> _Painted:
        every = [(i, box) for i, one in enumerate(order) for box in one.boxes]
        return _Painted(
            np.array([(b.left, b.low, b.right, b.high) for _, b in every]),
            np.array([b.raised for _, b in every]),
            np.array([i for i, _ in every]),
        )

    def whose(self, xy: Floats) -> NDArray[np.intp]:
        """Return of points (..., 2), y down, which piece is seen there; -1 for none."""
        x, z = xy[..., 0, None], -xy[..., 1, None]
        left, low, right, high = self.sides.T
        if self.raised.any():
            z = z - self.raised[:, 0] - np.diff(self.raised).ravel() * (x - left) / (right - left)
        inside = (x >= left) & (x <= right) & (z >= low) & (z <= high)
        none = int(self.owner.max()) + 1
        nearest = np.where(inside, self.owner, none).min(axis=-1)
        found: NDArray[np.intp] = np.where(nearest == none, -1, nearest)
        return found

    def clear_of_all(self, at: Floats, radius: float) -> NDArray[np.bool_]:
        """Return which rings round middles (n, 2), y down, are off all boxes."""
        x, z = at[:, :1], -at[:, 1:]
        left, low, right, high = self.sides.T
        top = high + self.raised.max(axis=1)
        meets = (left < x + radius) & (right > x - radius) & (low < z + radius) & (top > z - radius)
        clear: NDArray[np.bool_] = ~meets.any(axis=1)
        return clear


_Places: TypeAlias = tuple[Floats, Floats, Floats]
"""Of a piece where its number stands well, where it stands on it at all, and what these cost."""


@dataclass(frozen=True)
class _Rings:
    """Finds the place of each number among the pieces, the nearest first."""

    crowd: Crowd
    em: float
    within: BaseGeometry
    painted: _Painted
    rings: list[Item]
    leaders: list[Item]

    @property
    def radius(self) -> float:
        """The radius of a ring."""
        return self.em * _RADIUS_EM

    def places(
        self, order: Sequence[Seen], hides: Sequence[tuple[float, BaseGeometry]]
    ) -> list[_Places]:
        """Return of each piece its places, those that stand well the best first."""
        tries = [_tries(one) for one in order]
        at = np.concatenate([xy for xy, _ in tries])
        costs = np.concatenate([cost for _, cost in tries])
        owner = np.repeat(np.arange(len(order)), [len(xy) for xy, _ in tries])
        on = self.painted.whose(at) == owner
        near = np.array([one.near_mm for one in order])[owner]
        for away, area in hides:
            on &= (away >= near) | ~shapely.intersects_xy(area, at[:, 0], -at[:, 1])
        at, costs, owner = at[on], costs[on], owner[on]
        wide = self.radius * 2
        free = self.crowd.free(at, wide, wide)
        lined = np.ones(len(at), dtype=bool)
        lined[self.crowd.free(at, wide, wide, bare=True)] = False
        costs = costs + lined * _LINED_COST
        free = free[np.lexsort((costs[free], owner[free]))]
        # of each piece only the best few: which of others they cover is asked of each
        first = np.searchsorted(owner[free], owner[free])
        free = free[np.arange(len(free)) - first < _FEW]
        there = self.painted.whose(at[free, None] + _DISC * self.radius)
        other = ((there != owner[free, None]) & (there >= 0)).mean(axis=1)
        good = free[other <= _OTHER_SHARE]
        return [
            (at[good[owner[good] == i]], at[owner == i], costs[owner == i])
            for i in range(len(order))
        ]

    def stand(self, places: _Places, number: str) -> None:
        """Put a number where it stands well."""
        good, _, _ = places
        free = self.crowd.free(good, self.radius * 2, self.radius * 2)
        self._ring(good[free[0] if len(free) else 0], number)

    def lead(self, i: int, on: Floats, costs: Floats, number: str) -> None:
        """Put a number where nothing else is, with a line to its piece; else where it costs least.

        `on` are points on what is seen of it.
        """
        wide = self.radius * 2
        at = self._grid
        at = at[self.crowd.free(at, wide, wide)]
        if not len(at):
            self._ring(on[self.crowd.choose(wide, wide, on, costs)], number)
            return
        on = on[np.argsort(costs, kind="stable")[:_TIPS]]
        apart = np.hypot(*np.moveaxis(at[:, None] - on, -1, 0))
        tips, far = on[apart.argmin(axis=1)], apart.min(axis=1)
        some = np.argsort(far, kind="stable")[:_FEW]
        at, tips, far = at[some], tips[some], far[some]
        there = self.painted.whose(at[:, None] + (tips - at)[:, None] * _ON_WAY[:, None])
        over = ((there != i) & (there >= 0)).mean(axis=1)
        ways: NDArray[np.object_] = np.array(shapely.linestrings(np.stack([at, tips], axis=1)))
        crossed = self.crowd.crossed(ways)
        cost = far / self.em * (1 + over * _FOREIGN_COST) + crossed * _CROSSED_COST
        best = int(np.argmin(cost))
        self._ring(at[best], number)
        # the line begins at the edge of the ring
        start = at[best] + (tips[best] - at[best]) * min(1.0, self.radius / float(far[best]))
        (x, y), (tx, ty) = start.tolist(), tips[best].tolist()
        self.leaders.append(Line((x, y), (tx, ty), "leader"))
        self.leaders.append(Circle((tx, ty), self.em * _DOT_EM, "leader-dot"))
        self.crowd.take(shapely.LineString([start, tips[best]]).buffer(self.em * _DOT_EM))

    def _ring(self, at: Floats, number: str) -> None:
        x, y = at.tolist()
        r = self.radius
        self.crowd.take(shapely.box(x - r, y - r, x + r, y + r))
        self.rings.append(Circle((x, y), r, "balloon"))
        self.rings.append(Text((x, y + self.em * _MIDDLE_EM), number, "numeral"))

    @cached_property
    def _grid(self) -> Floats:
        """Where a ring is off all pieces, lines, words and people, in what one looks into."""
        r = self.radius
        x0, y0, x1, y1 = self.within.bounds
        across, down = np.meshgrid(np.arange(x0 + r, x1 - r, r), np.arange(y0 + r, y1 - r, r))
        at = np.column_stack([across.ravel(), down.ravel()])
        at = at[self.painted.clear_of_all(at, r)]
        at = at[self.crowd.free(at, r * 2, r * 2, bare=True)]
        boxes = np.array(shapely.box(*(at - r).T, *(at + r).T), dtype=object)
        inside = np.array(shapely.covers(self.within, boxes), dtype=bool)
        found: Floats = at[inside]
        return found


def _tries(one: Seen) -> tuple[Floats, Floats]:
    """Return where a number may stand on a piece, (n, 2), and what each place costs, (n,)."""
    sides = np.array([(b.left, b.low, b.right, b.high) for b in one.boxes])
    low, high = sides[:, :2].min(axis=0), sides[:, 2:].max(axis=0)
    parts = sides[:, None, :2] + (sides[:, 2:] - sides[:, :2])[:, None] * _PART
    raised = np.array([b.raised for b in one.boxes])
    if raised.any():
        parts[..., 1] += raised[:, :1] + np.diff(raised) * _PART[:, 0]
    at = np.concatenate([low + (high - low) * _WHOLE, parts.reshape(-1, 2)]) * (1.0, -1.0)
    return at, np.concatenate([_WHOLE_COSTS, np.tile(_PART_COSTS, len(sides))])
