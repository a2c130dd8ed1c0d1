"""Every edit of the fit-out by fields: floor, paint, light, strip, mirrors, projection.

An edit is a name and the fields of its form, all as typed. `edit_fit` gives the command that
carries it out, None when it changes nothing. What is wrong is a PlanError with one fault for each
field, under the field's own name. Keys of library rows are taken as they are: whether there is
such a row is the business of the take-off.
"""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from operator import not_
from typing import Any

from pydantic import ValidationError

from app.changes.commands import Command
from app.changes.difference import difference
from app.errors import CommandError, Fault, PlanError
from app.forms.field_table import (
    AS_DRAWN,
    Table,
    choice,
    key,
    length,
    number,
    text,
    tick,
    wall,
)
from app.forms.fit_edits_floor import FLOORS, with_floors
from app.forms.thing_edits import Done, Edit, Things, sole
from app.forms.typed_fields import Typed
from app.model.base import Point, json_of
from app.model.faults import plan_error
from app.model.finishing import LightChoice, MirrorArea, PaintJob, Projection, StripRun
from app.model.fit_out import FitOut
from app.model.plan import Plan
from app.model.room_overhead import Place, rectangle

FARTHEST_MM = 60_000.0
HIGHEST_MM = 8000.0
WIDE = (50.0, 30_000.0)
NO_WALL = "choose a wall of this room"
RULES = (
    ("net", "all openings taken out"),
    ("over-1-m2", "openings over 1 m² taken out (NRM2)"),
    ("over-2-5-m2", "openings over 2.5 m² taken out (DIN 18363)"),
)
SURFACES = (("walls", "walls"), ("ceiling", "ceiling"), ("floor", "floor"))
TOOLS = (
    ("", "by the surface"),
    ("brush", "brush"),
    ("short-roller", "roller, short pile"),
    ("long-roller", "roller, long pile"),
    ("spray", "spray"),
)
IN_PARTS = (("1", "in one go"), ("2", "in two parts"), ("3", "in three parts"))
HELD = (("clips", "clips"), ("adhesive", "adhesive"))
FOOT = (("ledge", "a ledge"), ("batten", "a batten"))
ASPECTS = {"16:9": 1.78, "16:10": 1.6, "4:3": 1.33, "1:1": 1.0}


def edit_fit(plan: Plan, name: str, fields: Mapping[str, str]) -> Command | None:
    """Return the command for an edit, None when nothing changes.

    Raises PlanError for fields that are wrong, CommandError for an edit that is not known or
    that names something no longer in the plan.
    """
    name, point, thing_id = name.partition(".")
    if name not in EDITS:
        raise CommandError("This cannot be done to a fit-out.")
    after, says = EDITS[name](
        plan, Typed({**fields, "id": thing_id} if point else fields, plan.units)
    )
    return difference(plan, after, "edit", says)


def fit_plan(plan: Plan, field: str, **changes: Any) -> Plan:
    """Return the plan with other fields in its fit-out. Raises PlanError naming `field`."""
    fit_out = {name: getattr(plan.fit_out, name) for name in FitOut.model_fields} | changes
    try:
        made = FitOut(**fit_out)
        return Plan.model_validate({**json_of(plan), "fit_out": json_of(made)})
    except ValidationError as error:
        raise PlanError(*(Fault(field, f.sentence) for f in plan_error(error).faults)) from None


def _by_distances(typed: Typed, old: StripRun | None) -> bool:
    return old is None or typed.text("wall") != AS_DRAWN


def _strip_shown(plan: Plan, run: StripRun | None) -> Mapping[str, Any]:
    if run is None:
        return {"wall": plan.room.walls[0].id, "from": None, "long": None, "height": None}
    (x0, z0), (x1, z1) = run.points[0], run.points[1]
    if not (run.wall and len(run.points) == 2 and z0 == z1 and x0 < x1):
        return {"wall": AS_DRAWN, "from": None, "long": None, "height": None}
    return {"wall": run.wall, "from": x0, "long": x1 - x0, "height": z0}


def _strip_read(
    plan: Plan, typed: Typed, old: StripRun | None, values: dict[str, Any]
) -> dict[str, Any]:
    start, long, height = (values.pop(name) for name in ("from", "long", "height"))
    if values["wall"] == AS_DRAWN and old is not None:
        return {**values, "wall": old.wall, "points": old.points}
    if not typed.wrong("wall", "from", "long", "height"):
        most = plan.room.wall_length_mm(values["wall"])
        if start + long > most + 0.01:
            typed.fault(
                "long",
                f"it would end {typed.say(start + long)} along a wall that is "
                f"{typed.say(most)} long",
            )
    return {**values, "points": ((start, height), (start + long, height))}


