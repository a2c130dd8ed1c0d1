"""Forms of what lies, hangs and stands in a room: floor, ceiling, low things, columns, sockets."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import partial
from typing import Any, cast

from app.errors import CommandError
from app.forms.choice_words import COVERINGS, FLOOR_KINDS, LOW_KINDS
from app.forms.field_table import (
    AS_DRAWN,
    Field,
    Table,
    choice,
    length,
    number,
    pictures,
    text,
    wall,
)
from app.forms.thing_edits import Done, Edits, Things, sole
from app.forms.typed_fields import Typed
from app.model.height_words import HEIGHT, shown_height
from app.model.plan import Plan
from app.model.room import (
    Ceiling,
    CeilingConstruction,
    Column,
    Covering,
    Floor,
    Joists,
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
    floor_fall,
    free_ids,
    place_from,
    place_of,
    rectangle,
    span_mm,
    split_planes,
)
from app.model.room_walls import letter

FARTHEST_MM = 60_000.0
"""No room that is measured by hand is longer; a length beyond it is a slip of the unit."""
SMALLEST_MM = 5.0
RIDGE = (100.0, FARTHEST_MM)
FINISH = (0.0, 600.0)


def _floor_shown(plan: Plan, floor: Floor) -> Mapping[str, Any]:
    wall_id, fall = floor_fall(plan.room) or (AS_DRAWN, None)
    return {"fall_wall": wall_id, "fall": fall}


def _floor_read(plan: Plan, typed: Typed, old: Floor, values: dict[str, Any]) -> dict[str, Any]:
    material, thickness = values["covering.material"], values["covering.thickness_mm"]
    if material != "bare" and not thickness and not typed.wrong("material", "covering"):
        typed.fault("covering", "say how thick the covering is: headroom is counted from it")
    typed.done()
    planes = old.planes
    if values["fall_wall"] != AS_DRAWN:
        steps = tuple(plane for plane in old.planes if plane.outline)
        fall = fall_plane(plan.room, _known_wall(plan.room, values["fall_wall"]), values["fall"])
        planes = (fall, *free_ids(steps, "floor"))
    covering = Covering(material=material, thickness_mm=0 if material == "bare" else thickness)
    return {"construction": values["construction"], "covering": covering, "planes": planes}


FLOOR = Table(
    Floor,
    (
        pictures("construction", "What carries the floor", "construction", choices=FLOOR_KINDS,
                 span="four"),
        choice("material", "Covered with", "covering.material", choices=COVERINGS),
        length("covering", "Thickness", "covering.thickness_mm", what="the covering",
               example="20 mm", empty=0),
        Field("fall_wall", "Falls towards wall", "", "text", "list", choices="walls",
              drawn="in patches, as drawn", mark="fall"),
        number("fall", "", "", what="the fall", example="0", least=0, most=300, empty=0),
    ),
    shown=_floor_shown,
    finish=_floor_read,
)  # fmt: skip


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
    finish = typed.length("finish", "what boards and insulation take", FINISH, empty=0)
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
        finish_mm=finish,
    )
    return changed_plan(plan, field, ceiling=ceiling), "the ceiling"


def _joists_shown(plan: Plan, joists: Joists) -> Mapping[str, Any]:
    along = joists.direction_deg in (0, 90)
    return {"direction": f"{joists.direction_deg:.0f}" if along else AS_DRAWN}


def _joists_read(plan: Plan, typed: Typed, old: Joists, values: dict[str, Any]) -> dict[str, Any]:
    way = values["direction_deg"]
    return {**values, "direction_deg": old.direction_deg if way == AS_DRAWN else float(way)}


_RUNS = (("0", "left to right"), ("90", "back to front"))
_joist = partial(length, least=10, most=1500)
JOISTS = Table(
    Joists,
    (
        choice("direction", "They run", "direction_deg", choices=_RUNS, drawn="turned, as drawn"),
        length("spacing", "Middle to middle", "spacing_mm", what="the spacing", example="400 mm"),
        _joist("joist_width", "Width", "width_mm", what="the width", example="45 mm"),
        _joist("joist_depth", "Depth below the boards", "depth_mm", what="the depth",
               example="150 mm"),
        length("first", "First joist's middle in", "first_mm", what="the first joist",
               example="200 mm", most=FARTHEST_MM, empty=0),
    ),
    shown=_joists_shown,
    finish=_joists_read,
)  # fmt: skip


def _no_joists(plan: Plan, typed: Typed) -> Done:
    return _with_joists(plan, "joist_depth", None), "no joists show"


def _with_joists(plan: Plan, fault: str, joists: Joists | None) -> Plan:
    old = plan.room.ceiling
    ceiling = Ceiling(**{**old.model_dump(), "joists": joists})
    return changed_plan(plan, fault, ceiling=ceiling)


def _by_distances(typed: Typed, old: Any) -> bool:
    return old is None or typed.text("wall") != AS_DRAWN


_distance = partial(length, at="", when=_by_distances)
PLACE: tuple[Field, ...] = (
    wall("wall", "Told from wall", at="", drawn="left as drawn"),
    _distance("along", "Along it, from its corner", what="the distance along the wall",
            example="0", least=0, most=FARTHEST_MM, empty=0),
    _distance("long", "Length along it", what="the length", least=SMALLEST_MM, most=FARTHEST_MM),
    _distance("away", "Away from it", what="the distance from the wall", example="0", least=0,
            most=FARTHEST_MM, empty=0),
    _distance("wide", "Width", what="the width", example="200 mm", least=SMALLEST_MM,
            most=FARTHEST_MM),
)  # fmt: skip
"""A rectangle told from a wall."""


def _place_shown(plan: Plan, thing: Any) -> Mapping[str, Any]:
    place = place_of(plan.room, thing.outline) if thing is not None else None
    if place is None:
        first = plan.room.walls[0].id if thing is None else AS_DRAWN
        return {"wall": first, "along": None, "long": None, "away": None, "wide": None}
    return {
        "wall": place.wall,
        "along": place.along_mm,
        "long": place.length_mm,
        "away": place.away_mm,
        "wide": place.width_mm,
    }


def _place_read(plan: Plan, typed: Typed, old: Any, values: dict[str, Any]) -> dict[str, Any]:
    """Make an outline of the rectangle; it stays as drawn where the form leaves it alone."""
    wall_id, *sides = (values.pop(name) for name in ("wall", "along", "long", "away", "wide"))
    if wall_id == AS_DRAWN:
        return {**values, "outline": old.outline}
    room, place = plan.room, Place(wall_id, *sides)
    most = room.wall_length_mm(wall_id) + sum(room.wall_length_mm(w.id) for w in room.walls)
    wrong = typed.wrong("along", "long", "away", "wide")
    if not wrong and place.along_mm > most:
        typed.fault("along", f"that is past every wall; wall {letter(room, wall_id)} ends before")
    elif not wrong and place.away_mm >= span_mm(room, wall_id):
        typed.fault(
            "away",
            f"the room reaches {typed.say(span_mm(room, wall_id))} from wall "
            f"{letter(room, wall_id)}: this would lie outside",
        )
    drawn = None if old is None else old.outline
    same = drawn and place_from(room, drawn, wall_id) == place
    return {**values, "outline": drawn if same else rectangle(room, place)}


LOW = Table(
    LowThing,
    (
        choice("kind", "What it is", "kind", choices=LOW_KINDS),
        text("label", "Name", "label"),
        length("bottom", "Underside above the floor", "bottom_mm",
               what="the height of its underside", example="2.05 m", least=HEIGHT[0],
               most=HEIGHT[1]),
        *PLACE,
    ),
    shown=_place_shown,
    finish=_place_read,
)  # fmt: skip
COLUMN = Table(
    Column,
    (text("label", "Name", "label", empty="Column"), *PLACE),
    shown=_place_shown,
    finish=_place_read,
)
SOCKET = Table(
    Socket,
    (
        wall("wall", "On wall"),
        length("offset", "Along it, from its corner", "offset_mm",
               what="the distance along the wall", example="0.80 m", most=FARTHEST_MM),
        length("height", "Above the floor", "height_mm", what="the height", example="300 mm",
               most=4000, empty=300),
        Field("circuit", "On circuit", "circuit", "circuit", "list", choices="circuits"),
    ),
    fresh={"height": 300},
)  # fmt: skip

_GONE = "That {} is no longer in the room; what is kept is shown."
LOW_THINGS = Things(
    "low", LOW, lambda plan: plan.room.low_things,
    lambda plan, fault, things: changed_plan(plan, fault, low_things=things), "away",
    ("add the {}", "the {}", "remove the {}"), _GONE.format("low thing"),
    lambda plan, thing: str(thing.kind),
)  # fmt: skip
COLUMNS = Things(
    "column", COLUMN, lambda plan: plan.room.columns,
    lambda plan, fault, things: changed_plan(plan, fault, columns=things), "away",
    ("add a column", "the column", "remove the column"), _GONE.format("column"),
)  # fmt: skip
SOCKETS = Things(
    "socket", SOCKET, lambda plan: plan.room.sockets,
    lambda plan, fault, things: changed_plan(plan, fault, sockets=things), "offset",
    ("add a socket", "the socket", "remove the socket"), _GONE.format("socket"),
)  # fmt: skip


def _known_wall(room: Room, wall_id: str) -> str:
    if wall_id not in {wall.id for wall in room.walls}:
        raise CommandError("That wall is no longer in the room; what is kept is shown.")
    return wall_id


TABLES = {"floor": FLOOR, "joists": JOISTS, "low": LOW, "column": COLUMN, "socket": SOCKET}
EDITS: Edits = {
    "floor": sole(
        FLOOR, lambda plan: plan.room.floor,
        lambda plan, fault, floor: changed_plan(plan, fault, floor=floor), "fall", "the floor",
    ),
    "ceiling": _ceiling,
    "joists": sole(
        JOISTS, lambda plan: plan.room.ceiling.joists or Joists(), _with_joists, "joist_depth",
        "the joists",
    ),
    "no-joists": _no_joists,
    **LOW_THINGS.edits(),
    **COLUMNS.edits(),
    **SOCKETS.edits(),
}  # fmt: skip
