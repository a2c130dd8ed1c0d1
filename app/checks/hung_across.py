"""What hangs on a wall hangs on wall: not across a window, a door or a gap in it."""

from __future__ import annotations

from collections.abc import Iterator
from functools import partial

import numpy as np
import shapely

from app.checks.behind import wall_behind
from app.checks.shut_offs import SHUT_OFFS
from app.checks.snag import Snag, is_many
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.doors import OpeningShape
from app.scene.naming import opening_name
from app.scene.tolerance import HALF_MM, TOLERANCE_MM, falls_short
from app.wording import lower

LIVE = frozenset({"strict", "swinging", "bag"})
"""Uses of what a body or a bag hangs on."""
OFF_THE_WALL = "off-the-wall"
"""What is found of a thing for a wall that is in mid-air."""
ACROSS = "hung-across-"
"""How the code of a finding begins that tells of an opening behind a thing for a wall."""
_ON_WALL = "fixing.off-wall-mm"
_ENDS = "fixing.from-end-mm"


def hung_across(scene: Scene) -> Iterator[Snag]:
    """Yield a snag for each piece that is to hang where its wall has an opening, or off any wall.

    `stop`: somebody or a bag hangs on it, and an end of it that is fixed has no wall behind it.
    `care`: what else hangs across an opening, or on no wall. What stays hangs there already. What
    hangs on fixings of its own and reaches no wall is said with those.
    """
    for placed in scene.order:
        if placed.kit.for_wall and not placed.piece.stays:
            yield from hung_across_of(scene, placed)


def hung_across_of(scene: Scene, placed: Placed) -> tuple[Snag, ...]:
    """Return what is to be said of where one piece for a wall hangs."""
    key = ("hung across", placed.piece.id, *placed.at, placed.pose.angle_deg)
    return scene.memo(key, partial(_across, scene, placed))


def is_live(placed: Placed) -> bool:
    """Return whether somebody or a bag hangs on a piece."""
    return placed.kit.fixed is not None and placed.kit.fixed.use in LIVE


def off_wall(placed: Placed, gap_mm: float) -> Snag:
    """Return the care for what is made for a wall and reaches none."""
    return Snag(
        code=OFF_THE_WALL,
        hangs_on_place=True,
        severity="care",
        template="{}: made for a wall, and {:mm} off the nearest. Nothing holds {}.",
        values=(placed.name, gap_mm, "them" if is_many(placed.name) else "it"),
        pieces=(placed.piece.id,),
        names=(placed.name, "wall"),
        measured=round(gap_mm),
        where=placed.at,
        source_keys=(_ON_WALL,),
    )


def _across(scene: Scene, placed: Placed) -> tuple[Snag, ...]:
    wall, gap = wall_behind(scene, placed)
    if falls_short(published(_ON_WALL), gap):
        # what takes hold by fixings is told with these; what stands is not held by a wall, what
        # shuts off is where the house has it, and what is not in the room is told as that
        stands = bool((placed.shape.low_mm <= 0).any())
        told = stands or placed.kit.fixed is not None or placed.kit.key in SHUT_OFFS
        told = told or not shapely.intersects_xy(scene.room.free, *placed.at)
        return () if told else (off_wall(placed, gap),)
    there = (shape for shape in scene.room.openings if shape.opening.wall == wall.id)
    return tuple(
        _snag(scene, placed, shape, taken)
        for shape in there
        if (taken := _over_mm(placed, shape)) > TOLERANCE_MM
    )


def lies_across(placed: Placed, shape: OpeningShape) -> Iterator[tuple[float, float]]:
    """Yield from where to where along a wall the parts of a piece lie that are as high as an
    opening in it, from the middle of the piece, in mm.
    """
    opening, solids = shape.opening, placed.shape
    for core, low, high in zip(solids.cores, solids.low_mm, solids.high_mm, strict=True):
        below = opening.sill_mm + opening.height_mm - (low + placed.lift_mm)
        above = high + placed.lift_mm - opening.sill_mm
        if min(below, above) > TOLERANCE_MM:
            along = np.asarray(core.exterior.coords) @ shape.wall.along
            yield float(along.min()) - HALF_MM, float(along.max()) + HALF_MM


def _over_mm(placed: Placed, shape: OpeningShape) -> float:
    """Return how much of the width of an opening some part of a piece hangs before, in mm."""
    ax, ay = shape.wall.along
    middle = placed.at[0] * ax + placed.at[1] * ay
    start, end = sorted(x * ax + y * ay for x, y in (shape.left, shape.right))
    taken = [
        min(middle + right, end) - max(middle + left, start)
        for left, right in lies_across(placed, shape)
    ]
    return max(taken, default=0.0)


def _snag(scene: Scene, placed: Placed, shape: OpeningShape, taken_mm: float) -> Snag:
    opening = opening_name(scene, shape)
    stands = bool((placed.shape.low_mm <= 0).any())
    bears = is_live(placed) and falls_short(published(_ENDS), taken_mm)
    return Snag(
        code=f"{ACROSS}{shape.opening.id}",
        hangs_on_place=True,
        severity="stop" if bears else "care",
        template="{:mm} of it would {} across the {}, where there is no wall to fix it to.",
        values=(taken_mm, "stand" if stands else "hang", lower(opening)),
        pieces=(placed.piece.id,),
        names=(placed.name, lower(opening)),
        measured=-round(taken_mm),
        required=0,
        where=placed.at,
        source_keys=(_ON_WALL, _ENDS) if bears else (_ON_WALL,),
    )
