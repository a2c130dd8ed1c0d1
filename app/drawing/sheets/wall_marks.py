"""Marks along the walls of a room that is longer than a tape: from them its middle is taped.

From the corners of a long hall no two tapes cross well in its middle, and none would reach there.
So somebody who sets out marks the walls first, at the foot and at whole figures from a corner.
"""

from __future__ import annotations

import math
from collections.abc import Collection, Iterator, Sequence
from dataclasses import dataclass
from itertools import groupby

import shapely

from app.drawing.primitives import Point
from app.scene.build import Scene
from app.scene.walls import WallShape
from app.units import FOOT_MM, Units

TAPE_MM = 8000.0
"""The tape that nearly every household has: common practice, no source."""
LONG_TAPE_MM = 30000.0
"""The longest that is lent or bought for a day: likewise."""
_EVERY_MM: dict[Units, float] = {"metric": 4000.0, "feet": 12 * float(FOOT_MM)}
"""From one mark to the next: over a hall as wide as that, two tapes from these cross well."""
_ASIDE: dict[Units, float] = {"metric": 500.0, "feet": float(FOOT_MM)}
"""By this much a mark is moved that would lie in a doorway; its figure stays a whole one."""
_STEPS_ASIDE = (0, 1, -1, 2, -2, 3, -3)
_JAMB_MM = 100.0
"""Nearer to a doorway no mark is set: there the frame is in the way of the tape."""


@dataclass(frozen=True, slots=True)
class WallMark:
    """A mark at the foot of a wall, `mm` from one of its corners towards the other.

    Corners are counted from 0 in the order of the walls.
    """

    corner: int
    towards: int
    mm: float
    at: Point


def wall_marks(scene: Scene) -> tuple[WallMark, ...]:
    """Return the marks along every wall that is longer than a tape, in the order of the walls."""
    walls = scene.room.walls
    return tuple(
        mark
        for number, wall in enumerate(walls)
        if math.dist(wall.start, wall.end) > TAPE_MM
        for mark in _along(scene, wall, number, (number + 1) % len(walls))
    )


def needed(marks: Sequence[WallMark], used: Collection[int]) -> list[int]:
    """Return the numbers of the marks that are to be set for those that are used.

    A mark comes with those between it and its corner: with a short tape one goes on from them.
    """
    kept = []
    numbered = enumerate(marks)
    for _, some in groupby(numbered, key=lambda pair: (pair[1].corner, pair[1].towards)):
        group = list(some)
        farthest = max((mark.mm for i, mark in group if i in used), default=0.0)
        kept += [i for i, mark in group if mark.mm <= farthest]
    return kept


def _along(scene: Scene, wall: WallShape, start: int, end: int) -> Iterator[WallMark]:
    """Yield the marks of a wall: those of its first half from its start, the others from its end.

    Each half is counted from its own corner, so no figure is longer than it has to be.
    """
    units, long = scene.plan.units, math.dist(wall.start, wall.end)
    (ux, uy), step = wall.along, _EVERY_MM[units]
    doors = [
        shapely.LineString([o.left, o.right]).buffer(_JAMB_MM)
        for o in scene.room.openings
        if o.wall.id == wall.id and o.opening.kind != "window"
    ]
    halves = ((start, end, wall.start, 1.0), (end, start, wall.end, -1.0))
    for corner, towards, (x, y), way in halves:
        for k in range(1, int(long / 2 // step) + 1):
            for aside in _STEPS_ASIDE:
                mm = k * step + aside * _ASIDE[units]
                at = (x + ux * mm * way, y + uy * mm * way)
                if not any(door.covers(shapely.Point(at)) for door in doors):
                    # in the middle the two halves meet in one mark
                    if corner == start or mm < long / 2 - _ASIDE[units] / 2:
                        yield WallMark(corner, towards, mm, at)
                    break
