"""Lengths as people write them, to and from millimetres; sums of money in minor units.

Metric: ``2.4``, ``2,40``, ``2400``, ``2 400 mm``, ``240 cm``, ``2m40``. Feet and inches:
``7' 10 1/2"``, ``7ft 10in``, ``94 1/2"``, ``7-10 1/2`` or ``7-10-1/2`` (bare: only where feet
are chosen). An "and" may stand between the parts: ``2 m and 2 cm``, ``7 ft and 10 in``. Marks and
unit words are understood in either choice of units; the choice decides what a bare number means.
1 in = 25.4 mm exactly (international yard and pound agreement, 1959).
"""

from __future__ import annotations

import re
from collections.abc import Sequence
from decimal import Decimal
from fractions import Fraction
from itertools import pairwise
from typing import Literal

from app.errors import LengthError

Units = Literal["metric", "feet"]

KILO = 1000
"""Millimetres in a metre, watts in a kilowatt, litres in a cubic metre."""
MEGA = 1_000_000
"""Parts in a million, mm2 in a square metre."""
PERCENT = 100
"""Hundredths in the whole."""
MM_PER_M = 1000
"""One metre, by definition."""
MINUTES_AN_HOUR = 60
"""Seconds in a minute too."""
HOURS_A_DAY = 24
"""By definition."""
QUARTER_TURN_DEG, HALF_TURN_DEG, WHOLE_TURN_DEG = 90, 180, 360
"""A right angle, two and four of them, by definition."""
KELVIN_AT_0_C = 273.15
"""The kelvin of 0 degrees Celsius, by definition."""
L_S_PER_M3_H = 1000 / 3600
"""One m3/h in L/s: 1000 L in 3600 s."""

LONGEST_MM = 100_000
INCH_MM = Fraction(254, 10)
FOOT_MM = 12 * INCH_MM
_EXACT_MM = 0.006
"""Half of the 0.01 mm that a plan keeps, and a little for the last digit."""
_DECIMAL_METRES_BELOW = 20
_SIXTEENTHS = 16
_FINER = 32
"""With parts of an inch as small as these a length is never half a millimetre out."""
_TRUE_TO_MM = 0.5
"""What is less far off reads as the same length on a tape in millimetres."""
_LONGEST_TEXT = 60

_ALIKE = str.maketrans(
    {
        **dict.fromkeys("′’‘ʹ´`", "'"),
        **dict.fromkeys("″”“ʺ", '"'),
        **dict.fromkeys("\u00a0\u2009\u202f\u2007\t", " "),
        **dict.fromkeys("‐‑–−", "-"),
        "⁄": "/",
    }
)
_VULGAR = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
    "⅓": "1/3", "⅔": "2/3",
}  # fmt: skip

_NUMBER = r"\d{1,3}(?: \d{3})+(?:[.,]\d+)?|\d+(?:[.,]\d+)?|[.,]\d+"
_METRIC_UNIT = r"(?P<unit>mm|millimet(?:re|er)s?|cm|centimet(?:re|er)s?|m|met(?:re|er)s?)"
_METRIC = re.compile(rf"(?P<number>{_NUMBER}) ?(?:{_METRIC_UNIT}\.?)?")
_METRES_AND = re.compile(r"(?P<metres>\d+) ?m(?:et(?:re|er)s?)? ?(?P<rest>\d+) ?(?P<unit>cm|mm)?")
_AND = re.compile(
    r"(?<=['\"a-z.]) ?(?:&|and) ?(?=[\d.,])"  # 2 m and 2 cm
    r"|(?<=\d) ?(?:&|and) ?(?=\d+/\d)"  # 7 and 1/2 in
)
_FEET_UNIT = r"(?:'|ft\.?|feet|foot)"
_INCH_UNIT = r'(?:"|in\.?|inch|inches)'
_MIXED = r"(?:\d+[ -]\d+/\d+|\d+/\d+|\d+(?:[.,]\d+)?|[.,]\d+)"
_FEET_ONLY = re.compile(rf"(?P<feet>\d+(?:[.,]\d+)?|[.,]\d+) ?{_FEET_UNIT}")
_FEET_INCHES = re.compile(rf"(?P<feet>\d+) ?{_FEET_UNIT}[ -]*(?P<inches>{_MIXED}) ?{_INCH_UNIT}?")
_INCHES = re.compile(rf"(?P<inches>{_MIXED}) ?{_INCH_UNIT}")
_BARE_FEET_INCHES = re.compile(r"(?P<feet>\d+)[ -](?P<inches>\d+(?:[ -]\d+/\d+|[.,]\d+)?)")

