"""Windows that must open: kept free to open and to climb out of."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from shapely import Polygon

from app.checks.snag import Snag
from app.published.register import published
from app.scene.build import Scene
from app.scene.doors import OpeningShape
from app.scene.routes import ways_out
from app.scene.tolerance import HALF_MM, TOLERANCE_MM, falls_short
from app.units import MEGA
from app.wording import Phrase, joined, lower, phrase

_SIDE = "window.escape.side-mm"
_STAND = "route.least-mm"


def windows(scene: Scene) -> Iterator[Snag]:
    """Yield a care for a window that must open and cannot, a stop if it is the only way out.

    Of an only way out that is smaller than an escape window should be, a note tells.
    """
    looked_at = scene.memo(("windows that open",), lambda: _that_open(scene))
    if not looked_at:
        return
    only = [shape for shape in looked_at if shape.opening.way_out and not ways_out(scene)]
    for shape in looked_at:
        snag = _blocked(scene, shape, only == [shape])
        if snag is not None:
            yield snag
    if only:
        yield from scene.memo(("escape window",), lambda: tuple(_small(only)))


def _that_open(scene: Scene) -> tuple[OpeningShape, ...]:
    return tuple(
        shape
        for shape in scene.room.openings
        if shape.opening.kind == "window" and shape.opening.must_open
    )


def _name(shape: OpeningShape) -> str:
    return shape.opening.label or "Window"


def _blocked(scene: Scene, shape: OpeningShape, only: bool) -> Snag | None:
    """Tell of a window before which no stretch is free that is wide enough for a person."""
    opening, solids = shape.opening, scene.solids
    (lx, ly), (ix, iy), deep = shape.left, shape.inward, published(_STAND)
    rx, ry = shape.right
    end = (rx + ix * deep, ry + iy * deep)
    before = Polygon([(lx, ly), (rx, ry), end, (lx + ix * deep, ly + iy * deep)])
    hits = scene.tree.query(before.buffer(-HALF_MM, join_style="mitre"), predicate="intersects")
    walls = len(scene.order) + len(scene.room.walls)
    owner = solids.owner[hits]
    hits = hits[
        (solids.low_mm[hits] < opening.sill_mm + opening.height_mm - TOLERANCE_MM)
        & (solids.high_mm[hits] > opening.sill_mm + TOLERANCE_MM)
        & ((owner < len(scene.order)) | (owner >= walls))
    ]
    if not len(hits):
        return None
    along = np.array([rx - lx, ry - ly]) / opening.width_mm
    taken = []
    for part in shapely.intersection(solids.cores[hits], before):
        ends = (shapely.get_coordinates(part) - np.array([lx, ly])) @ along
        taken.append((float(ends.min()) - HALF_MM, float(ends.max()) + HALF_MM))
    free = _widest(taken, opening.width_mm)
    wanted = min(published(_SIDE), opening.width_mm)
    if not falls_short(free, wanted):
        return None
    numbers = list(dict.fromkeys(int(n) for n in solids.owner[hits]))
    count = len(scene.order)
    names = [
        f"the {lower(scene.order[n].name)}" if n < count else scene.fixed_names[n - count]
        for n in numbers
    ]
    first = ": it is the only way out" if only else ""
    return Snag(
        code=f"window-blocked-{opening.id}",
        severity="stop" if only else "care",
        template="It must open, and {} in the way: {:mm} of its width are free above the "
        "sill. Allow {:bare}, and {:bare} before it to stand in{}.",
        values=(
            " and ".join(names) + (" is" if len(names) == 1 else " are"),
            free,
            wanted,
            deep,
            first,
        ),
        pieces=tuple(scene.order[n].piece.id for n in numbers if n < count),
        names=(_name(shape),),
        measured=round(free),
        required=round(wanted),
        where=((lx + rx) / 2, (ly + ry) / 2),
        source_keys=(_SIDE, _STAND),
        hangs_on_place=True,
        meets="window",
    )


def _widest(taken: list[tuple[float, float]], width_mm: float) -> float:
    """Return the widest stretch from nought to a width that none of some stretches takes."""
    free, at = 0.0, 0.0
    for start, end in sorted(taken):
        free = max(free, min(start, width_mm) - at)
        at = max(at, end)
    return max(free, width_mm - at)


def _small(only: list[OpeningShape]) -> Iterator[Snag]:
    """Yield one note where no window that is the only way out has the size of an escape window."""
    faults = [(shape, _faults(shape)) for shape in only]
    if not all(wrong for _, wrong in faults):
        return
    shape, wrong = min(faults, key=lambda fault: len(fault[1]))
    yield Snag(
        code=f"window-escape-{shape.opening.id}",
        severity="note",
        template="The only way out, even if all of it opens: {}. What an escape window must be "
        "here, local code decides.",
        values=(joined("; ", wrong),),
        parts=tuple(phrase("{:cap}.", fault) for fault in wrong),
        names=(_name(shape),),
        unit=None,
        where=shape.middle,
        source_keys=("window.escape.area-m2", _SIDE, "window.escape.sill-mm"),
    )


def _faults(shape: OpeningShape) -> list[Phrase]:
    opening = shape.opening
    area = opening.width_mm * opening.height_mm / MEGA
    least, side = published("window.escape.area-m2"), published(_SIDE)
    sill = published("window.escape.sill-mm")
    faults = []
    if area < least:
        faults.append(phrase("{:area} of {:bare-area}", area, least))
    if falls_short(min(opening.width_mm, opening.height_mm), side):
        narrow = min(opening.width_mm, opening.height_mm)
        words = "{:mm} at its narrowest; England asks for {:bare}"
        faults.append(phrase(words, narrow, side))
    if falls_short(sill, opening.sill_mm):
        words = "its sill at {:mm}; England allows up to {:bare}"
        faults.append(phrase(words, opening.sill_mm, sill))
    return faults