def _paint_read(plan: Plan, typed: Typed, old: Any, values: dict[str, Any]) -> dict[str, Any]:
    surface, coats = values["surface"], values["coats"]
    walls = tuple(w.id for w in plan.room.walls if typed.yes(f"wall_{w.id}"))
    if coats is not None and coats != int(coats):
        typed.fault("coats", "coats are counted whole, 1 to 6")
    for field in PAINT.fields:
        if field.name in ("rate_m2_l", "film_um") and values[field.at] == 0:
            typed.fault(
                field.name,
                f"{field.what} of 0 covers nothing: take the one on the tin, or leave it empty",
            )
    return {
        **values,
        "walls": walls if surface == "walls" and len(walls) < len(plan.room.walls) else (),
        "outline": _paint_outline(plan, typed, old) if surface == "floor" else (),
    }


def _paint_outline(plan: Plan, typed: Typed, old: Any) -> tuple[Point, ...]:
    wall_id = typed.text("zone")
    if wall_id == AS_DRAWN and old is not None:
        return tuple(old.outline)
    if not wall_id:
        return ()
    if wall_id not in {w.id for w in plan.room.walls}:
        typed.fault("zone", NO_WALL)
    place = Place(
        wall_id,
        typed.length("along", "the distance along the wall", (0, FARTHEST_MM), empty=0),
        typed.length("long", "the length", WIDE),
        typed.length("away", "the distance from the wall", (0, FARTHEST_MM), empty=0),
        typed.length("wide", "the width", WIDE),
    )
    return () if typed.faults else rectangle(plan.room, place)


GENERAL = Table(
    FitOut,
    (
        choice("measured_by", "Walls are measured with", "measured_by", choices=RULES, span=""),
        number("celsius", "Air while painting, °C", "painted_at_c", what="the air",
               example="the room unheated", least=-20, most=45),
        number("percent", "Humidity, %", "painted_at_percent", what="the humidity"),
        tick("assume", "count also what is usual and not chosen", "nothing_assumed", show=not_,
             cast=not_),
    ),
)  # fmt: skip
PAINT = Table(
    PaintJob,
    (
        choice("surface", "On the", "surface", choices=SURFACES),
        text("colour", "Colour", "colour", example="as the wall says"),
        key("coating", "With", "coating", choices="coatings", empty="emulsion", span=""),
        key("texture", "Surface is", "texture", choices="textures"),
        choice("tool", "Put on by", "tool", choices=TOOLS),
        number("coats", "Coats", "coats", what="the number of coats",
               example="the coating's own"),
        choice("in_parts", "Done", "in_parts", choices=IN_PARTS, cast=int),
        number("rate_m2_l", "m² a litre, one coat", "rate_m2_l", what="the spreading rate",
               example="by the surface", least=0, most=60),
        number("film_um", "Dry film, µm a coat", "film_um", what="the film", least=0, most=3000),
        tick("filler", "a filler coat first on open masonry", "filler"),
    ),
    finish=_paint_read,
)  # fmt: skip
LIGHT = Table(
    LightChoice,
    (
        key("fitting", "Fitting", "fitting", choices="fittings", empty="batten-1500", span=""),
        key("other", "Compared with", "other", choices="fittings", empty="batten-1200", span=""),
        number("wanted_lux", "Light wanted, lx", "wanted_lux", what="the light wanted",
               example="300", least=1),
        tick("dirty", "a dusty room: more light to begin with", "dirty"),
    ),
)  # fmt: skip
_distance = partial(length, at="", when=_by_distances)
STRIP = Table(
    StripRun,
    (
        text("label", "Name", "label"),
        wall("wall", "On wall", drawn="as drawn"),
        _distance("from", "Begins, from the corner", what="where it begins", example="0", least=0,
              most=FARTHEST_MM, empty=0),
        _distance("long", "Length", what="the length", example="2.50 m", least=WIDE[0],
              most=WIDE[1]),
        _distance("height", "Height above the floor", what="the height", example="2.20 m", least=0,
              most=HIGHEST_MM),
        length("cable", "Way to the supply", "cable_mm", what="the way to the supply",
               example="3.00 m", most=FARTHEST_MM, empty=3000),
        key("strip", "Strip", "strip", choices="strips", empty="strip-12v-60", span=""),
        key("profile", "In profile", "profile", choices="profiles", span=""),
        length("stock", "Profile sold in lengths of", "stock_mm", what="the stock length",
               example="its own", least=100, most=12_000),
        length("kerf", "Lost at each saw cut", "kerf_mm", what="the kerf", example="3 mm",
               least=0, most=20, empty=3),
    ),
    fresh={"cable": 3000, "kerf": 3},
    shown=_strip_shown,
    finish=_strip_read,
    lost_wall=NO_WALL,
)  # fmt: skip
MIRROR = Table(
    MirrorArea,
    (
        wall("wall", "On wall"),
        length("offset", "Begins, from the corner", "offset_mm", what="where it begins",
               example="0", most=FARTHEST_MM, empty=0),
        length("width", "Width", "width_mm", what="the width", example="2.40 m", least=WIDE[0],
               most=WIDE[1]),
        length("height", "Height", "height_mm", what="the height", example="1.50 m", least=50,
               most=6000),
        length("bottom", "Lower edge above the floor", "bottom_mm", what="the lower edge",
               example="500 mm", most=HIGHEST_MM, empty=500),
        key("sheet", "Sheet", "sheet", choices="mirror_sheets", empty="mirror-sheet-6"),
        choice("held", "Held by", "held", choices=HELD),
        choice("foot", "Standing on", "foot", choices=FOOT),
    ),
    fresh={"offset": 0, "height": 1500, "bottom": 500},
    lost_wall=NO_WALL,
)  # fmt: skip
PROJECTION = Table(
    Projection,
    (
        wall("wall", "On wall"),
        length("middle", "Middle, from the corner", "middle_mm",
               what="the middle of the picture", example="1.50 m", most=FARTHEST_MM),
        number("throw_ratio", "Throw ratio", "throw_ratio", what="the throw ratio",
               example="1.5", least=0.1, most=10, empty=1.5),
        length("distance", "Lens to wall", "distance_mm", what="the distance", example="3.00 m",
               least=200, most=30_000, empty=3000),
        length("lens", "Lens above the floor", "lens_mm", what="the height of the lens",
               example="1.00 m", least=0, most=HIGHEST_MM, empty=1000),
        number("lumens", "Light it gives, lumens", "lumens", what="the light it gives",
               example="3000", least=1, most=100_000, empty=3000),
        choice("aspect", "Form of the picture", "aspect",
               choices=[(name, name) for name in ASPECTS], cast=ASPECTS.get,
               show=lambda wide: {v: k for k, v in ASPECTS.items()}.get(round(wide, 2), "16:9")),
    ),
    fresh={"throw_ratio": 1.5, "distance": 3000, "lens": 1000, "lumens": 3000},
    lost_wall=NO_WALL,
)  # fmt: skip
TABLES: Mapping[str, Table] = {
    "general": GENERAL,
    "paint": PAINT,
    "light": LIGHT,
    "strip": STRIP,
    "mirror": MIRROR,
    "projection": PROJECTION,
}
"""The fields of the forms that are told by a table, by the name of the edit."""


