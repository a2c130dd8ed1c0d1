"""Sentences with lengths in them, told in millimetres or in feet and inches when they are read.

A template says what each figure is: ``{:mm}`` is a length with its unit, ``720 mm`` or
``2' 4 3/8"``, and ``{:exact}`` one with its decimals; ``{:fine}`` is told in metres, ``4.52 m``,
and ``{:metres}`` is a rough one, ``4.5 m`` or to the inch; ``{:sold}`` is a size as a shop names
it, ``18 mm`` or ``18 mm (11/16")``; ``{:area}`` is in square metres or square feet, ``{:kg}`` a
mass in kg or lb, ``{:celsius}`` a temperature in either scale. ``{:bare}`` and ``{:bare-...}``
leave out a unit that the sentence has said. ``{:cap}`` is a text with a capital letter. Lengths are
given in mm, areas in m2, masses in kg, temperatures in degrees Celsius. All else is formatted as
Python does.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Container, Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from decimal import ROUND_HALF_UP, Decimal
from fractions import Fraction

from app.scales import MASS, TEMPERATURE, Scale
from app.units import INCH_MM, Units, parse_length_mm, write_feet

_SQUARE_FEET_IN_M2 = float(1_000_000 / (12 * INCH_MM) ** 2)
_LITRES_A_GALLON = float(231 * INCH_MM**3 / 1_000_000)
_SIXTEENTHS = 16
_FINER = 32
_EIGHTHS = 8
SEVERITIES = ("stop", "care", "note")
_NUMBERS = (
    "no", "one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven",
    "twelve",
)  # fmt: skip
_NOUN = re.compile(r"(.+?)((?:,| of | with | on | for | \d).*|)$")
"""What a kind is called up to its noun, and the rest: "Stack", " of iron plates"."""
_SETS = re.compile(r"([^s]s|shelving)$")
"""Nouns that are many already, such as rings and wall bars, or none, such as shelving."""
_INCHES_FROM_MM = 100
_APART_MM = 1.0
"""Two lengths that differ by more than the judge's tolerance never read alike in one sentence."""
_STRAY_DECIMALS = 9
"""Figures that differ by less are one: what a sum of fractions leaves over."""
_SOMETHING_MM = 0.5
"""From here on metric words say 1 mm, so feet and inches say at least the least part."""


@dataclass(frozen=True, slots=True)
class Phrase:
    """A text that is put together only when it is read; phrases may be values of phrases."""

    template: str
    values: tuple[object, ...] = ()

    def worded(self, units: Units) -> str:
        """Return the text. Two different lengths in it are told apart, to 1/32 inch if need be."""
        page = _Page(units)
        text = self.on(page)
        return self.on(_Page(units, _FINER)) if page.alike else text

    def on(self, page: _Page) -> str:
        """Return the text as a page writes its figures."""
        return self.template.format(*[_Value(value, page) for value in self.values])


def phrase(template: str, *values: object) -> Phrase:
    """Make a phrase of a template and its values."""
    return Phrase(template, values)


def joined(separator: str, parts: Iterable[object]) -> Phrase:
    """Make one phrase of several texts or phrases, with a plain text between them."""
    every = tuple(parts)
    return Phrase(separator.join(["{}"] * len(every)), every)


def in_a_row(things: Sequence[str]) -> str:
    """Return things in a row as one says them: "squat, bench press and pull-ups"."""
    return " and ".join([", ".join(things[:-1]), things[-1]] if things[1:] else things)


def counted(names: Iterable[str], kinds: Container[str] = ()) -> tuple[str, ...]:
    """Return names with those that are alike in one: ``two bicycles``, in their order.

    Only `kinds`, names of our own, have a plural: what a household calls a thing may be in any
    language and stays as it is, ``2 × Rolf``. An article is left out where a number takes its
    place.
    """
    called = []
    for name, count in Counter(names).items():
        bare = name.removeprefix("the ")
        if count == 1:
            called.append(name)
        elif bare in kinds:
            called.append(several(count, bare))
        else:
            called.append(f"{count} × {bare}")
    return tuple(called)


def several(count: int, kind: str) -> str:
    """Say so many of one kind within a sentence: ``two short bars``, ``two sets of rings``."""
    number = _NUMBERS[count] if count < len(_NUMBERS) else str(count)
    noun, rest = _NOUN.match(lower(kind)).group(1, 2)  # type: ignore[union-attr]
    if _SETS.search(noun):
        return f"{number} sets of {noun}{rest}"
    if noun.endswith("shelf"):
        return f"{number} {noun[:-1]}ves{rest}"
    if re.search("[^aeiou]y$", noun):
        return f"{number} {noun[:-1]}ies{rest}"
    ending = "es" if re.search("(s|sh|ch|x)$", noun) else "s"
    return f"{number} {noun}{ending}{rest}"


def in_figures(count: int, one: str) -> str:
    """Say so many of one kind with a figure: ``1 piece``, ``3 pieces``."""
    return f"{count} {one}{'' if count == 1 else 's'}"


def open_words(counts: Mapping[str, int], severities: Iterable[str] = SEVERITIES) -> str:
    """Return how many snags are open by severity: `1 stop, 2 cares, 0 notes`."""
    return ", ".join(in_figures(counts[each], each) for each in severities)


def length_words(length_mm: float, units: Units, parts: int = _SIXTEENTHS) -> str:
    """Write a length with its unit: ``2405 mm`` or ``7' 10 11/16"``; 0.5 mm and more is never 0."""
    if units == "metric":
        return f"{length_mm:.0f} mm"
    least = float(INCH_MM / parts)
    if _SOMETHING_MM <= abs(length_mm) < least:
        length_mm = least if length_mm > 0 else -least
    return write_feet(length_mm, parts)


