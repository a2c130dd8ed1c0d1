"""What in a picture has no room under the ceiling: of people and their movements, and of kit."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from app.drawing.lowest import core_of, lowest_over
from app.drawing.picture_faces import Face, level, polygons_of
from app.drawing.picture_inks import TAKEN
from app.drawing.picture_view import View
from app.drawing.section_bay import Bay
from app.scene.overhead import lower_part

BODY_MM = 250.0
"""What hangs so near to the middle of a movement hangs over whoever is drawn there."""
_SLIVER_MM2 = 100.0


def limit_over_mm(bay: Bay) -> float:
    """Return up to which height there is room where somebody of a bay is drawn.

    That is the height that was judged, unless what hangs so low hangs over another place of the
    movement: a slope at its edge is not in the way of a head in its middle.
    """
    judged = lowest_over(bay)
    if judged is None or math.dist(judged.at, bay.at) <= BODY_MM or judged.kind == "joist":
        return bay.clear_mm
    here = shapely.Point(bay.at).buffer(BODY_MM).intersection(core_of(bay))
    heights, _ = bay.overhead.clear(np.array([here], dtype=object))
    return float(heights[0])


def taken_of(bay: Bay) -> BaseGeometry:
    """Return the floor over which a movement has no room, if not where somebody is drawn at it."""
    least = bay.demand.least_mm
    if not bay.hits or limit_over_mm(bay) <= bay.clear_mm:
        return shapely.Polygon()
    core = core_of(bay)
    low = [lower_part(item, least).intersection(core) for item in bay.overhead.items]
    return shapely.union_all([one for one in low if one.area > _SLIVER_MM2])


def taken_faces(bay: Bay, owner: str, view: View) -> Iterator[Face]:
    """Yield a pale red sheet at the height that a movement takes, where the room is lower."""
    for polygon in polygons_of(taken_of(bay)):
        yield level(polygon, bay.demand.least_mm, owner, TAKEN, view)
