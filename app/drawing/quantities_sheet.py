"""The list of quantities on as many sheets as it takes: what to buy, with the sums at its end."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

from app.drawing.continuation import frame_of, sheet_document
from app.drawing.ink import SMALL_MM
from app.drawing.paper import Box, paper_of
from app.drawing.plan_sheet import Sheet, TitleFields
from app.drawing.pouring import HEAD_MM, Paragraph, pour
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
from app.drawing.sheet_words import TITLE_MM, TitleWords, title_block
from app.model.plan import Plan
from app.takeoff.line import PART_NAMES, TakeOff

_PAD_MM = 4.0
_TITLE_WIDE_MM = 86.0
_LEAST_WORDS_MM = 14.0


@dataclass(slots=True)
class _Page:
    """One sheet while it is being filled: its table, what stands under it, where that may start."""

    y: float
    table: list[Item] = field(default_factory=list)
    words: list[Item] = field(default_factory=list)


@dataclass(frozen=True, slots=True)
class _Paper:
    """How a sheet is divided: the table above, the title block in the corner, words round it."""

    body: Box
    block: Box
    bottom: float

    def under(self, y: float) -> tuple[Box, ...]:
        """Return the columns for words that start at a height: left of the block, and above it."""
        left, right = self.body.x, self.block.x
        boxes = (
            Box(left, y, right - left - 2 * _PAD_MM, self.bottom - y),
            Box(right, y, self.body.right - right, self.block.y - _PAD_MM - y),
        )
        return tuple(box for box in boxes if box.height >= _LEAST_WORDS_MM)


def quantities_sheet(
    plan: Plan, take_off: TakeOff, *, paper: str = "A4", fields: TitleFields | None = None
) -> Sheet:
    """Letter the list of quantities on upright paper, with a box to tick for each line.

    It stands on one sheet where it can, else it goes on over further ones, their head repeated and
    the sums on the last. Raises SheetError for an unknown paper.
    """
    fields = fields or TitleFields()
    chosen = paper_of(paper)
    size = (chosen.short_mm, chosen.long_mm)
    frame = frame_of(*size)
    divided = _Paper(
        Box(
            frame.x + _PAD_MM, frame.y + _PAD_MM, frame.width - 2 * _PAD_MM,
            frame.height - TITLE_MM - 2 * _PAD_MM,
        ),
        Box(frame.right - _TITLE_WIDE_MM, frame.bottom - TITLE_MM, _TITLE_WIDE_MM, TITLE_MM),
        frame.bottom - _PAD_MM,
    )  # fmt: skip
    # sources, then places are left out where the whole list then stands on one sheet; a list that
    # does not tells its places and keeps the sources to the page of quantities
    full, places, bare = (_pages(plan, take_off, divided, under) for under in UNDER)
    pages = next((way for way in (full, places, bare) if len(way) == 1), places)
    count = len(pages)
    made = []
    for i, page in enumerate(pages):
        which = "" if count == 1 else f" {i + 1} of {count}"
        words = TitleWords(
            plan.name, "not to scale", chosen.key, fields.revision, fields.date,
            fields.drawn_for or plan.drawn_for, "", f"Quantities{which}",
        )  # fmt: skip
        items: list[Item] = [
            Group(tuple(page.table), "list"),
            Group(tuple(page.words), "words"),
            Group(title_block(words, divided.block), "title-block"),
        ]
        title = f"{plan.name}: quantities on {chosen.key}" + (f", sheet{which}" if which else "")
        made.append(sheet_document(items, size, title))
    return Sheet(made[0], chosen.key, 1, *size, more=tuple(made[1:]))


def _pages(plan: Plan, take_off: TakeOff, paper: _Paper, under: Under) -> list[_Page]:
    columns = Columns(paper.body)
    rows = [row_of(plan, line, columns, under) for line in take_off.lines]
    pages = _tabled(plan, take_off, rows, paper, columns)
    remarks = [f"Not counted: {problem}" for problem in take_off.problems] + list(take_off.says)
    rest = tuple(Paragraph((as_printed(words),)) for words in remarks)
    whole = paper.block.y - _PAD_MM - paper.body.y - HEAD_MM
    goes_on = False
    while rest:
        page = pages[-1]
        poured = pour(
            rest, paper.under(page.y), "Before you buy", whole_mm=whole, goes_on=goes_on
        )  # fmt: skip
        page.words += poured.items
        goes_on = goes_on or bool(poured.items)
        rest = poured.rest
        if rest:
            pages.append(_Page(paper.body.y))
    return pages


def _tabled(
    plan: Plan, take_off: TakeOff, rows: Sequence[Row], paper: _Paper, columns: Columns
) -> list[_Page]:
    """Set the rows from the top of each sheet down, the sums under the last of them."""
    body = paper.body
    pages: list[_Page] = []
    part = ""
    for i, (line, row) in enumerate(zip(take_off.lines, rows, strict=True)):
        new = line.part != part
        last = i + 1 == len(rows)
        needs = row.high_mm + (PART_MM if new else 0.0) + (TOTAL_MM if last else 0.0)
        if not pages or pages[-1].y + needs > body.bottom:
            if pages:
                _goes_on(pages[-1], paper, len(pages) + 1)
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


def _goes_on(page: _Page, paper: _Paper, sheet: int) -> None:
    foot = (paper.body.x, paper.block.y + _PAD_MM + SMALL_MM)
    page.words.append(Text(foot, f"The list goes on on sheet {sheet}.", "size", "start"))
