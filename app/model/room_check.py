"""Builds a changed room and says in the words of the page what keeps it from being one.

The walls are named by their letters and the corners by their numbers, as the drawing shows them.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from itertools import combinations
from typing import Any

from pydantic import ValidationError

from app.errors import Fault, PlanError
from app.model.base import Point, json_of
from app.model.faults import plan_error
from app.model.outline import first_crossing, signed_area_mm2
from app.model.plan import Plan
from app.model.room import Opening, Room, Wall
from app.model.room_walls import letter_at
from app.units import format_length

KIND_NAMES: Mapping[str, str] = {
    "hinged": "door",
    "pair": "pair of doors",
    "canopy": "garage door",
    "tracks": "garage door",
    "sectional": "garage door",
    "roller": "garage door",
    "side-sliding": "garage door",
    "window": "window",
    "gap": "gap",
}


def opening_name(opening: Opening) -> str:
    """Return the name of an opening for a sentence, without an article."""
    name = opening.label or KIND_NAMES[opening.kind]
    return name[0].lower() + name[1:]


def changed_plan(plan: Plan, field: str, **changes: Any) -> Plan:
    """Return the plan with other fields in its room. Raises PlanError naming `field`.

    `changes` are values of the room's own fields: models, or tuples of them.
    """
    fields: dict[str, Any] = {name: getattr(plan.room, name) for name in Room.model_fields}
    fields.update(changes)
    sentence = _outline(fields["walls"]) or _on_walls(fields, plan.units)
    sentence = sentence or _heights(fields, plan.units)
    if sentence:
        raise PlanError(Fault(field, sentence))
    try:
        room = Room(**fields)
        return Plan.model_validate({**json_of(plan), "room": json_of(room)})
    except ValidationError as error:
        faults = plan_error(error).faults
        raise PlanError(*(Fault(field, fault.sentence) for fault in faults)) from None


def _outline(walls: tuple[Wall, ...]) -> str | None:
    corners = [(wall.x_mm, wall.y_mm) for wall in walls]
    if len(corners) < 3:
        return "a room has at least three corners"
    crossing = first_crossing(corners)
    if crossing is not None:
        one, other = (letter_at(i) for i in crossing)
        if one == other:
            return f"wall {one} would have no length"
        return f"wall {one} would cross or touch wall {other}"
    if abs(signed_area_mm2(corners)) < 1:
        return "the walls would enclose no floor"
    return None


def _on_walls(fields: Mapping[str, Any], units: Any) -> str | None:
    walls = fields["walls"]
    corners = [(wall.x_mm, wall.y_mm) for wall in walls]
    known = {
        wall.id: (letter_at(i), _distance(corners[i], corners[(i + 1) % len(walls)]))
        for i, wall in enumerate(walls)
    }

    def say(length: float) -> str:
        return format_length(length, units)

    for opening in fields["openings"]:
        letter, length = known[opening.wall]
        end = opening.offset_mm + opening.width_mm
        if opening.width_mm > length + 0.01:
            return (
                f"the {opening_name(opening)} is {say(opening.width_mm)} wide, "
                f"wall {letter} only {say(length)} long"
            )
        if end > length + 0.01:
            return (
                f"the {opening_name(opening)} would end {say(end)} along wall {letter}, "
                f"which is {say(length)} long: it can begin at most at "
                f"{say(length - opening.width_mm)}"
            )
    for one, other in combinations(fields["openings"], 2):
        if one.wall == other.wall and _overlap(one, other):
            letter, _ = known[one.wall]
            return (
                f"the {opening_name(one)} and the {opening_name(other)} would overlap on wall "
                f"{letter}: {_span(one, say)} and {_span(other, say)} along it"
            )
    for socket in fields["sockets"]:
        letter, length = known[socket.wall]
        if socket.offset_mm > length:
            return (
                f"a socket would be {say(socket.offset_mm)} along wall {letter}, "
                f"which is {say(length)} long"
            )
    return None


def _overlap(one: Opening, other: Opening) -> bool:
    along = min(one.offset_mm + one.width_mm, other.offset_mm + other.width_mm) - max(
        one.offset_mm, other.offset_mm
    )
    up = min(one.sill_mm + one.height_mm, other.sill_mm + other.height_mm) - max(
        one.sill_mm, other.sill_mm
    )
    return along > 0.01 and up > 0.01


def _span(opening: Opening, say: Callable[[float], str]) -> str:
    return f"{say(opening.offset_mm)} to {say(opening.offset_mm + opening.width_mm)}"


def _heights(fields: Mapping[str, Any], units: Any) -> str | None:
    floors = fields["floor"].planes
    whole = [plane for plane in floors if not plane.outline] or list(floors)
    corners = [(wall.x_mm, wall.y_mm) for wall in fields["walls"]]
    for plane in fields["ceiling"].planes:
        for x, y in plane.outline or corners:
            floor = max(p.height_at(x, y) for p in whole)
            if plane.height_at(x, y) <= floor:
                where = _corner_name((x, y), corners)
                return (
                    f"the ceiling would be {format_length(plane.height_at(x, y), units)} high "
                    f"{where}, not above the floor there"
                )
    return None


def _corner_name(point: Point, corners: list[Point]) -> str:
    nearest = min(range(len(corners)), key=lambda i: _distance(point, corners[i]))
    word = "at" if _distance(point, corners[nearest]) < 1 else "near"
    return f"{word} corner {nearest + 1}"


def _distance(one: Point, other: Point) -> float:
    return float(((one[0] - other[0]) ** 2 + (one[1] - other[1]) ** 2) ** 0.5)
