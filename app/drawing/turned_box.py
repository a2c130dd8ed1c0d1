"""A box that stands on another side while somebody steps on it: drawn as high as it is used.

A plywood box of 500 by 600 by 750 is as high as the side it stands on. In the plan it stands as its
row says; who uses it has it turned, and then every drawing has it so, with its feet on its top.
"""

from __future__ import annotations

from collections.abc import Iterable

import shapely
from shapely import Polygon

from app.drawing.section_bay import Bay
from app.scene.build import Placed
from app.scene.footing import STEPPED_ON, turned_to
from app.scene.shapes import turned
from app.units import Units, format_short

_SAME_MM = 1.0


def used_height_mm(placed: Placed, bays: Iterable[Bay]) -> float | None:
    """Return how high a box is while somebody in `bays` is on it; None where it stands as it is."""
    for bay in bays:
        if bay.placed is placed and bay.movement.key in STEPPED_ON and len(placed.shape.parts) == 1:
            on = bay.term("deck or box", "box", "deck or step", "step")
            if on is not None and abs(on - placed.extent.height_mm) > _SAME_MM:
                return on
    return None


def turned_footprint(placed: Placed, high_mm: float) -> Polygon:
    """Return the floor under a box that is turned to a height: the side that was so long is up.

    Where no side is as long as that it is drawn on its own floor.
    """
    there = turned_to(placed.extent, high_mm)
    wide, deep = there.width_mm, there.depth_mm
    flat = turned(shapely.box(-wide / 2, -deep / 2, wide / 2, deep / 2), placed.pose.angle_deg)
    x, y = placed.at
    return Polygon([(px + x, py + y) for px, py in flat.exterior.coords])


def turned_words(bay: Bay, units: Units) -> str:
    """Say that a box stands on another side for this than on the plan; empty where it does not."""
    used = None if bay.placed is None else used_height_mm(bay.placed, [bay])
    if bay.placed is None or used is None:
        return ""
    stands, own = (format_short(mm, units) for mm in (used, bay.placed.extent.height_mm))
    return f"{bay.placed.name} turned to {stands} high for this; on the plan it is {own}"


def solids_of(placed: Placed, used_mm: float | None) -> list[tuple[Polygon, float, float]]:
    """Return the solids of a piece in the room, or of a box that is turned: outline, low, high."""
    if used_mm is not None:
        return [(turned_footprint(placed, used_mm), 0.0, used_mm)]
    shape = placed.shape
    return [
        (polygon, float(low), float(high))
        for polygon, low, high in zip(placed.polygons(), shape.low_mm, shape.high_mm, strict=True)
    ]
