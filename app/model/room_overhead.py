"""Shapes that people name and a plan holds as planes and polygons: ceilings, falls, rectangles.

A shape is told from a wall: its height there, at the far side, how far in, how far along.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from app.model.base import Point, by_id
from app.model.room import GARAGE_KINDS, Plane, Room
from app.model.room_walls import direction, fresh_id, inward

CeilingShape = Literal["flat", "sloping", "ridged", "patches"]
_LEVEL = 0.01
"""Rise in mm per metre below which a plane is level: 0.3 mm over thirty metres."""
_ALONG = 0.999
_NEAR_MM = 1.0
RIDGE_IDS = ("ceiling-1", "ceiling-2")
"""The two sides of a ridged ceiling, by which they are known among other parts."""


@dataclass(frozen=True, slots=True)
class CeilingForm:
    """A ceiling as told from a wall; heights in mm from the datum of the floor.

    Flat: `height_mm`. Sloping: from `height_mm` at the wall to `far_mm` at the far side. Ridged:
    up from `height_mm` at the wall to `ridge_mm`, which is `ridge_at_mm` from it, and down to
    `far_mm`. `patches`: anything else, `height_mm` is its lowest.
    """

    shape: CeilingShape
    wall: str
    height_mm: float
    far_mm: float
    ridge_mm: float
    ridge_at_mm: float


@dataclass(frozen=True, slots=True)
class Place:
    """A rectangle told from a wall: along it from its start, and into the room. All in mm."""

    wall: str
    along_mm: float
    length_mm: float
    away_mm: float
    width_mm: float


def span_mm(room: Room, wall_id: str) -> float:
    """Return how far the room reaches from a wall, square to it."""
    return max(across_mm(room, wall_id, corner) for corner in room.corners)


def ceiling_planes(room: Room, form: CeilingForm) -> tuple[Plane, ...]:
    """Return the planes of a flat, sloping or ridged ceiling over a room."""
    if form.shape == "flat":
        return (Plane(id="ceiling", height_mm=form.height_mm),)
    span = span_mm(room, form.wall)
    start = room.wall_ends(form.wall)[0]
    nx, ny = inward(room, form.wall)
    if form.shape == "sloping":
        rise = (form.far_mm - form.height_mm) / span * 1000
        return (_tilted("ceiling", form.height_mm, start, rise, (nx, ny)),)
    up = (form.ridge_mm - form.height_mm) / form.ridge_at_mm * 1000
    down = (form.far_mm - form.ridge_mm) / (span - form.ridge_at_mm) * 1000
    ridge = (start[0] + nx * form.ridge_at_mm, start[1] + ny * form.ridge_at_mm)
    low = min(across_mm(room, form.wall, corner) for corner in room.corners)
    return (
        _tilted(
            RIDGE_IDS[0],
            form.height_mm,
            start,
            up,
            (nx, ny),
            _strip(room, form.wall, low, form.ridge_at_mm),
        ),
        _tilted(
            RIDGE_IDS[1],
            form.ridge_mm,
            ridge,
            down,
            (nx, ny),
            _strip(room, form.wall, form.ridge_at_mm, span),
        ),
    )


def split_planes(room: Room) -> tuple[tuple[Plane, ...], tuple[Plane, ...]]:
    """Return the planes that the ceiling's shape is told by, and its parts that differ from it.

    Without a shape that has a name every plane is a part.
    """
    planes = room.ceiling.planes
    whole = tuple(plane for plane in planes if not plane.outline)
    if len(whole) == 1 and (_rise(whole[0]) < _LEVEL or _wall_below(room, whole[0]) is not None):
        return whole, tuple(plane for plane in planes if plane.outline)
    pair = tuple(plane for plane in planes if plane.id in RIDGE_IDS)
    if len(planes) == 2 and not whole:
        pair = planes
    if len(pair) == 2 and all(plane.outline for plane in pair):
        low = _wall_below(room, pair[0])
        if low is not None and _wall_below(room, pair[0], pair[1]) == low:
            return pair, tuple(plane for plane in planes if plane not in pair)
    return (), planes


def ceiling_form(room: Room) -> CeilingForm:
    """Tell a room's ceiling from the wall along which it lies; `patches` when it has no name."""
    planes, parts = split_planes(room)
    first = (*planes, *parts)[0]
    if len(planes) == 1:
        if _rise(first) < _LEVEL:
            wall, height = room.walls[0].id, first.height_mm
            return CeilingForm("flat", wall, height, height, height, span_mm(room, wall) / 2)
        low = _wall_below(room, first)
        if low is not None:
            return _form("sloping", room, low, first, first, span_mm(room, low) / 2)
    if len(planes) == 2:
        low = _wall_below(room, first)
        if low is not None:
            at = max(across_mm(room, low, point) for point in first.outline)
            return _form("ridged", room, low, first, planes[1], at)
    lowest = min(plane.height_at(x, y) for plane in parts for x, y in plane.outline or room.corners)
    wall = room.walls[0].id
    return CeilingForm("patches", wall, lowest, lowest, lowest, span_mm(room, wall) / 2)