_SEVERAL = re.compile(r"\d[^\d.,]*(?:[ x×*;]|by|to)[^\d]*\d")
"""Figures with a blank or a sign of measures between them: 3.1 x 5.4, 5.4 3.1."""

_WAYS = {
    "metric": "write it like 2.40 m, 240 cm or 2400 mm",
    "feet": 'write it like 7\' 10 1/2" or 94 1/2"',
}


def parse_length_mm(text: str, units: Units = "metric") -> float:
    """Read a length as a person wrote it and give it in mm, exactly.

    A bare number is millimetres (``units="feet"``: inches); with a decimal mark and below 20 it
    is metres. Raises LengthError naming the text when it is empty, has more than one reading,
    is negative, over 100 m, or no length at all.
    """
    tidy = _tidy(text)
    if not tidy:
        raise LengthError(f"no length was given: {_WAYS[units]}")
    if len(tidy) > _LONGEST_TEXT:
        raise _not_a_length(text, units)
    if re.match(r"-\s*[\d.,]", tidy):
        raise LengthError(f"{_shown(text)} is less than nothing: {_WAYS[units]}")
    length = _feet_and_inches(tidy, text)
    if length is None:
        length = _metric(tidy, text) if units == "metric" else _bare_or_metric(tidy, text)
    if length > LONGEST_MM:
        raise LengthError(
            f"{_shown(text)} is {float(length) / 1000:,.0f} m; a length is at most 100 m"
        )
    return float(length)


def format_length(length_mm: float, units: Units = "metric") -> str:
    """Write a length with its unit: ``2.40 m``, ``2.405 m``, ``450 mm``, ``7' 10 1/2"``.

    To the nearest mm or sixteenth of an inch; under 1 m in mm.
    """
    if units == "feet":
        return write_feet(length_mm)
    whole = round(length_mm)
    if abs(whole) < 1000:
        return f"{whole} mm"
    return f"{whole / 1000:.3f} m" if whole % 10 else f"{whole / 1000:.2f} m"


def format_short(length_mm: float, units: Units = "metric") -> str:
    """Write a length as on a drawing: ``2400`` (mm understood) or ``7' 10 1/2"``."""
    return write_feet(length_mm) if units == "feet" else str(round(length_mm))


def told_mm(length_mm: float, units: Units) -> float:
    """Return a length of which sums are told: metric to the mm, so that they add up as printed.

    In feet it stays as it is: rounded first, words would tell it a sixteenth of an inch otherwise
    than where it is told by itself.
    """
    return length_mm if units == "feet" else round(length_mm)


def lengths_between(stops_mm: Sequence[float], units: Units) -> list[str]:
    """Write the lengths of a chain from stop to stop as ``format_short``.

    Each is rounded by itself, so that what is as long is told alike everywhere; their sum may
    differ from the whole by some millimetres or sixteenths of an inch.
    """
    return [format_short(b - a, units) for a, b in pairwise(stops_mm)]


def write_feet(length_mm: float, parts: int = _SIXTEENTHS) -> str:
    """Write feet and inches to the nearest part of an inch, a power of two: ``7' 10 1/2"``."""
    whole = round(Fraction(length_mm) / INCH_MM * parts)
    sign = "-" if whole < 0 else ""
    inches, rest = divmod(abs(whole), parts)
    feet, inches = divmod(inches, 12)
    part = f"{Fraction(rest, parts)}" if rest else ""
    if part and not inches:
        within = f'{part}"' if not feet else f'0 {part}"'
    else:
        within = f'{inches} {part}"' if part else f'{inches}"'
    return f"{sign}{feet}' {within}" if feet else f"{sign}{within}"


_NO_MINOR = re.compile("BIF|CLP|DJF|GNF|ISK|JPY|KMF|KRW|PYG|RWF|UGX|UYI|VND|VUV|XAF|XOF|XPF")
_THREE_MINOR = re.compile("BHD|IQD|JOD|KWD|LYD|OMR|TND")
_SIGNS = {"EUR": "€", "GBP": "£", "USD": "$"}


