"""Figures between nought and one that preferences and wishes are made of."""

from __future__ import annotations

import math
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from app.scene.build import Scene
from app.scene.tolerance import TOLERANCE_MM

Floats = NDArray[np.float64]

FAR_SHARE = 0.1
"""What is left of nearness at what counts as far: next to nothing, but more than farther off."""


def ramp(value: float, none: float, full: float) -> float:
    """Return 0 up to `none`, 1 from `full` on, and evenly between."""
    if math.isinf(value):
        return 1.0 if value > 0 else 0.0
    return min(1.0, max(0.0, (value - none) / (full - none)))


def nearness(away_mm: Floats | float, near_mm: float, far_mm: float) -> Floats:
    """Return 1 as far as what is near, little at what is far, and less and less beyond.

    So in a hall, too, what is used together is drawn together.
    """
    away = np.asarray(away_mm, dtype=np.float64)
    within = 1 - (1 - FAR_SHARE) * np.clip((away - near_mm) / (far_mm - near_mm), 0.0, 1.0)
    beyond: Floats = within * far_mm / np.maximum(away, far_mm)
    return beyond


def mean(shares: Sequence[float]) -> float:
    """Return the mean of some shares; 1 where there are none: what has no object is met."""
    return sum(shares) / len(shares) if shares else 1.0


def aside_deg(
    facing: tuple[float, float], at: tuple[float, float], other: tuple[float, float]
) -> float:
    """Return how far beside the way one faces another place lies, from 0 to 180 degrees."""
    dx, dy = other[0] - at[0], other[1] - at[1]
    away = math.hypot(dx, dy)
    if away < TOLERANCE_MM:
        return 0.0
    cos = (dx * facing[0] + dy * facing[1]) / away
    return math.degrees(math.acos(min(1.0, max(-1.0, cos))))


def spread(scene: Scene, count: int) -> Floats:
    """Return about so many points evenly over the floor of a room, (n, 2) in mm."""
    x0, y0, x1, y1 = scene.room.free.bounds
    step = max(float(np.sqrt((x1 - x0) * (y1 - y0) / count)), 1.0)
    xs, ys = np.meshgrid(np.arange(x0 + step / 2, x1, step), np.arange(y0 + step / 2, y1, step))
    points = np.stack([xs.ravel(), ys.ravel()], axis=1)
    inside: Floats = points[shapely.contains_xy(scene.room.free, points[:, 0], points[:, 1])]
    return inside