def free_ids(planes: tuple[Plane, ...], *taken: str) -> tuple[Plane, ...]:
    """Return planes with other ids where theirs are taken."""
    ids = {*taken, *(plane.id for plane in planes)}
    renamed = []
    for plane in planes:
        new_id = fresh_id("part", ids) if plane.id in taken else plane.id
        ids.add(new_id)
        renamed.append(Plane(**{**plane.model_dump(), "id": new_id}))
    return tuple(renamed)


def fitted_planes(before: Room, after: Room) -> tuple[Plane, ...]:
    """Return the ceiling's planes for a room whose walls have moved; a ridge stays where it was."""
    form = ceiling_form(before)
    if form.shape != "ridged" or form.wall not in {wall.id for wall in after.walls}:
        return before.ceiling.planes
    if not 0 < form.ridge_at_mm < span_mm(after, form.wall):
        return before.ceiling.planes
    (one, other), parts = split_planes(before)
    low = min(across_mm(after, form.wall, corner) for corner in after.corners)
    strips = (
        _strip(after, form.wall, low, form.ridge_at_mm),
        _strip(after, form.wall, form.ridge_at_mm, span_mm(after, form.wall)),
    )
    sides = tuple(
        Plane(**{**plane.model_dump(), "outline": strip})
        for plane, strip in zip((one, other), strips, strict=True)
    )
    return by_id((*sides, *parts))


def fall_plane(room: Room, wall_id: str, fall_mm_per_m: float) -> Plane:
    """Return a floor that falls towards a wall; its highest place is the datum of 0."""
    nx, ny = inward(room, wall_id)
    far = max(room.corners, key=lambda corner: across_mm(room, wall_id, corner))
    return _tilted("floor", 0.0, far, fall_mm_per_m, (nx, ny))


def floor_fall(room: Room) -> tuple[str, float] | None:
    """Return the wall towards which the floor falls and by how many mm per m; None if not told so.

    A level floor falls by 0 towards a garage door, as such floors do, else towards the first wall.
    Steps on it do not count.
    """
    planes = [plane for plane in room.floor.planes if not plane.outline]
    if len(planes) != 1:
        return None
    if _rise(planes[0]) < _LEVEL:
        garage = (opening.wall for opening in room.openings if opening.kind in GARAGE_KINDS)
        return next(garage, room.walls[0].id), 0.0
    low = _wall_below(room, planes[0])
    return None if low is None else (low, round(_rise(planes[0]), 2))


def rectangle(room: Room, place: Place) -> tuple[Point, ...]:
    """Return the corners of a rectangle told from a wall; the first side runs along the wall."""
    near, out = place.along_mm, place.away_mm
    far, deep = near + place.length_mm, out + place.width_mm
    return (
        point_off(room, place.wall, near, out),
        point_off(room, place.wall, far, out),
        point_off(room, place.wall, far, deep),
        point_off(room, place.wall, near, deep),
    )


def place_of(room: Room, outline: tuple[Point, ...]) -> Place | None:
    """Tell a rectangle from the wall it lies along; None where it is no such rectangle.

    A place that begins before the wall or behind it cannot be typed, so another wall tells it.
    """
    places = (place_from(room, outline, wall_id) for wall_id in walls_beside(room, outline))
    return next((one for one in places if one and one.along_mm >= 0 and one.away_mm >= 0), None)


def walls_beside(room: Room, outline: tuple[Point, ...]) -> tuple[str, ...]:
    """Return all walls, those first from which an outline is told most naturally."""
    return tuple(sorted((w.id for w in room.walls), key=lambda w: _apart(room, w, outline)))