def format_money(minor: int, currency: str) -> str:
    """Write a sum given in minor units (cents, pence): ``€1,234.50``, ``1,200 JPY``.

    The number of decimals follows ISO 4217.
    """
    decimals = minor_digits(currency)
    whole, part = divmod(abs(minor), 10**decimals)
    amount = f"{whole:,}.{part:0{decimals}d}" if decimals else f"{whole:,}"
    sign = "-" if minor < 0 else ""
    if currency in _SIGNS:
        return f"{sign}{_SIGNS[currency]}{amount}"
    return f"{sign}{amount} {currency}"


def minor_digits(currency: str) -> int:
    """Return the decimals of a currency, as sums in it are written (ISO 4217)."""
    return 0 if _NO_MINOR.fullmatch(currency) else 3 if _THREE_MINOR.fullmatch(currency) else 2


def bare_money(minor: int | None, currency: str) -> str:
    """Write a sum in minor units for a table, ``1234.50``; nothing where nobody knows it."""
    return "" if minor is None else f"{Decimal(minor).scaleb(-minor_digits(currency)):f}"


_GROUP_MARK = re.compile(r"[\s'’]")
_IN_GROUPS = re.compile(r"-? ?\d{1,3}(?:([ '’])\d{3})(?:\1\d{3})*(?:[.,]\d+)?")


def without_group_marks(text: str) -> str | None:
    """Return a number without the blanks or apostrophes between its thousands: "1 234,50".

    None where they stand anywhere else: "12 13" is two numbers and no sum of money.
    """
    plain = re.sub(r"\s", " ", text.strip())
    if _GROUP_MARK.search(plain) and not _IN_GROUPS.fullmatch(plain):
        return None
    return _GROUP_MARK.sub("", plain)


def usual_currency(units: Units) -> str:
    """Return the currency of a new plan for which nobody chose one."""
    return "USD" if units == "feet" else "EUR"


def _tidy(text: str) -> str:
    tidy = text.translate(_ALIKE)
    for sign, written in _VULGAR.items():
        tidy = re.sub(rf"(?<=\d) ?{sign}", f" {written}", tidy).replace(sign, written)
    tidy = _AND.sub(" ", tidy.replace("''", '"').lower())
    return re.sub(r" +", " ", tidy).strip()


def _shown(text: str) -> str:
    short = " ".join(text.split())
    return f"“{short[:40]}…”" if len(short) > 40 else f"“{short}”"


def _feet_and_inches(tidy: str, text: str) -> Fraction | None:
    """Read what carries feet or inch marks; None if it carries none."""
    if match := _FEET_ONLY.fullmatch(tidy):
        return _decimal(match["feet"]) * FOOT_MM
    if match := _FEET_INCHES.fullmatch(tidy):
        return _joined(match["feet"], match["inches"], text)
    if match := _INCHES.fullmatch(tidy):
        return _mixed(match["inches"], text) * INCH_MM
    return None


def _bare_or_metric(tidy: str, text: str) -> Fraction:
    if re.search(r"[a-z]", tidy):
        return _metric(tidy, text)
    if re.fullmatch(r"\d*[.,]\d+", tidy):
        raise LengthError(f"{_shown(text)} could be feet or inches: write {tidy}' or {tidy}\"")
    if re.fullmatch(_MIXED, tidy):
        return _mixed(tidy, text) * INCH_MM
    if match := _BARE_FEET_INCHES.fullmatch(tidy):
        return _joined(match["feet"], match["inches"], text)
    raise _not_a_length(text, "feet")


def _joined(feet: str, inches: str, text: str) -> Fraction:
    part = _mixed(inches, text)
    if part >= 12:
        raise LengthError(f"{_shown(text)} has 12 inches or more beside its feet")
    return int(feet) * FOOT_MM + part * INCH_MM


def _mixed(written: str, text: str) -> Fraction:
    *whole, last = re.split(r"[ -]", written)
    if "/" not in last:
        return _decimal(last)
    above, below = (int(part) for part in last.split("/"))
    if not 0 < above < below:
        raise LengthError(f"{_shown(text)}: {last} is no part of an inch")
    return Fraction(int(whole[0]) if whole else 0) + Fraction(above, below)


