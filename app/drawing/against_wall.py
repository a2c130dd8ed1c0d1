"""Where columns stand by the walls of a room."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from app.drawing.primitives import Point
from app.scene.tolerance import TOLERANCE_MM
from app.scene.walls import WallShape


def on_wall(wall: WallShape, start: Point, outline: BaseGeometry) -> tuple[float, float] | None:
    """Return from where to where along a wall a column stands against it, in mm; None for nowhere.

    Lengths run from `start`, where the face of the wall as it is measured begins.
    """
    along, off = about_wall(wall, start, outline)
    touches = wall.wall.lining_mm + TOLERANCE_MM
    near = along[off <= touches]
    if not near.size or np.ptp(near) < TOLERANCE_MM or np.ptp(off) < TOLERANCE_MM:
        return None
    return float(near.min()), float(near.max())


def about_wall(
    wall: WallShape, start: Point, outline: BaseGeometry
) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Return where the corners of an outline are along the face of a wall and off it, (n,) each."""
    at = shapely.get_coordinates(outline) - np.array(start)
    return at @ np.array(wall.along), at @ np.array(wall.inward)
