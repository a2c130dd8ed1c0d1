"""Parts of a ceiling or floor that differ from the rest: how a person tells one, and back.

A part lies as a rectangle told from a wall, or corner by corner; it is level, or it slopes away
from that wall.
"""

from __future__ import annotations

import math
import re
from dataclasses import dataclass
from typing import Literal

from app.model.base import Point
from app.model.outline import signed_area_mm2
from app.model.room import Plane, Room
from app.model.room_overhead import Place, across_mm, place_from, split_planes, walls_beside
from app.model.room_walls import inward

Surface = Literal["ceiling", "floor"]
Lies = Literal["rectangle", "drawn", "whole"]
Tilt = Literal["level", "slope", "drawn"]
_LEVEL = 0.01
"""Rise in mm per metre below which a part is level."""
_NUMBERED = re.compile(r"part-([1-9][0-9]{0,3})")


@dataclass(frozen=True, slots=True)
class PartForm:
    """A part as told from `wall`; `place` is None unless it lies as a rectangle along it.

    `near_mm` and `far_mm` are its heights on the sides nearest to and farthest from that wall.
    With the tilt `drawn` it slopes square to no wall, from `near_mm` to `far_mm`.
    """

    wall: str
    lies: Lies
    tilt: Tilt
    place: Place | None
    near_mm: float
    far_mm: float


def parts_of(room: Room, surface: Surface) -> tuple[Plane, ...]:
    """Return the parts of a ceiling beside its shape, or the steps of a floor."""
    if surface == "ceiling":
        return split_planes(room)[1]
    planes = room.floor.planes
    whole = [plane for plane in planes if not plane.outline]
    return tuple(plane for plane in planes if plane.outline or len(whole) != 1)


def part_numbers(room: Room, surface: Surface) -> dict[str, int]:
    """Return the number of each part by its id; another part that comes changes none of them.

    A part whose id ends in its number has that one, the others those that are left.
    """
    parts = parts_of(room, surface)
    numbers = {
        part.id: int(number[1]) for part in parts if (number := _NUMBERED.fullmatch(part.id))
    }
    left = (n for n in range(1, len(parts) + 1 + len(numbers)) if n not in numbers.values())
    for part in parts:
        if part.id not in numbers:
            numbers[part.id] = next(left)
    return numbers


def next_part_id(room: Room, surface: Surface) -> str:
    """Return the id of a part that comes: its number lies after all others."""
    planes = room.ceiling.planes if surface == "ceiling" else room.floor.planes
    taken = {plane.id for plane in planes}
    number = max(part_numbers(room, surface).values(), default=0) + 1
    while f"part-{number}" in taken:
        number += 1
    return f"part-{number}"


def part_form(room: Room, plane: Plane) -> PartForm:
    """Tell a part from the wall that suits it best."""
    outline = plane.outline or room.corners
    walls = walls_beside(room, outline)
    rise = math.hypot(plane.rise_x, plane.rise_y)
    square = [wall for wall in walls if rise < _LEVEL or _leans(room, wall, plane) < _LEVEL]
    places = {wall: place_from(room, plane.outline, wall) for wall in square}
    wall = next((w for w in square if places[w]), next(iter(square), walls[0]))
    place = places.get(wall)
    lies: Lies = "rectangle" if place else "drawn" if plane.outline else "whole"
    if rise < _LEVEL or not square:
        heights = [plane.height_at(x, y) for x, y in outline]
        tilt: Tilt = "level" if rise < _LEVEL else "drawn"
        return PartForm(wall, lies, tilt, place, round(min(heights), 2), round(max(heights), 2))
    by_distance = sorted(outline, key=lambda point: across_mm(room, wall, point))
    near, far = (round(plane.height_at(*by_distance[i]), 2) for i in (0, -1))
    return PartForm(wall, lies, "slope", place, near, far)


def laid_part(
    room: Room, part_id: str, wall: str, outline: tuple[Point, ...], near_mm: float, far_mm: float
) -> Plane:
    """Return a part over `outline` that goes from one height near a wall to another far from it."""
    nx, ny = inward(room, wall)
    corners = outline or room.corners
    away = [across_mm(room, wall, point) for point in corners]
    nearest = corners[away.index(min(away))]
    rise = (far_mm - near_mm) / (max(away) - min(away)) * 1000
    return Plane(
        id=part_id,
        height_mm=near_mm,
        at=nearest,
        rise_x=rise * nx,
        rise_y=rise * ny,
        outline=outline,
    )


def clockwise(outline: tuple[Point, ...]) -> tuple[Point, ...]:
    """Return an outline with its corners clockwise as drawn."""
    return outline if signed_area_mm2(outline) > 0 else outline[::-1]


def _leans(room: Room, wall: str, plane: Plane) -> float:
    """Return the rise along a wall in mm per metre: none where the part slopes square to it."""
    nx, ny = inward(room, wall)
    return abs(plane.rise_x * ny - plane.rise_y * nx)
