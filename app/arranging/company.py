"""Long things that stand out into a room: whether something runs along one of their sides.

A running machine with its front to a side wall and nothing beside it parts a room in two: common
practice, no source. In a corner or in a row with others the floor before them stays in one piece.
"""

from __future__ import annotations

from collections.abc import Iterable
from functools import partial

import numpy as np
import shapely
from numpy.typing import NDArray

from app.arranging.standing import (
    LONG_SHARE,
    SIDES,
    asked_mm,
    corners_of,
    is_carrier,
    is_disc,
    is_floor,
)
from app.placing.layout import Layout
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.shapes import turned_points
from app.scene.tolerance import TOLERANCE_MM

Floats = NDArray[np.float64]
LONG_MM = 1500
"""How far what is long reaches into a room: more than anybody reaches round, so one walks about."""
ALONG_SHARE = 0.4
"""Of how much of its length something runs along it."""


def is_long(placed: Placed) -> bool:
    """Return whether a piece is long and much deeper than wide."""
    extent = placed.extent
    deep = extent.depth_mm >= max(LONG_MM, LONG_SHARE * extent.width_mm)
    return bool(deep and not is_floor(placed) and not is_disc(placed) and is_carrier(placed))


def has_company(scene: Scene, placed: Placed) -> bool:
    """Return whether a wall, a column or another piece runs along a side of a long piece.

    No farther off than it asks for at that side and somebody needs to pass.
    """
    others = [p for p in scene.order if p.root != placed.root and _counts(p)]
    rings = [*_still(scene), *(corners_of(other) for other in others)]
    here, angle = np.array([placed.at]), placed.pose.angle_deg
    return bool(_along(placed, here, np.concatenate(rings), angle)[0])


class Company:
    """The same for many places of a station of one scene, beside where the others stand."""

    def __init__(self, scene: Scene, free: Iterable[str]) -> None:
        self.scene = scene
        self.free = frozenset(free)
        still = [p for p in scene.order if p.root not in self.free and _counts(p)]
        self._still = [*_still(scene), *(corners_of(placed) for placed in still)]

    def at(self, root: str, turn_deg: float, points: Floats, layout: Layout) -> NDArray[np.bool_]:
        """Return at which places a long carrier has company, (n,)."""
        rings = list(self._still)
        for other, at in layout.at.items():
            placed = self.scene.placed[other]
            if other == root or other not in self.free or not _counts(placed):
                continue
            ring = turned_points(corners_of(placed) - np.array(placed.at), -placed.pose.angle_deg)
            rings.append(turned_points(ring, at.turn_deg) + np.array((at.x_mm, at.y_mm)))
        return _along(self.scene.placed[root], points, np.concatenate(rings), turn_deg)


def _counts(placed: Placed) -> bool:
    return is_carrier(placed) and not is_floor(placed) and not is_disc(placed)


def _still(scene: Scene) -> list[Floats]:
    """Return the walls, as four corners each of which two are one, and the boxes of columns."""
    return scene.memo(("walls and columns",), partial(_walls_and_columns, scene))


def _walls_and_columns(scene: Scene) -> list[Floats]:
    rings = [np.array([wall.start, wall.end] * 2, dtype=np.float64) for wall in scene.room.walls]
    for _, column in scene.room.columns:
        box = shapely.get_coordinates(shapely.minimum_rotated_rectangle(column))[:4]
        rings.append(np.asarray(box, dtype=np.float64))
    return rings


def _along(placed: Placed, points: Floats, corners: Floats, turn_deg: float) -> NDArray[np.bool_]:
    """Return where something runs along a side of a piece; `corners` are four of each thing.

    Walls askew to it count with the box about them, as wide as they are.
    """
    half, deep = placed.extent.width_mm / 2, placed.extent.depth_mm / 2
    seen = turned_points(corners, -turn_deg).reshape(-1, 4, 2)
    at = turned_points(points, -turn_deg)[:, None]
    low, high = seen.min(axis=1)[None] - at, seen.max(axis=1)[None] - at
    along = np.minimum(high[..., 1], deep) - np.maximum(low[..., 1], -deep)
    passing = published("layout.way-in.none-mm") + TOLERANCE_MM
    met = np.zeros(len(points), dtype=bool)
    for side, gap in (("right", low[..., 0] - half), ("left", -half - high[..., 0])):
        most = asked_mm(placed, SIDES.index(side)) + passing
        near = (gap >= -TOLERANCE_MM) & (gap <= most)
        met |= (near & (along >= ALONG_SHARE * 2 * deep)).any(axis=1)
    return met
