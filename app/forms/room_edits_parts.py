"""Edits of a ceiling's parts and a floor's steps: added, told from a wall, corner by corner."""

from __future__ import annotations

from collections.abc import Mapping
from functools import partial
from typing import Any

from app.errors import CommandError, Fault, PlanError
from app.forms.thing_edits import Done, Edits
from app.forms.typed_fields import Typed
from app.model.base import Point
from app.model.outline import first_crossing, signed_area_mm2
from app.model.plan import Plan
from app.model.room import Plane
from app.model.room_check import changed_plan
from app.model.room_overhead import Place, rectangle, span_mm
from app.model.room_parts import (
    Surface,
    laid_part,
    next_part_id,
    part_form,
    parts_of,
)
from app.model.room_walls import letter
from app.scene.part_cover import counts_nowhere, is_clear_of

HEIGHTS: Mapping[Surface, tuple[float, float]] = {
    "ceiling": (200.0, 12_000.0),
    "floor": (-3000.0, 3000.0),
}
OFFSET = (0.0, 60_000.0)
SIZE = (5.0, 60_000.0)
COORDINATE = (-90_000.0, 90_000.0)
MOST_CORNERS = 60
WORDS: Mapping[Surface, str] = {"ceiling": "the part of the ceiling", "floor": "the step"}


def _add(surface: Surface, plan: Plan, typed: Typed) -> Done:
    part = _read(surface, plan, typed, next_part_id(plan.room, surface), None)
    planes = (*_planes(plan, surface), part)
    words = "add a part of the ceiling" if surface == "ceiling" else "add a step"
    return _with(plan, surface, "height", planes), words


def _change(surface: Surface, plan: Plan, typed: Typed) -> Done:
    old = _named(plan, surface, typed)
    part = _read(surface, plan, typed, old.id, old)
    return _with(plan, surface, "height", _swapped(plan, surface, part)), WORDS[surface]


def _remove(surface: Surface, plan: Plan, typed: Typed) -> Done:
    old = _named(plan, surface, typed)
    rest = tuple(plane for plane in _planes(plan, surface) if plane.id != old.id)
    if not rest:
        raise PlanError(Fault("", "this is the whole ceiling: choose a shape for it first"))
    return _with(plan, surface, "", rest), f"remove {WORDS[surface]}"


def _corner(surface: Surface, plan: Plan, typed: Typed) -> Done:
    old, at = _corner_of(plan, surface, typed)
    x = typed.length("x", "the distance from the left", COORDINATE, signed=True)
    y = typed.length("y", "the distance from the back", COORDINATE, signed=True)
    typed.done()
    outline = (*old.outline[:at], (x, y), *old.outline[at + 1 :])
    return _redrawn(plan, surface, old, outline), f"corner {at + 1} of {WORDS[surface]}"


def _more(surface: Surface, plan: Plan, typed: Typed) -> Done:
    old, at = _corner_of(plan, surface, typed)
    if len(old.outline) >= MOST_CORNERS:
        raise PlanError(Fault("x", f"a part has at most {MOST_CORNERS} corners"))
    (x0, y0), (x1, y1) = old.outline[at], old.outline[(at + 1) % len(old.outline)]
    half = ((x0 + x1) / 2, (y0 + y1) / 2)
    outline = (*old.outline[: at + 1], half, *old.outline[at + 1 :])
    return _redrawn(plan, surface, old, outline), f"a corner more in {WORDS[surface]}"


def _less(surface: Surface, plan: Plan, typed: Typed) -> Done:
    old, at = _corner_of(plan, surface, typed)
    if len(old.outline) == 3:
        raise PlanError(Fault("x", "a part has at least three corners"))
    outline = (*old.outline[:at], *old.outline[at + 1 :])
    return _redrawn(plan, surface, old, outline), f"a corner less in {WORDS[surface]}"


def _in_parts(plan: Plan, typed: Typed) -> Done:
    """Return the whole ceiling the outline of the room, so that another part can be higher."""
    planes = tuple(
        plane if plane.outline else Plane(**{**plane.model_dump(), "outline": plan.room.corners})
        for plane in plan.room.ceiling.planes
    )
    return _with(plan, "ceiling", "", planes), "the ceiling in parts"