def _metric(tidy: str, text: str) -> Fraction:
    if match := _METRES_AND.fullmatch(tidy):
        return _metres_and(match["metres"], match["rest"], match["unit"], text)
    match = _METRIC.fullmatch(tidy)
    if match is None:
        if "." in tidy and "," in tidy:
            raise LengthError(f"{_shown(text)} holds both a point and a comma: {_WAYS['metric']}")
        if match := _BARE_FEET_INCHES.fullmatch(tidy) if "/" in tidy else None:
            meant = f"{match['feet']}' {match['inches'].replace('-', ' ')}\""
            words = f"{_shown(text)} has no unit: if it is feet and inches, write {meant}"
            raise LengthError(words)
        raise _not_a_length(text, "metric")
    written = match["number"].replace(" ", "")
    number = _decimal(written)
    thousands = re.fullmatch(r"[1-9]\d{0,2}[.,]\d{3}", written) is not None
    unit = match["unit"] or ""
    if unit.startswith("c"):
        if thousands:
            raise _two_readings(text, f"{_plain(number)} cm", f"{_plain(number * 1000)} cm")
        return number * 10
    if unit.startswith("mi") or unit == "mm":
        return number * 1000 if thousands else number
    if unit:
        return number * 1000
    if not re.search(r"[.,]", written):
        return number
    if number < _DECIMAL_METRES_BELOW:
        return number * 1000
    if thousands:
        raise _two_readings(text, f"{_plain(number)} mm", f"{_plain(number * 1000)} mm")
    return number


def _metres_and(metres: str, rest: str, unit: str | None, text: str) -> Fraction:
    """Read 2m40, 2 m 40 cm, 2m405, 2 m 405 mm."""
    if unit is None and len(rest) > 3:
        raise _not_a_length(text, "metric")
    if unit is None and len(rest) == 1:
        raise _two_readings(text, f"{metres}.{rest} m", f"{metres} m and {rest} cm")
    in_cm = unit == "cm" or (unit is None and len(rest) == 2)
    part = Fraction(rest) * (10 if in_cm else 1)
    if part >= 1000:
        raise LengthError(f"{_shown(text)} has a metre or more beside its metres")
    return Fraction(metres) * 1000 + part


def _decimal(written: str) -> Fraction:
    return Fraction(f"0{written.replace(',', '.')}")


def _plain(number: Fraction) -> str:
    return f"{float(number):.10g}"


def _two_readings(text: str, one: str, other: str) -> LengthError:
    return LengthError(f"{_shown(text)} has two readings: write {one} or {other}")


def _not_a_length(text: str, units: Units) -> LengthError:
    if _SEVERAL.search(text.lower()):
        return LengthError(
            f"{_shown(text)} cannot be read as one length, and only one goes here: {_WAYS[units]}"
        )
    return LengthError(f"{_shown(text)} cannot be read as a length: {_WAYS[units]}")


def read_length_mm(text: str, units: Units, asked: tuple[float, float]) -> float:
    """Read a length that must lie within `asked` (least and most, mm) and give it in mm.

    Raises LengthError when the text is no length; a length outside is given as read.
    """
    least, most = asked
    bare = re.fullmatch(r"\s*\d*(?:[.,]\d+)?\s*", text) and text.strip()
    try:
        length = parse_length_mm(text, units)
    except LengthError:
        if not (bare and units == "feet"):
            raise
        length = parse_length_mm(f'{bare}"', units)
    if not bare or length >= least:
        return length
    for unit in ("cm", "m") if units == "metric" else ("ft",):
        try:
            larger = parse_length_mm(f"{bare} {unit}")
        except LengthError:
            continue
        if least <= larger <= most:
            return larger
    return length


def written(length_mm: float, units: Units) -> str:
    """Write a length into a field so that it reads back as the same length, to 0.01 mm."""
    text = format_length(abs(length_mm), units)
    if abs(parse_length_mm(text, units) - abs(length_mm)) > _EXACT_MM:
        inches = f'{abs(length_mm) / float(INCH_MM):.4f}"'
        text = inches if units == "feet" else f"{round(abs(length_mm), 2):.12g} mm"
    return f"-{text}" if length_mm < 0 else text


def written_on_tape(length_mm: float, units: Units) -> str:
    """Write a length into a field as a tape shows it: in feet to 1/16 inch, else to 1/32.

    It is true to the millimetre; for a form that takes the text, sent back as it stands, for the
    length that it stood for. Elsewhere `written` keeps all of it.
    """
    if units == "metric":
        return written(length_mm, units)
    text = write_feet(length_mm)
    off_mm = abs(parse_length_mm(text.removeprefix("-"), units) - abs(length_mm))
    return text if off_mm < _TRUE_TO_MM else write_feet(length_mm, _FINER)
