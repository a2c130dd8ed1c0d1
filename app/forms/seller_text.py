"""What a seller writes of a thing, read for its size, mass, power and price. Only read, never kept.

Each figure is told with the words it stands in, so that a person says yes to it or not. What may
mean something else (the most it carries, an old price, what comes in the box) is left alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from app.scales import MASS, POUND_KG
from app.units import INCH_MM, Units

TEXT_AT_MOST = 20_000
"""Letters that are read: a page of a seller holds some thousands."""
AROUND = 28
"""Letters told on either side of a figure, for the eye to find it again."""
SIZES_MM = (10.0, 20_000.0)
"""Sizes beyond these are no kit: the bounds of the form."""

_NUMBER = r"(\d{1,3}(?:[ ,.]\d{3})+(?:[.,]\d{1,2})?|\d+(?:[.,]\d+)?)"
_LENGTH = r"(mm|cm|m|inches|inch|in|\"|″|ft|feet|')?"
_BY = r"\s*(?:x|×|\*|by)\s*"
_TRIPLE = re.compile(
    rf"(?:\b([lwdbht])\s*:?\s*)?{_NUMBER}\s*{_LENGTH}\s*([lwdbht]\b)?"
    rf"{_BY}(?:([lwdbht])\s*:?\s*)?{_NUMBER}\s*{_LENGTH}\s*([lwdbht]\b)?"
    rf"{_BY}(?:([lwdbht])\s*:?\s*)?{_NUMBER}\s*{_LENGTH}\s*([lwdbht]\b)?",
    re.IGNORECASE,
)
_ORDER = re.compile(r"\b([lwdbh])\s*[x×*/]\s*([lwdbh])\s*[x×*/]\s*([lwdbh])\b", re.IGNORECASE)
_LABELLED = re.compile(
    rf"\b(width|wide|depth|deep|length|long|height|high|tall)\b[^\d\n]{{0,16}}{_NUMBER}\s*{_LENGTH}",
    re.IGNORECASE,
)
_MASS = re.compile(rf"{_NUMBER}\s*(kg|kilos?|kilograms?|lbs?|pounds?)\b", re.IGNORECASE)
_POWER = re.compile(rf"{_NUMBER}\s*(kw|w|watts?)\b", re.IGNORECASE)
_SIGNS = {"€": "EUR", "£": "GBP", "$": "USD"}
_PRICE = re.compile(
    rf"(?:(€|£|\$|\b[A-Z]{{3}}\b)\s*{_NUMBER}|{_NUMBER}\s*(€|£|\$|\b(?:EUR|GBP|USD)\b))"
)
_CARRIES = re.compile(
    r"(max|load|capacity|rated|rating|user|supports?|holds?|up to|carr(y|ies)|limit|stack|plates?"
    r"|per side|shipping|parcel|package|packed|boxed|carton)[^.;\n]{0,30}$",
    re.IGNORECASE,
)
"""Before a mass or a size: then it is not that of the thing as it stands."""
_OLD_PRICE = re.compile(
    r"(was|rrp|instead of|before|save|saving|from|delivery|shipping|postage|month|deposit)"
    r"[^.;\n\d]{0,14}$",
    re.IGNORECASE,
)
_SIDES = {"w": "width", "b": "width", "d": "depth", "l": "depth", "h": "height", "t": "height"}
_WORDS = {
    "width": "width", "wide": "width", "depth": "depth", "deep": "depth", "length": "depth",
    "long": "depth", "height": "height", "high": "height", "tall": "height",
}  # fmt: skip
_MM = {"mm": 1.0, "cm": 10.0, "m": 1000.0, "ft": 12 * float(INCH_MM), "feet": 12 * float(INCH_MM),
       "'": 12 * float(INCH_MM)}  # fmt: skip
_CELLS = re.compile(r"[\t;|]")
_COLUMNS = ("width", "depth", "height", "mass", "price")
_HEADS = {
    **_WORDS, "w": "width", "d": "depth", "h": "height", "mass": "mass", "weight": "mass",
    "kg": "mass", "price": "price", "cost": "price", "name": "name", "item": "name",
    "power": "power", "watts": "power",
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Figure:
    """One figure: the field it may fill, as the form takes it, and the words it stood in."""

    field: str
    value: str
    words: str


@dataclass(frozen=True, slots=True)
class Reading:
    """All that was found, one for each field, and sentences about what was left alone."""

    figures: tuple[Figure, ...]
    says: tuple[str, ...] = ()


def read_seller(text: str, units: Units, currency: str) -> Reading:
    """Read a seller's text, or a row of figures pasted from a table.

    Bare figures are millimetres, or inches in a plan in feet. A price in other money than the
    plan's is left alone, with a sentence.
    """
    plain = text[:TEXT_AT_MOST].replace("\u00a0", " ").replace("\u202f", " ").strip()
    says: list[str] = []
    if len(text) > TEXT_AT_MOST:
        says.append(f"Only the first {TEXT_AT_MOST:,} letters are read.")
    by_field: dict[str, Figure] = {}
    for one in (*_row(plain, units), *_text(plain, units, currency, says)):
        by_field.setdefault(one.field, one)
    if not by_field:
        says.append("No size, mass or price was found in it. Type them in below.")
    order = ("name", *_COLUMNS[:3], "mass", "power", "price")
    return Reading(
        tuple(by_field[key] for key in order if key in by_field), tuple(dict.fromkeys(says))
    )


def number_of(text: str) -> float:
    """Return a figure with its marks of thousands and decimals read as people mean them.

    Worked: "1.299,00", "1,299.00" and "1 299" are 1299; "1,5" and "1.5" are 1.5.
    """
    plain = text.replace(" ", "")
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


def _row(text: str, units: Units) -> Iterator[Figure]:
    """Read a row of cells, under a row of heads or alone: name, width, depth, height, mass, price.

    Cells are parted by tabs, semicolons or strokes.
    """
    rows = [[cell.strip() for cell in _CELLS.split(line)] for line in text.splitlines()]
    rows = [row for row in rows if sum(bool(cell) for cell in row) >= len(_COLUMNS) - 1]
    if not rows:
        return
    heads = [_head(cell) for cell in rows[0]]
    if sum(bool(head) for head in heads) > 1 and len(rows) > 1:
        cells = list(zip(heads, rows[1], strict=False))
    else:
        figures = [cell for cell in rows[0] if re.match(r"[€£$]?\s*\d", cell)]
        if len(figures) < 3:
            return
        names = [cell for cell in rows[0] if cell and cell not in figures]
        cells = [("name", names[0])] if names else []
        cells += list(zip(_COLUMNS, figures, strict=False))
    words = " | ".join(rows[0] if len(rows) == 1 else rows[1])
    for head, cell in cells:
        value = _cell(head, cell, units)
        if value:
            yield Figure(head, value, words[:120])


def _head(cell: str) -> str:
    first = re.match(r"[a-z]+", cell.lower())
    return _HEADS.get(first[0], "") if first else ""


def _cell(head: str, cell: str, units: Units) -> str:
    if head == "name":
        return cell[:120]
    figure = re.search(rf"{_NUMBER}\s*([a-z\"']*)", cell, re.IGNORECASE)
    if figure is None:
        return ""
    amount, unit = number_of(figure[1]), figure[2].lower()
    if head in ("width", "depth", "height"):
        return _size(amount, unit, units)
    if head == "mass":
        pounds = unit.startswith(("lb", "pound"))
        return _mass(amount * (POUND_KG if pounds else 1), units)
    return f"{amount:g}" if head == "power" else f"{amount:.2f}"


def _text(text: str, units: Units, currency: str, says: list[str]) -> Iterator[Figure]:
    yield from _labelled(text, units)
    yield from _triples(text, units)
    for match in _MASS.finditer(text):
        if not _CARRIES.search(text[: match.start()]):
            pounds = match[2].lower().startswith(("lb", "pound"))
            kilos = number_of(match[1]) * (POUND_KG if pounds else 1)
            yield Figure("mass", _mass(kilos, units), _around(text, match))
        else:
            says.append(f"Left alone, for it may be what it carries or is packed in: {match[0]}.")
    for match in _POWER.finditer(text):
        watts = number_of(match[1]) * (1000 if match[2].lower() == "kw" else 1)
        yield Figure("power", f"{watts:g}", _around(text, match))
    for match in _PRICE.finditer(text):
        sign = match[1] or match[4]
        money = _SIGNS.get(sign, sign)
        if _OLD_PRICE.search(text[: match.start()]):
            continue
        if money != currency:
            if money in _SIGNS.values():
                says.append(
                    f"{match[0].strip()} is in {money}, the plan's money is {currency}: left alone."
                )
            continue
        yield Figure("price", f"{number_of(match[2] or match[3]):.2f}", _around(text, match))


def _labelled(text: str, units: Units) -> Iterator[Figure]:
    for match in _LABELLED.finditer(text):
        if not _CARRIES.search(text[: match.start()]):
            value = _size(number_of(match[2]), (match[3] or "").lower(), units)
            if value:
                yield Figure(_WORDS[match[1].lower()], value, _around(text, match))


def _triples(text: str, units: Units) -> Iterator[Figure]:
    named = _ORDER.search(text)
    for match in _TRIPLE.finditer(text):
        if _CARRIES.search(text[: match.start()]):
            continue
        numbers = [match[2], match[6], match[10]]
        own = [match[1] or match[4], match[5] or match[8], match[9] or match[12]]
        units_named = [(match[i] or match[11] or match[7] or match[3] or "") for i in (3, 7, 11)]
        letters = own if all(own) else list(named.groups()) if named else ["w", "d", "h"]
        for letter, figure, unit in zip(_sides(letters), numbers, units_named, strict=True):
            value = _size(number_of(figure), unit.lower(), units)
            if value:
                yield Figure(letter, value, _around(text, match))
        return


def _sides(letters: list[str]) -> list[str]:
    """Return which side each letter means: of L and W the longer one is across where no D is."""
    small = [letter.lower() for letter in letters]
    if "l" in small and "d" in small:
        return ["width" if letter == "l" else _SIDES[letter] for letter in small]
    return [_SIDES[letter] for letter in small]


def _size(amount: float, unit: str, units: Units) -> str:
    """Return a length as the form takes it; nothing where it is no size of kit."""
    if not unit:
        unit = "mm" if units == "metric" else "in"
    mm = amount * _MM.get(unit, float(INCH_MM))
    return f"{mm:.0f} mm" if SIZES_MM[0] <= mm <= SIZES_MM[1] else ""


def _mass(kilos: float, units: Units) -> str:
    """Return a mass as the form takes it: in kg, or in lb where the plan is in feet."""
    return f"{MASS.counted(kilos, units):.4g}"


def _around(text: str, match: re.Match[str]) -> str:
    start, end = max(match.start() - AROUND, 0), min(match.end() + AROUND, len(text))
    words = " ".join(text[start:end].split())
    return f"{'…' if start else ''}{words}{'…' if end < len(text) else ''}"
