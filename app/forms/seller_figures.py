"""Figures as sellers write them: signs, decimals, units and bounds. What is outside is left out."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from app.errors import LengthError
from app.model.money import MINOR_LIMIT
from app.scales import MASS, POUND_KG
from app.units import INCH_MM, KILO, Units, minor_digits, parse_length_mm
from app.wording import length_words

KIT_FROM_MM = 300.0
"""Sizes without a unit that are all less are as likely centimetres: little kit is as small all
round, and what is written in cm seldom is larger."""
SIZES_MM = (10.0, 20_000.0)
"""Sizes beyond these are no kit: the bounds of the form, as those that follow."""
MASSES_KG = (0.1, 5000.0)
POWER_AT_MOST_W = 20_000.0

_PLAIN = r"\d{1,3}(?:[ ,.'’]\d{3})+(?:[.,]\d{1,2})?|\d+(?:[.,]\d+)?"
NUMBER = rf"({_PLAIN})"
_FT = r"\d+\s*(?:ft\.?|feet|foot|'|′)\s*"
_FEET = (
    rf"{_FT}(?:\d+(?:\.\d+)?(?:\s+\d+/\d+)?\s*(?:inches|inch|in\b|\"|″)"
    r"|(?:1[01]|\d)(?=\s*(?:wide|deep|long|high|tall|[,;x×]|\.\s|\.?$)))"
)
"""Feet with inches, which go without their sign before a side, a comma or an end: 5ft 11 tall."""
SIZE = rf"({_FEET}|\d+[ -]\d+/\d+|{_PLAIN})"
"""A length: 7 ft 1 in, 48 1/2, or a number; its unit may follow."""
LENGTH = r"(mm|cm|m|inches|inch|in|\"|″|ft|feet|')?"

_FOOT_MM = 12 * float(INCH_MM)
_MM = {
    "mm": 1.0, "cm": 10.0, "m": 1000.0, "ft": _FOOT_MM, "feet": _FOOT_MM, "'": _FOOT_MM,
    **dict.fromkeys(("in", "inch", "inches", '"', "″"), float(INCH_MM)),
}  # fmt: skip
SIGNS = {"€": "EUR", "£": "GBP", "$": "USD", "Kč": "CZK", "zł": "PLN", "Fr.": "CHF"}
MONIES = frozenset(
    (
        "EUR",
        "GBP",
        "USD",
        "CHF",
        "CZK",
        "PLN",
        "SEK",
        "NOK",
        "DKK",
        "HUF",
        "CAD",
        "AUD",
        "NZD",
        "JPY",
    )
)
"""Codes of ISO 4217 that are told apart from other words of three letters."""
COLUMNS = ("width", "depth", "height", "mass", "price")
WORDS = {
    "width": "width", "wide": "width", "depth": "depth", "deep": "depth", "length": "depth",
    "long": "depth", "height": "height", "high": "height", "tall": "height",
}  # fmt: skip
_MINUS = re.compile(r"(?:^|[\s:=(€£$])[-−]$")


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure: the field it may fill, as the form takes it, and the words it stood in.

    `at` is where these begin and end in the text; a row is read whole.
    """

    field: str
    value: str
    words: str
    at: tuple[int, int] | None = None


