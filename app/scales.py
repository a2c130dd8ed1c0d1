"""Weights, temperatures and falls as people write them: metric, or as they go with feet."""

from __future__ import annotations

import re
from dataclasses import dataclass
from decimal import ROUND_HALF_UP, Decimal

from app.units import FOOT_MM, MM_PER_M, Units, parse_length_mm, written

POUND_KG = 0.45359237
"""By definition (international yard and pound agreement, 1959)."""
_EXACTLY = 6
"""Digits after the point to which a figure is itself."""
FAHRENHEIT_A_KELVIN, FAHRENHEIT_AT_0_C = 1.8, 32
"""By definition: so many degrees Fahrenheit a kelvin, and what water freezes at."""


@dataclass(frozen=True, slots=True)
class Scale:
    """A quantity that is counted otherwise in feet: its units, how many make one, and from where.

    `names` are what the units may be called behind a figure, the metric ones first.
    """

    metric: str
    feet: str
    per_metric: float
    at_nought: float = 0.0
    names: tuple[str, str] = ("", "")

    def unit(self, units: Units) -> str:
        """Return what it is counted in."""
        return self.feet if units == "feet" else self.metric

    def counted(self, value: float, units: Units) -> float:
        """Return a metric figure as it is counted."""
        return value * self.per_metric + self.at_nought if units == "feet" else value

    def read(self, text: str, units: Units) -> float:
        """Read a figure, its unit behind it or none, and give it in metric units.

        A point or a comma stands before decimals. Raises ValueError where it is no figure.
        """
        metric, feet = self.names
        plain = " ".join(text.split()).lower().replace("−", "-").replace(",", ".")
        units_after = rf" ?(?:(?P<metric>{metric})|(?P<feet>{feet}))?"
        match = re.fullmatch(r"(?P<number>-?\d*\.?\d+)" + units_after, plain)
        if match is None:
            raise ValueError(text)
        number = float(match["number"])
        in_feet = bool(match["feet"]) or (units == "feet" and not match["metric"])
        return (number - self.at_nought) / self.per_metric if in_feet else number

    def written(self, value: float, units: Units) -> str:
        """Write a metric figure into a field, without its unit."""
        return f"{self.counted(value, units):.{_FIGURES_WRITTEN if units == 'feet' else 6}g}"

    def words(self, value: float, units: Units, digits: int = 0) -> str:
        """Write a metric figure with its unit: ``45 kg``, ``99 lb``, ``1.8 °C``."""
        return f"{self.rounded(value, units, digits)} {self.unit(units)}"

    def rounded(self, value: float, units: Units, digits: int = 0) -> str:
        """Write a metric figure without its unit, halves rounded up as people do it: ``23``."""
        # what is half but for the rounding of a machine is half
        exact = Decimal(repr(round(self.counted(value, units), _EXACTLY)))
        return str(exact.quantize(Decimal(1).scaleb(-digits), ROUND_HALF_UP))

    def closely(self, value: float, units: Units) -> str:
        """Write a metric figure as it was typed, to three digits: ``6.8 °C``."""
        return f"{self.counted(value, units):.3g} {self.unit(units)}"

    def step_words(self, step: float, units: Units, digits: int = 0) -> str:
        """Write how far two metric figures lie apart, where nought is elsewhere: ``1.4 °C``."""
        apart = self.counted(step, units) - self.counted(0, units)
        return f"{apart:.{digits}f} {self.unit(units)}"


_SOLD_BY_KG = re.compile(r"\b(\d+) kg\b")
_FIGURES_WRITTEN = 4
"""Digits of what was counted over: more are not in a weight or a temperature that somebody read."""
MASS = Scale(
    "kg",
    "lb",
    1 / POUND_KG,
    names=(r"kg\.?|kilos?|kilograms?", r"lbs?\.?|pounds?"),
)
TEMPERATURE = Scale(
    "°C",
    "°F",
    FAHRENHEIT_A_KELVIN,
    FAHRENHEIT_AT_0_C,
    names=("°? ?c|degrees c", "°? ?f|degrees f"),
)


def beside_kg(name: str, units: Units) -> str:
    """Return the name of what is sold by weight with its pounds beside it, for plans in feet.

    ``Bar 20 kg`` is ``Bar 20 kg (44 lb)`` then; all other names stay as they are.
    """
    if units == "metric":
        return name
    return _SOLD_BY_KG.sub(lambda sold: f"{sold[0]} ({MASS.words(float(sold[1]), units)})", name)


def read_fall_permille(text: str, units: Units) -> float:
    """Read a fall and give it in mm for each metre; in feet it is inches in each foot.

    Raises ValueError where it is none.
    """
    if units == "metric":
        return float(text.replace(",", "."))
    return parse_length_mm(text, units) / float(FOOT_MM) * MM_PER_M


def written_fall(permille: float, units: Units) -> str:
    """Write a fall into a field: mm for each metre, or inches in each foot."""
    if units == "metric":
        return f"{permille:g}"
    return written(permille * float(FOOT_MM) / MM_PER_M, units)
