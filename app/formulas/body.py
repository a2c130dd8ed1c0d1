"""Measures of a body from its stature; a measured reach always beats an estimate.

All lengths in mm. Stature is taken barefoot, a measured reach barefoot with the arms locked,
from the floor to the centre of a gripped bar. A stature or reach that is not a positive
finite number raises ``ValueError``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from app.published.register import published


@dataclass(frozen=True, slots=True)
class Proportions:
    """Heights above the sole and lengths of one standing person, mm (for drawing them)."""

    stature_mm: float
    ankle_height_mm: float
    knee_height_mm: float
    hip_height_mm: float
    shoulder_height_mm: float
    chin_height_mm: float
    eye_height_mm: float
    upper_arm_mm: float
    forearm_mm: float
    hand_mm: float
    foot_length_mm: float
    shoulder_breadth_mm: float
    hip_breadth_mm: float


def proportions(stature_mm: float) -> Proportions:
    """Segments of a person (Drillis and Contini 1966, in Winter 2009, fig. 4.1).

    Worked: 1800 gives a shoulder at 1472.4 and a knee at 513.
    """
    return Proportions(
        stature_mm=stature_mm,
        ankle_height_mm=_part(stature_mm, "body.ankle-height-ratio"),
        knee_height_mm=_part(stature_mm, "body.knee-height-ratio"),
        hip_height_mm=_part(stature_mm, "body.hip-height-ratio"),
        shoulder_height_mm=_part(stature_mm, "body.shoulder-height-ratio"),
        chin_height_mm=_part(stature_mm, "body.chin-height-ratio"),
        eye_height_mm=_part(stature_mm, "body.eye-height-ratio"),
        upper_arm_mm=_part(stature_mm, "body.upper-arm-ratio"),
        forearm_mm=_part(stature_mm, "body.forearm-ratio"),
        hand_mm=_part(stature_mm, "body.hand-ratio"),
        foot_length_mm=_part(stature_mm, "body.foot-length-ratio"),
        shoulder_breadth_mm=_part(stature_mm, "body.shoulder-breadth-ratio"),
        hip_breadth_mm=_part(stature_mm, "body.hip-breadth-ratio"),
    )


def grip_reach_typical_mm(stature_mm: float, measured_reach_mm: float | None = None) -> float:
    """Floor to the centre of a gripped bar, arms straight up; typical body.

    Drillis and Contini 1966, in Winter 2009, fig. 4.1: 0.818 + 0.186 + 0.146 + half of 0.108.
    Worked: 1800 gives 2167.2.
    """
    estimate = _part(stature_mm, "body.grip-reach.typical-ratio")
    return estimate if measured_reach_mm is None else _length(measured_reach_mm)


def grip_reach_cautious_mm(stature_mm: float, measured_reach_mm: float | None = None) -> float:
    """The same, tall end: 1.2755 H - 131.5 + 64, never under the typical body.

    Regression on stature, computed from ANSUR 1988, plus two standard errors; it falls under
    the proportion only below 944 mm of stature. Worked: 1800 gives 2228.4.
    """
    if measured_reach_mm is not None:
        return grip_reach_typical_mm(stature_mm, measured_reach_mm)
    regression = _regression(stature_mm, "body.grip-reach")
    return max(regression, grip_reach_typical_mm(stature_mm))


def grip_reach_range_mm(stature_mm: float) -> tuple[float, float]:
    """Between which reaches all but a few are: four standard errors about the regression.

    Worked: 1800 gives 2036.4 to 2292.4, by 1.2755 H - 131.5 and twice the 64 of two errors.
    """
    usual = _line(stature_mm, "body.grip-reach")
    spread = 2 * published("body.grip-reach.cautious-two-standard-errors-mm")
    return usual - spread, usual + spread


def reach_surplus_mm(stature_mm: float, measured_reach_mm: float | None = None) -> float:
    """How far a measured standing reach lies above the typical one; 0 where not measured.

    It is put on every other arm reach: at one stature the spread of the standing reach is
    nearly all in the arms. Worked: 1750 measured at 2100 gives -7.
    """
    typical = grip_reach_typical_mm(stature_mm)
    return grip_reach_typical_mm(stature_mm, measured_reach_mm) - typical


def fingertip_reach_typical_mm(stature_mm: float) -> float:
    """Floor to fingertip, feet flat (ANSUR 1988, computed). Worked: 1800 gives 2282.4."""
    return _part(stature_mm, "body.fingertip-reach.typical-ratio")


def fingertip_reach_cautious_mm(stature_mm: float) -> float:
    """The same, tall end: 1.3508 H - 139.8 + 68 (ANSUR 1988, computed).

    Never under the typical body. Worked: 1800 gives 2359.64.
    """
    regression = _regression(stature_mm, "body.fingertip-reach")
    return max(regression, fingertip_reach_typical_mm(stature_mm))


def eye_height_mm(stature_mm: float) -> float:
    """Eye height, standing (Winter 2009, fig. 4.1). Worked: 1800 gives 1684.8."""
    return _part(stature_mm, "body.eye-height-ratio")


def _part(stature_mm: float, key: str) -> float:
    return published(key) * _length(stature_mm)


def _regression(stature_mm: float, stem: str) -> float:
    errors = published(f"{stem}.cautious-two-standard-errors-mm")
    return _line(stature_mm, stem) + errors


def _line(stature_mm: float, stem: str) -> float:
    slope = _part(stature_mm, f"{stem}.cautious-slope")
    return slope + published(f"{stem}.cautious-offset-mm")


def _length(value_mm: float) -> float:
    if not math.isfinite(value_mm) or value_mm <= 0:
        raise ValueError(f"a body length must be a positive number of mm, not {value_mm!r}")
    return value_mm