@dataclass(frozen=True, slots=True)
class Written:
    """How figures are read for a plan; each returns what the form takes, or nothing.

    What is no figure of kit is named in `says` and left out.
    """

    units: Units
    currency: str
    says: list[str]

    def size(self, field: str, figure: str, unit: str = "") -> str:
        """Read a length. Bare ones are millimetres, or inches in a plan in feet."""
        told = f"{field.capitalize()} {figure}{' ' if unit[:1].isalpha() else ''}{unit}"
        mm = self.mm(figure, unit)
        if mm is None:
            return self.unread(told)
        low, high = (length_words(one, self.units) for one in SIZES_MM)
        within = SIZES_MM[0] <= mm <= SIZES_MM[1]
        return f"{mm:.0f} mm" if within else self._outside(told, low, high)

    def perhaps_cm(self, figures: Sequence[str]) -> bool:
        """Whether bare sizes may be centimetres: three of them, each small for kit in mm."""
        if self.units != "metric" or len(figures) < len(COLUMNS[:3]):
            return False
        small = self._mm_of(figures)
        if not small or max(small) >= KIT_FROM_MM:
            return False
        self.says.append("These sizes have no unit and are small: say whether they are mm or cm.")
        return True

    def _mm_of(self, figures: Sequence[str]) -> list[float]:
        """Return bare figures in mm; none where one has a unit or is no figure."""
        found = []
        for figure in figures:
            if not re.fullmatch(_PLAIN, figure.strip()):
                return []
            found.append(number_of(figure))
        return found

    def mm(self, figure: str, unit: str) -> float | None:
        """Return a length in mm, or nothing where it is none; bare as `size` reads it."""
        plain, minus = _bare(figure)
        unit = unit.lower()
        if re.fullmatch(_FEET, plain, re.IGNORECASE):
            try:
                return minus * parse_length_mm(plain, "feet")
            except LengthError:
                return None
        unit = unit or ("mm" if self.units == "metric" else "in")
        if unit not in _MM:
            return None
        whole, _, part = plain.replace("-", " ").partition(" ")
        if "/" in part:
            above, below = (int(one) for one in part.split("/"))
            amount = float(int(whole) + Fraction(above, below)) if below else float("inf")
        else:
            amount = number_of(plain)
        return minus * amount * _MM[unit]

    def mass(self, figure: str, unit: str = "") -> str:
        """Read a mass in kg or lb; bare it is in kg."""
        plain, minus = _bare(figure)
        if not re.fullmatch(r"|kg|kilos?|kilograms?|lbs?|pounds?", unit.lower()):
            return self.unread(f"Mass {figure}{unit}")
        pounds = unit.lower().startswith(("lb", "pound"))
        kilos = minus * number_of(plain) * (POUND_KG if pounds else 1)
        low, high = (
            f"{MASS.counted(one, self.units):.4g} {MASS.unit(self.units)}" for one in MASSES_KG
        )
        if not MASSES_KG[0] <= kilos <= MASSES_KG[1]:
            return self._outside(f"Mass {figure} {unit or 'kg'}", low, high)
        return f"{MASS.counted(kilos, self.units):.4g}"

    def power(self, figure: str, unit: str = "") -> str:
        """Read a power in W or kW; bare it is in watts."""
        plain, minus = _bare(figure)
        if not re.fullmatch(r"|k?w|watts?", unit.lower()):
            return self.unread(f"Power {figure}{unit}")
        watts = minus * number_of(plain) * (KILO if unit.lower() == "kw" else 1)
        if not 0 <= watts <= POWER_AT_MOST_W:
            return self._outside(f"Power {figure} {unit or 'W'}", "0 W", f"{POWER_AT_MOST_W:g} W")
        return f"{watts:g}"

    def price(self, figure: str, sign: str, told: str) -> str:
        """Read a price; one in other money than the plan's is left alone, with a sentence."""
        money = SIGNS.get(sign, sign or self.currency)
        if money != self.currency:
            if money in MONIES:
                self.says.append(
                    f"{told} is in {money}, the plan's money is {self.currency}: left alone."
                )
            return ""
        plain, minus = _bare(figure)
        amount, digits = minus * number_of(plain), minor_digits(self.currency)
        if not 0 <= amount <= MINOR_LIMIT / 10**digits:
            return self._outside(f"Price {told}", "0", f"{MINOR_LIMIT / 10**digits:,.0f}")
        return f"{amount:.{digits}f}"

    def unread(self, told: str) -> str:
        """Say that something is no figure; return nothing."""
        self.says.append(f"{told} cannot be read: left out.")
        return ""

    def _outside(self, told: str, low: str, high: str) -> str:
        self.says.append(f"{told} is outside {low} to {high}: left out.")
        return ""


def signed(text: str, start: int) -> str:
    """Return the minus that stands before a figure, or nothing: a dash between words is none."""
    return "-" if _MINUS.search(text[:start]) else ""


def _bare(figure: str) -> tuple[str, int]:
    plain = figure.lstrip("-−").strip()
    return plain, -1 if plain != figure.strip() else 1


def number_of(text: str) -> float:
    """Return a figure with its marks of thousands and decimals read as people mean them.

    Worked: "1.299,00", "1,299.00" and "1 299" are 1299; "1,5" and "1.5" are 1.5.
    """
    plain = re.sub(r"[ '’]", "", text)
    last = max(plain.rfind(","), plain.rfind("."))
    if last < 0:
        return float(plain)
    whole, part = plain[:last], plain[last + 1 :]
    both = "," in plain and "." in plain
    several = plain.count(plain[last]) > 1
    thousands = not both and len(part) == 3 and (several or whole.lstrip("0") != "")
    if thousands:
        return float(re.sub(r"[.,]", "", plain))
    return float(f"{re.sub(r'[.,]', '', whole) or '0'}.{part}")
