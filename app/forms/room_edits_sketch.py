"""The picture under the drawing: laid, moved, scaled by two points of known distance, removed."""

from __future__ import annotations

import math
from functools import partial

from app.errors import CommandError
from app.forms.field_table import Table, length, made, number
from app.forms.thing_edits import Done, Edits, emptied, plan_with, sole
from app.forms.typed_fields import Typed
from app.model.base import LENGTH_LIMIT_MM
from app.model.plan import Plan
from app.model.sketch import Picture

PLACE = (-60_000.0, 60_000.0)
KNOWN = (50.0, 60_000.0)
LARGEST_MM_PER_PX = 1000.0


def laid(plan: Plan, picture_id: str, width_px: int, height_px: int) -> Plan:
    """Return plan with a picture under it, the whole of it within the room until it is scaled."""
    xs, ys = zip(*plan.room.corners, strict=True)
    scale = min((max(xs) - min(xs)) / width_px, (max(ys) - min(ys)) / height_px)
    return plan_with(
        plan,
        "picture",
        "",
        Picture(
            id=picture_id,
            width_px=width_px,
            height_px=height_px,
            x_mm=min(xs),
            y_mm=min(ys),
            mm_per_px=min(scale, LARGEST_MM_PER_PX),
        ),
    )


GONE = "There is no picture under the drawing any more."
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


def _apart(typed: Typed) -> tuple[float, float, float]:
    """Return the first point and how far the second lies from it, as they are drawn now."""
    ax, ay, bx, by = (
        typed.length(name, "the place of the point", PLACE, signed=True)
        for name in ("ax", "ay", "bx", "by")
    )
    return ax, ay, math.hypot(bx - ax, by - ay)


def _scale(plan: Plan, typed: Typed) -> Done:
    """Scale about the first point, so that the two are as far apart as was taped."""
    picture = plan.picture
    if picture is None:
        raise CommandError(GONE)
    ax, ay, apart = _apart(typed)
    known = typed.length("known", "the distance between the two points", KNOWN)
    factor = known / max(apart, 1)
    x, y = ax + (picture.x_mm - ax) * factor, ay + (picture.y_mm - ay) * factor
    if not typed.faults:
        if apart < 1:
            typed.fault("known", "choose two different points of the picture first")
        elif not 0 < picture.mm_per_px * factor <= LARGEST_MM_PER_PX:
            typed.fault("known", "the two points are too near one another for this distance")
        elif max(abs(x), abs(y)) > LENGTH_LIMIT_MM:
            typed.fault("known", "the picture would lie more than 100 m away")
    typed.done()
    changes = {"mm_per_px": picture.mm_per_px * factor, "x_mm": x, "y_mm": y}
    scaled = made(Picture, "known", {**dict(picture), **changes})
    return plan_with(plan, "picture", "known", scaled), f"the picture scaled to {typed.say(known)}"


EDITS: Edits = {
    "picture": sole(PICTURE, "picture", "", "the picture under the drawing", gone=GONE),
    "picture-scale": _scale,
    "no-picture": emptied("picture", "take the picture away", GONE),
}
TABLES = {"picture": PICTURE}
