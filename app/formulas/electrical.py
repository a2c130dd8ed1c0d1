"""Electric power, what a feed gives, and the voltage that a cable costs.

Sources: BS 7671 appendix 4 (millivolts per ampere and metre), US National Electrical Code
210.20(A). Figures to ask an electrician with; a design is his.
"""

from __future__ import annotations

from app.published.register import published
from app.units import KILO

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
