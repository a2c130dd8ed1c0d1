"""Every edit of the fit-out by fields: floor, paint, light, strip, mirrors, projection.

An edit is a name and the fields of its form, all as typed. `edit_fit` gives the command that
carries it out, None when it changes nothing. What is wrong is a PlanError with one fault for each
field, under the field's own name. Keys of library rows are taken as they are: whether there is
such a row is the business of the take-off.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from pydantic import BaseModel, ValidationError

from app.changes.commands import Command
from app.changes.difference import difference
from app.errors import CommandError, Fault, PlanError
from app.forms.fit_edits_floor import FLOORS, with_floors
from app.forms.typed_fields import Typed
from app.model.base import json_of
from app.model.faults import plan_error
from app.model.finishing import (
    LightChoice,
    MeasuredBy,
    MirrorArea,
    PaintJob,
    PaintTool,
    Projection,
    StripRun,
    Surface,
)
from app.model.fit_out import FitOut
from app.model.plan import Plan
from app.model.room_overhead import Place, rectangle
from app.model.room_walls import fresh_id

Done = tuple[Plan, str]
Edit = Callable[[Plan, Typed], Done]
Made = TypeVar("Made", bound=BaseModel)

OFFSET = (0.0, 60_000.0)
HIGH = (0.0, 8000.0)
WIDE = (50.0, 30_000.0)
KERF = (0.0, 20.0)
_ID = re.compile(r"[a-z0-9][a-z0-9-]{0,47}")
_GONE = "That is no longer in the plan; what is kept is shown."


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


def _made(kind: type[Made], field: str, **values: Any) -> Made:
    try:
        return kind.model_validate(values)
    except ValidationError as error:
        raise PlanError(*(Fault(field, f.sentence) for f in plan_error(error).faults)) from None


def _named(things: tuple[Any, ...], typed: Typed) -> Any:
    for thing in things:
        if thing.id == typed.text("id"):
            return thing
    raise CommandError(_GONE)


def _key(typed: Typed, field: str, empty: str | None = None) -> str:
    key = typed.text(field) or empty or ""
    if not _ID.fullmatch(key):
        typed.fault(field, "choose one of the list")
    return key


def _maybe_key(typed: Typed, field: str) -> str | None:
    return _key(typed, field) if typed.text(field) else None


def _wall(plan: Plan, typed: Typed, field: str = "wall") -> str:
    wall = typed.text(field)
    if wall not in {w.id for w in plan.room.walls}:
        typed.fault(field, "choose a wall of this room")
    return wall


def _put(things: tuple[Any, ...], thing: Any) -> tuple[Any, ...]:
    return (*(one for one in things if one.id != thing.id), thing)


def _general(plan: Plan, typed: Typed) -> Done:
    rule = typed.one_of("measured_by", MeasuredBy)
    celsius = typed.maybe_number("celsius", "the air", (-20, 45))
    percent = typed.maybe_number("percent", "the humidity", (1, 100))
    assumed = typed.yes("assume")
    typed.done()
    after = fit_plan(
        plan,
        "measured_by",
        measured_by=rule,
        painted_at_c=celsius,
        painted_at_percent=percent,
        nothing_assumed=not assumed,
    )
    return after, "how paint is measured"


def _read_paint(plan: Plan, typed: Typed, job_id: str, drawn: PaintJob | None) -> PaintJob:
    surface = typed.one_of("surface", Surface)
    walls = tuple(w.id for w in plan.room.walls if typed.yes(f"wall_{w.id}"))
    outline: tuple[tuple[float, float], ...] = ()
    if surface == "floor" and typed.text("zone") == "as-drawn" and drawn is not None:
        outline = drawn.outline
    elif surface == "floor" and typed.text("zone"):
        wall = _wall(plan, typed, "zone")
        place = Place(
            wall,
            typed.length("along", "the distance along the wall", OFFSET, empty=0),
            typed.length("long", "the length", WIDE),
            typed.length("away", "the distance from the wall", OFFSET, empty=0),
            typed.length("wide", "the width", WIDE),
        )
        outline = () if typed.faults else rectangle(plan.room, place)
    values: dict[str, Any] = {
        "id": job_id,
        "surface": surface,
        "walls": walls if surface == "walls" and len(walls) < len(plan.room.walls) else (),
        "outline": outline,
        "coating": _key(typed, "coating", "emulsion"),
        "texture": _maybe_key(typed, "texture"),
        "filler": typed.yes("filler"),
        "tool": typed.one_of("tool", PaintTool) if typed.text("tool") else None,
        "colour": typed.text("colour"),
        "in_parts": int(typed.choice("in_parts", ("1", "2", "3"))),
    }
    coats = typed.maybe_number("coats", "the number of coats", (1, 6))
    if coats is not None and coats != int(coats):
        typed.fault("coats", "coats are counted whole, 1 to 6")
    values["coats"] = None if coats is None else int(coats)
    for field, what, most in (
        ("rate_m2_l", "the spreading rate", 60.0),
        ("film_um", "the film", 3000.0),
    ):
        number = typed.maybe_number(field, what, (0, most))
        if number == 0:
            typed.fault(
                field, f"{what} of 0 covers nothing: take the one on the tin, or leave it empty"
            )
        values[field] = number
    typed.done()
    return _made(PaintJob, "coating", **values)


def _paint(plan: Plan, typed: Typed) -> Done:
    old = _named(plan.fit_out.paint, typed)
    job = _read_paint(plan, typed, old.id, old)
    return fit_plan(
        plan, "coating", paint=_put(plan.fit_out.paint, job)
    ), f"paint on the {job.surface}"


def _add_paint(plan: Plan, typed: Typed) -> Done:
    new_id = fresh_id("paint", {job.id for job in plan.fit_out.paint})
    job = _read_paint(plan, typed, new_id, None)
    after = fit_plan(plan, "coating", paint=(*plan.fit_out.paint, job))
    return after, f"add paint on the {job.surface}"


def _light(plan: Plan, typed: Typed) -> Done:
    lux = typed.maybe_number("wanted_lux", "the light wanted", (1, 5000))
    fitting, other = _key(typed, "fitting", "batten-1500"), _key(typed, "other", "batten-1200")
    dirty = typed.yes("dirty")
    typed.done()
    light = _made(
        LightChoice, "wanted_lux", wanted_lux=lux, fitting=fitting, other=other, dirty=dirty
    )
    return fit_plan(plan, "wanted_lux", light=light), "the light to train by"


def _no_light(plan: Plan, typed: Typed) -> Done:
    return fit_plan(plan, "", light=None), "leave the light to what is usual"


def _read_strip(plan: Plan, typed: Typed, run_id: str, drawn: StripRun | None) -> StripRun:
    wall = typed.text("wall")
    points: Any = drawn.points if drawn is not None else ()
    if wall == "as-drawn" and drawn is not None:
        wall = drawn.wall or ""
    else:
        _wall(plan, typed)
        start = typed.length("from", "where it begins", OFFSET, empty=0)
        length = typed.length("long", "the length", WIDE)
        height = typed.length("height", "the height", HIGH)
        most = plan.room.wall_length_mm(wall) if not typed.faults else 0.0
        if not typed.faults and start + length > most + 0.01:
            typed.fault(
                "long",
                f"it would end {typed.say(start + length)} along a wall that is "
                f"{typed.say(most)} long",
            )
        points = ((start, height), (start + length, height))
    values = {
        "id": run_id,
        "wall": wall or None,
        "points": points,
        "strip": _key(typed, "strip", "strip-12v-60"),
        "profile": _maybe_key(typed, "profile"),
        "stock_mm": typed.maybe_length("stock", "the stock length", (100.0, 12_000.0)),
        "kerf_mm": typed.length("kerf", "the kerf", KERF, empty=3),
        "cable_mm": typed.length("cable", "the way to the supply", OFFSET, empty=3000),
        "label": typed.text("label"),
    }
    typed.done()
    return _made(StripRun, "long", **values)


def _strip(plan: Plan, typed: Typed) -> Done:
    old = _named(plan.fit_out.strips, typed)
    run = _read_strip(plan, typed, old.id, old)
    return fit_plan(plan, "long", strips=_put(plan.fit_out.strips, run)), "a run of light strip"


def _add_strip(plan: Plan, typed: Typed) -> Done:
    new_id = fresh_id("strip", {run.id for run in plan.fit_out.strips})
    run = _read_strip(plan, typed, new_id, None)
    return fit_plan(plan, "long", strips=(*plan.fit_out.strips, run)), "add a run of light strip"


def _read_mirror(plan: Plan, typed: Typed, mirror_id: str) -> MirrorArea:
    values = {
        "id": mirror_id,
        "wall": _wall(plan, typed),
        "offset_mm": typed.length("offset", "where it begins", OFFSET, empty=0),
        "width_mm": typed.length("width", "the width", WIDE),
        "bottom_mm": typed.length("bottom", "the lower edge", HIGH, empty=500),
        "height_mm": typed.length("height", "the height", (50.0, 6000.0)),
        "sheet": _key(typed, "sheet", "mirror-sheet-6"),
        "held": typed.choice("held", ("clips", "adhesive")),
        "foot": typed.choice("foot", ("ledge", "batten")),
    }
    typed.done()
    return _made(MirrorArea, "width", **values)


def _mirror(plan: Plan, typed: Typed) -> Done:
    old = _named(plan.fit_out.mirrors, typed)
    area = _read_mirror(plan, typed, old.id)
    return fit_plan(plan, "width", mirrors=_put(plan.fit_out.mirrors, area)), "a mirror"


def _add_mirror(plan: Plan, typed: Typed) -> Done:
    new_id = fresh_id("mirror", {area.id for area in plan.fit_out.mirrors})
    area = _read_mirror(plan, typed, new_id)
    return fit_plan(plan, "width", mirrors=(*plan.fit_out.mirrors, area)), "add a mirror"


def _read_projection(plan: Plan, typed: Typed, thing_id: str) -> Projection:
    values = {
        "id": thing_id,
        "wall": _wall(plan, typed),
        "middle_mm": typed.length("middle", "the middle of the picture", OFFSET),
        "throw_ratio": typed.number("throw_ratio", "the throw ratio", (0.1, 10), empty=1.5),
        "distance_mm": typed.length("distance", "the distance", (200.0, 30_000.0), empty=3000),
        "lens_mm": typed.length("lens", "the height of the lens", HIGH, empty=1000),
        "lumens": typed.number("lumens", "the light it gives", (1, 100_000), empty=3000),
        "aspect": {"16:9": 1.78, "16:10": 1.6, "4:3": 1.33, "1:1": 1.0}[
            typed.choice("aspect", ("16:9", "16:10", "4:3", "1:1"))
        ],
    }
    typed.done()
    return _made(Projection, "distance", **values)


def _projection(plan: Plan, typed: Typed) -> Done:
    old = _named(plan.fit_out.projections, typed)
    thing = _read_projection(plan, typed, old.id)
    after = fit_plan(plan, "distance", projections=_put(plan.fit_out.projections, thing))
    return after, "a projection"


def _add_projection(plan: Plan, typed: Typed) -> Done:
    new_id = fresh_id("projection", {one.id for one in plan.fit_out.projections})
    thing = _read_projection(plan, typed, new_id)
    after = fit_plan(plan, "distance", projections=(*plan.fit_out.projections, thing))
    return after, "add a projection"


def _removes(kind: str, says: str) -> Edit:
    def remove(plan: Plan, typed: Typed) -> Done:
        things = getattr(plan.fit_out, kind)
        old = _named(things, typed)
        return fit_plan(plan, "", **{kind: tuple(t for t in things if t.id != old.id)}), says

    return remove


def _floor_edit(name: str) -> Edit:
    def do(plan: Plan, typed: Typed) -> Done:
        floors, says = FLOORS[name](plan, typed)
        after = fit_plan(plan, "length", floors=floors)
        return with_floors(plan, after), says

    return do


EDITS: Mapping[str, Edit] = {
    "general": _general,
    "paint": _paint,
    "add-paint": _add_paint,
    "remove-paint": _removes("paint", "take a paint off"),
    "light": _light,
    "no-light": _no_light,
    "strip": _strip,
    "add-strip": _add_strip,
    "remove-strip": _removes("strips", "take a run of strip off"),
    "mirror": _mirror,
    "add-mirror": _add_mirror,
    "remove-mirror": _removes("mirrors", "take a mirror off"),
    "projection": _projection,
    "add-projection": _add_projection,
    "remove-projection": _removes("projections", "take a projection off"),
    **{name: _floor_edit(name) for name in FLOORS},
}
"""All edits by name."""
