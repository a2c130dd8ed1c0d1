"""What is overhead, and the clear height over any area, exact for sloping floors and ceilings.

Every ceiling patch, joist and low thing is a polygon with a height that is linear over it. The
least clear height over an area is at a corner of area and polygon, so it is found exactly from
the corners of their intersections. All heights are above the bare floor below.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import MultiPolygon, Polygon, STRtree
from shapely.geometry.base import BaseGeometry

from app.model.room import Joists, Plane, Room
from app.published.register import published
from app.scene.doors import OpeningShape
from app.scene.part_cover import highest_given_mm
from app.scene.tolerance import Geometries
from app.units import MM_PER_M

_MM_PER_M = MM_PER_M
_SLIVER_MM2 = 1000
"""What parts of a ceiling that meet may leave between them: a tenth of a millimetre over 10 m."""


@dataclass(frozen=True, slots=True)
class Above:
    """One thing overhead: where it is, height coefficients (a + b x + c y in mm), what it is."""

    name: str
    polygon: Polygon | MultiPolygon
    coefficients: tuple[float, float, float]
    kind: str

    def heights(self, shape: BaseGeometry) -> NDArray[np.float64]:
        """Return its heights in mm over the corners of a shape, (n,)."""
        return self.heights_at(shapely.get_coordinates(shape))

    def heights_at(self, xy: NDArray[np.float64]) -> NDArray[np.float64]:
        """Return its heights in mm over points (n, 2), (n,)."""
        a, b, c = self.coefficients
        heights: NDArray[np.float64] = a + b * xy[:, 0] + c * xy[:, 1]
        return heights


def lower_part(item: Above, level_mm: float) -> BaseGeometry:
    """Return the part of a thing overhead that lies lower than a level: cut by a straight line."""
    heights = item.heights(item.polygon)
    if not len(heights) or heights.min() >= level_mm:
        return Polygon()
    if heights.max() < level_mm:
        return item.polygon
    a, b, c = item.coefficients
    steep = math.hypot(b, c)
    # coordinates up the slope and along its level lines, far beyond all of it but where it is cut
    ux, uy = b / steep, c / steep
    cut = (level_mm - a) / steep
    x0, y0, x1, y1 = item.polygon.bounds
    far = math.hypot(*(2 * max(abs(low), abs(high)) for low, high in ((x0, x1), (y0, y1))))
    lower = [(cut, -far), (cut, far), (-far, far), (-far, -far)]
    half = Polygon([(u * ux - v * uy, u * uy + v * ux) for u, v in lower])
    return item.polygon.intersection(half)


class Overhead:
    """All that is overhead in one situation."""

    def __init__(self, items: Sequence[Above]) -> None:
        self.items = tuple(items)
        self.polygons: Geometries = np.array([item.polygon for item in items], dtype=object)
        self._coefficients = np.array([item.coefficients for item in items], dtype=np.float64)
        self._slopes = np.array([any(item.coefficients[1:]) for item in items], dtype=bool)
        self._tree = STRtree(self.polygons)
        heights = [item.heights(item.polygon) for item in items]
        self.lowest_mm = min((float(some.min()) for some in heights if len(some)), default=math.inf)

    def clear(self, areas: Geometries) -> tuple[NDArray[np.float64], NDArray[np.intp]]:
        """Return the least clear height in mm over each area, and the item that sets it.

        An area with nothing overhead gets infinity and -1.
        """
        clear = np.full(len(areas), np.inf)
        cause = np.full(len(areas), -1, dtype=np.intp)
        of, item = self._tree.query(areas, predicate="intersects")
        if not len(of):
            return clear, cause
        heights = self._coefficients[item, 0]
        pair = np.arange(len(of))
        # what hangs level is as high over any part of an area: nothing has to be cut out
        slopes = np.flatnonzero(self._slopes[item])
        if len(slopes):
            common = shapely.intersection(areas[of[slopes]], self.polygons[item[slopes]])
            xy, hit = shapely.get_coordinates(common, return_index=True)
            k = self._coefficients[item[slopes[hit]]]
            sloping = k[:, 0] + k[:, 1] * xy[:, 0] + k[:, 2] * xy[:, 1]
            level = np.flatnonzero(~self._slopes[item])
            pair = np.concatenate([level, slopes[hit]])
            heights = np.concatenate([heights[level], sloping])
        # assignment keeps the last of several values for one place, so the lowest height wins, of
        # alike ones the last pair
        order = np.lexsort((pair, -heights))
        clear[of[pair[order]]] = heights[order]
        cause[of[pair[order]]] = item[pair[order]]
        return clear, cause


def room_overhead(
    room: Room,
    free: Polygon,
    openings: Sequence[OpeningShape],
    opened: frozenset[str] = frozenset(),
    finished: bool = True,
) -> Overhead:
    """Gather what is overhead with some garage doors open, by id; the ceiling as finished.

    With `finished` false it is the ceiling as it is today.
    """
    items: list[Above] = []
    planes = room.ceiling.finished if finished else room.ceiling.planes
    joists = room.ceiling.showing if finished else room.ceiling.joists
    for plane in planes:
        patch: BaseGeometry = free
        if plane.outline:
            patch = free.intersection(Polygon(plane.outline))
        items += _over_floor(room, "ceiling", patch, _plane(plane), "ceiling")
        for strip in _joist_strips(joists, free):
            below = _plane(plane, joists.depth_mm if joists else 0)
            items += _over_floor(room, "joist", patch.intersection(strip), below, "joist")
    items += _untold(room, free, items)
    for thing in room.low_things:
        outline = Polygon(thing.outline)
        items.append(Above(thing.label or thing.kind, outline, (thing.bottom_mm, 0, 0), thing.kind))
    # Before doors hang anything in the way: an opener is screwed to the ceiling, not to its own
    # door.
    ceiling = Overhead(items)
    for shape in openings:
        for hanging in shape.always + (shape.when_open if shape.opening.id in opened else ()):
            low = (hanging.bottom_mm, 0.0, 0.0)
            items.append(Above(hanging.name, hanging.polygon, low, "door"))
        if shape.opening.opener and shape.opening.is_garage_door:
            items.append(_opener(shape, ceiling))
    return Overhead([item for item in items if not item.polygon.is_empty])


def _untold(room: Room, free: Polygon, given: Sequence[Above]) -> list[Above]:
    """Return the ceiling over floor over which none is told: as high as the highest that is told.

    It is some height: a room in which one place is high without end is neither judged nor drawn.
    """
    if any(not plane.outline for plane in room.ceiling.planes):
        return []
    patches = [item.polygon for item in given if item.kind == "ceiling"]
    rest = free.difference(shapely.union_all(patches))
    height = (highest_given_mm(room), 0.0, 0.0)
    return [
        item
        for part in shapely.get_parts(rest)
        if part.area > _SLIVER_MM2
        for item in _over_floor(room, "ceiling", part, height, "ceiling")
    ]


def that_open(openings: Sequence[OpeningShape]) -> frozenset[str]:
    """Return the doors that hang overhead when doors are open.

    Of several those that are said to be shut while training stay so.
    """
    all_of_them = [shape.opening for shape in openings if shape.when_open]
    some = [door.id for door in all_of_them if door.open_while_training != "no"]
    return frozenset(some or [door.id for door in all_of_them])


def left_open(openings: Sequence[OpeningShape]) -> frozenset[str]:
    """Return the doors that hang overhead and are said to stand open while somebody trains."""
    all_of_them = [shape.opening for shape in openings if shape.when_open]
    return frozenset(door.id for door in all_of_them if door.open_while_training == "yes")


def _plane(plane: Plane, drop_mm: float = 0) -> tuple[float, float, float]:
    b, c = plane.rise_x / _MM_PER_M, plane.rise_y / _MM_PER_M
    return plane.height_mm - drop_mm - b * plane.at[0] - c * plane.at[1], b, c


def _over_floor(
    room: Room,
    name: str,
    patch: BaseGeometry,
    height: tuple[float, float, float],
    kind: str,
) -> list[Above]:
    """Take the floor's own height off, patch by patch; the highest floor gives the least height."""
    result = []
    for plane in room.floor.planes:
        a, b, c = _plane(plane)
        part = patch if not plane.outline else patch.intersection(Polygon(plane.outline))
        if part.is_empty or not isinstance(part, Polygon | MultiPolygon):
            continue
        # Two planes give a plane: the clear height stays linear, so its least is still at a corner.
        net = (height[0] - a, height[1] - b, height[2] - c)
        result.append(Above(name, part, net, kind))
    return result