def place_from(room: Room, outline: tuple[Point, ...], wall_id: str) -> Place | None:
    """Tell a rectangle from one wall; None where it is none that lies along it."""
    if len(outline) != 4:
        return None
    ux, uy = direction(room, wall_id)
    (x0, y0), _ = room.wall_ends(wall_id)
    along = [(x - x0) * ux + (y - y0) * uy for x, y in outline]
    away = [across_mm(room, wall_id, point) for point in outline]
    boxed = all(
        min(abs(a - min(along)), abs(a - max(along))) < _NEAR_MM
        and min(abs(b - min(away)), abs(b - max(away))) < _NEAR_MM
        for a, b in zip(along, away, strict=True)
    )
    if boxed and max(along) - min(along) > _NEAR_MM and max(away) - min(away) > _NEAR_MM:
        sizes = (min(along), max(along) - min(along), min(away), max(away) - min(away))
        return Place(wall_id, *(round(size, 1) + 0.0 for size in sizes))
    return None


def _form(
    shape: CeilingShape, room: Room, wall: str, one: Plane, other: Plane, at_mm: float
) -> CeilingForm:
    start = room.wall_ends(wall)[0]
    nx, ny = inward(room, wall)
    span = span_mm(room, wall)

    def height(plane: Plane, away: float) -> float:
        return round(plane.height_at(start[0] + nx * away, start[1] + ny * away), 1)

    return CeilingForm(
        shape, wall, height(one, 0), height(other, span), height(one, at_mm), round(at_mm, 1)
    )


def _wall_below(room: Room, plane: Plane, other: Plane | None = None) -> str | None:
    """Return the outermost wall from which a plane rises squarely, and the other one falls."""
    rise = _rise(plane)
    if rise < _LEVEL:
        return None
    walls = []
    for wall in room.walls:
        nx, ny = inward(room, wall.id)
        up = (plane.rise_x * nx + plane.rise_y * ny) / rise
        level = other is None or abs(other.rise_x * ny - other.rise_y * nx) < _LEVEL
        if up > _ALONG and level:
            walls.append((-span_mm(room, wall.id), wall.id))
    return min(walls)[1] if walls else None


def _rise(plane: Plane) -> float:
    return math.hypot(plane.rise_x, plane.rise_y)


def across_mm(room: Room, wall_id: str, point: Point) -> float:
    """Return how far a point lies from a wall into the room, in mm; negative: behind it."""
    (x0, y0), _ = room.wall_ends(wall_id)
    nx, ny = inward(room, wall_id)
    return (point[0] - x0) * nx + (point[1] - y0) * ny


def point_off(room: Room, wall_id: str, along_mm: float, out_mm: float) -> Point:
    """Return a point told from a wall: along it from where it starts, and out into the room."""
    (x0, y0), _ = room.wall_ends(wall_id)
    ux, uy = direction(room, wall_id)
    nx, ny = inward(room, wall_id)
    return (x0 + ux * along_mm + nx * out_mm, y0 + uy * along_mm + ny * out_mm)


def _apart(room: Room, wall_id: str, outline: tuple[Point, ...]) -> tuple[float, float]:
    """Order walls for a rectangle: the one its long side lies along and nearest to comes first."""
    ux, uy = direction(room, wall_id)
    (x0, y0), _ = room.wall_ends(wall_id)
    along = [(x - x0) * ux + (y - y0) * uy for x, y in outline]
    away = [across_mm(room, wall_id, point) for point in outline]
    across_it = max(away) - min(away) > max(along) - min(along) + _NEAR_MM
    behind = min(away) < -_NEAR_MM
    return (float(across_it) + 2 * float(behind), abs(min(away)))


def _tilted(
    plane_id: str,
    height: float,
    at: Point,
    rise: float,
    along: Point,
    outline: tuple[Point, ...] = (),
) -> Plane:
    return Plane(
        id=plane_id,
        height_mm=height,
        at=at,
        rise_x=rise * along[0],
        rise_y=rise * along[1],
        outline=outline,
    )


def _strip(room: Room, wall_id: str, near: float, far: float) -> tuple[Point, ...]:
    (x0, y0), _ = room.wall_ends(wall_id)
    ux, uy = direction(room, wall_id)
    along = [(x - x0) * ux + (y - y0) * uy for x, y in room.corners]
    place = Place(wall_id, min(along), max(along) - min(along), near, far - near)
    return rectangle(room, place)
