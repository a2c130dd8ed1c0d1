"""What in a picture has no room under the ceiling: of people and their movements, and of kit."""

from __future__ import annotations

import math

import numpy as np
import shapely

from app.drawing.lowest import BODY_MM, core_of, lowest_over
from app.drawing.section_bay import Bay

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
