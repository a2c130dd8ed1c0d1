"""Edits of what lies, hangs and stands in a room: floor, ceiling, low things, columns, sockets."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any, cast

from app.errors import CommandError
from app.forms.typed_fields import Typed
from app.model.height_words import HEIGHT, shown_height
from app.model.plan import Plan
from app.model.room import (
    Ceiling,
    CeilingConstruction,
    Column,
    Covering,
    CoveringMaterial,
    Floor,
    FloorConstruction,
    Joists,
    LowKind,
    LowThing,
    Room,
    Socket,
)
from app.model.room_check import changed_plan
from app.model.room_overhead import (
    CeilingForm,
    CeilingShape,
    Place,
    ceiling_form,
    ceiling_planes,
    fall_plane,
    free_ids,
    place_from,
    rectangle,
    span_mm,
    split_planes,
)
from app.model.room_walls import fresh_id, letter

COVERING = (0.0, 300.0)
FALL = (0.0, 300.0)
SPACING = (100.0, 5000.0)
JOIST = (10.0, 1500.0)
OFFSET = (0.0, 60_000.0)
SIZE = (5.0, 60_000.0)
RIDGE = (100.0, 60_000.0)
SOCKET_HEIGHT = (0.0, 4000.0)
AS_DRAWN = "as-drawn"

Done = tuple[Plan, str]


def _floor(plan: Plan, typed: Typed) -> Done:
    floor = plan.room.floor
    material = typed.one_of("material", CoveringMaterial)
    thickness = typed.length("covering", "the covering", COVERING, empty=0)
    if material != "bare" and not thickness and not typed.faults:
        typed.fault("covering", "say how thick the covering is: headroom is counted from it")
    construction = typed.one_of("construction", FloorConstruction)
    wall = typed.text("fall_wall")
    fall = typed.number("fall", "the fall", FALL, empty=0)
    typed.done()
    planes: Any = floor.planes
    if wall != AS_DRAWN:
        steps = tuple(plane for plane in floor.planes if plane.outline)
        planes = (
            fall_plane(plan.room, _known_wall(plan.room, wall), fall),
            *free_ids(steps, "floor"),
        )
    covering = Covering(
        material=cast("CoveringMaterial", material),
        thickness_mm=0 if material == "bare" else thickness,
    )
    after = Floor(
        construction=cast("FloorConstruction", construction), covering=covering, planes=planes
    )
    return changed_plan(plan, "fall", floor=after), "the floor"


def _same(form: CeilingForm, old: CeilingForm) -> bool:
    if form.shape == "flat":
        return old.shape == "flat" and form.height_mm == old.height_mm
    if form.shape == "sloping":
        form = replace(form, ridge_mm=old.ridge_mm, ridge_at_mm=old.ridge_at_mm)
    return form == old


def _ceiling(plan: Plan, typed: Typed) -> Done:
    room = plan.room
    construction = typed.one_of("construction", CeilingConstruction)
    shape = typed.one_of("shape", CeilingShape)
    planes = room.ceiling.planes
    field = "height"
    if shape != "patches":
        wall = _known_wall(room, typed.text("wall") or room.walls[0].id)
        old = ceiling_form(room)

        def shown(height_mm: float) -> tuple[str, float]:
            return shown_height(room, height_mm, plan.units), height_mm

        height = typed.length("height", "the height", HEIGHT, shown=shown(old.height_mm))
        far, ridge, at = height, height, 1.0
        if shape in ("sloping", "ridged"):
            far = typed.length("far", "the height at the far side", HEIGHT, shown=shown(old.far_mm))
        if shape == "ridged":
            ridge = typed.length(
                "ridge", "the height of the ridge", HEIGHT, shown=shown(old.ridge_mm)
            )
            stands = (typed.say(old.ridge_at_mm), old.ridge_at_mm)
            at = typed.length("ridge_at", "how far in the ridge is", RIDGE, shown=stands)
            span = span_mm(room, wall)
            if not typed.faults and not at < span - 1:
                typed.fault(
                    "ridge_at",
                    f"the room reaches {typed.say(span)} from wall {letter(room, wall)}: "
                    "the ridge lies within",
                )
            if not typed.faults and ridge <= max(height, far):
                typed.fault("ridge", "the ridge lies above both sides: one plane is a slope")
        typed.done()
        form = CeilingForm(cast("CeilingShape", shape), wall, height, far, ridge, at)
        # parts that make up the whole ceiling give way to a shape; parts of a shape stay
        base, parts = split_planes(room)
        # a slope is told to a tenth of a mm: told as it stands it stays what it is
        shaped = base if base and _same(form, old) else ceiling_planes(room, form)
        planes = (*shaped, *free_ids(parts, *(plane.id for plane in shaped))) if base else shaped
    typed.done()
    ceiling = Ceiling(
        construction=cast("CeilingConstruction", construction),
        planes=planes,
        joists=room.ceiling.joists,
    )
    return changed_plan(plan, field, ceiling=ceiling), "the ceiling"


def _joists(plan: Plan, typed: Typed) -> Done:
    old = plan.room.ceiling.joists or Joists()
    direction = typed.choice("direction", ("0", "90", AS_DRAWN))
    joists = {
        "direction_deg": old.direction_deg if direction == AS_DRAWN else float(direction),
        "spacing_mm": typed.length("spacing", "the spacing", SPACING),
        "width_mm": typed.length("joist_width", "the width", JOIST),
        "depth_mm": typed.length("joist_depth", "the depth", JOIST),
        "first_mm": typed.length("first", "the first joist", OFFSET, empty=0),
    }
    typed.done()
    return _with_joists(plan, Joists.model_validate(joists)), "the joists"


def _no_joists(plan: Plan, typed: Typed) -> Done:
    return _with_joists(plan, None), "no joists show"


def _with_joists(plan: Plan, joists: Joists | None) -> Plan:
    old = plan.room.ceiling
    ceiling = Ceiling(construction=old.construction, planes=old.planes, joists=joists)
    return changed_plan(plan, "joist_depth", ceiling=ceiling)


def _add_low(plan: Plan, typed: Typed) -> Done:
    thing = _read_low(plan, typed, fresh_id("low", {t.id for t in plan.room.low_things}), None)
    return changed_plan(plan, "away", low_things=(*plan.room.low_things, thing)), (
        f"add the {thing.kind}"
    )


def _low(plan: Plan, typed: Typed) -> Done:
    old = _named(plan.room.low_things, typed.text("low"), "low thing")
    thing = _read_low(plan, typed, old.id, old.outline)
    things = tuple(thing if t.id == old.id else t for t in plan.room.low_things)
    return changed_plan(plan, "away", low_things=things), f"the {thing.kind}"


def _remove_low(plan: Plan, typed: Typed) -> Done:
    old = _named(plan.room.low_things, typed.text("low"), "low thing")
    things = tuple(t for t in plan.room.low_things if t.id != old.id)
    return changed_plan(plan, "", low_things=things), f"remove the {old.kind}"


def _read_low(plan: Plan, typed: Typed, low_id: str, drawn: Any) -> LowThing:
    outline = _read_outline(plan.room, typed, drawn)
    kind = typed.one_of("kind", LowKind)
    bottom = typed.length("bottom", "the height of its underside", HEIGHT)
    label = typed.text("label")
    typed.done()
    return LowThing(
        id=low_id, kind=cast("LowKind", kind), outline=outline, bottom_mm=bottom, label=label
    )


def _add_column(plan: Plan, typed: Typed) -> Done:
    new_id = fresh_id("column", {c.id for c in plan.room.columns})
    column = _read_column(plan, typed, new_id, None)
    return changed_plan(plan, "away", columns=(*plan.room.columns, column)), "add a column"


def _column(plan: Plan, typed: Typed) -> Done:
    old = _named(plan.room.columns, typed.text("column"), "column")
    column = _read_column(plan, typed, old.id, old.outline)
    columns = tuple(column if c.id == old.id else c for c in plan.room.columns)
    return changed_plan(plan, "away", columns=columns), "the column"


def _remove_column(plan: Plan, typed: Typed) -> Done:
    old = _named(plan.room.columns, typed.text("column"), "column")
    columns = tuple(c for c in plan.room.columns if c.id != old.id)
    return changed_plan(plan, "", columns=columns), "remove the column"


def _read_column(plan: Plan, typed: Typed, column_id: str, drawn: Any) -> Column:
    outline = _read_outline(plan.room, typed, drawn)
    label = typed.text("label") or "Column"
    typed.done()
    return Column(id=column_id, outline=outline, label=label)


def _read_outline(room: Room, typed: Typed, drawn: Any) -> Any:
    """Read a rectangle told from a wall; `drawn` is kept where the form leaves the shape alone."""
    named = typed.text("wall")
    if named == AS_DRAWN and drawn is not None:
        return drawn
    wall = _known_wall(room, named)
    along = typed.length("along", "the distance along the wall", OFFSET, empty=0)
    away = typed.length("away", "the distance from the wall", OFFSET, empty=0)
    length = typed.length("long", "the length", SIZE)
    width = typed.length("wide", "the width", SIZE)
    most = room.wall_length_mm(wall) + sum(room.wall_length_mm(w.id) for w in room.walls)
    if not typed.faults and along > most:
        typed.fault("along", f"that is past every wall; wall {letter(room, wall)} ends before")
    if not typed.faults and away >= span_mm(room, wall):
        typed.fault(
            "away",
            f"the room reaches {typed.say(span_mm(room, wall))} from wall {letter(room, wall)}: "
            "this would lie outside",
        )
    place = Place(wall, along, length, away, width)
    return drawn if drawn and place_from(room, drawn, wall) == place else rectangle(room, place)


def _add_socket(plan: Plan, typed: Typed) -> Done:
    new_id = fresh_id("socket", {s.id for s in plan.room.sockets})
    socket = _read_socket(plan, typed, new_id)
    return changed_plan(plan, "offset", sockets=(*plan.room.sockets, socket)), "add a socket"


def _socket(plan: Plan, typed: Typed) -> Done:
    old = _named(plan.room.sockets, typed.text("socket"), "socket")
    socket = _read_socket(plan, typed, old.id)
    sockets = tuple(socket if s.id == old.id else s for s in plan.room.sockets)
    return changed_plan(plan, "offset", sockets=sockets), "the socket"


def _remove_socket(plan: Plan, typed: Typed) -> Done:
    old = _named(plan.room.sockets, typed.text("socket"), "socket")
    sockets = tuple(s for s in plan.room.sockets if s.id != old.id)
    return changed_plan(plan, "", sockets=sockets), "remove the socket"


def _read_socket(plan: Plan, typed: Typed, socket_id: str) -> Socket:
    wall = _known_wall(plan.room, typed.text("wall"))
    offset = typed.length("offset", "the distance along the wall", OFFSET)
    height = typed.length("height", "the height", SOCKET_HEIGHT, empty=300)
    circuits = ["", *(c.id for c in plan.room.electricity.circuits)]
    circuit = typed.choice("circuit", circuits)
    typed.done()
    return Socket(
        id=socket_id, wall=wall, offset_mm=offset, height_mm=height, circuit=circuit or None
    )


def _known_wall(room: Room, wall_id: str) -> str:
    if wall_id not in {wall.id for wall in room.walls}:
        raise CommandError("That wall is no longer in the room; what is kept is shown.")
    return wall_id


def _named(things: tuple[Any, ...], thing_id: str, what: str) -> Any:
    for thing in things:
        if thing.id == thing_id:
            return thing
    raise CommandError(f"That {what} is no longer in the room; what is kept is shown.")


EDITS: Mapping[str, Callable[[Plan, Typed], Done]] = {
    "floor": _floor,
    "ceiling": _ceiling,
    "joists": _joists,
    "no-joists": _no_joists,
    "add-low": _add_low,
    "low": _low,
    "remove-low": _remove_low,
    "add-column": _add_column,
    "column": _column,
    "remove-column": _remove_column,
    "add-socket": _add_socket,
    "socket": _socket,
    "remove-socket": _remove_socket,
}
