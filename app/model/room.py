"""The room: outline, walls, openings, floor, ceiling, what hangs below it and what stands in it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Annotated, Literal, Self

from pydantic import Field, field_validator, model_validator

from app.model.base import (
    Angle,
    Coordinate,
    Frozen,
    Hundredth,
    Id,
    Label,
    Length,
    PictureId,
    Point,
    Size,
    by_id,
)
from app.model.outline import first_crossing, signed_area_mm2
from app.model.surroundings import Climate, Electricity, Fabric, YesNo
from app.model.walk import Walk

WallConstruction = Literal[
    "solid-brick",
    "dense-block",
    "hollow-block",
    "aerated-block",
    "single-skin-block",
    "concrete",
    "timber-studs",
    "metal-studs",
    "unknown",
]
WallFinish = Literal["bare", "painted", "plaster", "plasterboard", "timber-board"]
CeilingConstruction = Literal["solid-joists", "i-joists", "trussed-rafters", "slab", "unknown"]
FloorConstruction = Literal["ground-slab", "suspended-slab", "timber", "unknown"]
CoveringMaterial = Literal["bare", "rubber", "foam", "carpet", "vinyl", "timber"]
OpeningKind = Literal[
    "hinged",
    "pair",
    "canopy",
    "tracks",
    "sectional",
    "roller",
    "side-sliding",
    "window",
    "gap",
]
PHOTOS_A_WALL = 6
GARAGE_KINDS = frozenset({"canopy", "tracks", "sectional", "roller", "side-sliding"})
LowKind = Literal["beam", "joist", "duct", "pipe", "track", "opener", "light", "bulkhead"]


class Wall(Frozen):
    """One wall: it starts at its corner and runs to the corner of the next wall.

    Corners lie on the face as measured, before any lining. As seen from inside with one's face
    to the wall, it starts on the left when the corners run clockwise as drawn. `photos` name
    pictures that are kept beside the plan.
    """

    id: Id
    x_mm: Coordinate
    y_mm: Coordinate
    thickness_mm: Size = 140
    construction: WallConstruction = "unknown"
    finish: WallFinish = "bare"
    lining_mm: Length = 0
    colour: Label = ""
    outside: bool = True
    shared: bool = False
    tanked: bool = False
    photos: tuple[PictureId, ...] = Field(default=(), max_length=PHOTOS_A_WALL)


class Opening(Frozen):
    """A door, garage door, window or plain gap in a wall.

    `offset_mm` runs along the wall from its starting corner to the near edge of the opening.
    `hinge` and `slides_to` are as seen from inside with one's face to the wall. Kinds: hinged
    (one leaf), pair (two leaves), canopy and tracks (up-and-over doors), sectional, roller,
    side-sliding, window, gap (no leaf). `glass` says that a door has glass in it, as all windows
    have. `open_while_training` says whether a door that comes in overhead stands open then,
    `opens_without_power` whether a garage door opens from inside by hand.
    """

    id: Id
    wall: Id
    kind: OpeningKind
    offset_mm: Length
    width_mm: Size
    height_mm: Size
    sill_mm: Length = 0
    hinge: Literal["left", "right"] = "left"
    swing: Literal["in", "out"] = "in"
    slides_to: Literal["left", "right"] = "left"
    opener: bool = False
    way_out: bool = True
    must_open: bool = False
    glass: bool = False
    open_while_training: YesNo = "unknown"
    opens_without_power: YesNo = "unknown"
    label: Label = ""

    @property
    def has_glass(self) -> bool:
        """Return whether there is glass in it: every window, and a door of which that is said."""
        return self.glass or self.kind == "window"

    @property
    def is_garage_door(self) -> bool:
        """Return whether this is one of the kinds a car drives through."""
        return self.kind in GARAGE_KINDS


class Plane(Frozen):
    """A flat patch of floor or ceiling, level or sloping.

    Its height is `height_mm` at the point `at` and rises by `rise_x` and `rise_y` mm for each
    metre of x and y (negative: it falls). An empty `outline` means the whole room; of several
    patches over one place the lowest ceiling and the highest floor count.
    """

    id: Id
    height_mm: Coordinate
    at: Point = (0.0, 0.0)
    rise_x: Coordinate = 0
    rise_y: Coordinate = 0
    outline: tuple[Point, ...] = ()

    def height_at(self, x_mm: float, y_mm: float) -> float:
        """Return the height in mm at a point of the plan."""
        return (
            self.height_mm
            + self.rise_x * (x_mm - self.at[0]) / 1000
            + self.rise_y * (y_mm - self.at[1]) / 1000
        )


class Covering(Frozen):
    """What will lie on the floor."""

    material: CoveringMaterial = "bare"
    thickness_mm: Annotated[float, Field(ge=0, le=300), Hundredth] = 0


class Floor(Frozen):
    """The bare floor, what it is made of and what will cover it. Heights are from a datum of 0.

    `uneven_mm` is the widest gap under a straight edge of 2 m laid anywhere on it; 0: not seen.
    """

    construction: FloorConstruction = "unknown"
    uneven_mm: Annotated[float, Field(ge=0, le=100), Hundredth] = 0
    covering: Covering = Covering()
    planes: tuple[Plane, ...] = (Plane(id="floor", height_mm=0),)

    @field_validator("planes")
    @classmethod
    def _some_plane(cls, planes: tuple[Plane, ...]) -> tuple[Plane, ...]:
        if not planes:
            raise ValueError("the floor needs at least one plane")
        return by_id(planes)


class Joists(Frozen):
    """Joists that show below the ceiling.

    `direction_deg` 0 runs along x. `first_mm` is the distance of the first joist's middle from
    the room's least coordinate across that direction.
    """

    direction_deg: Angle = 0
    spacing_mm: Annotated[float, Field(ge=100, le=5000), Hundredth] = 400
    width_mm: Size = 45
    depth_mm: Size = 150
    first_mm: Length = 200


class Ceiling(Frozen):
    """The underside over the room. With joists, the planes are the deck that the joists carry.

    Heights are as measured today. `finish_mm` is what boards and insulation that are still to
    come will take off them, under the joists where these show.
    """

    construction: CeilingConstruction = "unknown"
    planes: tuple[Plane, ...]
    joists: Joists | None = None
    finish_mm: Annotated[float, Field(ge=0, le=600), Hundredth] = 0

    @field_validator("planes")
    @classmethod
    def _some_plane(cls, planes: tuple[Plane, ...]) -> tuple[Plane, ...]:
        if not planes:
            raise ValueError("the ceiling needs at least one plane")
        return by_id(planes)

    @property
    def showing(self) -> Joists | None:
        """The joists that will show: boards go under them and close the gaps between them."""
        return None if self.finish_mm else self.joists

    @property
    def finished(self) -> tuple[Plane, ...]:
        """The planes as they will be; what is judged, drawn, counted and painted goes by them."""
        if not self.finish_mm:
            return self.planes
        drop = self.finish_mm + (self.joists.depth_mm if self.joists else 0.0)
        return tuple(
            Plane(
                id=plane.id,
                height_mm=plane.height_mm - drop,
                at=plane.at,
                rise_x=plane.rise_x,
                rise_y=plane.rise_y,
                outline=plane.outline,
            )
            for plane in self.planes
        )


class LowThing(Frozen):
    """Something that hangs below the ceiling: its underside is `bottom_mm` above the bare floor."""

    id: Id
    kind: LowKind
    outline: tuple[Point, ...] = Field(min_length=3)
    bottom_mm: Size
    label: Label = ""


class Column(Frozen):
    """Something that stands from floor to ceiling: a column, pier, chimney breast."""

    id: Id
    outline: tuple[Point, ...] = Field(min_length=3)
    label: Label = "Column"


class Socket(Frozen):
    """A socket outlet on a wall."""

    id: Id
    wall: Id
    offset_mm: Length
    height_mm: Length = 300
    circuit: Id | None = None


class Room(Frozen):
    """The whole room. Walls stand in the order of a walk round it, either way."""

    walls: tuple[Wall, ...] = Field(min_length=3, max_length=200)
    openings: tuple[Opening, ...] = ()
    floor: Floor = Floor()
    ceiling: Ceiling
    low_things: tuple[LowThing, ...] = ()
    columns: tuple[Column, ...] = ()
    sockets: tuple[Socket, ...] = ()
    electricity: Electricity = Electricity()
    climate: Climate = Climate()
    fabric: Fabric = Fabric()
    tape_error_mm: Length | None = None
    walk: Walk | None = None

    @property
    def corners(self) -> tuple[tuple[float, float], ...]:
        """The corners of the outline in mm, in the order of the walls."""
        return tuple((wall.x_mm, wall.y_mm) for wall in self.walls)

    @property
    def clockwise(self) -> bool:
        """Return whether the walls run clockwise as drawn."""
        return signed_area_mm2(self.corners) > 0

    def wall_ends(self, wall_id: str) -> tuple[tuple[float, float], tuple[float, float]]:
        """Return the two corners of a wall. Raises KeyError for an unknown wall."""
        for index, wall in enumerate(self.walls):
            if wall.id == wall_id:
                after = self.walls[(index + 1) % len(self.walls)]
                return (wall.x_mm, wall.y_mm), (after.x_mm, after.y_mm)
        raise KeyError(wall_id)

    def wall_length_mm(self, wall_id: str) -> float:
        """Return the length of a wall in mm. Raises KeyError for an unknown wall."""
        return math.dist(*self.wall_ends(wall_id))

    @field_validator("openings", "low_things", "columns", "sockets")
    @classmethod
    def _in_order(cls, things: tuple[Opening, ...]) -> tuple[Opening, ...]:
        return by_id(things)

    @model_validator(mode="after")
    def _hangs_together(self) -> Self:
        _check_outline(self)
        _check_on_walls(self)
        _check_heights(self)
        return self


def _check_outline(room: Room) -> None:
    ids = [wall.id for wall in room.walls]
    for wall_id in ids:
        if ids.count(wall_id) > 1:
            raise ValueError(f"the wall id {wall_id!r} stands twice")
    crossing = first_crossing(room.corners)
    if crossing is not None:
        one, other = (ids[i] for i in crossing)
        if one == other:
            raise ValueError(f"walls: the wall {one!r} has no length")
        raise ValueError(f"walls: the outline crosses itself: wall {one!r} meets wall {other!r}")
    if abs(signed_area_mm2(room.corners)) < 1:
        raise ValueError("walls: the outline encloses no floor")
    patches: Sequence[tuple[str, str, tuple[Point, ...]]] = [
        *(("low_things", thing.id, thing.outline) for thing in room.low_things),
        *(("columns", column.id, column.outline) for column in room.columns),
        *(("floor.planes", p.id, p.outline) for p in room.floor.planes if p.outline),
        *(("ceiling.planes", p.id, p.outline) for p in room.ceiling.planes if p.outline),
    ]
    for where, thing_id, outline in patches:
        if len(outline) < 3 or first_crossing(outline) or abs(signed_area_mm2(outline)) < 1:
            raise ValueError(f"{where}: the outline of {thing_id!r} is not a simple polygon")


def _check_on_walls(room: Room) -> None:
    lengths = {wall.id: room.wall_length_mm(wall.id) for wall in room.walls}
    for opening in room.openings:
        if opening.wall not in lengths:
            raise ValueError(
                f"openings: {opening.id!r} names the wall {opening.wall!r}, which is not there"
            )
        length = lengths[opening.wall]
        if opening.width_mm > length:
            raise ValueError(
                f"openings: {opening.id!r} is {opening.width_mm:.0f} mm wide, its wall "
                f"{opening.wall!r} only {length:.0f} mm long"
            )
        if opening.offset_mm + opening.width_mm > length + 0.01:
            raise ValueError(
                f"openings: {opening.id!r} ends {opening.offset_mm + opening.width_mm:.0f} mm "
                f"along the wall {opening.wall!r}, which is {length:.0f} mm long"
            )
    for socket in room.sockets:
        if socket.wall not in lengths:
            raise ValueError(
                f"sockets: {socket.id!r} names the wall {socket.wall!r}, which is not there"
            )
        if socket.offset_mm > lengths[socket.wall]:
            raise ValueError(f"sockets: {socket.id!r} lies past the end of its wall")


def _check_heights(room: Room) -> None:
    floors = [p for p in room.floor.planes if not p.outline] or list(room.floor.planes)
    for plane in room.ceiling.planes:
        for x, y in plane.outline or room.corners:
            floor = max(p.height_at(x, y) for p in floors)
            if plane.height_at(x, y) <= floor:
                raise ValueError(
                    f"ceiling: {plane.id!r} is {plane.height_at(x, y):.0f} mm high at "
                    f"({x:.0f}, {y:.0f}), not above the floor there"
                )
