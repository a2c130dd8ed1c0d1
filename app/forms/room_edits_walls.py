"""Forms of walls and openings that a table tells: what they are made of, doors and windows."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import partial
from typing import Any

from app.errors import Fault, PlanError
from app.forms.choice_words import (
    ENDS,
    OPENING_EXAMPLES,
    OPENING_KINDS,
    WALL_FINISHES,
    WALL_KINDS,
    YES_NO,
)
from app.forms.field_table import (
    Table,
    choice,
    length,
    pictures,
    radio,
    text,
    tick,
    values_of,
    wall,
)
from app.forms.thing_edits import Done, Edits, Things
from app.forms.typed_fields import Typed
from app.model.plan import Plan
from app.model.room import Opening, Wall
from app.model.room_check import KIND_NAMES, changed_plan, opening_name
from app.model.room_walls import letter

_thickness = partial(length, at="thickness_mm", what="the thickness", least=10, most=1500)
_made_of = partial(pictures, at="construction", choices=WALL_KINDS)
_finish = partial(choice, "finish", "Finish", "finish", choices=WALL_FINISHES)
WALL = Table(
    Wall,
    (
        _made_of("construction", "What the wall is made of"),
        _thickness("thickness", "Thickness", example="140 mm"),
        length("lining", "Lining inside", "lining_mm", what="the lining", example="0", most=1000,
               empty=0),
        _finish(),
        text("colour", "Colour", "colour", example="white"),
        tick("outside", "outside wall", "outside"),
        tick("shared", "shared with neighbours", "shared"),
        tick("tanked", "tanked against damp", "tanked"),
    ),
)  # fmt: skip


def _first_wall(plan: Plan, thing: Any) -> Mapping[str, Any]:
    first = plan.room.walls[0]
    return {"construction": first.construction, "finish": first.finish}


ALL_WALLS = Table(
    Wall,
    (
        _made_of("construction", "What all walls are made of"),
        _thickness("thickness", "Thickness, if alike", example="as they are",
                   optional=True),
        _finish(),
    ),
    shown=_first_wall,
)  # fmt: skip
_size = partial(length, least=100)


def _is_window(typed: Typed, old: Any) -> bool:
    return typed.text("kind") == "window"


def _way_out_shown(plan: Plan, opening: Opening | None) -> Mapping[str, Any]:
    """A door is a way out unless somebody says no, a window only where somebody says yes."""
    if opening is None:
        return {}
    window = opening.kind == "window"
    return {"way_out": window or opening.way_out, "climb_out": window and opening.way_out}


def _way_out_read(plan: Plan, typed: Typed, old: Any, values: dict[str, Any]) -> dict[str, Any]:
    climb = values.pop("climb_out")
    if values["kind"] == "window":
        return {**values, "way_out": climb}
    # what is no window has a sill only where a file gave it one
    kept = 0.0 if old is None or old.kind == "window" else old.sill_mm
    return {**values, "sill_mm": kept}


OPENING = Table(
    Opening,
    (
        pictures("kind", "Kind of opening", "kind", choices=OPENING_KINDS),
        wall("wall", "In wall", choices="walls-asked", what="choose the wall that it is in",
             only=lambda key, now, thing: bool(key) or thing is None),
        text("label", "Name", "label"),
        length("offset", "", "offset_mm", what="where it begins", example="0.50 m", most=60_000,
               empty=0),
        _size("width", "Width", "width_mm", what="the width", most=12_000,
              example=OPENING_EXAMPLES["hinged"][0]),
        _size("height", "Height", "height_mm", what="the height", most=8000,
              example=OPENING_EXAMPLES["hinged"][1]),
        length("sill", "Sill above the floor", "sill_mm", what="the sill", example="900 mm",
               most=6000, when=_is_window, span="", wrap="for-window half"),
        radio("hinge", "Hinge, seen from inside", "hinge", choices=ENDS, wrap="for-hinge half"),
        radio("swing", "Opens", "swing", choices=(("in", "inwards"), ("out", "outwards")),
              wrap="for-swing half"),
        radio("slides_to", "Slides to, seen from inside", "slides_to", choices=ENDS,
              wrap="for-slide half"),
        radio("training", "Open while somebody trains", "open_while_training", choices=YES_NO,
              wrap="for-overhead half"),
        radio("by_hand", "Opens from inside without power", "opens_without_power", choices=YES_NO,
              wrap="for-power half"),
        tick("opener", "motor opener", "opener", wrap="for-opener"),
        tick("way_out", "a way out", "", wrap="for-door"),
        tick("climb_out", "a way out: one can climb through it", "", wrap="for-window"),
        tick("must_open", "must be able to open", "must_open"),
        tick("glass", "it is of glass, or has glass", "glass", wrap="for-glass"),
    ),
    fresh={"wall": "", "way_out": True, "climb_out": False},
    shown=_way_out_shown,
    finish=_way_out_read,
)  # fmt: skip


def _all_walls(plan: Plan, typed: Typed) -> Done:
    values = values_of(ALL_WALLS, plan, typed, None)
    same = {name: value for name, value in values.items() if value is not None}
    walls = tuple(Wall(**{**wall.model_dump(), **same}) for wall in plan.room.walls)
    return changed_plan(plan, "construction", walls=walls), "what all walls are made of"


def _fault_of(plan: Plan, opening: Opening) -> str:
    """Return the field at which it is told that an opening is not within its wall.

    Raises PlanError where it would reach above the ceiling.
    """
    room = plan.room
    (x0, y0), (x1, y1) = room.wall_ends(opening.wall)
    along = math.dist((x0, y0), (x1, y1))
    name, say = KIND_NAMES[opening.kind], Typed({}, plan.units).say
    tops = []
    for at in (opening.offset_mm, opening.offset_mm + opening.width_mm):
        x, y = x0 + (x1 - x0) * at / along, y0 + (y1 - y0) * at / along
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
    return "width" if opening.width_mm > along + 0.01 else "offset"


WALLS = Things(
    "wall", WALL, "room.walls", "lining", ("", "wall {}", ""),
    "That wall is no longer in the room; what is kept is shown.",
    lambda plan, wall: letter(plan.room, wall.id),
)  # fmt: skip
OPENINGS = Things(
    "opening", OPENING, "room.openings", _fault_of,
    ("add the {}", "the {}", "remove the {}"),
    "That opening is no longer in the room; what is kept is shown.",
    lambda plan, opening: opening_name(opening),
)  # fmt: skip

TABLES = {"wall": WALL, "all-walls": ALL_WALLS, "opening": OPENING}
EDITS: Edits = {"wall": WALLS.change, "all-walls": _all_walls, **OPENINGS.edits()}
