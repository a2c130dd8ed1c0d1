"""What of a picture can be seen, told by points: for its names and their leaders.

A point of a part is seen where nothing that is drawn later covers it.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import STRtree
from shapely.geometry.base import BaseGeometry

from app.drawing.picture_clip import BESIDE_MM, quads_of
from app.drawing.picture_inks import TELLING
from app.drawing.picture_order import Part
from app.drawing.picture_shell import FLOOR_INK, WAY_INK

Floats = NDArray[np.float64]
Bounds = tuple[float, float, float, float]

INWARDS = 0.6
"""How far from the middle of a part towards its corners it is looked at, a share of the way."""


@dataclass(frozen=True, slots=True)
class Seen:
    """What is seen of a thing: the bounds and points of what tells it, and the hull of it all.

    Of a person that is what is too high of them, else their body, not what they hold; of a piece
    what is too high of it, where something is. `share` is how much of its points is seen.
    """

    bounds: Bounds
    points: BaseGeometry
    hull: BaseGeometry
    share: float


@dataclass(frozen=True)
class InSight:
    """What is seen of each thing, which places on the paper are, and all strokes that are.

    `places` are (n, 2) under their names, `strokes` both ends of each, (n, 2, 2).
    """

    by_owner: dict[str, Seen]
    places: dict[str, Floats]
    strokes: Floats


def in_sight(parts: Sequence[Part], places: Mapping[str, Floats]) -> InSight:
    """Look at points of every part, at the middle of every stroke, and at places (n, 2).

    A place is seen where no part but the floor covers it.
    """
    areas = np.array([part.area for part in parts], dtype=object)
    boxes = shapely.bounds(areas)
    over = _Over(areas, boxes)
    middles = shapely.get_coordinates(shapely.point_on_surface(areas))
    corners, of = shapely.get_coordinates(areas, return_index=True)
    points = np.concatenate([middles, middles[of] + INWARDS * (corners - middles[of])])
    whose = np.concatenate([np.arange(len(parts)), of])
    # the middle lies inside, and so does what lies towards the corners of what is convex
    asked = np.flatnonzero(~np.concatenate([np.ones(len(parts), bool), quads_of(areas)[1][of]]))
    inside = np.ones(len(points), dtype=bool)
    inside[asked] = shapely.contains_xy(areas[whose[asked]], *points[asked].T)
    points, whose = points[inside], whose[inside]
    seen = ~over.covered(points, whose)
    every = np.bincount(whose, minlength=len(parts))
    points, whose = points[seen], whose[seen]
    # points of one thing follow one another, as those of its parts do
    owners: dict[str, int] = {}
    numbers = np.array([owners.setdefault(p.face.owner, len(owners)) for p in parts])
    totals = np.bincount(numbers, every, minlength=len(owners))
    order = np.argsort(numbers[whose], kind="stable")
    points, whose = points[order], whose[order]
    ends = np.searchsorted(numbers[whose], np.arange(len(owners) + 1)).tolist()
    things: dict[str, Seen] = {}
    for owner, number in owners.items():
        some = slice(ends[number], ends[number + 1])
        if some.start < some.stop:
            things[owner] = _seen(parts, points[some], whose[some], boxes, int(totals[number]))
    upon = [i for i, p in enumerate(parts) if p.face.ink not in (FLOOR_INK, WAY_INK)]
    free = {
        name: some[~_within(areas, boxes, some, *_each_with_each(len(some), upon))]
        for name, some in places.items()
    }
    edges = [part.edges if part.face.ink != FLOOR_INK else np.empty((0, 2, 2)) for part in parts]
    lines = np.concatenate([np.empty((0, 2, 2)), *edges])
    owner_of = np.repeat(np.arange(len(parts)), [len(some) for some in edges])
    return InSight(things, free, lines[~over.covered(lines.mean(axis=1), owner_of)])


def top_at(parts: Sequence[Part], point: tuple[float, float]) -> Part | None:
    """Return which part one sees at a point of the paper; None beside all of them."""
    there = shapely.contains_xy(np.array([part.area for part in parts], dtype=object), *point)
    numbers = np.flatnonzero(there)
    return parts[int(numbers[-1])] if len(numbers) else None


def _seen(
    parts: Sequence[Part],
    points: Floats,
    whose: NDArray[np.intp],
    boxes: Floats,
    count: int,
) -> Seen:
    """Return what is seen of one thing by the points seen of its parts, of so many in all."""
    every = _as_one(points)
    hull = every.convex_hull
    numbers = np.unique(whose)
    inks = {parts[i].face.ink for i in numbers.tolist()}
    for some in TELLING:
        if not inks.isdisjoint(some):
            telling = np.array([i for i in numbers.tolist() if parts[i].face.ink in some])
            every, numbers = _as_one(points[np.isin(whose, telling)]), telling
            break
    x0, y0 = boxes[numbers, :2].min(axis=0).tolist()
    x1, y1 = boxes[numbers, 2:].max(axis=0).tolist()
    return Seen((x0, y0, x1, y1), every, hull, len(whose) / count)


def _as_one(points: Floats) -> shapely.MultiPoint:
    """Return points (n, 2) as one: the class itself takes them one by one."""
    every = shapely.multipoints(points)
    assert isinstance(every, shapely.MultiPoint)
    return every


class _Over:
    """What may cover the points of each part: the parts drawn later whose boxes meet its own.

    Asked once for each part: for each of its points that takes as long as all else of a picture.
    """

    def __init__(self, areas: NDArray[np.object_], boxes: Floats) -> None:
        self._areas, self._boxes = areas, boxes
        # strokes may run a little beside the part that they are of
        around = shapely.box(*(boxes + np.array([-BESIDE_MM, -BESIDE_MM, BESIDE_MM, BESIDE_MM])).T)
        of, by = STRtree(areas).query(around)
        later = by > of
        of, by = of[later], by[later]
        order = np.argsort(of, kind="stable")
        self._by = by[order]
        self._ends = np.searchsorted(of[order], np.arange(len(areas) + 1))

    def covered(self, points: Floats, whose: NDArray[np.intp]) -> NDArray[np.bool_]:
        """Return which points of parts lie within a part that is drawn later, (n,)."""
        starts = self._ends[whose]
        counts = self._ends[whose + 1] - starts
        point = np.repeat(np.arange(len(points)), counts)
        # those of a part follow one another
        at = np.repeat(starts - np.cumsum(counts) + counts, counts) + np.arange(len(point))
        by = self._by[at]
        return _within(self._areas, self._boxes, points, point, by)


def _each_with_each(count: int, others: Sequence[int]) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return every pair of so many points and some parts."""
    return np.repeat(np.arange(count), len(others)), np.tile(np.array(others, dtype=np.intp), count)


def _within(
    areas: NDArray[np.object_],
    boxes: Floats,
    points: Floats,
    of: NDArray[np.intp],
    by: NDArray[np.intp],
) -> NDArray[np.bool_]:
    """Return which points lie within one of the parts that they are paired with."""
    # side by side: most pairs are settled by the first of these
    for axis in (0, 1):
        at, low, high = (np.ascontiguousarray(some) for some in
                         (points[:, axis], boxes[:, axis], boxes[:, axis + 2]))  # fmt: skip
        here = at[of]
        near = np.flatnonzero((low[by] < here) & (here < high[by]))
        of, by = of[near], by[near]
    within = shapely.contains_xy(areas[by], points[of, 0], points[of, 1])
    covered = np.zeros(len(points), dtype=bool)
    covered[of[within]] = True
    return covered
