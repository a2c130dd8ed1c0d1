"""Rooms and pieces for the tests of fixings, floors and failing alone."""

from typing import Any

from app.model.kit import Piece
from app.model.plan import Plan
from app.model.room import Room
from tests.builders import make_room


def but(piece: Piece, **fields: Any) -> Piece:
    """The same piece with some fields otherwise."""
    return Piece.model_validate(piece.model_dump() | fields)


def room_of(
    wall: str = "dense-block",
    ceiling: str = "solid-joists",
    floor: str = "ground-slab",
    *,
    fabric: dict[str, str] | None = None,
    covering: dict[str, Any] | None = None,
    walls: dict[str, Any] | None = None,
    sockets: tuple[dict[str, Any], ...] = (),
    planes: tuple[dict[str, Any], ...] = (),
    **sizes: Any,
) -> Room:
    """A room of known construction, 5 x 5 m and 2600 high unless told otherwise."""
    data = make_room(**sizes).model_dump()
    for made in data["walls"]:
        made |= {"construction": wall} | (walls or {})
    data["ceiling"]["construction"] = ceiling
    data["floor"]["construction"] = floor
    data["floor"]["covering"] |= covering or {}
    if planes:
        data["floor"]["planes"] = planes
    data["fabric"] |= {
        "built_before_2000": "no",
        "below": "ground",
        "post_tensioned": "no",
        "floor_dry": "yes",
    } | (fabric or {})
    data["sockets"] = sockets
    return Room.model_validate(data)


def in_room(plan: Plan, room: Room) -> Plan:
    """The same plan in another room."""
    return Plan.model_validate(plan.model_dump() | {"room": room.model_dump()})