def _joist_strips(joists: Joists | None, free: Polygon) -> list[Polygon]:
    if joists is None:
        return []
    angle = math.radians(joists.direction_deg)
    ux, uy = math.cos(angle), math.sin(angle)
    corners = shapely.get_coordinates(free)
    along = corners @ np.array([ux, uy])
    across = corners @ np.array([-uy, ux])
    start, end = along.min() - 1, along.max() + 1
    strips = []
    middle = across.min() + joists.first_mm
    # The first joist is typed from the side; from there on to the far one, the last perhaps half in
    # the wall.
    while middle - joists.width_mm / 2 < across.max():
        low, high = middle - joists.width_mm / 2, middle + joists.width_mm / 2
        ring = [(start, low), (end, low), (end, high), (start, high)]
        strips.append(Polygon([(s * ux - n * uy, s * uy + n * ux) for s, n in ring]))
        middle += joists.spacing_mm
    return strips


def joist_polygons(room: Room, free: Polygon) -> list[Polygon]:
    """Return the joists as they will show from below, cut to the room."""
    return [
        part
        for strip in _joist_strips(room.ceiling.showing, free)
        for part in shapely.get_parts(strip.intersection(free))
        if isinstance(part, Polygon)
    ]


def _opener(shape: OpeningShape, ceiling: Overhead) -> Above:
    """Return the motor head of a garage door: mid-width, behind the lintel, below the ceiling."""
    deep = published("opener.behind-lintel-least-mm")
    length, width = published("opener.length-mm"), published("opener.width-mm")
    mx, my = shape.middle
    ix, iy = shape.inward
    ring = [
        (mx + ix * d - iy * s, my + iy * d + ix * s)
        for d, s in (
            (deep, -width / 2),
            (deep, width / 2),
            (deep + length, width / 2),
            (deep + length, -width / 2),
        )
    ]
    polygon = Polygon(ring)
    clear, _ = ceiling.clear(np.array([polygon], dtype=object))
    drop = published("opener.drop-most-mm")
    under = float(clear[0]) - drop if math.isfinite(clear[0]) else math.inf
    return Above("door opener", polygon, (under, 0.0, 0.0), "opener")
