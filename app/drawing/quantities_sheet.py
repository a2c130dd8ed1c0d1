"""The list of quantities on as many sheets as it takes: what to buy, with the sums at its end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from app.drawing.composed import Subject, body_of, in_pages
from app.drawing.flow import Block, Words
from app.drawing.paper import Box, paper_of
from app.drawing.pouring import poured
from app.drawing.primitives import Group, Item, Text
from app.drawing.quantity_rows import (
    PART_MM,
    TABLE_HEAD_MM,
    TOTAL_MM,
    UNDER,
    Columns,
    Row,
    Under,
    as_printed,
    part_head,
    row_of,
    table_head,
    total,
)
from app.drawing.sheet import Sheet, TitleFields
from app.model.plan import Plan
from app.takeoff.line import PART_NAMES, READY_NAME, TakeOff

_PAD_MM = 4.0
_LEAST_WORDS_MM = 20.0
_LEVEL_MM = 4.0
"""How nearly columns end at one height: less than a row."""
_LEAST_TABLE_MM = 160.0
"""How wide a column must be for the table: as wide as A4 leaves it."""


@dataclass(slots=True)
class _Page:
    """One sheet while it is being filled: its table, what stands under it, where that may start."""

    y: float
    table: list[Item] = field(default_factory=list)
    words: list[Item] = field(default_factory=list)


def quantities_sheet(
    plan: Plan,
    take_off: TakeOff,
    *,
    prices: bool = True,
    paper: str = "A4",
    fields: TitleFields | None = None,
) -> Sheet:
    """Letter the list of quantities with a box to tick for each line.

    It stands on one sheet where it can, upright or in two columns of a lying one, else it goes on
    over further ones, their head repeated and the sums on the last. Without `prices` it tells no
    money.

    Raises SheetError for an unknown paper.
    """
    chosen = paper_of(paper)
    upright, lying = (chosen.short_mm, chosen.long_mm), (chosen.long_mm, chosen.short_mm)
    # sources, then places are left out where the whole list then stands on one sheet; a list that
    # does not tells its places and keeps the sources to the page of quantities
    shapes = [(upright, [body_of(*upright)]), (lying, _beside(body_of(*lying)))]
    shapes = [(size, columns) for size, columns in shapes if columns]

    def set_so(under: Under) -> tuple[tuple[float, float], list[tuple[Item, ...]]]:
        every = [
            (size, _sheets(_pages(plan, take_off, columns, under, prices), columns))
            for size, columns in shapes
        ]
        return min(every, key=lambda way: len(way[1]))

    full, places, bare = map(set_so, UNDER)
    size, pages = next((way for way in (full, places, bare) if len(way[1]) == 1), places)
    return in_pages(
        plan,
        Subject("quantities", "Quantities", "parts list"),
        pages,
        chosen,
        [size],
        fields or TitleFields(),
    )  # fmt: skip


def _beside(body: Box) -> list[Box]:
    """Return two columns of a sheet, where both are wide enough for the table; else none."""
    wide = body.width / 2 - _PAD_MM
    if wide < _LEAST_TABLE_MM:
        return []
    return [
        Box(body.x, body.y, wide, body.height),
        Box(body.right - wide, body.y, wide, body.height),
    ]


def _pages(
    plan: Plan, take_off: TakeOff, bodies: Sequence[Box], under: Under, prices: bool
) -> list[_Page]:
    """Fill as few columns as hold the list, each to about one height."""
    body = bodies[0]
    columns = Columns(body, plan.units, prices)
    rows = [row_of(plan, line, columns, under) for line in take_off.lines]
    best = _filled(plan, take_off, rows, body, columns)
    low, high = body.height / len(best), body.height
    while len(best) > 1 and high - low > _LEVEL_MM:
        middle = (low + high) / 2
        shorter = Box(body.x, body.y, body.width, middle)
        pages = _filled(plan, take_off, rows, shorter, columns)
        if len(pages) == len(best):
            best, high = pages, middle
        else:
            low = middle
    return best


def _sheets(pages: Sequence[_Page], bodies: Sequence[Box]) -> list[tuple[Item, ...]]:
    """Put what was filled side by side, as many as there are columns on a sheet."""
    sheets: list[tuple[Item, ...]] = []
    for first in range(0, len(pages), len(bodies)):
        some = pages[first : first + len(bodies)]
        if first + len(bodies) < len(pages):
            _goes_on(some[-1], bodies[0])
        items: list[Item] = []
        for page, body in zip(some, bodies, strict=False):
            move = (body.x - bodies[0].x, 0.0)
            items.append(Group(tuple(page.table), "list", move=move))
            items.append(Group(tuple(page.words), "words", move=move))
        sheets.append(tuple(items))
    return sheets


def _filled(
    plan: Plan, take_off: TakeOff, rows: Sequence[Row], body: Box, columns: Columns
) -> list[_Page]:
    pages = _tabled(plan, take_off, rows, body, columns)
    ready = "; ".join(one.item for one in take_off.ready)
    remarks = [f"Not counted: {problem}" for problem in take_off.problems] + list(take_off.says)
    remarks += [f"{READY_NAME}: {ready}."] if ready else []
    if not remarks:
        return pages
    block = Block("Before you buy", tuple(Words(as_printed(words)) for words in remarks))
    last = pages[-1]
    first = _halves(Box(body.x, last.y, body.width, body.bottom - last.y))
    if first and first[0].height < _LEAST_WORDS_MM:
        first = ()
    for i, words in enumerate(poured([block], first, _halves(body), parted=True)):
        if i:
            pages.append(_Page(body.y))
        pages[-1].words += words
    return pages


def _halves(box: Box) -> tuple[Box, ...]:
    half = box.width / 2
    return (
        Box(box.x, box.y, half - _PAD_MM, box.height),
        Box(box.x + half + _PAD_MM, box.y, half - _PAD_MM, box.height),
    )


def _tabled(
    plan: Plan, take_off: TakeOff, rows: Sequence[Row], body: Box, columns: Columns
) -> list[_Page]:
    """Set the rows from the top of each sheet down, the sums under the last of them."""
    pages: list[_Page] = []
    part = ""
    for i, (line, row) in enumerate(zip(take_off.lines, rows, strict=True)):
        new = line.part != part
        last = i + 1 == len(rows)
        needs = row.high_mm + (PART_MM if new else 0.0) + (TOTAL_MM if last else 0.0)
        if not pages or pages[-1].y + needs > body.bottom:
            pages.append(_Page(body.y + TABLE_HEAD_MM, list(table_head(columns, bool(pages)))))
            name = PART_NAMES[line.part] + ("" if new else ", more")
        elif new:
            name = PART_NAMES[line.part]
        else:
            name = ""
        page = pages[-1]
        if name:
            page.table += part_head(columns, page.y, name)
            page.y += PART_MM
        part = line.part
        page.table += row.at(page.y)
        page.y += row.high_mm
    if not pages:
        pages.append(_Page(body.y + TABLE_HEAD_MM, list(table_head(columns, False))))
    page = pages[-1]
    page.table += total(plan, take_off, columns, page.y)
    page.y += TOTAL_MM + _PAD_MM
    return pages


def _goes_on(page: _Page, body: Box) -> None:
    foot = (body.x, body.bottom + _PAD_MM - 1)
    page.words.append(Text(foot, "The list continues on the next sheet.", "size", "start"))
