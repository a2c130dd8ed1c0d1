"""What happens to the walls of a room when one of them is changed. Pure arithmetic on a room.

Each function gives the new walls, openings and sockets; whether they make a room is checked when
the room is built from them.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Any

from app.model.base import Point
from app.model.outline import first_crossing
from app.model.room import Opening, Room, Socket, Wall

PARALLEL_SINE = 0.18
"""Walls within about ten degrees of each other can take up each other's change of length."""
_SQUARE_SINE = 0.001
_STRAIGHT_MM = 0.5


@dataclass(frozen=True, slots=True)
class Edges:
    """The walls of a room and all that is fixed to them by an offset."""

    walls: tuple[Wall, ...]
    openings: tuple[Opening, ...]
    sockets: tuple[Socket, ...]

    def changes(self) -> dict[str, Any]:
        """Return the three as fields of a room."""
        return {"walls": self.walls, "openings": self.openings, "sockets": self.sockets}


def letter(room: Room, wall_id: str) -> str:
    """Return the letter of a wall, A for the first. Raises KeyError for an unknown wall."""
    for index, wall in enumerate(room.walls):
        if wall.id == wall_id:
            return letter_at(index)
    raise KeyError(wall_id)


def letter_at(index: int) -> str:
    """Return the letter of a place: A to Z, then AA, AB ..."""
    first, last = divmod(index, 26)
    return (chr(64 + first) if first else "") + chr(65 + last)


def fresh_id(prefix: str, taken: set[str]) -> str:
    """Return an id that nothing carries yet: `prefix-1`, `prefix-2` ..."""
    number = 1
    while f"{prefix}-{number}" in taken:
        number += 1
    return f"{prefix}-{number}"


def index_of(room: Room, wall_id: str) -> int:
    """Return the place of a wall. Raises KeyError for an unknown wall."""
    for index, wall in enumerate(room.walls):
        if wall.id == wall_id:
            return index
    raise KeyError(wall_id)


def direction(room: Room, wall_id: str) -> Point:
    """Return the unit vector along a wall, from its starting corner."""
    (x0, y0), (x1, y1) = room.wall_ends(wall_id)
    length = math.hypot(x1 - x0, y1 - y0)
    return ((x1 - x0) / length, (y1 - y0) / length)


def inward(room: Room, wall_id: str) -> Point:
    """Return the unit vector from a wall into the room."""
    ux, uy = direction(room, wall_id)
    return (-uy, ux) if room.clockwise else (uy, -ux)


def with_corners(room: Room, corners: tuple[Point, ...]) -> Edges:
    """Put the corners elsewhere; everything keeps its offset along its wall."""
    walls = tuple(_at(wall, corner) for wall, corner in zip(room.walls, corners, strict=True))
    return Edges(walls, room.openings, room.sockets)


def with_length(room: Room, wall_id: str, length_mm: float) -> Edges:
    """Make a wall longer or shorter. It keeps its direction and its first corner.

    The corners after it move along, up to the last wall parallel to it that can take up the
    difference. Where only walls before it can, its own start moves instead, back to the first of
    them; so the first corner of the room stays. Without any parallel wall the last wall closes
    the outline.
    """
    ux, uy = direction(room, wall_id)
    by = length_mm - room.wall_length_mm(wall_id)
    choices = []
    for _, moved, sign in _takers(room, wall_id):
        corners = tuple(
            (x + sign * by * ux, y + sign * by * uy) if i in moved else (x, y)
            for i, (x, y) in enumerate(room.corners)
        )
        choices.append(corners)
    whole = [corners for corners in choices if first_crossing(corners) is None]
    return with_corners(room, (whole or choices)[0])


def taken_up_by(room: Room, wall_id: str) -> str:
    """Return the id of the wall that takes up a change of this wall's length."""
    return room.walls[_takers(room, wall_id)[0][0]].id


def _takers(room: Room, wall_id: str) -> list[tuple[int, range, int]]:
    """List the walls that can take up a change, the best first.

    Each with the places of the corners that move then, and whether they move along or back.
    """
    index, last = index_of(room, wall_id), len(room.walls) - 1
    along = direction(room, wall_id)
    parallel = [
        i for i, wall in enumerate(room.walls) if i != index and _parallel(room, wall.id, along)
    ]
    takers = [(i, range(index + 1, i + 1), 1) for i in reversed(parallel) if i > index]
    takers += [(i, range(i + 1, index + 1), -1) for i in parallel if i < index]
    if not takers and index < last:
        return [(last, range(index + 1, last + 1), 1)]
    return takers or [(index - 1, range(index, last + 1), -1)]


def split(room: Room, wall_id: str, at_mm: float) -> Edges:
    """Put a corner into a wall, `at_mm` from its start; both parts are made alike."""
    (x, y), _ = room.wall_ends(wall_id)
    ux, uy = direction(room, wall_id)
    middle = (x + ux * at_mm, y + uy * at_mm)
    return _rebuilt(room, wall_id, [(x, y), middle], [0.0, at_mm], [0, 1])


