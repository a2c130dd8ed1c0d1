"""A row of figures pasted from a table, under a row of heads or alone."""

from __future__ import annotations

import csv
import re
from collections.abc import Iterator

from app.forms.seller_figures import COLUMNS, NUMBER, SIGNS, SIZE, WORDS, Figure, Written

_CELLS = re.compile(r"[\t;|]")
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
_LENGTHS = frozenset({"width", "depth", "height"})
_WORDS_AT_MOST = 120


def row_of(text: str, written: Written) -> Iterator[Figure]:
    """Read a row of cells: by its heads, else name, width, depth, height, mass, price.

    Cells are parted by tabs, semicolons, strokes or commas. Where commas mark decimals too, and
    there are more cells than there can be, nothing is read and a sentence says so.
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
        named = list(zip(heads, values, strict=False))
        too_many = len(values) > len(heads)
    else:
        figures = [cell for cell in values if _FIGURE.match(cell)]
        if len(figures) < _FIGURES:
            return
        names = [cell for cell in values if cell and cell not in figures]
        named = [("name", names[0])] if names else []
        named += list(zip(COLUMNS, figures, strict=False))
        too_many = len(figures) > len(COLUMNS)
    if by_comma and too_many:
        written.says.append(
            "The row has more cells than figures are asked for: its commas may part cells or mark "
            "decimals. Part the cells by tabs or semicolons."
        )
        return
    words = " | ".join(values)[:_WORDS_AT_MOST]
    for head, cell in named:
        value = _cell(head, cell, written)
        if value:
            yield Figure(head, value, words)


def _cut(line: str) -> tuple[list[str], bool]:
    """Cut a line into cells; tell whether it was cut at commas, quoted cells left whole."""
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
        return cell[:_WORDS_AT_MOST]
    kind = SIZE if head in _LENGTHS else NUMBER
    figure = re.search(rf"([€£$])?\s*([-−])?\s*{kind}\s*([^\s\d]*)(\d)?", cell)
    if not head or figure is None:
        return ""
    if figure[5]:
        return written.unread(f"{head.capitalize()} {cell[:_WORDS_AT_MOST]}")
    amount, unit = f"{figure[2] or ''}{figure[3]}", figure[4].rstrip(".,")
    if head in _LENGTHS:
        return written.size(head, amount, unit)
    if head == "mass":
        return written.mass(amount, unit)
    if head == "power":
        return written.power(amount, unit)
    sign = figure[1] or (unit if unit in (*SIGNS, *SIGNS.values()) else "")
    return written.price(amount, sign, cell[:_WORDS_AT_MOST])
