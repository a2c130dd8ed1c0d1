"""What a seller writes of a thing, read for its size, mass, power and price. Only read, never kept.

Each figure is told with the words it stands in, so that a person says yes to it or not. What may
mean something else (the most it carries, an old price, what comes in the box) is left alone.
"""

from __future__ import annotations

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

from app.forms.seller_figures import (
    COLUMNS,
    LENGTH,
    MONIES,
    NUMBER,
    SIZE,
    WORDS,
    Figure,
    Written,
    number_of,
    signed,
)
from app.forms.seller_rows import row_of
from app.units import Units

TEXT_AT_MOST = 20_000
"""Letters that are read: a page of a seller holds some thousands."""
AROUND = 28
"""Letters told on either side of a figure, for the eye to find it again."""

_BY = r"\s*(?:x|×|\*|by)\s*"
_TRIPLE = re.compile(
    rf"(?:\b([lwdbht])\s*:?\s*)?{SIZE}\s*{LENGTH}\s*([lwdbht]\b)?"
    rf"{_BY}(?:([lwdbht])\s*:?\s*)?{SIZE}\s*{LENGTH}\s*([lwdbht]\b)?"
    rf"{_BY}(?:([lwdbht])\s*:?\s*)?{SIZE}\s*{LENGTH}\s*([lwdbht]\b)?",
    re.IGNORECASE,
)
_ORDER = re.compile(r"\b([lwdbh])\s*[x×*/]\s*([lwdbh])\s*[x×*/]\s*([lwdbh])\b", re.IGNORECASE)
_NO_LENGTH = r"(?!\s*(?:kg|kilo|lbs?\b|pounds?\b|k?w\b|watt|[€£$]|\d))"
_LABELLED = re.compile(
    rf"(?<![\d.,]){SIZE}\s*{LENGTH}[\s-]*(wide|deep|long|high|tall)\b"
    r"|\b(width|wide|depth|deep|length|long|height|high|tall)\b[^\d\n]{0,16}"
    rf"{SIZE}\s*{LENGTH}{_NO_LENGTH}",
    re.IGNORECASE,
)
"""A size and its side, whichever comes first: of "120 wide 60 deep" the next figure is not taken
by the side before it, and no mass after a side is its length."""
_PAIR = re.compile(
    rf"(?<![x×*\d.,])(?<![x×*]\s)(?:\b([lwdb])\s*:?\s*)?{SIZE}\s*{LENGTH}\s*([lwdb]\b)?"
    rf"{_BY}(?:([lwdb])\s*:?\s*)?{SIZE}\s*{LENGTH}\s*([lwdb]\b)?(?![\d.,]*\d)(?!{_BY}[\d:lwdbht]){_NO_LENGTH}",
    re.IGNORECASE,
)
"""What something takes of the floor: 115 x 62 cm."""
FLOOR_FROM_MM = 150.0
"""Two sizes that are both less are those of a tube or a plate, not of what stands."""
_MASS = re.compile(
    rf"(?:(\d{{1,2}})\s*[x×]\s*)?{NUMBER}\s*(kg|kilos?|kilograms?|lbs?|pounds?)\b", re.IGNORECASE
)
_LETTERED = re.compile(rf"\b([wdbhlt])\s*[:=]?\s*{SIZE}\s*{LENGTH}(?![a-z])", re.IGNORECASE)
_BETWEEN = re.compile(r"[\s,;/x×*.]{0,4}")
"""What may stand between sizes told by letters one after the other."""
_POWER = re.compile(rf"{NUMBER}\s*(kw|w|watts?)\b", re.IGNORECASE)
_CODES = "|".join(sorted(MONIES))
_PRICE = re.compile(
    rf"(?:(€|£|\$|\b[A-Z]{{3}}\b|Fr\.)\s*([-−])?{NUMBER}"
    rf"|{NUMBER}(?:[.,]?[-–]+)?\s*(€|£|\$|Kč|zł|\b(?:{_CODES})\b))"
)
_CARRIES = re.compile(
    r"(max|load|capacity|rated|rating|user|supports?|holds?|up to|carr(y|ies)|limit|stack|plates?"
    r"|per side|shipping|parcel|package|packed|boxed|carton"
    r"|box(?: |ed )?(?:size|dimensions?|measures))[^.;\n]{0,30}$",
    re.IGNORECASE,
)
"""Before a mass or a size: then it is not that of the thing as it stands."""
_OLD_PRICE = re.compile(
    r"(was|rrp|instead of|before|save|saving|from|delivery|shipping|postage|month|deposit)"
    r"[^.;\n\d]{0,14}$",
    re.IGNORECASE,
)
_SIDES = {"w": "width", "b": "width", "d": "depth", "l": "depth", "h": "height", "t": "height"}


