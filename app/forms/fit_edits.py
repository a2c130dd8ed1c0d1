"""Every edit of the fit-out by fields: floor, paint, light, strip, mirrors, projection.

Keys of library rows are taken as they are: whether there is such a row is the business of the
take-off.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from functools import partial
from operator import not_
from typing import Any

from app.changes.commands import Command
from app.forms import fit_edits_floor
from app.forms.field_table import (
    AS_DRAWN,
    Table,
    choice,
    key,
    length,
    number,
    temperature,
    text,
    tick,
    wall,
)
from app.forms.rectangle import FARTHEST_MM, Rectangle
from app.forms.thing_edits import Edit, Things, command_of, emptied, sole
from app.forms.typed_fields import Typed
from app.model.finishing import LightChoice, MirrorArea, PaintJob, Projection, StripRun
from app.model.fit_out import FitOut
from app.model.plan import Plan

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
    """Return the command for an edit, None when nothing changes. Raises PlanError, CommandError."""
    return command_of(EDITS, plan, name, fields, "edit", "This cannot be done to a fit-out.")


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


PAINTED = Rectangle(
    wall("zone", "Which part of the floor", at="", empty="", what=NO_WALL, choices="zones",
         drawn="a part, as drawn", span="", mark="long",
         when=lambda typed, old: typed.text("surface") == "floor"),
    sides=WIDE, examples=("", ""), look={"span": "half zone-field"},
)  # fmt: skip


def _paint_shown(plan: Plan, job: PaintJob | None) -> Mapping[str, Any]:
    return PAINTED.shown(plan, job.outline if job else None)


def _paint_read(plan: Plan, typed: Typed, old: Any, values: dict[str, Any]) -> dict[str, Any]:
    walls = tuple(w.id for w in plan.room.walls if typed.yes(f"wall_{w.id}"))
    outline = PAINTED.read(plan, typed, values, () if old is None else old.outline, inside=False)
    of_walls = values["surface"] == "walls" and len(walls) < len(plan.room.walls)
    return {
        **values,
        "walls": walls if of_walls else (),
        "outline": outline if values["surface"] == "floor" else (),
    }


def _covers(what: str) -> Callable[[float], str]:
    none = f"{what} of 0 covers nothing: take the one on the tin, or leave it empty"
    return lambda number: "" if number else none


GENERAL = Table(
    FitOut,
    (
        choice("measured_by", "Walls are measured with", "measured_by", choices=RULES, span=""),
        temperature("celsius", "Air while painting", "painted_at_c", what="the air",
                    example="the room unheated", least=-20, most=45),
        number("percent", "Humidity, %", "painted_at_percent", what="the humidity"),
        tick("seal", "seal the garage door against rain and draught", "seal"),
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
               example="the coating's own", check=lambda coats: "" if coats == int(coats)
               else "coats are counted whole, 1 to 6"),
        choice("in_parts", "Done", "in_parts", choices=IN_PARTS, cast=int),
        number("rate_m2_l", "m² a litre, one coat", "rate_m2_l", what="the spreading rate",
               example="by the surface", least=0, most=60, check=_covers("the spreading rate")),
        number("film_um", "Paint thickness when dry, µm a coat", "film_um",
               what="the paint thickness", least=0, most=3000,
               check=_covers("the paint thickness")),
        tick("filler", "a filler coat first on open masonry", "filler"),
    ),
)  # fmt: skip
PAINT_ON = Table(
    PaintJob,
    (*PAINT.fields, *PAINTED.fields),
    shown=_paint_shown,
    finish=_paint_read,
)  # fmt: skip
LIGHT = Table(
    LightChoice,
    (
        key("fitting", "Fitting", "fitting", choices="fittings", empty="batten-1500", span=""),
        key("other", "Compared with", "other", choices="fittings", empty="batten-1200", span=""),
        number("wanted_lux", "Brightness wanted (lux)", "wanted_lux", what="the brightness wanted",
               example="300", least=1),
        tick("dirty", "a dusty room: more light to begin with", "dirty"),
    ),
)  # fmt: skip
_distance = partial(length, at="", when=_by_distances)
STRIP = Table(
    StripRun,
    (
        text("label", "Name", "label"),
        wall("wall", "On wall", drawn="as drawn", what=NO_WALL),
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
)  # fmt: skip
MIRROR = Table(
    MirrorArea,
    (
        wall("wall", "On wall", what=NO_WALL),
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
)  # fmt: skip
PROJECTION = Table(
    Projection,
    (
        wall("wall", "On wall", what=NO_WALL),
        length("middle", "Middle, from the corner", "middle_mm",
               what="the middle of the picture", example="1.50 m", most=FARTHEST_MM),
        number("throw_ratio", "Distance to the wall by picture width (throw ratio)",
               "throw_ratio", what="the throw ratio",
               example="1.5", least=0.1, most=10, empty=1.5),
        length("distance", "Lens to wall", "distance_mm", what="the distance", example="3.00 m",
               least=200, most=30_000, empty=3000),
        length("lens", "Lens above the floor", "lens_mm", what="the height of the lens",
               example="1.00 m", least=0, most=HIGHEST_MM, empty=1000),
        number("lumens", "Light it gives (lumens)", "lumens", what="the light it gives",
               example="3000", least=1, most=100_000, empty=3000),
        choice("aspect", "Form of the picture", "aspect",
               choices=[(name, name) for name in ASPECTS], cast=ASPECTS.get,
               show=lambda wide: {v: k for k, v in ASPECTS.items()}.get(round(wide, 2), "16:9")),
    ),
    fresh={"throw_ratio": 1.5, "distance": 3000, "lens": 1000, "lumens": 3000},
)  # fmt: skip
TABLES: Mapping[str, Table] = {
    **fit_edits_floor.TABLES,
    "general": GENERAL,
    "paint": PAINT,
    "painted": Table(PaintJob, PAINTED.fields, shown=_paint_shown, finish=_paint_read),
    "light": LIGHT,
    "strip": STRIP,
    "mirror": MIRROR,
    "projection": PROJECTION,
}
"""The fields of the forms, by the name of the edit or of a part of its form."""


def _things(
    name: str, table: Table, at: str, fault: str, says: tuple[str, str, str]
) -> Mapping[str, Edit]:
    return Things(
        name, table, f"fit_out.{at}", fault, says,
        "That is no longer in the plan; what is kept is shown.",
        lambda plan, thing: str(getattr(thing, "surface", "")),
    ).edits()  # fmt: skip


EDITS: Mapping[str, Edit] = {
    "general": sole(GENERAL, "fit_out", "measured_by", "how paint is measured"),
    **_things("paint", PAINT_ON, "paint", "coating",
              ("add paint on the {}", "paint on the {}", "take a paint off")),
    "light": sole(LIGHT, "fit_out.light", "wanted_lux", "the light to train by"),
    "no-light": emptied("fit_out.light", "leave the light to what is usual"),
    **_things("strip", STRIP, "strips", "long",
              ("add a run of light strip", "a run of light strip", "take a run of strip off")),
    **_things("mirror", MIRROR, "mirrors", "width",
              ("add a mirror", "a mirror", "take a mirror off")),
    **_things("projection", PROJECTION, "projections", "distance",
              ("add a projection", "a projection", "take a projection off")),
    **fit_edits_floor.EDITS,
}  # fmt: skip
"""All edits by name."""
