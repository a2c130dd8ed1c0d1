"""Tax and its rounding, exact in fractions of the minor unit.

Rules: an invoice total rounded down to a whole penny, or each line to the nearest (HMRC
VATREC12010, Notice 700, 17.5); carried to the third decimal and rounded up above 4, on the total
(Streamlined sales and use tax agreement, section 324).
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from fractions import Fraction

from app.model.money import TaxRounding


def half_up(value: Fraction) -> int:
    """Round to the nearest whole minor unit, the half away from nothing.

    Worked: 179.8725 to 180, 0.5 to 1.
    """
    whole = math.floor(abs(value) + Fraction(1, 2))
    return whole if value >= 0 else -whole


def rate_of(percent: float) -> Fraction:
    """Return a rate as written: 7.25 % is 29/400, not the nearest binary number."""
    return Fraction(str(percent)) / 100


def tax_on(minor: Fraction, rate: Fraction, with_tax: bool) -> Fraction:
    """Return the exact tax on a sum, or in it when the sum is with tax.

    Worked: 20 % on 100: 20; in 120: 20.
    """
    return minor * rate / (1 + rate) if with_tax else minor * rate


def rounded(taxes: Iterable[Fraction], rule: TaxRounding) -> int:
    """Return the tax of all lines in whole minor units, rounded by the rule chosen.

    Worked: 24.81 at 7.25 % is 1.798725: 1.80 to the nearest, 1.79 rounded down.
    """
    parts = list(taxes)
    if rule == "line-half-up":
        return sum(half_up(part) for part in parts)
    total = sum(parts, Fraction(0))
    return math.floor(total) if rule == "total-down" else half_up(total)
