"""Every edit of the page of the room: typed fields in, one command out.

An edit is a name and the fields of its form, all as typed. `edit` gives the command that carries
it out, None when it changes nothing. What is wrong is a PlanError with one fault for each field,
under the field's own name.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import partial

from app.changes.commands import Command
from app.errors import Fault, PlanError
from app.forms import (
    room_edits_around,
    room_edits_inside,
    room_edits_parts,
    room_edits_photos,
    room_edits_sketch,
    room_edits_things,
    room_edits_walls,
    room_edits_ways,
)
from app.forms.field_table import Table, length, values_of
from app.forms.photo_field import with_photo
from app.forms.room_edits_walls import WALLS
from app.forms.thing_edits import Done, Edit, command_of, plan_with
from app.forms.typed_fields import Typed
from app.model.plan import Plan
from app.model.room import Opening, Wall
from app.model.room_check import changed_plan, opening_name
from app.model.room_overhead import fitted_planes
from app.model.room_walls import (
    Edges,
    letter,
    split,
    with_corners,
    with_length,
    with_recess,
    without_corner,
)
from app.model.turning import as_it_is_drawn, door_below, turned_by_hand
from app.units import format_length

WALL_LENGTH = (50.0, 60_000.0)
OFFSET = (0.0, 60_000.0)
COORDINATE = (-90_000.0, 90_000.0)
RECESS_DEPTH = (10.0, 10_000.0)


def edit(plan: Plan, name: str, fields: Mapping[str, str], photo: str = "") -> Command | None:
    """Return the command for an edit, None when nothing changes; `photo` names a kept picture.

    Raises PlanError, CommandError.
    """
    sent = with_photo(fields, photo)
    return command_of(EDITS, plan, name, sent, "room", "A room cannot be changed that way.")


def _edges(plan: Plan, field: str, edges: Edges) -> Plan:
    after = changed_plan(plan, field, **edges.changes())
    planes = fitted_planes(plan.room, after.room)
    if planes == after.room.ceiling.planes:
        return after
    return plan_with(after, "room.ceiling.planes", field, planes)


LENGTH = Table(
    Wall,
    (
        length("length", "Length", "", what="the length", example="5.32 m", least=WALL_LENGTH[0],
               most=WALL_LENGTH[1]),
    ),
    shown=lambda plan, wall: {
        "length": (format_length(mm := plan.room.wall_length_mm(wall.id), plan.units), mm)
    },
    finish=lambda plan, typed, old, values: values,
)  # fmt: skip
_coordinate = partial(length, least=COORDINATE[0], most=COORDINATE[1])
CORNER = Table(
    Wall,
    (
        _coordinate("x", "Right of the zero point", "x_mm", what="the distance from the left"),
        _coordinate("y", "In front of it", "y_mm", what="the distance from the back"),
    ),
)


def _wall_length(plan: Plan, typed: Typed) -> Done:
    wall = WALLS.named(plan, typed)
    mm = values_of(LENGTH, plan, typed, wall)["length"]
    says = f"wall {letter(plan.room, wall.id)} to {typed.say(mm)}"
    if mm == plan.room.wall_length_mm(wall.id):
        return plan, says
    return _edges(plan, "length", with_length(plan.room, wall.id, mm)), says


def _split(plan: Plan, typed: Typed) -> Done:
    wall = WALLS.named(plan, typed)
    name, length = letter(plan.room, wall.id), plan.room.wall_length_mm(wall.id)
    at = typed.length("at", "the new corner", OFFSET)
    if not typed.faults and not 0 < at < length:
        typed.fault("at", f"wall {name} is {typed.say(length)} long: say a place along it")
    for opening in plan.room.openings:
        if opening.wall == wall.id and _inside(at, opening):
            typed.fault("at", f"the {opening_name(opening)} is there: {_along(opening, typed)}")
    typed.done()
    return _edges(plan, "at", split(plan.room, wall.id, at)), f"split wall {name}"


def _recess(plan: Plan, typed: Typed) -> Done:
    wall = WALLS.named(plan, typed)
    name, length = letter(plan.room, wall.id), plan.room.wall_length_mm(wall.id)
    at = typed.length("recess_at", "where it begins", OFFSET, empty=0)
    width = typed.length("recess_width", "the width", WALL_LENGTH)
    depth = typed.length("recess_depth", "the depth", RECESS_DEPTH)
    into = typed.choice("into", ("in", "out")) == "in"
    if not typed.faults and at + width > length + 0.01:
        typed.fault(
            "recess_width",
            f"it would end {typed.say(at + width)} along wall {name}, which is "
            f"{typed.say(length)} long",
        )
    if not typed.faults and width > length - 0.5:
        typed.fault("recess_width", f"that is all of wall {name}: drag or type its corners instead")
    for opening in plan.room.openings:
        if opening.wall == wall.id and (_inside(at, opening) or _inside(at + width, opening)):
            typed.fault(
                "recess_at",
                f"its edge would cut the {opening_name(opening)}, "
                f"which runs {_along(opening, typed)}",
            )
    typed.done()
    edges = with_recess(plan.room, wall.id, at, width, depth, into)
    what = "a chimney breast or pier" if into else "an alcove"
    return _edges(plan, "recess_depth", edges), f"{what} in wall {name}"


def _corner(plan: Plan, typed: Typed) -> Done:
    index = _corner_index(plan, typed)
    values = values_of(CORNER, plan, typed, plan.room.walls[index])
    corners = list(plan.room.corners)
    corners[index] = (values["x_mm"], values["y_mm"])
    edges = with_corners(plan.room, tuple(corners))
    return _edges(plan, "x", edges), f"corner {index + 1}"


def _remove_corner(plan: Plan, typed: Typed) -> Done:
    index = _corner_index(plan, typed)
    typed.done()
    if len(plan.room.walls) == 3:
        raise PlanError(Fault("x", "a room has at least three corners"))
    return _edges(plan, "x", without_corner(plan.room, index)), f"take corner {index + 1} away"


def _corner_index(plan: Plan, typed: Typed) -> int:
    return plan.room.walls.index(replace(WALLS, key="corner").named(plan, typed))


def _inside(at: float, opening: Opening) -> bool:
    return opening.offset_mm + 0.01 < at < opening.offset_mm + opening.width_mm - 0.01


def _along(opening: Opening, typed: Typed) -> str:
    return f"{typed.say(opening.offset_mm)} to {typed.say(opening.offset_mm + opening.width_mm)}"


def _turn(plan: Plan, typed: Typed) -> Done:
    """Turn the drawing by a quarter, or so that the door is below."""
    way = typed.choice("way", ("right", "left", "door"))
    typed.done()
    if way == "door":
        return door_below(plan), "draw the door below"
    return turned_by_hand(plan, 1 if way == "right" else -1), f"turn the drawing to the {way}"


def _as_drawn(change: Edit) -> Edit:
    """Return the edit of a room whose door may be another one then: it is drawn below."""

    def changed(plan: Plan, typed: Typed) -> Done:
        after, says = change(plan, typed)
        return as_it_is_drawn(after), says

    return changed


_OF_DOORS = ("add-opening", "opening", "remove-opening", "corner", "remove-corner", "split")

EDITS: Mapping[str, Edit] = {
    "turn": _turn,
    "wall-length": _wall_length,
    "split": _split,
    "recess": _recess,
    "corner": _corner,
    "remove-corner": _remove_corner,
    **room_edits_inside.EDITS,
    **room_edits_around.EDITS,
    **room_edits_parts.EDITS,
    **room_edits_photos.EDITS,
    **room_edits_sketch.EDITS,
    **room_edits_things.EDITS,
    **room_edits_ways.EDITS,
    **room_edits_walls.EDITS,
}
EDITS = {name: _as_drawn(each) if name in _OF_DOORS else each for name, each in EDITS.items()}
"""All edits by name."""
TABLES: Mapping[str, Table] = {
    "wall-length": LENGTH,
    "corner": CORNER,
    **room_edits_ways.TABLES,
    **room_edits_sketch.TABLES,
    **room_edits_walls.TABLES,
    **room_edits_inside.TABLES,
    **room_edits_parts.TABLES,
    **room_edits_around.TABLES,
}
"""The fields of the forms that are told by a table, by the name of the edit."""
