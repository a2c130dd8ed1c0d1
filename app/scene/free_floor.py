"""The largest free floor: what is left between the outlines of all that stands, and wide enough."""

from __future__ import annotations

import numpy as np
import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from app.published.register import published
from app.scene.build import Scene
from app.scene.routes import in_the_way
from app.scene.tolerance import HALF_MM, TOLERANCE_MM
from app.units import MM_PER_M

WIDE = "route.recommended-mm"
_SQUARE = 1.5
"""How far corners are filled, in half widths: square ones whole, whose mitre is 1.41 long, sharper
ones cut off."""
_MM2_PER_M2 = MM_PER_M**2


def free_floor(scene: Scene) -> BaseGeometry:
    """Return the largest free floor in one piece that is as wide as a way all over, in mm.

    The floor within the outline of a piece that stands on it is taken, also between posts or legs.
    Of what hangs only that is taken which is lower than the tallest head; what is low enough to
    step on, such as a mat, takes none.
    """
    solids, met = scene.solids, in_the_way(scene)
    step = scene.plan.room.floor.covering.thickness_mm + published("route.step-over-mm")
    on_floor = solids.low_mm[: scene.piece_solids] <= step
    stands = np.intersect1d(solids.owner[met], solids.owner[: scene.piece_solids][on_floor])
    taken = [scene.order[owner].footprint for owner in stands]
    taken += list(solids.cores[met[~np.isin(solids.owner[met], stands)]])
    # grown a little past their outlines, so that no slit is left where two things touch
    grown = shapely.buffer(np.array(taken, dtype=object), TOLERANCE_MM, join_style="mitre")
    free = shapely.difference(scene.room.free, shapely.union_all(grown))
    half = published(WIDE) / 2 - HALF_MM
    largest: BaseGeometry = Polygon()
    for middle in shapely.get_parts(free.buffer(-half)):
        back = middle.buffer(half, join_style="mitre", mitre_limit=_SQUARE).intersection(free)
        # beyond a thin thing lies other floor
        mine = [part for part in shapely.get_parts(back) if part.intersects(middle)]
        largest = max(largest, shapely.union_all(mine), key=lambda one: one.area)
    return largest


def free_floor_m2(scene: Scene) -> float:
    """Return the area of the largest free floor in one piece, in square metres."""
    return free_floor(scene).area / _MM2_PER_M2
