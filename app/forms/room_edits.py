"""Every edit of the page of the room: typed fields in, one command out.

An edit is a name and the fields of its form, all as typed. `edit` gives the command that carries
it out, None when it changes nothing. What is wrong is a PlanError with one fault for each field,
under the field's own name.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping

from app.changes.commands import Command
from app.changes.difference import difference
from app.errors import CommandError, Fault, PlanError
from app.forms.room_edits_around import EDITS as AROUND
from app.forms.room_edits_inside import EDITS as INSIDE
from app.forms.room_edits_parts import EDITS as PARTS
from app.forms.room_edits_sketch import EDITS as SKETCH
from app.forms.room_edits_ways import EDITS as WAYS
from app.forms.typed_fields import Typed
from app.model.plan import Plan
from app.model.room import Opening, OpeningKind, Room, Wall, WallConstruction, WallFinish
from app.model.room_check import KIND_NAMES, changed_plan, opening_name
from app.model.room_overhead import fitted_planes
from app.model.room_walls import (
    Edges,
    fresh_id,
    letter,
    split,
    with_corners,
    with_length,
    with_recess,
    without_corner,
)

WALL_LENGTH = (50.0, 60_000.0)
OFFSET = (0.0, 60_000.0)
COORDINATE = (-90_000.0, 90_000.0)
THICKNESS = (10.0, 1500.0)
LINING = (0.0, 1000.0)
OPENING_WIDTH = (100.0, 12_000.0)
OPENING_HEIGHT = (100.0, 8000.0)
SILL = (0.0, 6000.0)
RECESS_DEPTH = (10.0, 10_000.0)

Done = tuple[Plan, str]
Edit = Callable[[Plan, Typed], Done]


def edit(plan: Plan, name: str, fields: Mapping[str, str]) -> Command | None:
    """Return the command for an edit, None when nothing changes.

    `situation.car-in` is the edit `situation` of the thing `car-in`.

    Raises PlanError for fields that are wrong, CommandError for an edit that is not known or
    that names something no longer in the room.
    """
    name, point, thing_id = name.partition(".")
    if name not in EDITS:
        raise CommandError("This cannot be done to a room.")
    named = {**fields, name: thing_id} if point else fields
    after, says = EDITS[name](plan, Typed(named, plan.units))
    return difference(plan, after, "room", says)


def wall_named(room: Room, typed: Typed, field: str = "wall") -> Wall:
    """Return the wall that a field names. Raises CommandError when it is not there any more."""
    wall_id = typed.text(field)
    for wall in room.walls:
        if wall.id == wall_id:
            return wall
    raise CommandError("That wall is no longer in the room; what is kept is shown.")


def _edges(plan: Plan, field: str, edges: Edges) -> Plan:
    after = changed_plan(plan, field, **edges.changes())
    planes = fitted_planes(plan.room, after.room)
    if planes == after.room.ceiling.planes:
        return after
    ceiling = type(plan.room.ceiling)(**{**plan.room.ceiling.model_dump(), "planes": planes})
    return changed_plan(after, field, ceiling=ceiling)


def _wall(plan: Plan, typed: Typed) -> Done:
    wall = wall_named(plan.room, typed)
    changes = {
        "thickness_mm": typed.length("thickness", "the thickness", THICKNESS),
        "construction": typed.one_of("construction", WallConstruction),
        "finish": typed.one_of("finish", WallFinish),
        "lining_mm": typed.length("lining", "the lining", LINING, empty=0),
        "colour": typed.text("colour"),
        "outside": typed.yes("outside"),
        "shared": typed.yes("shared"),
        "tanked": typed.yes("tanked"),
    }
    typed.done()
    new = Wall(**{**wall.model_dump(), **changes})
    walls = tuple(new if w.id == wall.id else w for w in plan.room.walls)
    return changed_plan(plan, "lining", walls=walls), f"wall {letter(plan.room, wall.id)}"


def _all_walls(plan: Plan, typed: Typed) -> Done:
    construction = typed.one_of("construction", WallConstruction)
    finish = typed.one_of("finish", WallFinish)
    thickness = typed.maybe_length("thickness", "the thickness", THICKNESS)
    typed.done()
    same = {"construction": construction, "finish": finish}
    if thickness is not None:
        same["thickness_mm"] = thickness  # type: ignore[assignment]
    walls = tuple(Wall(**{**wall.model_dump(), **same}) for wall in plan.room.walls)
    return changed_plan(plan, "construction", walls=walls), "what all walls are made of"


def _wall_length(plan: Plan, typed: Typed) -> Done:
    wall = wall_named(plan.room, typed)
    length = typed.length("length", "the length", WALL_LENGTH)
    typed.done()
    says = f"wall {letter(plan.room, wall.id)} to {typed.say(length)}"
    # a length shown to the millimetre and sent back as it stood changes nothing
    if typed.say(length) == typed.say(plan.room.wall_length_mm(wall.id)):
        return plan, says
    return _edges(plan, "length", with_length(plan.room, wall.id, length)), says


def _split(plan: Plan, typed: Typed) -> Done:
    wall = wall_named(plan.room, typed)
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
    wall = wall_named(plan.room, typed)
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
    what = "a chimney breast or nib" if into else "an alcove"
    return _edges(plan, "recess_depth", edges), f"{what} in wall {name}"


def _corner(plan: Plan, typed: Typed) -> Done:
    index = _corner_index(plan.room, typed)
    x = typed.length("x", "the distance from the left", COORDINATE, signed=True)
    y = typed.length("y", "the distance from the back", COORDINATE, signed=True)
    typed.done()
    corners = list(plan.room.corners)
    corners[index] = (x, y)
    edges = with_corners(plan.room, tuple(corners))
    return _edges(plan, "x", edges), f"corner {index + 1}"


def _remove_corner(plan: Plan, typed: Typed) -> Done:
    index = _corner_index(plan.room, typed)
    typed.done()
    if len(plan.room.walls) == 3:
        raise PlanError(Fault("x", "a room has at least three corners"))
    return _edges(plan, "x", without_corner(plan.room, index)), f"take corner {index + 1} away"


def _corner_index(room: Room, typed: Typed) -> int:
    wall = wall_named(room, typed, "corner")
    return [w.id for w in room.walls].index(wall.id)


def _inside(at: float, opening: Opening) -> bool:
    return opening.offset_mm + 0.01 < at < opening.offset_mm + opening.width_mm - 0.01


def _along(opening: Opening, typed: Typed) -> str:
    return f"{typed.say(opening.offset_mm)} to {typed.say(opening.offset_mm + opening.width_mm)}"


def _add_opening(plan: Plan, typed: Typed) -> Done:
    new_id = fresh_id("opening", {opening.id for opening in plan.room.openings})
    opening = _read_opening(plan, typed, new_id)
    after = _with_opening(plan, opening, plan.room.openings)
    return after, f"add the {opening_name(opening)}"


def _opening(plan: Plan, typed: Typed) -> Done:
    old = _opening_named(plan.room, typed)
    opening = _read_opening(plan, typed, old.id)
    rest = tuple(o for o in plan.room.openings if o.id != old.id)
    return _with_opening(plan, opening, rest), f"the {opening_name(opening)}"


def _remove_opening(plan: Plan, typed: Typed) -> Done:
    old = _opening_named(plan.room, typed)
    rest = tuple(o for o in plan.room.openings if o.id != old.id)
    return changed_plan(plan, "", openings=rest), f"remove the {opening_name(old)}"


def _opening_named(room: Room, typed: Typed) -> Opening:
    for opening in room.openings:
        if opening.id == typed.text("opening"):
            return opening
    raise CommandError("That opening is no longer in the room; what is kept is shown.")


def _read_opening(plan: Plan, typed: Typed, opening_id: str) -> Opening:
    wall = wall_named(plan.room, typed)
    kind = typed.one_of("kind", OpeningKind)
    fields = {
        "id": opening_id,
        "wall": wall.id,
        "kind": kind,
        "offset_mm": typed.length("offset", "where it begins", OFFSET, empty=0),
        "width_mm": typed.length("width", "the width", OPENING_WIDTH),
        "height_mm": typed.length("height", "the height", OPENING_HEIGHT),
        "sill_mm": typed.length("sill", "the sill", SILL, empty=0),
        "hinge": typed.choice("hinge", ("left", "right")),
        "swing": typed.choice("swing", ("in", "out")),
        "slides_to": typed.choice("slides_to", ("left", "right")),
        "opener": typed.yes("opener"),
        "glass": typed.yes("glass"),
        "open_while_training": typed.choice("training", ("unknown", "yes", "no")),
        "way_out": typed.yes("way_out"),
        "must_open": typed.yes("must_open"),
        "label": typed.text("label"),
    }
    typed.done()
    return Opening.model_validate(fields)


def _with_opening(plan: Plan, opening: Opening, rest: tuple[Opening, ...]) -> Plan:
    room = plan.room
    (x0, y0), (x1, y1) = room.wall_ends(opening.wall)
    length = math.dist((x0, y0), (x1, y1))
    name, say = KIND_NAMES[opening.kind], Typed({}, plan.units).say
    tops = []
    for at in (opening.offset_mm, opening.offset_mm + opening.width_mm):
        x, y = x0 + (x1 - x0) * at / length, y0 + (y1 - y0) * at / length
        over = [p.height_at(x, y) for p in room.ceiling.planes if not p.outline]
        floor = max((p.height_at(x, y) for p in room.floor.planes if not p.outline), default=0.0)
        tops += [height - floor for height in over]
    top = opening.sill_mm + opening.height_mm
    if tops and top > max(tops) + 1:
        field = "sill" if opening.sill_mm and opening.height_mm <= max(tops) else "height"
        raise PlanError(
            Fault(
                field,
                f"the {name} would reach {say(top)} above the floor; the ceiling is "
                f"{say(max(tops))} there",
            )
        )
    field = "width" if opening.width_mm > length + 0.01 else "offset"
    return changed_plan(plan, field, openings=(*rest, opening))


EDITS: Mapping[str, Edit] = {
    "wall": _wall,
    "all-walls": _all_walls,
    "wall-length": _wall_length,
    "split": _split,
    "recess": _recess,
    "corner": _corner,
    "remove-corner": _remove_corner,
    "add-opening": _add_opening,
    "opening": _opening,
    "remove-opening": _remove_opening,
    **INSIDE,
    **AROUND,
    **PARTS,
    **SKETCH,
    **WAYS,
}
"""All edits by name."""
