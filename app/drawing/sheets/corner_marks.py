"""The corners of a room marked and named in a plan: what offsets and tapes start from."""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely

from app.drawing.lettering import width_of
from app.drawing.placing import Crowd, Spot
from app.drawing.primitives import Item, Point, Polygon, Text
from app.drawing.sheets.taping import corners_of, wall_mark_name
from app.drawing.sheets.wall_marks import WallMark
from app.scene.build import Scene
from app.scene.naming import corner_name

_STEPS = (-1, 1, -2, 2, -3, 3)
_AROUND = np.array([(dx, dy) for dx in _STEPS for dy in _STEPS], dtype=np.float64)
"""How far aside and down a name may stand of its mark, (n, 2), in steps of about its height."""

_FAR_COST = 0.4
"""What a step aside costs against lines that run through the name."""
_AIR_EM = 0.5
"""What a name keeps off the lines on both its sides, together."""


def corner_marks(scene: Scene, em: float, crowd: Crowd) -> list[Item]:
    """Mark each corner with a filled square inside it and its name beside."""
    marks = [(corner_name(i), at) for i, at in enumerate(corners_of(scene))]
    return _named(marks, scene, em, crowd)


def marks_along_walls(
    along: Sequence[WallMark], scene: Scene, em: float, crowd: Crowd
) -> list[Item]:
    """Mark each mark at the foot of a wall as a corner is."""
    marks = [(wall_mark_name(i), mark.at) for i, mark in enumerate(along)]
    return _named(marks, scene, em, crowd)


def _named(marks: Sequence[tuple[str, Point]], scene: Scene, em: float, crowd: Crowd) -> list[Item]:
    items: list[Item] = []
    free = scene.room.free
    inner = free.buffer(-em * 1.1, join_style="mitre")
    for words, (x, y) in marks:
        half = em * 0.22
        ring = (
            (x - half, y - half),
            (x + half, y - half),
            (x + half, y + half),
            (x - half, y + half),
        )
        items.append(Polygon(ring, "dark"))
        clear = shapely.covers(free, shapely.points(_AROUND * em + (x, y)))
        spots = [
            Spot((x + dx * em * 1.3, y + dy * em * 1.1), _FAR_COST * (abs(dx) + abs(dy)))
            for dx, dy in _AROUND[clear | inner.is_empty].tolist()
        ] or [Spot((x, y + em))]
        at = crowd.place(width_of(words, em, bold=True) + em * _AIR_EM, em, spots)
        items.append(Text((at[0], at[1] + em * 0.36), words, "chalk-mark"))
    return items
