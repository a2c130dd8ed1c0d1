"""Where in the room a clear height is: the place under the lowest thing over a movement.

A height is dimensioned where it is true: not in the middle of a movement that a slope or a beam
meets at its edge.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from app.drawing.primitives import Point
from app.drawing.section_bay import Bay
from app.scene.overhead import Overhead, lower_part
from app.scene.tolerance import TOLERANCE_MM

SAME_MM = 1.0
"""Heights that differ by less are one, as a tape tells them."""
BODY_MM = 250.0
"""What hangs so near to the middle of a movement hangs over whoever is drawn there."""
_EXACT_MM = 0.05
"""So near to the lowest point of a slope its place is looked for: a millimetre off it another
height is read."""


@dataclass(frozen=True, slots=True)
class Lowest:
    """A place, the clear height over it in mm, how what hangs there rises by x and y, its kind."""

    at: Point
    clear_mm: float
    rises: Point
    kind: str


def core_of(bay: Bay) -> BaseGeometry:
    """Return the floor over which a bay was judged: under the very edge of a beam is not under."""
    return _core(bay.area)


def cores_of(bay: Bay) -> tuple[BaseGeometry, ...]:
    """Return the same of all parts of the kind that decides: of plates at both ends of a bar."""
    return tuple(map(_core, (bay.area, *bay.also)))


def _core(area: BaseGeometry) -> BaseGeometry:
    return area.buffer(-TOLERANCE_MM / 2, join_style="mitre")


def lowest_over(bay: Bay) -> Lowest | None:
    """Return where over a bay the clear height is that was judged, as near its middle as may be.

    None where nothing of the room decides, as where a machine's own crossmember does.
    """
    return lowest_in(bay.overhead, core_of(bay), bay.clear_mm, bay.at)


def lowest_in(
    overhead: Overhead, area: BaseGeometry, clear_mm: float, near: Point
) -> Lowest | None:
    """Return where over an area or along a line a height is the clear one; None if nowhere."""
    here = shapely.Point(near)
    best: tuple[float, Lowest] | None = None
    for item in overhead.items:
        low = lower_part(item, clear_mm + _EXACT_MM).intersection(area)
        if low.is_empty:
            continue
        x, y = shapely.shortest_line(low, here).coords[0]
        a, b, c = item.coefficients
        if abs(a + b * x + c * y - clear_mm) > SAME_MM:
            continue
        away = math.dist((x, y), near)
        if best is None or away < best[0]:
            best = away, Lowest((x, y), a + b * x + c * y, (b, c), item.kind)
    if best is None:
        return None
    # what hangs lower at that very place is another height
    spot = np.array([shapely.Point(best[1].at)], dtype=object)
    under = float(overhead.clear(spot)[0][0])
    return best[1] if under > clear_mm - 2 * SAME_MM else None


def meets_at(bay: Bay) -> Point | None:
    """Return where the head of somebody meets what hangs over the edge of their movement.

    None where nothing does, or where it hangs over whoever is in the middle.
    """
    judged = lowest_over(bay)
    if not bay.hits or judged is None or judged.kind == "joist":
        return None
    return judged.at if math.dist(judged.at, bay.at) > BODY_MM else None
