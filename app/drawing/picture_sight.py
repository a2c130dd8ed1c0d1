"""What of a picture can be seen, told by points: for its names and their leaders.

A point of a part is seen where nothing that is drawn later covers it.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import STRtree
from shapely.geometry.base import BaseGeometry

from app.drawing.picture_order import Part
from app.drawing.picture_room import FLOOR

Floats = NDArray[np.float64]
Bounds = tuple[float, float, float, float]

INWARDS = 0.6
"""How far from the middle of a part towards its corners it is looked at, a share of the way."""


@dataclass(frozen=True)
class InSight:
    """Of each thing that can be seen its bounds and the points seen; all strokes that are."""

    by_owner: dict[str, tuple[Bounds, BaseGeometry]]
    strokes: BaseGeometry


def in_sight(parts: Sequence[Part]) -> InSight:
    """Look at points of every part, and at the middle of every stroke."""
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
    by_owner: dict[str, list[int]] = {}
    for i, part in enumerate(parts):
        by_owner.setdefault(part.face.owner, []).append(i)
    things: dict[str, tuple[Bounds, BaseGeometry]] = {}
    for owner, numbers in by_owner.items():
        of_it = np.isin(whose, numbers)
        if of_it.any():
            shown = areas[np.unique(whose[of_it])]
            things[owner] = _bounds(shown), shapely.MultiPoint(points[of_it])
    edges = [part.edges if part.face.owner != FLOOR else np.empty((0, 2, 2)) for part in parts]
    lines = np.concatenate([np.empty((0, 2, 2)), *edges])
    owner_of = np.repeat(np.arange(len(parts)), [len(some) for some in edges])
    strokes = lines[~_covered(tree, areas, lines.mean(axis=1), owner_of)]
    drawn = shapely.multilinestrings(np.array(shapely.linestrings(strokes), dtype=object))
    assert isinstance(drawn, shapely.MultiLineString)
    return InSight(things, drawn)


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


def _bounds(areas: NDArray[np.object_]) -> Bounds:
    x0, y0, x1, y1 = shapely.total_bounds(areas).tolist()
    return x0, y0, x1, y1
