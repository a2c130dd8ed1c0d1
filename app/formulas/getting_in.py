"""Boxes through doors, round corners and up under a ceiling. All lengths in mm.

A box is three lengths. It goes through a door its longest side first, tilted in the plane of the
door where that helps (Carver 1957); round a corner flat, on edge, on end or with one end raised.
Everything is the kindest case, without hands and packing: what does not pass here never does.
"""

from __future__ import annotations

import math
from typing import Literal

import numpy as np

TURN_STEPS = 720
"""Angles tried when a box is turned round a corner, an eighth of a degree apart: between two the
width needed changes by less than a millimetre for anything that goes through a door."""


Box = tuple[float, float, float]
Posture = Literal["flat", "on its long edge", "tilted", "on end", "with one end raised"]
"""How a box is held."""
POSTURES: tuple[Posture, ...] = (
    "flat",
    "on its long edge",
    "tilted",
    "on end",
    "with one end raised",
)
"""The ways to hold a box, the easiest to carry first."""


def held_through(box: Box, width_mm: float, height_mm: float) -> Posture | None:
    """Return the easiest way to hold a box so that it passes, its longest side through; or None.

    Rectangle p x q (p the longer) in a x b: upright if p <= a and q <= b; else tilted, Carver,
    American Mathematical Monthly 64, 1957.
    Worked: 2000 x 950 x 450 is flat through 1000 x 1981, on its long edge through 600 x 1981.
    """
    q, p, _ = sorted(box)
    if p <= width_mm and q <= height_mm:
        return "flat"
    if q <= width_mm and p <= height_mm:
        return "on its long edge"
    b, a = sorted((width_mm, height_mm))
    if q > b or p <= a:
        return None
    square = p * p + q * q
    tilted = (2 * p * q * a + (p * p - q * q) * math.sqrt(square - a * a)) / square
    return "tilted" if b >= tilted else None


def corner_length_mm(one_mm: float, other_mm: float, thickness_mm: float = 0) -> float:
    """Return the longest rectangle of this thickness that turns a right-angled corner.

    The least, over all angles t, of a / sin t + b / cos t - thickness / (sin t cos t); without
    thickness it is (a^(2/3) + b^(2/3))^(3/2). Nought if it is thicker than a corridor.
    Worked: corridors of 2 and 4 take a thin length of 8.32.
    """
    if thickness_mm > min(one_mm, other_mm):
        return 0.0
    steps = TURN_STEPS
    turns = np.arange(1, steps) * (math.pi / 2 / steps)
    sin, cos = np.sin(turns), np.cos(turns)
    lengths = one_mm / sin + other_mm / cos - thickness_mm / (sin * cos)
    return float(lengths.min())


def raised_length_mm(length_mm: float, thickness_mm: float, height_mm: float) -> float:
    """Return how long a box is on plan with one end raised as far as the height allows.

    Worked: 4300 x 200 under 2500: raised by 32.8 degrees, it covers 3721 of the plan.
    """
    across = math.hypot(length_mm, thickness_mm)
    if length_mm <= height_mm:
        return thickness_mm
    if thickness_mm > height_mm:
        return math.inf
    raised = math.asin(min(1, height_mm / across)) - math.atan2(thickness_mm, length_mm)
    return length_mm * math.cos(raised) + thickness_mm * math.sin(raised)


def held_round(box: Box, one_mm: float, other_mm: float, height_mm: float) -> Posture | None:
    """Return the easiest way to hold a box so that it turns a corner, None where it does not.

    Worked: 2000 x 950 x 450 round 1100 by 1100 on its long edge; round 960 by 960 under 2000 on
    end; not round 800 by 800 under 1950.
    """
    c, b, a = sorted(box)
    raised: Posture = "with one end raised"
    plans: tuple[tuple[Posture, float, float, float], ...] = (
        ("flat", a, b, c),
        ("on its long edge", a, c, b),
        ("on end", b, c, a),
        (raised, raised_length_mm(a, b, height_mm), c, 0.0),
        (raised, raised_length_mm(a, c, height_mm), b, 0.0),
    )
    for held, along, across, up in plans:
        if up <= height_mm and _turns(along, across, one_mm, other_mm):
            return held
    return None


def _turns(along: float, across: float, one_mm: float, other_mm: float) -> bool:
    if not math.isfinite(along):
        return False
    long, short = max(along, across), min(along, across)
    low, high = sorted((one_mm, other_mm))
    # carried on without turning: endways in one corridor, sideways in the other
    if short <= low and long <= high:
        return True
    return long <= corner_length_mm(one_mm, other_mm, short)


def stood_up_mm(height_mm: float, depth_mm: float) -> float:
    """Return the height that a thing sweeps when it is stood up in one piece: its diagonal.

    Worked: 2165 high and 800 deep: 2308; 2000 and 1250: 2358.
    """
    return math.hypot(height_mm, depth_mm)
