"""The list of quantities on as many sheets as it takes: what to buy, with the sums at its end."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cache
from itertools import pairwise

from app.drawing.composed import Subject, in_pages
from app.drawing.flow import Block, Heights, Words
from app.drawing.frame import body_of
from app.drawing.paper import Box, paper_of
from app.drawing.pouring import poured
from app.drawing.primitives import Group, Item, Text
from app.drawing.quantity_rows import (
    PART_MM,
    TABLE_HEAD_MM,
    TOTAL_MM,
    UNDER,
    Columns,
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
    """One column while it is being filled: its table, and what stands under that."""

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
    remarks = _Remarks(take_off)

    # counted first: only the way that is kept is levelled and lettered
    @cache
    def set_so(under: Under) -> tuple[int, tuple[float, float], list[Box], _Listed]:
        ways = []
        for size, bodies in shapes:
            listed = _Listed(plan, take_off, Columns(bodies[0], plan.units, prices), under, remarks)
            ways.append((math.ceil(listed.count(bodies[0]) / len(bodies)), size, bodies, listed))
            if ways[-1][0] == 1:
                break
        return min(ways, key=lambda way: way[0])

    on_one = next((way for way in map(set_so, UNDER) if way[0] == 1), None)
    _, size, bodies, listed = on_one or set_so("place")
    pages = _sheets(listed.even(bodies[0]), bodies)
    return in_pages(
        plan,
        Subject("quantities", "Quantities", "parts list"),
        pages,
        chosen,
        [size],
        fields or TitleFields(),
    )  # fmt: skip


class _Remarks:
    """What is said under the table, and how high it was measured in columns of a width."""

    def __init__(self, take_off: TakeOff) -> None:
        ready = "; ".join(one.item for one in take_off.ready)
        remarks = [f"Not counted: {problem}" for problem in take_off.problems] + list(take_off.says)
        remarks += [f"{READY_NAME}: {ready}."] if ready else []
        entries = tuple(Words(as_printed(words)) for words in remarks)
        self._blocks = [Block("Before you buy", entries)] if remarks else []
        self._heights: Heights = {}

    def poured(self, y: float, body: Box, trial: bool = False) -> tuple[tuple[Item, ...], ...]:
        """Set them from a height down a column and on over further ones.

        With `trial` only how many columns there are is true.
        """
        if not self._blocks:
            return ((),)
        first = _halves(Box(body.x, y, body.width, body.bottom - y))
        if first and first[0].height < _LEAST_WORDS_MM:
            first = ()
        return poured(self._blocks, first, _halves(body), trial, self._heights, parted=True)


class _Listed:
    """The list with its rows divided for columns of one width.

    How many columns it takes is found from the heights of its rows, without lettering them.
    """

    def __init__(
        self, plan: Plan, take_off: TakeOff, columns: Columns, under: Under, remarks: _Remarks
    ) -> None:
        self._plan, self._take_off = plan, take_off
        self._columns, self._remarks = columns, remarks
        self._rows = [row_of(plan, line, columns, under) for line in take_off.lines]
        self._high_mm = [row.high_mm for row in self._rows]
        parts = [line.part for line in take_off.lines]
        self._new_part = [not i or part != parts[i - 1] for i, part in enumerate(parts)]

    def count(self, body: Box) -> int:
        """Return how many columns as high as a body hold the list."""
        begins, y = self._begins(body)
        return len(begins) - 1 + len(self._remarks.poured(y, body, trial=True))

    def even(self, body: Box) -> list[_Page]:
        """Fill as few columns as hold the list, each to about one height."""
        count, best = self.count(body), body
        low, high = body.height / count, body.height
        while count > 1 and high - low > _LEVEL_MM:
            middle = (low + high) / 2
            shorter = Box(body.x, body.y, body.width, middle)
            if self.count(shorter) == count:
                best, high = shorter, middle
            else:
                low = middle
        return self._filled(best)

    def _begins(self, body: Box) -> tuple[list[int], float]:
        """Return the row that each column begins with, and the height under the sums, mm."""
        begins, y = [0], body.y + TABLE_HEAD_MM
        for i, (high, new) in enumerate(zip(self._high_mm, self._new_part, strict=True)):
            last = i + 1 == len(self._rows)
            needs = high + (PART_MM if new else 0.0) + (TOTAL_MM if last else 0.0)
            if i and y + needs > body.bottom:
                begins.append(i)
                y = body.y + TABLE_HEAD_MM
            if new or i == begins[-1]:
                y += PART_MM
            y += high
        return begins, y + (TOTAL_MM + _PAD_MM)

    def _filled(self, body: Box) -> list[_Page]:
        """Letter the rows from the top of each column down, sums and words under the last."""
        begins, under = self._begins(body)
        pages: list[_Page] = []
        y = body.y + TABLE_HEAD_MM
        for first, after in pairwise([*begins, len(self._rows)]):
            page = _Page(list(table_head(self._columns, bool(pages))))
            pages.append(page)
            y = body.y + TABLE_HEAD_MM
            for i in range(first, after):
                if self._new_part[i] or i == first:
                    name = PART_NAMES[self._take_off.lines[i].part]
                    name += "" if self._new_part[i] else ", more"
                    page.table += part_head(self._columns, y, name)
                    y += PART_MM
                page.table += self._rows[i].at(y)
                y += self._high_mm[i]
        pages[-1].table += total(self._plan, self._take_off, self._columns, y)
        for i, words in enumerate(self._remarks.poured(under, body)):
            if i:
                pages.append(_Page())
            pages[-1].words += words
        return pages


def _beside(body: Box) -> list[Box]:
    """Return two columns of a sheet, where both are wide enough for the table; else none."""
    wide = body.width / 2 - _PAD_MM
    if wide < _LEAST_TABLE_MM:
        return []
    return [
        Box(body.x, body.y, wide, body.height),
        Box(body.right - wide, body.y, wide, body.height),
    ]


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


def _halves(box: Box) -> tuple[Box, ...]:
    half = box.width / 2
    return (
        Box(box.x, box.y, half - _PAD_MM, box.height),
        Box(box.x + half + _PAD_MM, box.y, half - _PAD_MM, box.height),
    )


def _goes_on(page: _Page, body: Box) -> None:
    foot = (body.x, body.bottom + _PAD_MM - 1)
    page.words.append(Text(foot, "The list continues on the next sheet.", "size", "start"))
