"""The columns beside or below a figure: key, open snags, cautions, title block, in that order."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from app.drawing.ink import size_of
from app.drawing.paper import Arrangement, Box
from app.drawing.pouring import HEAD_MM, Paragraph, pour
from app.drawing.primitives import Group, Item, Line, Text
from app.drawing.sheet_words import (
    TITLE_MM,
    CautionLine,
    KeyRow,
    TitleWords,
    caution_height,
    caution_items,
    caution_lines,
    heading,
    key_heights,
    key_holds,
    key_rows,
    rule_between,
    title_block,
)

_PAD_MM = 4.0
_ROW_MM = (4.8, 4.3, 3.9)
_GUTTER_MM = 8.0
_LEADING, _AFTER_MM = 1.28, 1.5


@dataclass(frozen=True, slots=True)
class Panel:
    """The words of a sheet. `foot_mm` is what they take of the foot of the figure's own place.

    `rows` and `snags` are what found no room and goes on to the next sheet.
    """

    items: tuple[Item, ...]
    foot_mm: float
    rows: tuple[KeyRow, ...]
    snags: tuple[Paragraph, ...]

    @property
    def missing(self) -> tuple[int, int]:
        """How many rows of the key and how many snags found no room."""
        return len(self.rows), len(self.snags)


@dataclass(frozen=True, slots=True)
class _Division:
    """Where the cautions stand and what room the columns leave for the lists."""

    free: tuple[Box, ...]
    cautions: tuple[Item, ...]
    foot_mm: float


def panel(
    arrangement: Arrangement,
    rows: Sequence[KeyRow],
    snags: Sequence[Paragraph],
    words: TitleWords,
    free_under_mm: float,
    whole_mm: float,
) -> Panel:
    """Set all the words of a sheet. `free_under_mm` is what the figure leaves of its height.

    A snag stays whole unless it is higher than `whole_mm`, what a column of the next sheet holds.
    The cautions run on in one paragraph where otherwise a list would not be whole.
    """
    airy, tight = (
        _set(arrangement, rows, snags, words, _divide(arrangement, free_under_mm, airy), whole_mm)
        for airy in (True, False)
    )
    return tight if tight.missing < airy.missing else airy


def _set(
    arrangement: Arrangement,
    rows: Sequence[KeyRow],
    snags: Sequence[Paragraph],
    words: TitleWords,
    division: _Division,
    whole_mm: float,
) -> Panel:
    last = arrangement.columns[-1]
    title = Box(last.x, last.bottom - TITLE_MM, last.width, TITLE_MM)
    items: list[Item] = [
        *_outline(arrangement),
        Group(division.cautions, "cautions"),
        Group(title_block(words, title), "title-block"),
    ]
    row_mm = next(
        (high for high in _ROW_MM[:-1] if _capacity(division.free, rows, high) >= len(rows)),
        _ROW_MM[-1],
    )
    key, left, further = _key(division.free, rows, row_mm)
    items.append(Group(key, "key"))
    rest: tuple[Paragraph, ...] = ()
    if snags:
        listed, rest = _snags(left, snags, whole_mm)
        items.append(Group(listed, "snags"))
    return Panel(tuple(items), division.foot_mm, further, rest)


def _outline(arrangement: Arrangement) -> tuple[Item, ...]:
    first = arrangement.columns[0]
    if arrangement.beside:
        return (Line((first.x, first.y), (first.x, first.bottom), "rule"),)
    edge = Line((first.x, first.y), (arrangement.frame.right, first.y), "rule")
    return (edge, *rule_between(arrangement.columns))


def _divide(arrangement: Arrangement, free_under_mm: float, airy: bool) -> _Division:
    """Find room for the cautions: under the figure, over the title block, or beside it."""
    free = [
        Box(c.x + _PAD_MM, c.y + _PAD_MM, c.width - 2 * _PAD_MM, c.height - _PAD_MM)
        for c in arrangement.columns
    ]
    last = free[-1]
    free[-1] = Box(last.x, last.y, last.width, last.height - TITLE_MM)
    under = _under(arrangement)
    for running, table in ((False, True), (False, False), (True, False)):
        lines = caution_lines((under.width - _GUTTER_MM) / 2, running, table)
        half = _half(lines)
        high = max(caution_height(lines[:half]), caution_height(lines[half:]))
        if arrangement.beside and high <= free_under_mm:
            box = Box(under.x, under.bottom - high, under.width, high)
            right = Box(box.x + (box.width + _GUTTER_MM) / 2, box.y, box.width / 2, high)
            items = caution_items(lines[:half], box) + caution_items(lines[half:], right, False)
            return _Division(tuple(free), items, high)
    for index in range(len(free) - 1, -1, -1):
        column = free[index]
        for running in (False, True) if airy else (True,):
            lines = caution_lines(column.width, running)
            high = caution_height(lines)
            # the key needs some of the only column there is
            spare = 60.0 if len(free) == 1 and not running else 0.0
            if high + spare <= column.height:
                box = Box(column.x, column.bottom - high, column.width, high)
                free[index] = Box(column.x, column.y, column.width, column.height - high)
                return _Division(tuple(free), caution_items(lines, box), 0.0)
    raise AssertionError("every arrangement holds the cautions")


def _half(lines: Sequence[CautionLine]) -> int:
    """Return the line where the second of two columns starts: a new subject, nearest the middle."""
    count = len(lines)
    starts = [i for i, line in enumerate(lines) if line.starts] or [(count + 1) // 2]
    return min(starts, key=lambda i: max(i, count - i))


def _under(arrangement: Arrangement) -> Box:
    box = arrangement.figure
    return Box(box.x + 6, box.y, box.width - 12, box.height)


def _capacity(free: Sequence[Box], rows: Sequence[KeyRow], row_mm: float) -> int:
    count = 0
    for i, column in enumerate(free):
        count += _holds(column, rows[count:], rows, row_mm, i == 0)
    return count


def _holds(
    column: Box, rows: Sequence[KeyRow], among: Sequence[KeyRow], row_mm: float, first: bool
) -> int:
    high = column.height - (HEAD_MM if first else 0.0)
    return key_holds(rows, among, column.width, high, row_mm)


def _key(
    free: Sequence[Box], rows: Sequence[KeyRow], row_mm: float
) -> tuple[tuple[Item, ...], tuple[Box, ...], tuple[KeyRow, ...]]:
    """Set the key. Gives its items, the room left after it, and the rows that found none."""
    items: list[Item] = []
    rest = list(rows)
    left: list[Box] = []
    for i, column in enumerate(free):
        holds = _holds(column, rest, rows, row_mm, i == 0)
        if not rest or not holds:
            left.append(column)
            continue
        top = column.y + (HEAD_MM if i == 0 else 0.0)
        if i == 0:
            items.append(heading(column.x, column.y, "Kit"))
            items.append(
                Text((column.right, column.y + 3.4), "width × depth, height", "size", "end")
            )
        cut = i == len(free) - 1 and len(rest) > holds
        these = rest[: holds - 1] if cut else rest[:holds]
        items += key_rows(these, rows, Box(column.x, top, column.width, 0), row_mm)
        used = top + sum(key_heights(these, rows, column.width, row_mm)) - column.y
        rest = rest[len(these) :]
        if cut:
            foot = column.y + used + 3.2
            pieces = "1 more piece" if len(rest) == 1 else f"{len(rest)} more pieces"
            words = f"and {pieces} on sheet 2"
            items.append(Text((column.x + 5.4, foot), words, "row", "start"))
            used = column.height
        used += _PAD_MM
        left.append(Box(column.x, column.y + used, column.width, max(0.0, column.height - used)))
    return tuple(items), tuple(left), tuple(rest)


def _snags(
    left: Sequence[Box], snags: Sequence[Paragraph], whole_mm: float
) -> tuple[tuple[Item, ...], tuple[Paragraph, ...]]:
    """List the open snags in the room that is left; give also those that found none.

    Where some did not, a line says on which sheet they are.
    """
    line = size_of("small") * _LEADING + _AFTER_MM
    room = [Box(c.x, c.y, c.width, c.height - 1) for c in left if c.height >= HEAD_MM + line + 1]
    poured = pour(snags, room, "Open snags", whole_mm=whole_mm)
    if not poured.rest or not room:
        return poured.items, poured.rest
    last = room[-1]
    room[-1] = Box(last.x, last.y, last.width, last.height - line)
    poured = pour(snags, room, "Open snags", whole_mm=whole_mm)
    if poured.column < 0:
        first = room[0]
        further = _further(first.x, first.y + HEAD_MM, f"all {len(poured.rest)} on sheet 2")
        return (heading(first.x, first.y, "Open snags"), further), poured.rest
    box, y = room[poured.column], poured.y
    if poured.column < len(room) - 1 and y + line > box.bottom:
        box = room[poured.column + 1]
        y = box.y
    further = _further(box.x, y, f"and {len(poured.rest)} more on sheet 2")
    return (*poured.items, further), poured.rest


def _further(x: float, y: float, words: str) -> Text:
    return Text((x + 7.4, y + size_of("small")), words, "size", "start")