def with_recess(
    room: Room, wall_id: str, at_mm: float, width_mm: float, depth_mm: float, into_room: bool
) -> Edges:
    """Set a stretch of a wall back, or forward into the room, by its depth.

    Four corners come in; where the stretch begins or ends at a corner of the room, the side of
    the stretch joins the next wall. What is fixed to the stretch stays on it.
    """
    (x0, y0), end = room.wall_ends(wall_id)
    ux, uy = direction(room, wall_id)
    nx, ny = inward(room, wall_id)
    by = depth_mm if into_room else -depth_mm
    far = at_mm + width_mm

    def point(along: float, across: float) -> Point:
        return (x0 + ux * along + nx * across, y0 + uy * along + ny * across)

    points = [(x0, y0), point(at_mm, 0), point(at_mm, by), point(far, by), point(far, 0)]
    starts = [0.0, math.nan, at_mm, math.nan, far]
    uses = [0, 1, 2, 3, 4]
    index = index_of(room, wall_id)
    before, after = room.walls[index - 1], room.walls[(index + 1) % len(room.walls)]
    joins_next = False
    if math.dist(points[4], end) < _STRAIGHT_MM:
        joins_next = _parallel(room, after.id, (nx, ny), _SQUARE_SINE)
        for parts in (points, starts, uses):
            del parts[3 if joins_next else 4 :]
    if at_mm < _STRAIGHT_MM:
        joins_before = _parallel(room, before.id, (nx, ny), _SQUARE_SINE)
        for parts in (points, starts, uses):
            del parts[: 2 if joins_before else 1]
    edges = _rebuilt(room, wall_id, points, starts, uses)
    if not joins_next:
        return edges
    vx, vy = direction(room, after.id)
    corner = point(far, by)
    longer = (end[0] - corner[0]) * vx + (end[1] - corner[1]) * vy
    return Edges(
        tuple(_at(w, corner) if w.id == after.id else w for w in edges.walls),
        _shifted(edges.openings, after.id, longer),
        _shifted(edges.sockets, after.id, longer),
    )


def without_corner(room: Room, index: int) -> Edges:
    """Take a corner away: the wall before it runs on to the next corner.

    What was fixed to either wall keeps its distance along from the corner where the joined wall
    starts, measured straight.
    """
    count = len(room.walls)
    gone, longer = room.walls[index], room.walls[index - 1]
    start = (longer.x_mm, longer.y_mm)
    end = room.corners[(index + 1) % count]
    length = math.dist(start, end) or 1.0
    ux, uy = (end[0] - start[0]) / length, (end[1] - start[1]) / length
    corner = (gone.x_mm, gone.y_mm)
    along = (corner[0] - start[0]) * ux + (corner[1] - start[1]) * uy
    walls = tuple(wall for wall in room.walls if wall.id != gone.id)
    return Edges(
        walls,
        tuple(
            _moved(o, longer.id, max(0.0, o.offset_mm + along)) if o.wall == gone.id else o
            for o in room.openings
        ),
        tuple(
            _moved(s, longer.id, max(0.0, s.offset_mm + along)) if s.wall == gone.id else s
            for s in room.sockets
        ),
    )


def _rebuilt(
    room: Room, wall_id: str, points: list[Point], starts: list[float], uses: list[int]
) -> Edges:
    """Put walls in the place of one. `starts` tells where along the old wall each begins.

    A wall that is not along the old one starts at NaN and takes nothing over.
    """
    index = index_of(room, wall_id)
    old = room.walls[index]
    taken = {wall.id for wall in room.walls}
    keeper = next((i for i, use in enumerate(uses) if use == 0), uses.index(2) if 2 in uses else 0)
    fresh: list[Wall] = []
    for i, point in enumerate(points):
        new_id = old.id if i == keeper else fresh_id(old.id[:40], taken)
        taken.add(new_id)
        fresh.append(_at(old, point, new_id))
    along = [(at, wall.id) for at, wall in zip(starts, fresh, strict=True) if not math.isnan(at)]

    def place(offset: float) -> tuple[str, float]:
        at, holder = max((a for a in along if a[0] <= offset + 0.01), default=along[0])
        return holder, max(0.0, offset - at)

    return Edges(
        (*room.walls[:index], *fresh, *room.walls[index + 1 :]),
        tuple(_moved(o, *place(o.offset_mm)) if o.wall == wall_id else o for o in room.openings),
        tuple(_moved(s, *place(s.offset_mm)) if s.wall == wall_id else s for s in room.sockets),
    )


def _parallel(room: Room, wall_id: str, along: Point, sine: float = PARALLEL_SINE) -> bool:
    ux, uy = direction(room, wall_id)
    return abs(ux * along[1] - uy * along[0]) < sine


def _shifted(things: tuple[Any, ...], wall_id: str, by_mm: float) -> tuple[Any, ...]:
    return tuple(
        _moved(thing, wall_id, max(0.0, thing.offset_mm + by_mm))
        if thing.wall == wall_id
        else thing
        for thing in things
    )


def _at(wall: Wall, corner: Point, wall_id: str | None = None) -> Wall:
    """Return a wall that begins elsewhere; another one is made alike, but nobody took its photo."""
    data = wall.model_dump(exclude={"photos"} if wall_id not in (None, wall.id) else set())
    return Wall(**{**data, "id": wall_id or wall.id, "x_mm": corner[0], "y_mm": corner[1]})


def _moved(thing: Any, wall_id: str, offset_mm: float) -> Any:
    return type(thing)(**{**thing.model_dump(), "wall": wall_id, "offset_mm": offset_mm})