def _read(surface: Surface, plan: Plan, typed: Typed, part_id: str, old: Plane | None) -> Plane:
    room = plan.room
    wall = typed.text("wall") or room.walls[0].id
    if wall not in {each.id for each in room.walls}:
        raise CommandError("That wall is no longer in the room; what is kept is shown.")
    lies = typed.choice("lies", ("rectangle", "drawn", "whole"))
    outline: tuple[Point, ...] = ()
    if lies == "rectangle":
        outline = _rectangle(plan, typed, wall)
    elif old is not None:
        outline = old.outline
    tilt = typed.choice("tilt", ("level", "slope", "drawn"))
    bounds, signed = HEIGHTS[surface], surface == "floor"
    old_form = part_form(room, old) if old is not None else None
    near_shown = (typed.say(old_form.near_mm), old_form.near_mm) if old_form else None
    far_shown = (typed.say(old_form.far_mm), old_form.far_mm) if old_form else None
    near = typed.length("height", "the height", bounds, signed=signed, shown=near_shown)
    far = near
    if tilt == "slope":
        what = "the height at its far side"
        far = typed.length("far", what, bounds, signed=signed, shown=far_shown)
    typed.done()
    if tilt == "drawn" and old is not None:
        lifted = near - part_form(room, old).near_mm
        fields = {**old.model_dump(), "height_mm": old.height_mm + lifted, "outline": outline}
        part = Plane(**fields)
    else:
        part = laid_part(room, part_id, wall, outline, near, far)
    if outline and is_clear_of(room, outline):
        typed.fault("away", "this would lie outside the room altogether")
    elif counts_nowhere(room, part, surface):
        typed.fault("height", _behind(surface))
    typed.done()
    return part


def _behind(surface: Surface) -> str:
    if surface == "floor":
        return "the floor is as high here everywhere, and of two the higher counts"
    return (
        "the ceiling over the whole room is as low here everywhere, and of two the lower counts: "
        "to have a part that is higher, tell the ceiling in parts first"
    )


def _rectangle(plan: Plan, typed: Typed, wall: str) -> tuple[Point, ...]:
    room = plan.room
    along = typed.length("along", "the distance along the wall", OFFSET, empty=0)
    away = typed.length("away", "the distance from the wall", OFFSET, empty=0)
    length = typed.length("long", "the length", SIZE)
    width = typed.length("wide", "how far it reaches", SIZE)
    span = span_mm(room, wall)
    if not typed.faults and away >= span:
        typed.fault(
            "away",
            f"the room reaches {typed.say(span)} from wall {letter(room, wall)}: "
            "this would lie outside",
        )
    return rectangle(room, Place(wall, along, length, away, width))


def _redrawn(plan: Plan, surface: Surface, old: Plane, outline: tuple[Point, ...]) -> Plan:
    crossing = first_crossing(outline)
    if crossing is not None:
        one, other = (f"{i + 1} to {(i + 1) % len(outline) + 1}" for i in crossing)
        sentence = f"its side from corner {one} would cross or touch the one from {other}"
        if one == other:
            sentence = f"its corners {one.replace(' to ', ' and ')} would lie in one place"
        raise PlanError(Fault("x", sentence))
    if abs(signed_area_mm2(outline)) < 1:
        raise PlanError(Fault("x", "its corners would lie in one line"))
    if is_clear_of(plan.room, outline):
        raise PlanError(Fault("x", "this would lie outside the room altogether"))
    part = Plane(**{**old.model_dump(), "outline": outline})
    return _with(plan, surface, "x", _swapped(plan, surface, part))


def _planes(plan: Plan, surface: Surface) -> tuple[Plane, ...]:
    return plan.room.ceiling.planes if surface == "ceiling" else plan.room.floor.planes


def _named(plan: Plan, surface: Surface, typed: Typed) -> Plane:
    for plane in parts_of(plan.room, surface):
        if plane.id == typed.text("part"):
            return plane
    raise CommandError(f"{WORDS[surface].capitalize()} is no longer there; what is kept is shown.")


def _corner_of(plan: Plan, surface: Surface, typed: Typed) -> tuple[Plane, int]:
    plane = _named(plan, surface, typed)
    corner = typed.text("corner")
    if not corner.isdecimal() or int(corner) >= len(plane.outline):
        raise CommandError("That corner is no longer there; what is kept is shown.")
    return plane, int(corner)


def _swapped(plan: Plan, surface: Surface, part: Plane) -> tuple[Plane, ...]:
    return tuple(part if plane.id == part.id else plane for plane in _planes(plan, surface))


def _with(plan: Plan, surface: Surface, field: str, planes: tuple[Plane, ...]) -> Plan:
    whole: Any = plan.room.ceiling if surface == "ceiling" else plan.room.floor
    changed = type(whole)(**{**whole.model_dump(), "planes": planes})
    return changed_plan(plan, field, **{surface: changed})


def _of(surface: Surface, name: str) -> Edits:
    return {
        f"add-{name}": partial(_add, surface),
        name: partial(_change, surface),
        f"remove-{name}": partial(_remove, surface),
        f"{name}-corner": partial(_corner, surface),
        f"{name}-corner-more": partial(_more, surface),
        f"{name}-corner-less": partial(_less, surface),
    }


EDITS: Edits = {
    **_of("ceiling", "over"),
    **_of("floor", "step"),
    "ceiling-parts": _in_parts,
}