READINGS_AT_MOST = 3
"""Readings of one field that are shown: more of them nobody compares."""
_MEASURED = re.compile(
    r"\d+(?:[.,]\d+)?\s*(?:mm|cm|m|inches|inch|in|ft|feet)\b"
    r"|\d+\s*['′]\s*\d+\s*[\"″]|\d+(?:[.,]\d+)?\s*[\"″]"
    r"|\b(?:half an?|an?|one|two|three) (?:metres?|meters?|foot|feet|inch(?:es)?)\b",
    re.IGNORECASE,
)
"""A length with its unit, wherever it stands."""


@dataclass(frozen=True, slots=True)
class Reading:
    """All that was found, each reading of a field, and sentences about what was left alone."""

    figures: tuple[Figure, ...]
    says: tuple[str, ...] = ()

    def by_field(self) -> list[tuple[str, list[Figure]]]:
        """Return the readings of each field together, in their order."""
        fields = dict.fromkeys(one.field for one in self.figures)
        return [(field, [one for one in self.figures if one.field == field]) for field in fields]


def read_seller(text: str, units: Units, currency: str) -> Reading:
    """Read a seller's text, or a row of figures pasted from a table.

    Bare figures are millimetres, or inches in a plan in feet. A price in other money than the
    plan's is left alone, with a sentence.
    """
    plain = text[:TEXT_AT_MOST].replace("\u00a0", " ").replace("\u202f", " ").strip()
    says: list[str] = []
    if len(text) > TEXT_AT_MOST:
        says.append(f"Only the first {TEXT_AT_MOST:,} letters are read.")
    by_field: dict[str, dict[str, Figure]] = {}
    written = Written(units, currency, says)
    for read in (row_of, _pairs, _labelled, _triples, _lettered, _others):
        found: dict[str, dict[str, Figure]] = {}
        for one in read(plain, written):
            found.setdefault(one.field, {}).setdefault(one.value, one)
        # what says what it is goes before what has to be guessed; of one kind each reading stands
        by_field = found | by_field
    if not by_field:
        says.append("No size, mass or price was found in it. Type them in below.")
    else:
        says += _left_over(plain, by_field)
    order = ("name", *COLUMNS[:3], "mass", "power", "price")
    figures = (one for key in order for one in [*by_field.get(key, {}).values()][:READINGS_AT_MOST])
    return Reading(tuple(figures), tuple(dict.fromkeys(says)))


def _left_over(text: str, by_field: Mapping[str, Mapping[str, Figure]]) -> Iterator[str]:
    """Name lengths that nothing was read from, so that none is dropped without a word."""
    spans = [one.at for found in by_field.values() for one in found.values()]
    # of a row each cell was read by its place
    read = [span for span in spans if span is not None]
    left = [
        match[0].strip()
        for match in _MEASURED.finditer(text)
        if len(read) == len(spans)
        and not any(start < match.end() and match.start() < end for start, end in read)
        and not _CARRIES.search(text[: match.start()])
    ]
    if left:
        yield f"Not read: {', '.join([*dict.fromkeys(left)][:READINGS_AT_MOST])}."


def _others(text: str, written: Written) -> Iterator[Figure]:
    """Read masses, power and prices."""
    for match in _MASS.finditer(text):
        if not _CARRIES.search(text[: match.start()]):
            value = written.mass(signed(text, match.start(2)) + match[2], match[3])
            if match[1]:
                every = int(match[1]) * number_of(match[2])
                yield from _found("mass", written.mass(f"{every:g}", match[3]), text, match)
            yield from _found("mass", value, text, match)
        else:
            written.says.append(
                f"Left alone, for it may be what it carries or is packed in: {match[0]}."
            )
    for match in _POWER.finditer(text):
        value = written.power(signed(text, match.start(1)) + match[1], match[2])
        yield from _found("power", value, text, match)
    for match in _PRICE.finditer(text):
        if _OLD_PRICE.search(text[: match.start()]):
            continue
        sign, figure = match[1] or match[5], match[3] or match[4]
        minus = match[2] or signed(text, match.start())
        value = written.price(minus + figure, sign, match[0].strip())
        yield from _found("price", value, text, match)


