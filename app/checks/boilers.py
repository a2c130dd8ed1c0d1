"""What stands under and before a boiler on the wall: pipes, taps and its front must be got at.

What reaches up to it is judged in its working spaces. What stands lower and mostly under it is
reached over; what stands before it and is not put aside by hand keeps people from it.
"""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from numpy.typing import NDArray

from app.checks.snag import Snag
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.tolerance import HALF_MM, TOLERANCE_MM, falls_short
from app.wording import lower

Floats = NDArray[np.float64]
_BOILER = "boiler"
_BELOW, _FRONT, _STEP = "boiler.below-mm", "boiler.front-mm", "shut-off.stepped-over-mm"
_SERVICE = "for-service"


def boilers(scene: Scene) -> Iterator[Snag]:
    """Yield a care for each boiler with something too near under it, or too near before it."""
    for placed in scene.order:
        if placed.kit.key == _BOILER and len(placed.shape.low_mm):
            yield from _before(scene, placed)
    for placed in scene.order:
        if placed.kit.key != _BOILER or not len(placed.shape.low_mm):
            continue
        bottom = float(placed.shape.low_mm.min()) + placed.lift_mm
        solids, core = scene.solids, placed.footprint.buffer(-HALF_MM, join_style="mitre")
        hits = np.sort(scene.tree.query(core, predicate="intersects"))
        hits = hits[hits < scene.piece_solids]
        hits = hits[scene.roots[solids.owner[hits]] != scene.roots[scene.order.index(placed)]]
        hits = hits[solids.low_mm[hits] < bottom]
        if not len(hits):
            continue
        highest = hits[int(np.argmax(np.round(solids.high_mm[hits])))]
        free = bottom - float(solids.high_mm[highest])
        # what reaches into the boiler itself is said as that
        if free < 0 or not falls_short(free, published(_BELOW)):
            continue
        under = scene.order[int(solids.owner[highest])]
        common = shapely.intersection(core, solids.cores[highest]).centroid
        yield Snag(
            code="below-boiler",
            hangs_on_place=True,
            severity="care",
            template="{:mm} under it to the {}. Allow {:bare} for pipes and taps.",
            values=(free, lower(under.name), published(_BELOW)),
            pieces=(placed.piece.id, under.piece.id),
            names=(placed.name, "below it"),
            measured=round(free),
            required=round(published(_BELOW)),
            where=(common.x, common.y),
            source_keys=(_BELOW,),
        )


def _is_said_otherwise(
    other: Placed, bottom_mm: float, at: Floats, out: Floats, face_mm: float
) -> bool:
    """Return whether a thing before a boiler is told of by another row, or told of by none.

    What reaches up to it meets its working spaces, what stands mostly under it is reached over,
    and what one person lifts is put aside. `out` looks from the wall, and the face lies `face_mm`
    off `at`.
    """
    if float(other.shape.high_mm.max()) + other.lift_mm > bottom_mm + TOLERANCE_MM:
        return True
    piece = other.piece
    mass = piece.mass_kg or other.kit.mass_kg
    if not piece.stays and mass <= published("lift.guide-kg"):
        return True
    along = (shapely.get_coordinates(other.footprint) - at) @ out - face_mm
    return bool(-along.min() > along.max())


def _before(scene: Scene, placed: Placed) -> Iterator[Snag]:
    """Yield a care for what stands before a boiler, lower than that and too high to step over."""
    space = next((one for one in placed.shape.spaces if one.space.key == _SERVICE), None)
    if space is None or space.outward is None:
        return
    out, at = np.array(space.outward), np.array(placed.at)
    lane = shapely.transform(space.core, lambda xy: xy + at)
    solids, bottom = scene.solids, float(placed.shape.low_mm.min()) + placed.lift_mm
    near: list[tuple[float, str, tuple[float, float]]] = []
    for hit in np.sort(scene.tree.query(lane, predicate="intersects")):
        if hit >= scene.piece_solids:
            continue
        other = scene.order[int(solids.owner[hit])]
        high = float(solids.high_mm[hit])
        steps = high - other.lift_mm <= published(_STEP) + TOLERANCE_MM
        if steps or _is_said_otherwise(other, bottom, at, out, space.edge_mm):
            continue
        xy = shapely.get_coordinates(lane.intersection(solids.cores[hit]))
        away = (xy - at) @ out - space.edge_mm - HALF_MM
        nearest = int(away.argmin())
        near.append((float(away[nearest]), other.piece.id, (xy[nearest][0], xy[nearest][1])))
    if not near:
        return
    free, piece_id, where = min(near)
    wanted = space.space.recommended_mm
    if not falls_short(free, wanted):
        return
    yield Snag(
        code="before-boiler",
        hangs_on_place=True,
        severity="care",
        template="{:mm} before it to the {}. Allow {:bare} for who services it.",
        values=(max(free, 0.0), lower(scene.placed[piece_id].name), wanted),
        pieces=(placed.piece.id, piece_id),
        names=(placed.name, "before it"),
        measured=round(max(free, 0.0)),
        required=round(wanted),
        where=(float(where[0]), float(where[1])),
        source_keys=(_FRONT, _STEP, "lift.guide-kg"),
    )
