"""Where a piece is measured from that no tape reaches off the start wall: from one that lies."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from app.scene.build import Scene
from app.takeoff.floor_layout import Laid, Mat
from app.takeoff.floor_region import frame_of
from app.takeoff.floor_shapes import HAIR_MM
from app.takeoff.lay_steps import lay_frame
from app.units import Units
from app.wording import length_words

_NEAR_MM = 2.0
"""A tape may lie so far in a wall: what is built is no straighter."""
_LINES = 5
"""Places along the edge of a piece from which a tape is drawn to the wall."""


@dataclass(frozen=True, slots=True)
class Beside:
    """An earlier piece that a place is measured from: how far left and top lie from its own, mm."""

    number: int
    left_mm: float
    deep_mm: float


def beside_of(scene: Scene, laid: Laid, mat: Mat) -> Beside | None:
    """Return the piece to measure from where a wall stands between this one and the start wall.

    None where a tape off the start wall reaches it, and where nothing that lies by then is reached
    either.
    """
    frame, left = lay_frame(scene, laid)
    wall = next(one for one in scene.room.walls if one.id == laid.start.wall)
    own = frame_of(wall)
    u0, v0, u1, _ = frame.into(mat.polygon).bounds
    ends = shapely.get_coordinates(own.into(shapely.LineString([wall.start, wall.end])))[:, 0]
    long = float(np.ptp(ends))
    free = frame.into(scene.room.free).buffer(_NEAR_MM, join_style="mitre")
    shapely.prepare(free)
    along = [float(u) for u in np.linspace(u0 + HAIR_MM, u1 - HAIR_MM, _LINES)]
    on_wall = [u for u in along if left - _NEAR_MM <= u <= left + long + _NEAR_MM]
    if u0 >= left - _NEAR_MM and any(_reached(free, (u, 0.0), (u, v0)) for u in on_wall):
        return None
    earlier = [one for one in laid.mats if one.number < mat.number]
    parts = {one.number: frame.into(one.polygon) for one in earlier}
    piece = frame.into(mat.polygon)
    near = sorted(earlier, key=lambda one: float(parts[one.number].distance(piece)))
    for one in near:
        a0, b0, _, _ = parts[one.number].bounds
        # both tapes lie over floor: along the one that lies, and over this one where it goes
        if _tape(free, (a0, b0), (u0, v0)):
            return Beside(one.number, u0 - a0, v0 - b0)
    return None


def _tape(free: BaseGeometry, of: tuple[float, float], to: tuple[float, float]) -> bool:
    """Return whether both distances between two corners can be measured over the floor."""
    corners = (of[0], to[1]), (to[0], of[1])
    return any(_reached(free, of, corner) and _reached(free, corner, to) for corner in corners)


def _reached(free: BaseGeometry, a: tuple[float, float], b: tuple[float, float]) -> bool:
    return bool(free.covers(shapely.LineString([a, b])))


def beside_words(one: Beside, units: Units) -> str:
    """Say where a piece lies from another one that lies by then."""
    left = length_words(abs(one.left_mm), units)
    deep = length_words(abs(one.deep_mm), units)
    side = "right" if one.left_mm >= 0 else "left"
    way = "below" if one.deep_mm >= 0 else "above"
    return (
        f"Off piece {one.number}, for a wall stands between it and the start wall: its left edge "
        f"{left} to the {side} of the left edge of that one, its top {deep} {way} its top."
    )