def example_length(metric: str, units: Units) -> str:
    """Return an example for a field: a metric one, or near it in whole inches or eighths.

    What is no metric length stays as it is, so does what leads up to one: ``such as 838 mm``.
    """
    parts = re.fullmatch(r"(such as )?(\d[\d.]* mm?)", metric)
    if units == "metric" or parts is None:
        return metric
    length_mm = parse_length_mm(parts[2])
    eighths = 1 if length_mm >= _INCHES_FROM_MM else _EIGHTHS
    return f"{parts[1] or ''}{write_feet(length_mm, eighths)}"


def measure_words(value: float, unit: str, units: Units, digits: int = 2) -> str:
    """Write a quantity with its unit, without needless noughts: ``12.5 m²``, ``13.12 ft``."""
    if unit == "mm" and units == "feet":
        return length_words(value, units)
    value, unit = measure_in(value, unit, units)
    number = f"{value:,.{digits}f}"
    number = number.rstrip("0").rstrip(".") if "." in number else number
    return f"{number} {unit.replace('m2', 'm²').replace('ft2', 'ft²')}".rstrip()


def area_words(area_m2: float, units: Units, digits: int = 1) -> str:
    """Write an area with all its decimals, as figures in a column: ``12.0 m²``, ``129.2 ft²``."""
    value, unit = measure_in(area_m2, "m2", units)
    return f"{value:.{digits}f} {unit.replace('2', '²')}"


def measure_in(value: float, unit: str, units: Units) -> tuple[float, str]:
    """Return a quantity in the units of a plan.

    In feet, ``m`` and ``m2`` become feet and square feet, ``L`` gallons (US, 231 cubic inches),
    ``m2/L`` square feet a gallon, ``kg`` pounds and ``kg/m2`` pounds a square foot.
    """
    if units == "feet" and unit.startswith("kg"):
        area = _SQUARE_FEET_IN_M2 if unit == "kg/m2" else 1
        return MASS.counted(value, units) / area, unit.replace("kg", "lb").replace("m2", "ft2")
    if units == "feet" and unit == "m":
        return value * 1000 / float(12 * INCH_MM), "ft"
    if units == "feet" and unit == "m2":
        return value * _SQUARE_FEET_IN_M2, "ft2"
    if units == "feet" and unit == "L":
        return value / _LITRES_A_GALLON, "gal"
    if units == "feet" and unit == "m2/L":
        return value * _SQUARE_FEET_IN_M2 * _LITRES_A_GALLON, "ft2/gal"
    return value, unit


@dataclass(slots=True)
class _Page:
    """How figures are written on one reading, and whether two different ones looked alike."""

    units: Units
    parts: int = _SIXTEENTHS
    alike: bool = False
    _seen: dict[str, float] = field(default_factory=dict)

    def figure(self, value: float, spec: str) -> str:
        kind = spec.removeprefix("bare-")
        bare, kind = (True, "mm") if spec == "bare" else (kind != spec, kind)
        if kind in _SCALES:
            scale = _SCALES[kind]
            number = scale.rounded(value, self.units)
            return number if bare else f"{number} {scale.unit(self.units)}"
        if self.units == "metric":
            per, digits, unit = _METRIC[kind]
            number = f"{value / per:{digits}}"
            return number if bare else f"{number} {unit}"
        if kind == "area":
            number = f"{value * _SQUARE_FEET_IN_M2:.1f}"
            return number if bare else f"{number} square feet"
        if kind == "metres":
            return write_feet(float(round(Fraction(value) / INCH_MM) * INCH_MM))
        text = length_words(value, self.units, self.parts)
        self.alike |= abs(self._seen.setdefault(text, value) - value) >= _APART_MM
        return f"{value:g} mm ({text})" if kind == "sold" else text


_METRIC = {
    "mm": (1, ".0f", "mm"),
    "exact": (1, "g", "mm"),
    "sold": (1, "g", "mm"),
    "metres": (1000, ".1f", "m"),
    "fine": (1000, ".2f", "m"),
    "area": (1, ".2f", "square metres"),
}
"""By kind of figure: how many mm make one, how it is written, and its unit."""
_SCALES: Mapping[str, Scale] = {"kg": MASS, "celsius": TEMPERATURE}
_FIGURES = frozenset(
    {"bare", *(way + kind for way in ("", "bare-") for kind in (*_METRIC, *_SCALES))}
)


class _Value:
    """One value of a phrase on a page."""

    __slots__ = ("_page", "_value")

    def __init__(self, value: object, page: _Page) -> None:
        self._value = value
        self._page = page

    def __format__(self, spec: str) -> str:
        value = self._value
        if isinstance(value, Phrase):
            text = value.on(self._page)
            return text[:1].upper() + text[1:] if spec == "cap" else format(text, spec)
        if spec in _FIGURES:
            return self._page.figure(float(value), spec)  # type: ignore[arg-type]
        if spec == "cap":
            text = str(value)
            return text[:1].upper() + text[1:]
        return format(value, spec)


def told_beside(value: float, other: float, decimals: int = 1) -> str:
    """Return a figure, a decimal finer where it would read as another one that it is not.

    So what is just over a limit is not told as at it. Halves are rounded up, as people do it.
    """
    told, beside = (Decimal(str(round(one, _STRAY_DECIMALS))) for one in (value, other))
    for digits in (decimals, decimals + 1, decimals + 2):
        unit = Decimal(1).scaleb(-digits)
        fine, least = (one.quantize(unit, ROUND_HALF_UP) for one in (told, beside))
        if fine != least or told == beside:
            break
    return str(fine)


def lower(name: str) -> str:
    """Return a name as it is within a sentence; letters that are each a word stay: LED batten."""
    return name if name[:2].isupper() and name[:2].isalpha() else name[:1].lower() + name[1:]
