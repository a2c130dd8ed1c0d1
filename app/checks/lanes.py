"""Lanes: a strip before a piece is judged by the width left in it where things only flank it."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from app.published.register import published
from app.scene.build import Scene
from app.scene.tolerance import HALF_MM, TOLERANCE_MM

EASY = "route.easy-mm"
"""A lane is still one to work in where about its middle somebody carrying something passes."""

LANE_SIDES = frozenset({"front", "back"})
"""A strip beside a piece is as long as the piece: its width is nobody's lane."""


@dataclass(frozen=True, slots=True)
class Lane:
    """A lane flanked by things: its number, the thing that takes most, widths in mm, and where."""

    space: int
    solid: int
    left_mm: float
    wide_mm: float
    at: tuple[float, float]


def in_lanes(
    scene: Scene, of: NDArray[np.intp], hit: NDArray[np.intp]
) -> tuple[NDArray[np.bool_], list[Lane]]:
    """Return which pairs of a space and a solid in it only flank a lane, and the lanes narrowed.

    `hit` are solids by their number; a lane with something in its midst is none of these.
    """
    flanks = np.zeros(len(of), dtype=bool)
    lanes = []
    by_space = np.argsort(of, kind="stable")
    starts = np.flatnonzero(np.r_[True, np.diff(of[by_space]) != 0]) if len(of) else by_space
    for mine in np.split(by_space, starts[1:]) if len(of) else ():
        space = of[mine[0]]
        row = scene.spaces.shapes[space].space
        if row.side not in LANE_SIDES or row.kind == "access" or row.either:
            continue
        lane = _lane(scene, int(space), hit[mine])
        if lane is not None:
            flanks[mine] = True
            if lane.left_mm < lane.wide_mm - HALF_MM:
                lanes.append(lane)
    return flanks, lanes


def _lane(scene: Scene, space: int, hit: NDArray[np.intp]) -> Lane | None:
    """Measure the width left between what flanks a strip; None where too little is left."""
    spaces = scene.spaces
    owner, out = int(spaces.owner[space]), spaces.outward[space]
    # cores of strip and things alike are drawn in by half a millimetre: here true edges count
    low = float(spaces.aside_mm[space][0]) - HALF_MM
    high = float(spaces.aside_mm[space][1]) + HALF_MM
    lowest, highest = low, high
    taken, worst, at = 0.0, -1, (0.0, 0.0)
    for solid in hit:
        # The whole thing, not what of it is in the strip: moved outwards it takes no more width.
        xy = shapely.get_coordinates(scene.solids.cores[solid])
        away = xy - scene.at[owner]
        across = away[:, 1] * out[0] - away[:, 0] * out[1]
        first, last = float(across.min()) - HALF_MM, float(across.max()) + HALF_MM
        into_low, into_high = last - low, high - first
        from_low = into_low <= into_high
        lowest = max(lowest, last) if from_low else lowest
        highest = highest if from_low else min(highest, first)
        if min(into_low, into_high) > taken:
            taken = min(into_low, into_high)
            worst = int(scene.solids.owner[solid])
            x, y = xy[across.argmax() if from_low else across.argmin()]
            at = (float(x), float(y))
    left = highest - lowest
    # who works there stands in its middle: that much of it must be left, not just any part; who
    # falls off a belt falls behind the machine's own width
    falls = spaces.shapes[space].space.kind == "fall-off"
    wide = scene.order[owner].extent.width_mm if falls else published(EASY)
    middle, half = (low + high) / 2, wide / 2 - TOLERANCE_MM
    if worst < 0 or lowest > middle - half or highest < middle + half:
        return None
    return Lane(space, worst, left, high - low, at)


def beside_it(scene: Scene, space: int, solid: int) -> bool:
    """Return whether a thing in a strip lies beside the piece's own outline, not before it."""
    spaces = scene.spaces
    out, owner = spaces.outward[space], scene.order[int(spaces.owner[space])]
    if not out.any():
        return False
    sideways = np.array([-out[1], out[0]])
    across = (shapely.get_coordinates(scene.solids.cores[solid]) - owner.at) @ sideways
    own = (shapely.get_coordinates(owner.footprint) - owner.at) @ sideways
    return bool(across.min() >= own.max() - HALF_MM or across.max() <= own.min() + HALF_MM)
