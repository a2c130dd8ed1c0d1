"""A row of figures pasted from a table, under a row of heads or alone."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator, Sequence

from app.forms.seller_figures import COLUMNS, NUMBER, SIGNS, SIZE, WORDS, Figure, Written
from app.model.base import LABEL_LIMIT

_CELLS = re.compile(r"[\t;|]")
_SPACES = re.compile(r" {2,}")
"""A table pasted as plain text: its columns stand apart by more than a space."""
_FILLED = len(COLUMNS) - 1
"""Cells of a row at the least: a name and three sizes, or all but one of the figures."""
_FIGURES = 3
_FIGURE = re.compile(r"[€£$]?\s*[-−]?\s*\d")
_BARE = re.compile(
    rf"[€£$]?\s*[-−]?\s*{SIZE}(?:e[-+]?\d+)?\s*[a-z\"'″€£$]{{0,9}}\.?", re.IGNORECASE
)
"""A cell that is nothing but a figure: where commas part cells every other one must be."""
_HEADS = {
    **WORDS, "w": "width", "d": "depth", "h": "height", "mass": "mass", "weight": "mass",
    "kg": "mass", "price": "price", "cost": "price", "name": "name", "item": "name",
    "power": "power", "watts": "power",
}  # fmt: skip
_WHOLE = re.compile(r"\d{1,4}")
_DECIMALS = re.compile(r"\d{1,3}\s*(?:kg|kilos?|lbs?|€|EUR|£|\$)?")
"""Cells before and after a comma that marks a decimal."""
_LENGTHS = frozenset({"width", "depth", "height"})


def row_of(text: str, written: Written) -> Iterator[Figure]:
    """Read a row of cells: by its heads, else name, width, depth, height, mass, price.

    Cells are parted by tabs, semicolons, strokes, two spaces or more, or commas. Where commas may
    mark decimals too, every reading that makes sense is given, and a sentence says so.
    """
    rows = [(cells, by_comma) for line in text.splitlines() for cells, by_comma in [_cut(line)]]
    rows = [row for row in rows if sum(bool(cell) for cell in row[0]) >= _FILLED]
    if not rows:
        return
    heads = [_head(cell) for cell in rows[0][0]]
    headed = sum(bool(head) for head in heads) > 1 and len(rows) > 1
    values, by_comma = rows[1] if headed else rows[0]
    if by_comma and not all(_BARE.fullmatch(cell) for cell in values[1:] if cell):
        return
    if headed:
        ways = [list(zip(heads, values, strict=False))]
        if by_comma and len(values) > len(heads):
            ways = []
    else:
        figures = [cell for cell in values if _FIGURE.match(cell)]
        if len(figures) < _FIGURES:
            return
        names = [("name", cell) for cell in values if cell and cell not in figures][:1]
        parted = [*_readings(figures)] if by_comma else [figures]
        ways = [names + list(zip(COLUMNS, way, strict=False)) for way in parted]
    if not ways:
        written.says.append(
            "The row has more cells than figures are asked for: its commas may part cells or mark "
            "decimals. Part the cells by tabs or semicolons."
        )
        return
    if len(ways) > 1:
        written.says.append(
            "Its commas may part cells or mark decimals: where a figure can be read in two ways, "
            "say which is right."
        )
    words = " | ".join(values)[:LABEL_LIMIT]
    for named in ways:
        small = _perhaps_cm(named, written)
        for head, cell in named:
            value = _cell(head, cell, written)
            if value:
                yield Figure(head, value, words)
            if value and head in small:
                yield Figure(head, written.size(head, cell, "cm"), f"{words}, in cm")


def _readings(figures: Sequence[str]) -> Iterator[list[str]]:
    """Yield the ways to read figures that commas part: a comma may mark a decimal of any of them.

    Three sizes, then a mass, a price or both. Sizes and masses have one digit after the mark or
    two, a price two; three are thousands of a price. What has a point needs no comma.
    """
    most = len(COLUMNS)
    if any("." in one for one in figures):
        if len(figures) <= most:
            yield [*figures]
        return
    for way in _joined(list(figures)):
        if _FIGURES < len(way) <= most and all(map(_fits, way, COLUMNS)):
            yield way


def _joined(figures: list[str]) -> Iterator[list[str]]:
    """Yield all ways to join figures to the next one by a comma, the one without any first."""
    if not figures:
        yield []
        return
    whole, *others = figures
    for rest in _joined(others):
        yield [whole, *rest]
    if others and _WHOLE.fullmatch(whole) and _DECIMALS.fullmatch(others[0]):
        for rest in _joined(others[1:]):
            yield [f"{whole},{others[0]}", *rest]


def _fits(figure: str, column: str) -> bool:
    """Whether a figure that may hold a comma makes sense as what it would be."""
    whole, comma, part = figure.partition(",")
    digits = sum(one.isdigit() for one in part)
    if not comma or column == "price":
        return digits != 1
    # nobody writes tenths of a millimetre of kit; half a centimetre they do
    return digits == 1 and len(whole) < _WIDEST if column in _LENGTHS else digits < _THOUSANDS


_WIDEST = 4
"""Digits that a size in millimetres may have: one in centimetres has three at the most."""
_THOUSANDS = 3
"""Digits after a comma that marks thousands: of a price, and no kit has as many kilograms."""


def _perhaps_cm(named: Sequence[tuple[str, str]], written: Written) -> frozenset[str]:
    """Return the sizes that may be in centimetres: bare, and all of them too small for kit."""
    sizes = {head: cell for head, cell in named if head in _LENGTHS}
    if written.perhaps_cm([*sizes.values()]):
        return frozenset(sizes)
    return frozenset()


def _cut(line: str) -> tuple[list[str], bool]:
    """Cut a line into cells; tell whether it was cut at commas, quoted cells left whole."""
    apart = [cell.strip() for cell in _SPACES.split(line.strip())]
    if not _CELLS.search(line) and len(apart) >= _FILLED:
        return apart, False
    if _CELLS.search(line) or line.count(",") < _FILLED - 1:
        return [cell.strip() for cell in _CELLS.split(line)], False
    spaced = [cell.strip() for cell in re.split(r",\s+", line)]
    if len(spaced) >= _FILLED:
        # what has no space after it marks decimals or thousands
        return spaced, True
    try:
        cells = next(csv.reader([line.replace("\0", "")], skipinitialspace=True), [])
    except csv.Error:
        return [line], False
    return [cell.strip() for cell in cells], True


def _head(cell: str) -> str:
    first = re.match(r"[a-z]+", cell.lower())
    return _HEADS.get(first[0], "") if first and not re.search(r"\d", cell) else ""


def _cell(head: str, cell: str, written: Written) -> str:
    if head == "name":
        return cell[:LABEL_LIMIT]
    kind = SIZE if head in _LENGTHS else NUMBER
    figure = re.search(rf"([€£$])?\s*([-−])?\s*{kind}\s*([^\s\d]*)(\d)?", cell)
    if not head or figure is None:
        return ""
    if figure[5]:
        return written.unread(f"{head.capitalize()} {cell[:LABEL_LIMIT]}")
    amount, unit = f"{figure[2] or ''}{figure[3]}", figure[4].rstrip(".,")
    if head in _LENGTHS:
        return written.size(head, amount, unit)
    if head == "mass":
        return written.mass(amount, unit)
    if head == "power":
        return written.power(amount, unit)
    sign = figure[1] or (unit if unit in (*SIGNS, *SIGNS.values()) else "")
    return written.price(amount, sign, cell[:LABEL_LIMIT])
