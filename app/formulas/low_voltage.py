"""Voltage along light strip and its cable, and the supply that feeds it.

A strip is a load spread evenly: it loses half of what the same load at its end would lose; of n
equal taps (n + 1) / 2n; fed from both ends an eighth (Kersting, Distribution system modeling and
analysis, chapter 3). Conductors: IEC 60228, class 5.
"""

from __future__ import annotations

import math

from app.published.register import published
from app.units import KILO, PERCENT

_SQUARE_OF_TWO = 4
"""The area of a circle is pi d2 / 4."""


_ROUNDING = 1.5e-8
"""A length that misses whole segments by so small a share has been rounded, not cut."""


_KILO = KILO
_WHOLE = PERCENT


def cable_drop_v(length_m: float, ohm_km: float, amps: float) -> float:
    """Return the voltage lost in a two-wire cable. Worked: 3 m of 1.5 mm2, 6 A: 0.479 V."""
    return 2 * length_m * ohm_km / _KILO * amps


def end_load_drop_v(length_m: float, loop_ohm_m: float, amps: float) -> float:
    """Return the drop if all the load hung at the end. Worked: 5 m, 0.06 ohm/m, 6 A: 1.80 V."""
    return length_m * loop_ohm_m * amps


def strip_drop_v(length_m: float, loop_ohm_m: float, amps_m: float) -> float:
    """Return the drop to the end of a strip fed at one end. Worked: 5 m, 0.06, 1.2 A/m: 0.90 V."""
    return end_load_drop_v(length_m, loop_ohm_m, amps_m * length_m) / 2


def taps_drop_v(length_m: float, loop_ohm_m: float, amps_m: float, taps: int) -> float:
    """Return the drop to the end of n equal loads, evenly spaced. Worked: 100 taps: 0.909 V."""
    whole = end_load_drop_v(length_m, loop_ohm_m, amps_m * length_m)
    return whole * (taps + 1) / (2 * taps)


def both_ends_drop_v(length_m: float, loop_ohm_m: float, amps_m: float) -> float:
    """Return the drop to the middle of a strip fed at both ends. Worked: 0.225 V."""
    return strip_drop_v(length_m / 2, loop_ohm_m, amps_m)


def longest_fed_m(volts: float, loop_ohm_m: float, amps_m: float) -> float:
    """Return the longest strip in m that one end feeds within the drop allowed.

    Worked: 12 V, 0.06 ohm/m, 1.2 A/m, 8 %: 5.16 m.
    """
    allowed = volts * published("strip.drop-percent") / _WHOLE
    return math.sqrt(2 * allowed / (loop_ohm_m * amps_m))


def rating_w(load_w: float) -> float:
    """Return the least rating of a supply for a steady load. Worked: 118.08 W: 147.6 W."""
    return load_w / published("strip.load-ratio")


def cut_length_mm(length_mm: float, segment_mm: float) -> float:
    """Return the longest strip of whole segments within a length. Worked: 1870, 50: 1850."""
    if segment_mm <= 0:
        raise ValueError("a segment has a length")
    # a hair of rounding must not cost a segment
    whole: int = math.floor(length_mm / segment_mm + _ROUNDING)
    return whole * segment_mm


def gauge_area_mm2(gauge: int) -> float:
    """Return the copper of an American wire gauge in mm2. Worked: 18 AWG: 0.823."""
    steps = (published("strip.awg.base-gauge") - gauge) / published("strip.awg.steps")
    diameter: float = published("strip.awg.base-mm") * published("strip.awg.ratio") ** steps
    return math.pi * diameter**2 / _SQUARE_OF_TWO


CABLES = ("0-5", "0-75", "1-0", "1-5", "2-5", "4-0", "6-0")
"""Cross-sections in mm2, as the register's keys write them, the thinnest first."""


def cable_for(length_m: float, amps: float, volts: float) -> tuple[str, float] | None:
    """Return the thinnest cable within the drop allowed, and its drop in V; None for none.

    Worked: 3 m, 6 A, 12 V (0.36 V allowed): 2.5 mm2 with 0.287 V.
    """
    allowed = volts * published("strip.cable-drop-percent") / _WHOLE
    for size in CABLES:
        drop = cable_drop_v(length_m, published(f"strip.cable.{size}-ohm-km"), amps)
        if drop <= allowed:
            return size.replace("-", "."), drop
    return None