def _things(name: str, of: str, fault: str, says: tuple[str, str, str]) -> Mapping[str, Edit]:
    return Things(
        name, TABLES[name], lambda plan: getattr(plan.fit_out, of),
        lambda plan, fault, things: fit_plan(plan, fault, **{of: things}), fault, says,
        "That is no longer in the plan; what is kept is shown.",
        lambda plan, thing: str(getattr(thing, "surface", "")), "id",
    ).edits()  # fmt: skip


def _no_light(plan: Plan, typed: Typed) -> Done:
    return fit_plan(plan, "", light=None), "leave the light to what is usual"


def _floor_edit(name: str) -> Edit:
    def do(plan: Plan, typed: Typed) -> Done:
        floors, says = FLOORS[name](plan, typed)
        after = fit_plan(plan, "length", floors=floors)
        return with_floors(plan, after), says

    return do


EDITS: Mapping[str, Edit] = {
    "general": sole(
        GENERAL, lambda plan: plan.fit_out,
        lambda plan, fault, after: fit_plan(plan, fault, **dict(after)), "measured_by",
        "how paint is measured",
    ),
    **_things("paint", "paint", "coating",
              ("add paint on the {}", "paint on the {}", "take a paint off")),
    "light": sole(
        LIGHT, lambda plan: plan.fit_out.light,
        lambda plan, fault, light: fit_plan(plan, fault, light=light), "wanted_lux",
        "the light to train by",
    ),
    "no-light": _no_light,
    **_things("strip", "strips", "long",
              ("add a run of light strip", "a run of light strip", "take a run of strip off")),
    **_things("mirror", "mirrors", "width", ("add a mirror", "a mirror", "take a mirror off")),
    **_things("projection", "projections", "distance",
              ("add a projection", "a projection", "take a projection off")),
    **{name: _floor_edit(name) for name in FLOORS},
}  # fmt: skip
"""All edits by name."""
