"""What is seen from where: the distance and height of a screen, oneself in a mirror.

Source of the angles: SMPTE (30 degrees) and THX (40), as audio and video articles give them.
"""

from __future__ import annotations

import math


def diagonal_mm(width_mm: float, high_ratio: float) -> float:
    """Return the diagonal of a screen in mm, whose height is so much of its width.

    Worked: 970 wide, 9 of 16 as high: 1113.
    """
    return width_mm * math.hypot(1.0, high_ratio)


def distance_mm(width_mm: float, angle_deg: float) -> float:
    """Return the distance from which a screen of this width fills this angle.

    Worked: 1439 mm fill 30 degrees from 2685 mm, 40 degrees from 1977 mm.
    """
    return width_mm / (2 * math.tan(math.radians(angle_deg) / 2))


def angle_deg(width_mm: float, distance_mm: float) -> float:
    """Return the angle that a screen fills from this distance. Worked: 1439 at 2685: 30 degrees."""
    return 2 * math.degrees(math.atan2(width_mm / 2, distance_mm))


def up_deg(eye_mm: float, middle_mm: float, away_mm: float) -> float:
    """Return the angle to the middle of a screen, positive upwards.

    Worked: 500 higher at 1866 is 15 degrees up.
    """
    return math.degrees(math.atan2(middle_mm - eye_mm, away_mm))


def turned_aside_deg(facing: tuple[float, float], towards: tuple[float, float]) -> float:
    """Return the angle between the way one faces and the way to a thing, 0 to 180 degrees.

    Worked: facing along y, a thing along x: 90 degrees.
    """
    cross = facing[0] * towards[1] - facing[1] * towards[0]
    dot = facing[0] * towards[0] + facing[1] * towards[1]
    return abs(math.degrees(math.atan2(cross, dot)))
