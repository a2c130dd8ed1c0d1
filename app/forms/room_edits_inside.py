"""Forms of what lies, hangs and stands in a room: floor, ceiling, low things, columns, sockets."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from functools import partial
from typing import Any

from app.errors import CommandError
from app.forms.choice_words import CEILING_KINDS, COVERINGS, FLOOR_KINDS, LOW_KINDS
from app.forms.field_table import (
    AS_DRAWN,
    FIRST,
    Field,
    Table,
    choice,
    fall,
    length,
    pictures,
    text,
    wall,
)
from app.forms.rectangle import FARTHEST_MM, Rectangle
from app.forms.thing_edits import Edits, Things, emptied, sole
from app.forms.typed_fields import Typed
from app.model.height_words import HEIGHT, shown_height
from app.model.plan import Plan
from app.model.room import Ceiling, Column, Covering, Floor, Joists, LowThing, Room, Socket
from app.model.room_overhead import (
    CeilingForm,
    ceiling_form,
    ceiling_planes,
    fall_plane,
    floor_fall,
    free_ids,
    span_mm,
    split_planes,
)
from app.model.room_walls import letter
from app.units import format_length

RIDGE_MM = 100.0
"""A ridge nearer to its wall than this is a slip."""
FINISH_MM = 600.0
"""More than boards and insulation take."""


UNEVEN_MM = 100.0
"""A floor that is more uneven than that is broken, not uneven."""


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
    rest = {name: values[name] for name in ("construction", "uneven_mm")}
    return {**rest, "covering": covering, "planes": planes}


FLOOR = Table(
    Floor,
    (
        pictures("construction", "What carries the floor", "construction", choices=FLOOR_KINDS,
                 span="four"),
        choice("material", "Covered with", "covering.material", choices=COVERINGS),
        length("covering", "Thickness", "covering.thickness_mm", what="the covering",
               example="20 mm", empty=0),
        length("uneven", "Widest gap under a long straight board", "uneven_mm", what="the gap",
               example="8 mm", most=UNEVEN_MM, empty=0, show=lambda gap: gap or None),
        Field("fall_wall", "Falls towards wall", "", "text", "list", choices="walls",
              drawn="in patches, as drawn", mark="fall", span=""),
        fall("fall", "By", "", what="the fall", example="0", least=0, most=300, empty=0),
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


def _ceiling_shown(plan: Plan, ceiling: Ceiling) -> Mapping[str, Any]:
    form = ceiling_form(plan.room)
    heights = {
        "height": form.height_mm,
        "far": form.far_mm if form.shape in ("sloping", "ridged") else None,
        "ridge": form.ridge_mm if form.shape == "ridged" else None,
    }
    texts = {
        name: mm if mm is None else (shown_height(plan.room, mm, plan.units), mm)
        for name, mm in heights.items()
    }
    ridge_at = (format_length(form.ridge_at_mm, plan.units), form.ridge_at_mm)
    return {"shape": form.shape, "wall": form.wall, **texts, "ridge_at": ridge_at}


def _ceiling_read(plan: Plan, typed: Typed, old: Ceiling, values: dict[str, Any]) -> dict[str, Any]:
    room, shape = plan.room, values["shape"]
    rest = {name: values[name] for name in ("construction", "finish_mm")}
    wall_id, height, far, ridge, at = (
        values[name] for name in ("wall", "height", "far", "ridge", "ridge_at")
    )
    if shape == "ridged" and not typed.faults:
        span = span_mm(room, wall_id)
        if not at < span - 1:
            typed.fault(
                "ridge_at",
                f"the room reaches {typed.say(span)} from wall {letter(room, wall_id)}: "
                "the ridge lies within",
            )
        elif ridge <= max(height, far):
            typed.fault("ridge", "the ridge lies above both sides: one plane is a slope")
    if shape == "patches" or typed.faults:
        return rest
    form = CeilingForm(shape, wall_id, height, far or height, ridge or height, at or 1.0)
    # parts that make up the whole ceiling give way to a shape; parts of a shape stay
    base, parts = split_planes(room)
    # a slope is told to a tenth of a mm: told as it stands it stays what it is
    shaped = base if base and _same(form, ceiling_form(room)) else ceiling_planes(room, form)
    free = free_ids(parts, *(plane.id for plane in shaped)) if base else ()
    return {**rest, "planes": (*shaped, *free)}


def _shape_is(*shapes: str) -> Callable[[Typed, Any], bool]:
    return lambda typed, old: (typed.text("shape") or SHAPES[0][0]) in shapes


SHAPES = (("flat", "Flat"), ("sloping", "Sloping"), ("ridged", "Ridged"), ("patches", "In parts"))
_height = partial(length, at="", least=HEIGHT[0], most=HEIGHT[1], span="")
CEILING = Table(
    Ceiling,
    (
        pictures("construction", "What the ceiling is made of", "construction",
                 choices=CEILING_KINDS),
        pictures("shape", "Shape of the ceiling", "", choices=SHAPES, span="four",
                 only=lambda key, now, ceiling: key in ("flat", "sloping", "ridged", now)),
        wall("wall", "Measured from wall", at="", empty=FIRST, wrap="if-slope"),
        _height("height", "Height at that wall", what="the height", example="2.40 m",
                when=_shape_is("flat", "sloping", "ridged"), wrap="half"),
        _height("far", "Height at the far side", what="the height at the far side",
                example="2.90 m", when=_shape_is("sloping", "ridged"), wrap="if-slope half",
                mark="needed"),
        _height("ridge", "Height of the ridge", what="the height of the ridge", example="3.20 m",
                when=_shape_is("ridged"), wrap="if-ridge half", mark="needed"),
        length("ridge_at", "Ridge in from that wall", "", what="how far in the ridge is",
               least=RIDGE_MM, most=FARTHEST_MM, when=_shape_is("ridged"), span="",
               wrap="if-ridge half"),
        length("finish", "Allow for boards and insulation to come", "finish_mm",
               what="what boards and insulation take", example="none", most=FINISH_MM, empty=0,
               show=lambda finish: finish or None, span="", wrap="half"),
    ),
    shown=_ceiling_shown,
    finish=_ceiling_read,
)  # fmt: skip


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


PLACE = Rectangle(wall("wall", "Measured from wall", at="", drawn="left as drawn"))


def _place_shown(plan: Plan, thing: Any) -> Mapping[str, Any]:
    return PLACE.shown(plan, thing and thing.outline)


def _place_read(plan: Plan, typed: Typed, old: Any, values: dict[str, Any]) -> dict[str, Any]:
    outline = PLACE.read(plan, typed, values, () if old is None else old.outline)
    return {**values, "outline": outline}


LOW = Table(
    LowThing,
    (
        choice("kind", "What it is", "kind", choices=LOW_KINDS),
        text("label", "Name", "label"),
        length("bottom", "Underside above the floor", "bottom_mm",
               what="the height of its underside", example="2.05 m", least=HEIGHT[0],
               most=HEIGHT[1]),
        *PLACE.fields,
    ),
    shown=_place_shown,
    finish=_place_read,
)  # fmt: skip
COLUMN = Table(
    Column,
    (text("label", "Name", "label", empty="Column"), *PLACE.fields),
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
    "low", LOW, "room.low_things", "away", ("add the {}", "the {}", "remove the {}"),
    _GONE.format("low thing"), lambda plan, thing: str(thing.kind),
)  # fmt: skip
COLUMNS = Things(
    "column", COLUMN, "room.columns", "away",
    ("add a column", "the column", "remove the column"), _GONE.format("column"),
)  # fmt: skip
SOCKETS = Things(
    "socket", SOCKET, "room.sockets", "offset",
    ("add a socket", "the socket", "remove the socket"), _GONE.format("socket"),
)  # fmt: skip


def _known_wall(room: Room, wall_id: str) -> str:
    if wall_id not in {wall.id for wall in room.walls}:
        raise CommandError("That wall is no longer in the room; what is kept is shown.")
    return wall_id


TABLES = {
    "floor": FLOOR,
    "ceiling": CEILING,
    "joists": JOISTS,
    "low": LOW,
    "column": COLUMN,
    "socket": SOCKET,
}
EDITS: Edits = {
    "floor": sole(FLOOR, "room.floor", "fall", "the floor"),
    "ceiling": sole(CEILING, "room.ceiling", "height", "the ceiling"),
    "joists": sole(JOISTS, "room.ceiling.joists", "joist_depth", "the joists", usual=Joists()),
    "no-joists": emptied("room.ceiling.joists", "no joists show"),
    **LOW_THINGS.edits(),
    **COLUMNS.edits(),
    **SOCKETS.edits(),
}
