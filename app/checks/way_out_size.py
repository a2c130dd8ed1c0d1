"""Ways out as openings: whether a person gets through the best of them at all, and upright."""

from __future__ import annotations

from app.checks.snag import Severity, Snag
from app.checks.way_words import LEAST, WANTED
from app.published.register import published
from app.scene.build import Scene
from app.scene.doors import OpeningShape
from app.scene.naming import opening_name
from app.scene.routes import Routes
from app.scene.tolerance import TOLERANCE_MM, falls_short
from app.units import MM_PER_M
from app.wording import Phrase, lower, phrase

ON_FOOT = "route.on-foot-mm"
DOOR_HIGH = "way-out.height-mm"
SIDE = "window.escape.side-mm"
AREA = "window.escape.area-m2"
SHOE = "body.shoe-mm"
Fault = tuple[Severity, Phrase, float, float, float, tuple[str, ...]]
"""How grave, what is wrong, what there is, the figure missed, what is ample, and the rows."""


def way_out_size(scene: Scene, paths: Routes) -> Snag | None:
    """Return what is wrong with the best way out as an opening; None where one has no fault.

    `stop`: narrower than a person, or smaller than an opening that is published as one to escape
    by. `care`: narrower than recommended, crawled through, or lower than the least headroom and
    the tallest head in shoes.
    """
    worst: list[tuple[OpeningShape, Fault]] = []
    for shape in paths.ways_out:
        fault = _fault(scene, shape)
        if fault is None:
            return None
        worst.append((shape, fault))
    if not worst:
        return None
    stops = [one for one in worst if one[1][0] == "stop"]
    mild = [one for one in worst if one[1][0] != "stop"]
    shape, fault = max(mild or stops, key=lambda one: one[1][2] / one[1][3])
    severity, cause, measured, required, need, keys = fault
    name = lower(opening_name(scene, shape))
    only = len(worst) == 1
    which = f"The {name}, the only way out," if only else f"Of the ways out the best, the {name},"
    return Snag(
        code="way-out-size",
        opening=shape.opening.id,
        severity=severity,
        template="{} {}",
        values=(which, cause),
        names=("way out", name),
        measured=round(measured),
        required=round(required),
        need=round(need),
        where=((shape.left[0] + shape.right[0]) / 2, (shape.left[1] + shape.right[1]) / 2),
        source_keys=keys,
    )


def _fault(scene: Scene, shape: OpeningShape) -> Fault | None:
    wide, high = shape.opening.width_mm, shape.opening.height_mm
    least, side, wanted = published(LEAST), published(SIDE), published(WANTED)
    upright = published(ON_FOOT)
    if falls_short(wide, least):
        cause = phrase("is {:mm} wide: a person needs {:mm}.", wide, least)
        return "stop", cause, wide, least, wanted, (LEAST,)
    if falls_short(high, side):
        cause = phrase("is {:mm} high: an opening to escape by has at least {:mm}.", high, side)
        return "stop", cause, high, side, upright, (SIDE,)
    low = published(AREA) * MM_PER_M**2 / wide
    if falls_short(high, low):
        cause = phrase(
            "is {:mm} by {:mm}: so wide, an opening to escape by is at least {:mm} high.",
            wide,
            high,
            low,
        )
        return "stop", cause, high, low, upright, (AREA,)
    if falls_short(high, upright):
        cause = phrase(
            "is {:mm} high: one crawls out. Under {:mm} nobody passes on foot.", high, upright
        )
        return "care", cause, high, upright, published(DOOR_HIGH), (ON_FOOT,)
    if falls_short(wide, wanted):
        cause = phrase("is {:mm} wide. Allow {:mm}.", wide, wanted)
        return "care", cause, wide, wanted, wanted, (WANTED,)
    people = scene.plan.people
    head = max((one.stature_mm for one in people), default=0) + published(SHOE)
    upper = min(head, published(DOOR_HIGH))
    if people and falls_short(high, upper):
        cause = phrase("is {:mm} high: the tallest head in shoes needs {:mm}.", high, head)
        return "care", cause, high, upper, head + TOLERANCE_MM, (SHOE, DOOR_HIGH)
    return None
