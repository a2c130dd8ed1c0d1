"""How high the catches of a rack are set for a squat: just under the bar at the bottom."""

from __future__ import annotations

import math

from app.library.kit import Catches
from app.published.register import published
from app.scene.build import Scene

BOTTOM, BELOW = "squat.bar-at-bottom-ratio", "catch.below-squat-mm"


def catches_of(scene: Scene, root: str) -> Catches | None:
    """Return the settings of the catches of a station, None where they are not known."""
    return next((one.kit.catches for one in scene.stations[root] if one.kit.catches), None)


def setting_mm(stature_mm: float, catches: Catches | None) -> float | None:
    """Return the height of the catches for squats above the foot of a rack, in mm.

    The highest setting under the bar at the bottom of a squat with the thighs level and the trunk
    at 45 degrees; None where the lowest setting is above it. Without known settings the height.
    Worked: 1800: 0.489 x 1800 - 50 = 830.
    """
    most = published(BOTTOM) * stature_mm - published(BELOW)
    if catches is None:
        return most
    if most < catches.low_mm:
        return None
    steps = math.floor((min(most, catches.high_mm) - catches.low_mm) / catches.pitch_mm)
    return float(catches.low_mm + steps * catches.pitch_mm)
