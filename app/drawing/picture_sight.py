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

    Of a person that is what is too high of them, else their body, not what they hold.
    """

    bounds: Bounds
    points: BaseGeometry
    hull: BaseGeometry


@dataclass(frozen=True)
class InSight:
    """What is seen of each thing, which places on the paper are, and all strokes that are."""

    by_owner: dict[str, Seen]
    places: dict[str, Floats]
    strokes: BaseGeometry


def in_sight(parts: Sequence[Part], places: Mapping[str, Floats]) -> InSight:
    """Look at points of every part, at the middle of every stroke, and at places (n, 2).

    A place is seen where no part but the floor covers it.
    """
    areas = np.array([part.area for part in parts], dtype=object)
    tree = STRtree(areas)
    middles = shapely.get_coordinates(shapely.point_on_surface(areas))
    corners, of = shapely.get_coordinates(areas, return_index=True)
    points = np.concatenate([middles, middles[of] + INWARDS * (corners - middles[of])])
    whose = np.concatenate([np.arange(len(parts)), of])
    inside = shapely.contains_xy(areas[whose], points[:, 0], points[:, 1])
    points, whose = points[inside], whose[inside]
    seen = ~_covered(tree, areas, points, whose)
    points, whose = points[seen], whose[seen]
    # points of one thing follow one another, as those of its parts do
    owners: dict[str, int] = {}
    numbers = np.array([owners.setdefault(p.face.owner, len(owners)) for p in parts])
    order = np.argsort(numbers[whose], kind="stable")
    points, whose = points[order], whose[order]
    ends = np.searchsorted(numbers[whose], np.arange(len(owners) + 1)).tolist()
    boxes = shapely.bounds(areas)
    things: dict[str, Seen] = {}
    for owner, number in owners.items():
        some = slice(ends[number], ends[number + 1])
        if some.start < some.stop:
            things[owner] = _seen(parts, points[some], whose[some], boxes)
    upon = areas[[part.face.ink not in (FLOOR_INK, WAY_INK) for part in parts]]
    over = STRtree(upon)
    free = {
        name: some[~_covered(over, upon, some, np.full(len(some), -1))]
        for name, some in places.items()
    }
    edges = [part.edges if part.face.ink != FLOOR_INK else np.empty((0, 2, 2)) for part in parts]
    lines = np.concatenate([np.empty((0, 2, 2)), *edges])
    owner_of = np.repeat(np.arange(len(parts)), [len(some) for some in edges])
    strokes = lines[~_covered(tree, areas, lines.mean(axis=1), owner_of)]
    drawn = shapely.multilinestrings(np.array(shapely.linestrings(strokes), dtype=object))
    assert isinstance(drawn, shapely.MultiLineString)
    return InSight(things, free, drawn)


def _seen(parts: Sequence[Part], points: Floats, whose: NDArray[np.intp], boxes: Floats) -> Seen:
    """Return what is seen of one thing by the points seen of its parts, whose boxes are given."""
    every = _as_one(points)
    hull = every.convex_hull
    numbers = np.unique(whose)
    inks = {parts[i].face.ink for i in numbers.tolist()}
    for ink in TELLING:
        if ink in inks:
            telling = np.array([i for i in numbers.tolist() if parts[i].face.ink == ink])
            every, numbers = _as_one(points[np.isin(whose, telling)]), telling
            break
    x0, y0 = boxes[numbers, :2].min(axis=0).tolist()
    x1, y1 = boxes[numbers, 2:].max(axis=0).tolist()
    return Seen((x0, y0, x1, y1), every, hull)


def _as_one(points: Floats) -> shapely.MultiPoint:
    """Return points (n, 2) as one: the class itself takes them one by one."""
    every = shapely.multipoints(points)
    assert isinstance(every, shapely.MultiPoint)
    return every


def _covered(
    tree: STRtree, areas: NDArray[np.object_], points: Floats, whose: NDArray[np.intp]
) -> NDArray[np.bool_]:
    """Return which points of parts lie within a part that is drawn later."""
    of, by = tree.query(shapely.points(points))
    later = by > whose[of]
    of, by = of[later], by[later]
    within = shapely.contains_xy(areas[by], points[of, 0], points[of, 1])
    covered = np.zeros(len(points), dtype=bool)
    covered[of[within]] = True
    return covered
