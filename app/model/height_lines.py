"""Heights taken in one line, as two always are: from which wall the ceiling rises, and how."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from app.model.base import Point
from app.model.room import Plane, Room
from app.model.room_overhead import across_mm, span_mm
from app.model.room_walls import inward
from app.units import KILO

SAME_PLACE_MM = 50.0
"""So near to each other two heights are taken at one place: a hand's breadth less."""
_OPPOSITE = -0.9
"""Cosine between the ways into the room of two walls that face each other."""
_STRAIGHT = 0.966
"""Cosine of 15 degrees: heights so straight in from a wall tell that the ceiling rises from it."""
_OPEN = 0.2
"""Cosine below which heights say nothing of a rise from a wall: they lie along it."""
_ALIKE = 0.9
"""Cosine between the ways into the room of two walls that look the same way."""
_ARROW = 0.4
"""Length of the arrow of a fall, as a share of the room's smaller side."""


@dataclass(frozen=True, slots=True)
class Rise:
    """A slope that rises squarely from a wall, and how far each height lies off it, in mm."""

    plane: Plane
    misfits_mm: tuple[float, ...]


def in_line(places: Sequence[Point]) -> bool:
    """Return whether all places lie in one line, to the breadth of a hand."""
    ends = farthest(places)
    far = math.dist(*ends)
    if far <= SAME_PLACE_MM:
        return True
    (x0, y0), (x1, y1) = ends
    ux, uy = (x1 - x0) / far, (y1 - y0) / far
    return all(abs((x - x0) * uy - (y - y0) * ux) <= SAME_PLACE_MM for x, y in places)


def farthest(places: Sequence[Point]) -> tuple[Point, Point]:
    """Return the two places that lie farthest apart."""
    pairs = ((one, other) for one in places for other in places)
    return max(pairs, key=lambda pair: math.dist(*pair))


def rises_from(
    room: Room, walls: Sequence[int], places: Sequence[Point], high: Sequence[float]
) -> tuple[int, ...]:
    """Return the walls (counted from 1) from which a ceiling through heights in a line may rise.

    `walls` are those at which the heights were taken. Two on walls that face each other slope from
    the lower to the higher wall; what is taken straight in from a wall rises from that; else it
    is one of two. None for heights at one place.
    """
    low = min(range(len(high)), key=high.__getitem__)
    top = max(range(len(high)), key=high.__getitem__)
    far = math.dist(places[low], places[top])
    if far <= SAME_PLACE_MM:
        return ()
    ways = {i + 1: inward(room, wall.id) for i, wall in enumerate(room.walls)}
    share = {
        number: (
            across_mm(room, room.walls[number - 1].id, places[top])
            - across_mm(room, room.walls[number - 1].id, places[low])
        )
        / far
        for number in ways
    }
    below, above = ways[walls[low]], ways[walls[top]]
    faces = below[0] * above[0] + below[1] * above[1] < _OPPOSITE
    if faces and share[walls[low]] > _OPEN:
        return (walls[low],)
    lines: list[int] = []
    order = sorted(ways, key=lambda n: (-round(share[n], 3), -span_mm(room, room.walls[n - 1].id)))
    for number in order:
        nx, ny = ways[number]
        if share[number] <= _OPEN or any(
            nx * ways[other][0] + ny * ways[other][1] > _ALIKE for other in lines
        ):
            continue
        lines.append(number)
    if lines and share[lines[0]] >= _STRAIGHT:
        return (lines[0],)
    return tuple(lines[:2])


def straight_rise(room: Room, wall: int, places: Sequence[Point], high: Sequence[float]) -> Rise:
    """Return the slope that rises squarely from a wall (counted from 1) through heights.

    Exact through two; of more the line of least squares. Raises ValueError where all lie along
    the wall.
    """
    wall_id = room.walls[wall - 1].id
    away = [across_mm(room, wall_id, place) for place in places]
    mean_away, mean_high = math.fsum(away) / len(away), math.fsum(high) / len(high)
    spread = math.fsum((a - mean_away) ** 2 for a in away)
    if not spread:
        raise ValueError("all heights lie along the wall")
    rise = (
        math.fsum((a - mean_away) * (h - mean_high) for a, h in zip(away, high, strict=True))
        / spread
    )
    nx, ny = inward(room, wall_id)
    low = min(range(len(high)), key=high.__getitem__)
    base = mean_high + rise * (away[low] - mean_away)
    # told at the lower height itself, so that rounding of the rise cannot part them
    plane = Plane(
        id="ceiling",
        height_mm=base,
        at=places[low],
        rise_x=rise * KILO * nx,
        rise_y=rise * KILO * ny,
    )
    misfits = [h - plane.height_at(x, y) for (x, y), h in zip(places, high, strict=True)]
    return Rise(plane, tuple(misfits))


def fall_arrow(room: Room, plane: Plane) -> tuple[Point, Point] | None:
    """Return an arrow through the middle of a room down its ceiling; None for a level one."""
    steep = math.hypot(plane.rise_x, plane.rise_y)
    if steep * KILO < 1:
        return None
    xs, ys = [x for x, _ in room.corners], [y for _, y in room.corners]
    middle = ((min(xs) + max(xs)) / 2, (min(ys) + max(ys)) / 2)
    half = min(max(xs) - min(xs), max(ys) - min(ys)) * _ARROW / 2
    dx, dy = plane.rise_x / steep * half, plane.rise_y / steep * half
    return (middle[0] + dx, middle[1] + dy), (middle[0] - dx, middle[1] - dy)
