"""Electric power, what a feed gives, and the voltage that a cable costs.

Sources: BS 7671 appendix 4 (millivolts per ampere and metre), US National Electrical Code
210.20(A). Figures to ask an electrician with; a design is his.
"""

from __future__ import annotations

from app.published.register import published
from app.units import KILO, PERCENT

_MILLI = KILO


def gives_w(volts: float, amps: float) -> float:
    """Return the power in W that a feed of so many amps can carry.

    Worked: a 13 A spur at 230 V gives 2990 W.
    """
    return volts * amps


def continuous_w(volts: float, amps: float) -> float:
    """Return the power in W that may be drawn for three hours or more, 120 V practice.

    Worked: 15 A at 120 V give 1440 W, 20 A give 1920 W.
    """
    return published("electric.continuous-ratio") * gives_w(volts, amps)


def volt_drop_v(amps: float, length_m: float, mv_per_a_m: float) -> float:
    """Return the voltage that a cable of this length costs, in V; the length is one way.

    Worked: 13 A over 25 m of 2.5 mm2 (18 mV/A/m) cost 5.85 V.
    """
    return mv_per_a_m * amps * length_m / _MILLI


def longest_run_m(amps: float, allowed_v: float, mv_per_a_m: float) -> float:
    """Return the longest cable in m that costs no more than the voltage allowed.

    Raises ValueError unless current and cable figure are positive.
    Worked: 13 A, 11.5 V, 18 mV/A/m: 49.1 m.
    """
    if amps <= 0 or mv_per_a_m <= 0:
        raise ValueError("the current and the cable's figure must be more than nothing")
    return allowed_v * _MILLI / (mv_per_a_m * amps)


def allowed_drop_v(volts: float, lighting: bool) -> float:
    """Return the voltage drop allowed on a public supply: 6.9 V and 11.5 V at 230 V."""
    key = "electric.drop.lighting-percent" if lighting else "electric.drop.other-percent"
    return volts * published(key) / PERCENT