def _found(field: str, value: str, text: str, match: re.Match[str]) -> Iterator[Figure]:
    if value:
        yield Figure(field, value, _around(text, match), match.span())


def _labelled(text: str, written: Written) -> Iterator[Figure]:
    for match in _LABELLED.finditer(text):
        if not _CARRIES.search(text[: match.start()]):
            first = 1 if match[3] else 5
            field = WORDS[(match[3] or match[4]).lower()]
            figure = signed(text, match.start(first)) + match[first]
            value = written.size(field, figure, match[first + 1] or "")
            yield from _found(field, value, text, match)


def _pairs(text: str, written: Written) -> Iterator[Figure]:
    """Read two sizes of the floor that have a unit; the first is the width where no letter says."""
    for match in _PAIR.finditer(text):
        own = [match[1] or match[4], match[5] or match[8]]
        units = [match[3] or match[7], match[7] or match[3]]
        if not all(units) or _CARRIES.search(text[: match.start()]):
            continue
        sizes = [written.mm(match[at], unit) for at, unit in zip((2, 6), units, strict=True)]
        if any(size is None or size < FLOOR_FROM_MM for size in sizes):
            continue
        letters = own if all(own) else ["w", "d"]
        for field, at, unit in zip(_sides(letters), (2, 6), units, strict=True):
            yield from _found(field, written.size(field, match[at], unit), text, match)


def _triples(text: str, written: Written) -> Iterator[Figure]:
    named = _ORDER.search(text)
    for match in _TRIPLE.finditer(text):
        if _CARRIES.search(text[: match.start()]):
            written.says.append(
                f"Left alone, for it may be what it is packed in: {match[0].strip()}."
            )
            continue
        numbers = [match[2], match[6], match[10]]
        own = [match[1] or match[4], match[5] or match[8], match[9] or match[12]]
        units_named = [(match[i] or match[11] or match[7] or match[3] or "") for i in (3, 7, 11)]
        letters = own if all(own) else list(named.groups()) if named else ["w", "d", "h"]
        cm = not any(units_named) and written.perhaps_cm(numbers)
        for field, figure, unit in zip(_sides(letters), numbers, units_named, strict=True):
            yield from _found(field, written.size(field, figure, unit), text, match)
            if cm:
                yield from _found(field, written.size(field, figure, "cm"), text, match)


def _lettered(text: str, written: Written) -> Iterator[Figure]:
    """Read sizes told by letters one after the other: "W 120 cm D 60 cm H 45"."""
    chain: list[re.Match[str]] = []
    for match in _LETTERED.finditer(text):
        if chain and not _BETWEEN.fullmatch(text[chain[-1].end() : match.start()]):
            if len(chain) > 1:
                break
            chain = []
        chain.append(match)
    if len({match[1].lower() for match in chain}) < 2 or _CARRIES.search(text[: chain[0].start()]):
        return
    unit = next((match[3] for match in reversed(chain) if match[3]), "")
    for field, match in zip(_sides([match[1] for match in chain]), chain, strict=True):
        yield from _found(field, written.size(field, match[2], match[3] or unit), text, match)


def _sides(letters: list[str]) -> list[str]:
    """Return which side each letter means: of L and W the longer one is across where no D is."""
    small = [letter.lower() for letter in letters]
    if "t" in small and "h" in small:
        # German: Breite, Tiefe, Höhe
        return ["depth" if letter == "t" else _SIDES[letter] for letter in small]
    if "l" in small and "d" in small:
        return ["width" if letter == "l" else _SIDES[letter] for letter in small]
    return [_SIDES[letter] for letter in small]


def _around(text: str, match: re.Match[str]) -> str:
    start, end = max(match.start() - AROUND, 0), min(match.end() + AROUND, len(text))
    words = " ".join(text[start:end].split())
    return f"{'…' if start else ''}{words}{'…' if end < len(text) else ''}"
