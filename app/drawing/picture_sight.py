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
    by_owner: dict[str, list[int]] = {}
    for i, part in enumerate(parts):
        by_owner.setdefault(part.face.owner, []).append(i)
    things: dict[str, Seen] = {}
    for owner, numbers in by_owner.items():
        of_it = np.isin(whose, numbers)
        if of_it.any():
            hull = shapely.MultiPoint(points[of_it]).convex_hull
            inks = {parts[i].face.ink for i in np.unique(whose[of_it]).tolist()}
            ink = next((one for one in TELLING if one in inks), "")
            if ink:
                of_it = np.isin(whose, [i for i in numbers if parts[i].face.ink == ink])
            shown = areas[np.unique(whose[of_it])]
            things[owner] = Seen(_bounds(shown), shapely.MultiPoint(points[of_it]), hull)
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
