"""Ways out as openings: whether a person gets through the best of them at all, and upright."""

from __future__ import annotations

from dataclasses import dataclass

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


@dataclass(frozen=True, slots=True)
class _Fault:
    """What is wrong with an opening: how grave, in words, the figure missed and what is ample."""

    severity: Severity
    cause: Phrase
    measured_mm: float
    required_mm: float
    need_mm: float
    keys: tuple[str, ...]

    @property
    def rank(self) -> tuple[bool, float]:
        """How good the opening is beside others that have a fault: the greater the better."""
        return self.severity != "stop", self.measured_mm / self.required_mm


def way_out_size(scene: Scene, paths: Routes) -> Snag | None:
    """Return what is wrong with the best way out as an opening; None where one has no fault.

    `stop`: narrower than a person, or smaller than an opening that is published as one to escape
    by. `care`: narrower than recommended, crawled through, or lower than the least headroom and
    the tallest head in shoes.
    """
    faults: list[tuple[OpeningShape, _Fault]] = []
    for shape in paths.ways_out:
        fault = _fault(scene, shape)
        if fault is None:
            return None
        faults.append((shape, fault))
    if not faults:
        return None
    shape, fault = max(faults, key=lambda one: one[1].rank)
    name = lower(opening_name(scene, shape))
    only = len(faults) == 1
    which = f"The {name}, the only way out," if only else f"Of the ways out the best, the {name},"
    return Snag(
        code="way-out-size",
        severity=fault.severity,
        template="{} {}",
        values=(which, fault.cause),
        names=("way out", name),
        measured=round(fault.measured_mm),
        required=round(fault.required_mm),
        need=round(fault.need_mm),
        where=shape.middle,
        source_keys=fault.keys,
    )


def _fault(scene: Scene, shape: OpeningShape) -> _Fault | None:
    wide, high = shape.opening.width_mm, shape.opening.height_mm
    least, side, wanted = published(LEAST), published(SIDE), published(WANTED)
    upright = published(ON_FOOT)
    if falls_short(wide, least):
        cause = phrase("is {:mm} wide: a person needs {:mm}.", wide, least)
        return _Fault("stop", cause, wide, least, wanted, (LEAST,))
    if falls_short(high, side):
        cause = phrase("is {:mm} high: an opening to escape by has at least {:mm}.", high, side)
        return _Fault("stop", cause, high, side, upright, (SIDE,))
    low = published(AREA) * MM_PER_M**2 / wide
    if falls_short(high, low):
        cause = phrase(
            "is {:mm} by {:mm}: so wide, an opening to escape by is at least {:mm} high.",
            wide,
            high,
            low,
        )
        return _Fault("stop", cause, high, low, upright, (AREA,))
    if falls_short(high, upright):
        cause = phrase(
            "is {:mm} high: one crawls out. Under {:mm} nobody passes on foot.", high, upright
        )
        return _Fault("care", cause, high, upright, published(DOOR_HIGH), (ON_FOOT,))
    if falls_short(wide, wanted):
        cause = phrase("is {:mm} wide. Allow {:mm}.", wide, wanted)
        return _Fault("care", cause, wide, wanted, wanted, (WANTED,))
    people = scene.plan.people
    head = max((one.stature_mm for one in people), default=0) + published(SHOE)
    upper = min(head, published(DOOR_HIGH))
    if people and falls_short(high, upper):
        cause = phrase("is {:mm} high: the tallest head in shoes needs {:mm}.", high, head)
        return _Fault("care", cause, high, upper, head + TOLERANCE_MM, (SHOE, DOOR_HIGH))
    return None
