"""The one tolerance of the project: touching is not overlapping, at any angle.

Every solid and every working space has a *core*, drawn in by half the tolerance on all sides. Two
things overlap when their cores meet, that is when they reach into one another by more than the
tolerance. On the limit passes; 2 mm over does not.

What is asked for has no edge of its own to be drawn in: a measure falls short of it by half the
tolerance. So a figure that is told in whole millimetres falls short wherever it is told as less.
"""

from __future__ import annotations

from typing import overload

import numpy as np
import shapely
from numpy.typing import NDArray

from app.published.register import published

ROUNDING = 1.5e-8
"""Share that counts as nothing when directions are compared: the root of the precision of a float,
above what a few multiplications lose and far below any angle of a house."""


SKY_MM = 100_000
"""Top of what reaches up to the ceiling, in mm: above every room."""


CHORDS_A_QUARTER = 8
"""Straight pieces that stand for a quarter of a circle: on a radius of 2 m they lie 10 mm inside it
at most, less than a tape errs."""


Geometries = NDArray[np.object_]
Floats = NDArray[np.float64]

TOLERANCE_MM = published("scene.touch-tolerance-mm")
HALF_MM = TOLERANCE_MM / 2
SHORT_MM = HALF_MM * 1.1
"""What may be lacking of what is asked for: half the tolerance, and what places lose that a plan
keeps to a hundredth of a mm; half a millimetre passes, whichever way a room is turned."""


def cores(polygons: Geometries) -> Geometries:
    """Draw polygons in by half the tolerance; what is thinner than the tolerance stays as it is."""
    drawn_in: Geometries = shapely.buffer(polygons, -HALF_MM, join_style="mitre")
    gone = shapely.is_empty(drawn_in)
    if gone.any():
        drawn_in[gone] = polygons[gone]
    return drawn_in


@overload
def falls_short(measured_mm: float, required_mm: float) -> bool: ...


@overload
def falls_short(measured_mm: Floats, required_mm: float | Floats) -> NDArray[np.bool_]: ...


@overload
def falls_short(measured_mm: float, required_mm: Floats) -> NDArray[np.bool_]: ...


def falls_short(
    measured_mm: float | Floats, required_mm: float | Floats
) -> bool | NDArray[np.bool_]:
    """Return whether a measure, in mm, misses what is required."""
    return measured_mm < required_mm - SHORT_MM


def enough_mm(required_mm: float) -> float:
    """Return the least that does not fall short of what is required, in mm."""
    return required_mm - SHORT_MM


def heights_meet(
    low_a: NDArray[np.float64],
    high_a: NDArray[np.float64],
    low_b: NDArray[np.float64],
    high_b: NDArray[np.float64],
) -> NDArray[np.bool_]:
    """Return which pairs of height ranges reach into one another by more than the tolerance."""
    met: NDArray[np.bool_] = np.minimum(high_a, high_b) - np.maximum(low_a, low_b) > TOLERANCE_MM
    return met
