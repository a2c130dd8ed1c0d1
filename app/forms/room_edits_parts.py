"""Edits of a ceiling's parts and a floor's steps: added, told from a wall, corner by corner."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, replace
from functools import partial
from typing import Any

from app.errors import CommandError, Fault, PlanError
from app.forms.field_table import FIRST, Table, choice, length, wall
from app.forms.rectangle import Rectangle
from app.forms.thing_edits import Done, Edits, Things, plan_with
from app.forms.typed_fields import Typed
from app.model.base import Point
from app.model.outline import first_crossing, signed_area_mm2
from app.model.plan import Plan
from app.model.room import Plane
from app.model.room_parts import Surface, laid_part, next_part_id, part_form, parts_of
from app.scene.part_cover import counts_nowhere, is_clear_of
from app.units import format_length

COORDINATE = (-90_000.0, 90_000.0)
MOST_CORNERS = 60
PLACE = Rectangle(
    wall("wall", "Measured from wall", at="", empty=FIRST),
    examples=("1.20 m", "800 mm"),
    wide=("Reaching into the room", "how far it reaches"),
    when=lambda typed, old: typed.choice("lies", ("rectangle", "drawn", "whole")) == "rectangle",
    look={"span": "", "wrap": "if-rectangle half"},
    needed="needed",
)


def _shown(plan: Plan, plane: Plane | None) -> Mapping[str, Any]:
    if plane is None:
        bare = {"lies": "rectangle", "tilt": "level", "height": None, "far": None}
        return {**PLACE.shown(plan, None), **bare}
    form = part_form(plan.room, plane)
    near, far = (
        (format_length(mm, plan.units), mm) if mm is not None else None
        for mm in (form.near_mm, form.far_mm if form.tilt == "slope" else None)
    )
    place = PLACE.shown(plan, plane.outline if form.lies == "rectangle" else None)
    more = {"wall": form.wall, "lies": form.lies, "tilt": form.tilt, "height": near, "far": far}
    return {**place, **more}


def _part_read(
    surface: Surface, plan: Plan, typed: Typed, old: Plane | None, values: dict[str, Any]
) -> dict[str, Any]:
    room, wall_id = plan.room, values["wall"]
    outline = old.outline if old is not None else ()
    if values["lies"] == "rectangle":
        outline = PLACE.read(plan, typed, values, outline)
    typed.done()
    near = values["height"]
    far = near if values["far"] is None else values["far"]
    if values["tilt"] == "drawn" and old is not None:
        lifted = near - part_form(room, old).near_mm
        fields = {**dict(old), "height_mm": old.height_mm + lifted, "outline": outline}
        part = Plane(**fields)
    else:
        part = laid_part(room, "part", wall_id, outline, near, far)
    if outline and is_clear_of(room, outline):
        typed.fault("away", "this would lie outside the room altogether")
    elif counts_nowhere(room, part, surface):
        typed.fault("height", _behind(surface))
    return dict(part)


def _table(
    surface: Surface, heights: tuple[float, float], label: str, examples: tuple[str, str]
) -> Table:
    height = partial(length, at="", least=heights[0], most=heights[1])
    first, *sides = PLACE.fields
    return Table(
        Plane,
        (
            first,
            choice("lies", "It lies", "", choices=LIES, only=_is_so),
            *sides,
            choice("tilt", "It is", "", choices=TILTS, only=_is_so),
            height("height", label, what="the height", example=examples[0]),
            height("far", "Height at its far side", what="the height at its far side",
                   example=examples[1], when=lambda typed, old: typed.text("tilt") == "slope",
                   span="", wrap="if-slope half", mark="needed"),
        ),
        shown=_shown,
        finish=partial(_part_read, surface),
    )  # fmt: skip


def _is_so(key: str, now: Any, plane: Plane | None) -> bool:
    """Return whether a choice is offered: what no form can make only where it is so."""
    by_corners = key == "drawn" and now in ("rectangle", "whole") and plane and plane.outline
    return key in ("rectangle", "level", "slope", now) or bool(by_corners)


LIES = (
    ("rectangle", "as a rectangle"),
    ("drawn", "by its corners"),
    ("whole", "over the whole room"),
)
TILTS = (("level", "level"), ("slope", "sloping from it"), ("drawn", "sloping, as drawn"))
TABLES = {
    "over": _table("ceiling", (200.0, 12_000.0), "Height, or near that wall", ("2.05 m", "2.40 m")),
    "step": _table("floor", (-3000.0, 3000.0), "Above the zero of the floor", ("150 mm", "100 mm")),
}


@dataclass(frozen=True)
class Parts(Things):
    """The parts of a ceiling or the steps of a floor among its planes, which they share."""

    surface: Surface = "ceiling"

    def next_id(self, plan: Plan) -> str:
        """Return the id of one that comes, so that the others keep their numbers."""
        return next_part_id(plan.room, self.surface)

    def named(self, plan: Plan, typed: Typed) -> Plane:
        """Return the part that the form names. Raises CommandError when it is gone."""
        for plane in parts_of(plan.room, self.surface):
            if plane.id == typed.text("part"):
                return plane
        raise CommandError(self.gone)

    def remove(self, plan: Plan, typed: Typed) -> Done:
        """Take a part away. Raises PlanError for the last plane."""
        self.named(plan, typed)
        if len(self.of(plan)) == 1:
            raise PlanError(Fault("", "this is the whole ceiling: choose a shape for it first"))
        return super().remove(plan, typed)


def _parts(name: str, surface: Surface, one: str, what: str) -> Parts:
    return Parts(
        name, TABLES[name], f"room.{surface}.planes", "height",
        (f"add {one}", f"the {what}", f"remove the {what}"),
        f"The {what} is no longer there; what is kept is shown.", surface=surface,
    )  # fmt: skip


CEILING_PARTS = _parts("over", "ceiling", "a part of the ceiling", "part of the ceiling")
STEPS = _parts("step", "floor", "a step", "step")


def _corner(parts: Parts, plan: Plan, typed: Typed) -> Done:
    old, at = _corner_of(plan, parts, typed)
    x = typed.length("x", "the distance from the left", COORDINATE, signed=True)
    y = typed.length("y", "the distance from the back", COORDINATE, signed=True)
    typed.done()
    outline = (*old.outline[:at], (x, y), *old.outline[at + 1 :])
    return _redrawn(plan, parts, old, outline), f"corner {at + 1} of {parts.says[1]}"


def _more(parts: Parts, plan: Plan, typed: Typed) -> Done:
    old, at = _corner_of(plan, parts, typed)
    if len(old.outline) >= MOST_CORNERS:
        raise PlanError(Fault("x", f"a part has at most {MOST_CORNERS} corners"))
    (x0, y0), (x1, y1) = old.outline[at], old.outline[(at + 1) % len(old.outline)]
    half = ((x0 + x1) / 2, (y0 + y1) / 2)
    outline = (*old.outline[: at + 1], half, *old.outline[at + 1 :])
    return _redrawn(plan, parts, old, outline), f"a corner more in {parts.says[1]}"


def _less(parts: Parts, plan: Plan, typed: Typed) -> Done:
    old, at = _corner_of(plan, parts, typed)
    if len(old.outline) == 3:
        raise PlanError(Fault("x", "a part has at least three corners"))
    outline = (*old.outline[:at], *old.outline[at + 1 :])
    return _redrawn(plan, parts, old, outline), f"a corner less in {parts.says[1]}"


def _in_parts(plan: Plan, typed: Typed) -> Done:
    """Return the whole ceiling the outline of the room, so that another part can be higher."""
    planes = tuple(
        plane if plane.outline else Plane(**{**plane.model_dump(), "outline": plan.room.corners})
        for plane in plan.room.ceiling.planes
    )
    return plan_with(plan, CEILING_PARTS.at, "", planes), "the ceiling in parts"


def _behind(surface: Surface) -> str:
    if surface == "floor":
        return "the floor is as high here everywhere, and of two the higher counts"
    return (
        "the ceiling over the whole room is as low here everywhere, and of two the lower counts: "
        "to have a part that is higher, tell the ceiling in parts first"
    )


def _redrawn(plan: Plan, parts: Parts, old: Plane, outline: tuple[Point, ...]) -> Plan:
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
    return replace(parts, fault="x").swap(plan, part)[0]


def _corner_of(plan: Plan, parts: Parts, typed: Typed) -> tuple[Plane, int]:
    plane = parts.named(plan, typed)
    corner = typed.text("corner")
    if not corner.isdecimal() or int(corner) >= len(plane.outline):
        raise CommandError("That corner is no longer there; what is kept is shown.")
    return plane, int(corner)


def _edits(parts: Parts) -> Edits:
    return {
        **parts.edits(),
        f"{parts.name}-corner": partial(_corner, parts),
        f"{parts.name}-corner-more": partial(_more, parts),
        f"{parts.name}-corner-less": partial(_less, parts),
    }


EDITS: Edits = {**_edits(CEILING_PARTS), **_edits(STEPS), "ceiling-parts": _in_parts}
