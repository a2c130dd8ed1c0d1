"""What lies or stands across the way in, as the eye sees it, before any way is measured.

A mat that one must walk over to get at everything else, a piece between the door and the open
floor: common practice, no source. It takes a fraction of what a measured way takes, so the rough
figures that steer a search know it too.
"""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from app.arranging.layout import Layout
from app.arranging.standing import is_floor
from app.scene.build import Placed
from app.scene.tolerance import TOLERANCE_MM

Floats = NDArray[np.float64]
LEFT_OVER_A_MAT = 0.4
"""What is left of the way in where a mat lies across all of it, or in the door: one takes off one's
shoes each time or trains in what they brought in. With half a mat from wall to wall inside the door
stood before the same room with the mat beside the way."""
LEFT_BEHIND_A_PIECE = 0.75
"""What is left of it where something stands between the door and the open floor: one walks round
it with all that one carries."""
LEFT_IN_A_DOOR = 0.5
"""What is left of it where something stands in the mouth of a door, or whoever uses it does: as
where a mat lies there, for one comes in with both hands full."""
BODY_DEEP_MM = 450
"""How deep a person stands before a thing."""
EDGE_MM = 100
"""How far one treads on a mat without walking over it: the side of a foot. Without it layouts that
were made by hand with care were struck out for the end of a mat before a rack; with the whole of a
foot a cross-trainer was got at by the 270 beside a mat."""
ASIDE_SHARE = 0.5
"""How far into a piece that line must go, of half a body: what it only brushes is passed."""


def straight_in(layout: Layout) -> float:
    """Return 1 where one comes in straight to the open floor and to all else beside the mats."""
    trodden = 1.0 if lies_in_a_door(layout) else math.sqrt(over_mats(layout))
    left = 1 - (1 - LEFT_OVER_A_MAT) * trodden
    left *= LEFT_IN_A_DOOR if stands_in_a_door(layout) or used_in_a_door(layout) else 1.0
    return left * (LEFT_BEHIND_A_PIECE if stands_between(layout) else 1.0)


def lies_in_a_door(layout: Layout) -> bool:
    """Return whether a mat lies where a door swings or where one sets foot first inside it."""
    swept = layout.swept
    return any(is_floor(p) and swept.intersects(p.footprint) for p in layout.scene.order)


def stands_in_a_door(layout: Layout) -> bool:
    """Return whether something stands in the mouth of a door for people.

    The mouth is all that the door swings over, and as deep inside it as it is wide. What stays is
    how it is.
    """
    things = [p.footprint for p in layout.standing.on_floor if not p.piece.stays]
    return bool(shapely.intersects(layout.mouths, np.array(things, dtype=object)).any())


def used_in_a_door(layout: Layout) -> bool:
    """Return whether somebody who uses a thing stands where a door opens into their back.

    Half a body before it, in what the door swings over or where one sets foot inside it.
    """
    order = layout.scene.order
    used = [
        shapely.multipoints(one.points)
        for one in layout.stands
        if not (order[one.number].piece.stays or is_floor(order[one.number]))
    ]
    away = shapely.distance(layout.swept, np.array(used, dtype=object))
    return bool((away < BODY_DEEP_MM / 2 - TOLERANCE_MM).any())


def stands_between(layout: Layout) -> bool:
    """Return whether something stands on the straight line from the door to the open floor."""
    if layout.door_at is None or layout.floor is None:
        return False
    line = shapely.shortest_line(shapely.Point(layout.door_at), layout.floor.polygon)
    lean = layout.body_mm / 2 * ASIDE_SHARE
    outlines = np.array([p.footprint for p in layout.standing.on_floor], dtype=object)
    return bool(shapely.intersects(shapely.buffer(outlines, -lean), line).any())


def over_mats(layout: Layout) -> float:
    """Return the share of the things that one gets at only over a mat, of those one gets at.

    One walks where a body is free of walls and of what stands, with its middle beside the mats or
    a foot on their edge. One goes up to a thing as near as that; what belongs to the house, a
    freezer or a washing machine, is opened from before it.
    """
    scene, door, half = layout.scene, layout.way_in, layout.body_mm / 2
    mats = [
        placed.footprint.buffer(-EDGE_MM, join_style="mitre")
        for placed in scene.order
        if is_floor(placed)
    ]
    if door is None or not mats:
        return 0.0
    pieces = layout.standing.on_floor
    things = np.array([p.footprint for p in pieces], dtype=object)
    if not len(things):
        return 0.0
    floor, inside = layout.walked_on, _inside(layout, half)
    got_at = _reached(floor, inside, things, half, half)
    covered = shapely.union_all(mats)
    beside = _reached(floor.difference(covered), inside, things, half, half)
    beside &= ~_opened_from(layout, pieces, covered)
    return float(1 - (got_at & beside).sum() / got_at.sum()) if got_at.any() else 0.0


def _opened_from(
    layout: Layout, pieces: Sequence[Placed], covered: BaseGeometry
) -> NDArray[np.bool_]:
    """Return which of some pieces stay and have all places where they are opened on mats."""
    order = layout.scene.order
    on_mats = {
        order[one.number].piece.id
        for one in layout.stands
        if order[one.number].piece.stays
        and shapely.intersects(covered, shapely.points(one.points)).all()
    }
    return np.array([placed.piece.id in on_mats for placed in pieces], dtype=bool)


def leads_to_the_floor(layout: Layout) -> bool:
    """Return whether a body comes from the door to the middle of the open floor, be it over mats.

    A measured way is worth nothing where none does; to ask it so takes a fraction of that.
    """
    if layout.way_in is None or layout.floor is None:
        return False
    half = layout.body_mm / 2
    middle = np.array([shapely.Point(layout.floor.middle)])
    return bool(_reached(layout.walked_on, _inside(layout, half), middle, 0.0, half)[0])


def gets_to_all(layout: Layout) -> float:
    """Return the share of the stations to whose places of use a body comes from the door.

    A measured way narrower than a body is worth nothing; this is what of it costs little to ask.
    """
    every = [one.points for one in layout.stands]
    if layout.way_in is None or not every:
        return 1.0
    half = layout.body_mm / 2
    places = np.array([shapely.multipoints(points) for points in every], dtype=object)
    return float(_reached(layout.walked_on, _inside(layout, half), places, half, half).mean())


def _inside(layout: Layout, half: float) -> Floats:
    assert layout.way_in is not None
    return np.array(layout.door_at) + half * np.array(layout.way_in.inward)


def _reached(
    floor: BaseGeometry, start: np.ndarray, things: np.ndarray, near_mm: float, half: float
) -> np.ndarray:
    """Return which things one gets so near to on the part of a floor that a place lies by."""
    parts = shapely.get_parts(floor)
    away = shapely.distance(parts, shapely.Point(start))
    if not len(parts) or away.min() > half:
        return np.zeros(len(things), dtype=bool)
    return shapely.distance(parts[int(away.argmin())], things) <= near_mm + TOLERANCE_MM
