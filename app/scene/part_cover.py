"""What the parts of a ceiling or floor come to over the room: bare, hidden, outside; exactly."""

from __future__ import annotations

from collections.abc import Callable

import shapely
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from app.model.base import LENGTH_LIMIT_MM, Point
from app.model.room import Plane, Room
from app.model.room_parts import Surface
from app.scene.tolerance import HALF_MM


def bare_share(room: Room) -> float:
    """Return how much of the floor, from 0 to 1, has no ceiling told over it.

    Gaps no wider than the tolerance are parts that touch and count as none.
    """
    planes = room.ceiling.planes
    if any(not plane.outline for plane in planes):
        return 0.0
    floor = area_within(room.corners)
    bare = floor - shapely.union_all([area_within(plane.outline) for plane in planes])
    return float(bare.area / floor.area) if _is_wide(bare) else 0.0


def highest_given_mm(room: Room) -> float:
    """Return the highest that a ceiling is told to be, above the datum of the floor.

    So high it is taken to be where none is told.
    """
    floor = area_within(room.corners)
    heights = []
    for plane in room.ceiling.planes:
        there = area_within(plane.outline) & floor if plane.outline else floor
        corners = shapely.get_coordinates(floor if there.is_empty else there)
        heights.append(max(plane.height_at(x, y) for x, y in corners.tolist()))
    # a plane may rise beyond what a document holds
    return min(max(heights), LENGTH_LIMIT_MM)


def counts_nowhere(room: Room, plane: Plane, surface: Surface) -> bool:
    """Return whether a part lies behind the whole ceiling, or under the whole floor, everywhere.

    Planes are linear, so where one lies below another is the part cut off by one straight line.
    """
    planes = room.ceiling.planes if surface == "ceiling" else room.floor.planes
    rest = [other for other in planes if other.id != plane.id and not other.outline]
    if not plane.outline or not rest:
        return False
    way = 1 if surface == "ceiling" else -1
    counts: BaseGeometry = area_within(plane.outline) & area_within(room.corners)
    for other in rest:

        def above_mm(x: float, y: float, other: Plane = other) -> float:
            return way * (plane.height_at(x, y) - other.height_at(x, y))

        counts &= _below(counts, above_mm)
    return not _is_wide(counts)


def is_clear_of(room: Room, outline: tuple[Point, ...]) -> bool:
    """Return whether an outline lies wholly outside the room, or only touches it."""
    return not _is_wide(area_within(outline) & area_within(room.corners))


def area_within(outline: tuple[Point, ...]) -> BaseGeometry:
    """Return the area within an outline; one that crosses itself holds what lies within oddly.

    Two corners or one hold nothing.
    """
    return shapely.make_valid(Polygon(outline)) if len(outline) > 2 else Polygon()


def _is_wide(area: BaseGeometry) -> bool:
    """Return whether an area is anywhere wider than the tolerance."""
    return not area.buffer(-HALF_MM, join_style="mitre").is_empty


def _below(area: BaseGeometry, height: Callable[[float, float], float]) -> BaseGeometry:
    """Return the box round an area as far as a linear height is below nought in it."""
    if area.is_empty:
        return area
    x0, y0, x1, y1 = area.bounds
    box = [(x0, y0), (x1, y0), (x1, y1), (x0, y1)]
    corners: list[Point] = []
    for (ax, ay), (bx, by) in zip(box, [*box[1:], box[0]], strict=True):
        a, b = height(ax, ay), height(bx, by)
        if a < 0:
            corners.append((ax, ay))
        if (a < 0) != (b < 0):
            corners.append((ax + (bx - ax) * a / (a - b), ay + (by - ay) * a / (a - b)))
    return Polygon(corners) if len(corners) >= len(box) - 1 else Polygon()
