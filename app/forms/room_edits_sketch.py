"""The picture under the drawing: laid, moved, scaled by two points of known distance, removed."""

from __future__ import annotations

import math
from functools import partial

from app.errors import CommandError
from app.forms.field_table import Table, length, number
from app.forms.thing_edits import Done, Edits, sole
from app.forms.typed_fields import Typed
from app.model.base import json_of
from app.model.plan import Plan
from app.model.sketch import Picture

PLACE = (-60_000.0, 60_000.0)
KNOWN = (50.0, 60_000.0)
LARGEST_MM_PER_PX = 1000.0


def laid(plan: Plan, picture_id: str, width_px: int, height_px: int) -> Plan:
    """Return plan with a picture under it, the whole of it within the room until it is scaled."""
    xs, ys = zip(*plan.room.corners, strict=True)
    scale = min((max(xs) - min(xs)) / width_px, (max(ys) - min(ys)) / height_px)
    return _with(
        plan,
        Picture(
            id=picture_id,
            width_px=width_px,
            height_px=height_px,
            x_mm=min(xs),
            y_mm=min(ys),
            mm_per_px=min(scale, LARGEST_MM_PER_PX),
        ),
    )


def _with(plan: Plan, picture: Picture | None) -> Plan:
    return Plan.model_validate({**json_of(plan), "picture": picture and json_of(picture)})


def _there(plan: Plan) -> Picture:
    if plan.picture is None:
        raise CommandError("There is no picture under the drawing any more.")
    return plan.picture


_at = partial(length, least=PLACE[0], most=PLACE[1])
PICTURE = Table(
    Picture,
    (
        _at("x", "Its corner, to the right", "x_mm", what="the way to the right"),
        _at("y", "Its corner, to the front", "y_mm", what="the way to the front"),
        number("angle", "Turned by, degrees", "angle_deg", what="the turn", least=-360, most=360,
               empty=0),
        number("faint", "Seen, percent", "faint", what="how much is seen, in percent,",
               example="35", least=5, most=100, empty=35, show=lambda faint: faint * 100,
               cast=lambda percent: percent / 100),
    ),
)  # fmt: skip


def _scale(plan: Plan, typed: Typed) -> Done:
    """Scale about the first point, so that the two are as far apart as was taped."""
    picture = _there(plan)
    ax, ay, bx, by = (
        typed.length(name, "the place of the point", PLACE, signed=True)
        for name in ("ax", "ay", "bx", "by")
    )
    known = typed.length("known", "the distance between the two points", KNOWN)
    apart = math.hypot(bx - ax, by - ay)
    if not typed.faults and apart < 1:
        typed.fault("known", "choose two different points of the picture first")
    factor = known / max(apart, 1)
    if not typed.faults and not 0 < picture.mm_per_px * factor <= LARGEST_MM_PER_PX:
        typed.fault("known", "the two points are too near one another for this distance")
    typed.done()
    changes = {
        "mm_per_px": picture.mm_per_px * factor,
        "x_mm": ax + (picture.x_mm - ax) * factor,
        "y_mm": ay + (picture.y_mm - ay) * factor,
    }
    if max(abs(changes["x_mm"]), abs(changes["y_mm"])) > 100_000:
        typed.fault("known", "the picture would lie more than 100 m away")
        typed.done()
    scaled = Picture(**{**picture.model_dump(), **changes})
    return _with(plan, scaled), f"the picture scaled to {typed.say(known)}"


def _remove(plan: Plan, typed: Typed) -> Done:
    _there(plan)
    return _with(plan, None), "take the picture away"


EDITS: Edits = {
    "picture": sole(
        PICTURE, _there, lambda plan, fault, picture: _with(plan, picture), "",
        "the picture under the drawing",
    ),
    "picture-scale": _scale,
    "no-picture": _remove,
}  # fmt: skip
TABLES = {"picture": PICTURE}
