"""Voltage along light strip and its cable, and the supply that feeds it.

A strip is a load spread evenly: it loses half of what the same load at its end would lose; of n
equal taps (n + 1) / 2n; fed from both ends an eighth (Kersting, Distribution system modeling and
analysis, chapter 3). What cable carries and loses: BS 7671 Tables 4F3A and 4F3B,
as a wholesaler repeats them.
"""

from __future__ import annotations

import math

from app.published.register import published
from app.units import KILO, PERCENT

_ROUNDING = 1.5e-8
"""A length that misses whole segments by so small a share has been rounded, not cut."""


_KILO = KILO
_WHOLE = PERCENT


def cable_drop_v(length_m: float, ohm_km: float, amps: float) -> float:
    """Return the voltage lost in a two-wire cable. Worked: 3 m of 16 ohm/km, 6 A: 0.576 V."""
    return 2 * length_m * ohm_km / _KILO * amps


def end_load_drop_v(length_m: float, loop_ohm_m: float, amps: float) -> float:
    """Return the drop if all the load hung at the end. Worked: 5 m, 0.06 ohm/m, 6 A: 1.80 V."""
    return length_m * loop_ohm_m * amps


def strip_drop_v(length_m: float, loop_ohm_m: float, amps_m: float) -> float:
    """Return the drop to the end of a strip fed at one end. Worked: 5 m, 0.06, 1.2 A/m: 0.90 V."""
    return end_load_drop_v(length_m, loop_ohm_m, amps_m * length_m) / 2


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


CABLES = ("0-5", "0-75", "1-0", "1-25", "1-5", "2-5", "4-0", "6-0")
"""Cross-sections in mm2, as the register's keys write them, the thinnest first."""


GAUGES = (20, 18, 16, 14, 12, 10, 8)
"""Sizes by American wire gauge in which low-voltage cable is sold, the thinnest first: common
practice, no source."""


def gauge_mm2(gauge: int) -> float:
    """Return the cross-section of a solid wire of an American wire gauge, mm2.

    ASTM B258: 36 is 0.127 mm thick, 0000 (-3) 11.684 mm, in 39 equal ratios. Worked: 12: 3.309.
    """
    times: float = _GAUGE_RATIO ** ((_GAUGE_36 - gauge) / _GAUGE_STEPS)
    return _GAUGE_36_MM2 * times


_GAUGE_36 = 36
"""The gauge from which ASTM B258 counts."""
_GAUGE_36_MM2 = 0.0126677
"""Its cross-section in mm2: 0.005 in, 0.127 mm thick."""
_GAUGE_RATIO = 92.0
"""How much thicker gauge 0000 is than 36."""
_GAUGE_STEPS = 19.5
"""Half of the 39 steps between them: areas go by the square of the thickness."""


def gauge_for(size: str) -> int | None:
    """Return the thinnest gauge sold that is no thinner than a size in mm2; None past the last.

    Worked: 0.75 mm2: 18 (0.82 mm2); 2.5 mm2: 12 (3.31 mm2), for 14 is 2.08 mm2.
    """
    least = float(size.replace("-", "."))
    return next((gauge for gauge in GAUGES if gauge_mm2(gauge) >= least), None)


FUSES_A = (1.0, 2.0, 3.0, 4.0, 5.0, 7.5, 10.0, 15.0, 20.0, 25.0, 30.0)
"""Sizes in which blade fuses are made, in A: ISO 8820-3, medium size, from memory."""


def fuse_for(amps: float, carries_a: float) -> float | None:
    """Return the largest fuse in A that keeps a cable and holds its current, None for no size.

    Worked: 2.4 A in a cable that carries 3 A: 3 A; in one that carries 2.73 A: none.
    """
    return max((size for size in FUSES_A if amps <= size <= carries_a), default=None)


def warm_share(air_c: float) -> float:
    """Return the share of its current that a cable carries in warm air, 0 past the table.

    BS 7671 Table 4F3A as a wholesaler repeats it. Worked: 30 C: 1; 35 C: 0.91; 40 C: 0.82.
    """
    limit, step = published("strip.cable.air-c"), published("strip.cable.air-step-c")
    if air_c <= limit:
        return 1.0
    for share in ("strip.cable.at-35-c-ratio", "strip.cable.at-40-c-ratio"):
        limit += step
        if air_c <= limit:
            return published(share)
    return 0.0


def cable_amps(size: str, air_c: float) -> float:
    """Return the current in A that a cable carries; sizes as in ``CABLES``, or with a point.

    Worked: 0.5 mm2 at 20 C: 3 A; 1.5 mm2 at 40 C: 13.12 A.
    """
    key = size.replace(".", "-")
    return published(f"strip.cable.{key}-amps") * warm_share(air_c)


def cable_for(
    length_m: float, amps: float, volts: float, air_c: float, fused: bool = False
) -> tuple[str, float] | None:
    """Return the thinnest cable that carries the current within the drop, and its drop in V.

    Where it is `fused`, a fuse is made between what it draws and what it carries. None where none
    does. Worked: 12 V allow 0.36 V; 5.9 A are too much for 0.5 mm2, and 0.75 mm2 (62 mV per A and
    m) takes them 0.98 m, 1.5 mm2 1.9 m, 2.5 mm2 3.2 m.
    """
    allowed = volts * published("strip.cable-drop-percent") / _WHOLE
    for size in CABLES:
        drop = cable_drop_v(length_m, published(f"strip.cable.{size}-ohm-km"), amps)
        carries = cable_amps(size, air_c)
        held = not fused or fuse_for(amps, carries) is not None
        if drop <= allowed and amps <= carries and held:
            return size.replace("-", "."), drop
    return None
