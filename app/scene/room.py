"""The room as geometry: walls, free floor, openings, what stands in it and hangs over it."""

from __future__ import annotations

import threading
from dataclasses import dataclass
from functools import partial
from weakref import WeakKeyDictionary

import shapely
from shapely import Polygon

from app.errors import Fault, PlanError
from app.model.outline import signed_area_mm2
from app.model.room import Column, LowThing, Room
from app.model.surroundings import YesNo
from app.recent import Recent
from app.scene.doors import OpeningShape, opening_shape
from app.scene.overhead import Overhead, joist_polygons, left_open, room_overhead, that_open
from app.scene.tolerance import HALF_MM, TOLERANCE_MM
from app.scene.walls import WallShape, wall_shapes

ROOMS_AT_MOST = 64
"""Rooms that are remembered as geometry: those of all plans in use, each with a few edits."""

ROOMS_BYTES = 16_000_000
"""What they hold together, by `room_bytes`."""

_BYTES_A_PART = 1000
"""What a wall, opening, column or thing overhead holds as geometry: a bare room of four walls
was measured at 6 kB, its walls and its ceiling three times."""

_OWN = threading.local()


@dataclass(frozen=True, slots=True, eq=False, weakref_slot=True)
class RoomShape:
    """Everything of a room that does not move with the kit.

    `outline` is as measured, `free` the floor inside the linings, `grown` the same grown by half
    the tolerance. `shut` and `open` are what is
    overhead with the garage doors shut and open, `training` with those open that are said to be
    while somebody trains, the ceiling as it will be finished; `bare` is what is overhead today
    with them shut.
    """

    room: Room
    outline: Polygon
    free: Polygon
    grown: Polygon
    walls: tuple[WallShape, ...]
    openings: tuple[OpeningShape, ...]
    joists: tuple[Polygon, ...]
    low: tuple[tuple[LowThing, Polygon], ...]
    columns: tuple[tuple[Column, Polygon], ...]
    shut: Overhead
    open: Overhead
    training: Overhead
    bare: Overhead

    @property
    def within(self) -> Polygon:
        """`grown`, prepared for many questions: a core lies in the room if this covers it.

        Each thread has its own. A prepared polygon makes its index while it answers the first
        question, and two threads that make it at once bring the whole process down.
        """
        own = _OWN.__dict__.setdefault("within", WeakKeyDictionary())
        if self not in own:
            mine = Polygon(self.grown.exterior.coords)
            shapely.prepare(mine)
            own[self] = mine
        prepared: Polygon = own[self]
        return prepared

    @property
    def opens(self) -> bool:
        """Return whether an open garage door hangs anything over the room."""
        return any(shape.when_open for shape in self.openings)

    @property
    def open_while_training(self) -> YesNo:
        """Return whether somebody trains under an open leaf: yes if any door is said to be open."""
        answers = self._while_training
        if "yes" in answers:
            return "yes"
        return "unknown" if "unknown" in answers else "no"

    @property
    def may_be_open(self) -> bool:
        """Return whether of some door that comes in overhead nobody has said how it stands then."""
        return "unknown" in self._while_training

    @property
    def _while_training(self) -> list[YesNo]:
        return [s.opening.open_while_training for s in self.openings if s.when_open]


def room_bytes(room: RoomShape) -> int:
    """Return about how many bytes a room holds as geometry, by the number of its parts."""
    parts = len(room.walls) + len(room.openings) + len(room.joists) + len(room.low)
    parts += len(room.columns)
    parts += len(room.shut.items) + len(room.open.items) + len(room.bare.items)
    return parts * _BYTES_A_PART


ROOMS = Recent[Room, RoomShape](ROOMS_AT_MOST, ROOMS_BYTES, room_bytes)


def room_shape(room: Room) -> RoomShape:
    """Turn a room into geometry; remembered by the room's value.

    Raises PlanError when linings leave no floor or cut it in two.
    """
    return ROOMS.made(room, partial(_made, room))


def _made(room: Room) -> RoomShape:
    walls = wall_shapes(room)
    free = Polygon([wall.start for wall in walls])
    outline = Polygon(room.corners)
    turned_over = signed_area_mm2([w.start for w in walls]) * signed_area_mm2(room.corners) <= 0
    if turned_over or not free.is_valid or not outline.buffer(TOLERANCE_MM).covers(free):
        raise PlanError(
            Fault("room.walls", "the linings leave no floor of one piece: make them thinner")
        )
    count = len(walls)
    by_id = {wall.id: i for i, wall in enumerate(walls)}
    openings = []
    for opening in room.openings:
        i = by_id[opening.wall]
        around = (walls[i - 1], walls[(i + 1) % count])
        openings.append(opening_shape(opening, walls[i], around))
    shut = room_overhead(room, free, openings)
    bare = shut
    if room.ceiling.finish_mm:
        bare = room_overhead(room, free, openings, finished=False)
    doors, stay = that_open(openings), left_open(openings)
    opened = room_overhead(room, free, openings, doors)
    training = opened if stay == doors else room_overhead(room, free, openings, stay)
    return RoomShape(
        room=room,
        outline=outline,
        free=free,
        grown=free.buffer(HALF_MM, join_style="mitre"),
        walls=walls,
        openings=tuple(openings),
        joists=tuple(joist_polygons(room, free)),
        low=tuple((thing, Polygon(thing.outline)) for thing in room.low_things),
        columns=tuple((column, Polygon(column.outline)) for column in room.columns),
        shut=shut,
        open=opened,
        training=training if stay else shut,
        bare=bare,
    )
