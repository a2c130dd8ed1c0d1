"""The words of a sheet: key, open snags, cautions, title block, scale bar. All in mm of paper."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import accumulate, pairwise, takewhile

from app.drawing.cautions import CAUTIONS, WHO_DECIDES
from app.drawing.ink import size_of
from app.drawing.lettering import width_of, wrap
from app.drawing.marks import Severity, flag_items
from app.drawing.paper import Box
from app.drawing.pouring import HEAD_MM, Paragraph
from app.drawing.primitives import Circle, Group, Item, Line, Point, Polygon, Text
from app.units import Units, format_short

HOUSEHOLD = "the household"
"""Whom a plan is drawn for where nobody is named; the desk says the same."""
TITLE_MM = 47.0
_FOOT_MM = 304.8
_LEADING = 1.28
_NAME_MM, _LEAST_NAME_MM, _RUN_ON, _SLACK_MM = 5.4, 22.0, 0.86, 1e-6


@dataclass(frozen=True, slots=True)
class KeyRow:
    """One line of the key: the number in the figure, the name, width x depth, height."""

    number: int
    name: str
    size: str
    height: str


@dataclass(frozen=True, slots=True)
class SnagRow:
    """One entry of the list of open snags; `several` are the short sentences under its first."""

    number: int
    severity: Severity
    sentence: str
    settled: bool = False
    several: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class TitleWords:
    """What stands in the title block."""

    title: str
    scale: str
    paper: str
    revision: str
    date: str
    drawn_for: str
    trains: str
    sheet: str = "1 of 1"


def heading(x: float, y: float, words: str) -> Text:
    """Letter the heading of a list; `y` is its top."""
    return Text((x, y + 3.4), words, "head", "start")


def key_rows(
    rows: Sequence[KeyRow], among: Sequence[KeyRow], box: Box, row_mm: float
) -> tuple[Item, ...]:
    """Letter rows of the key from the top of a box down; a long name runs on under itself.

    `among` are all rows of the key, whose sizes are set under one another.
    """
    items: list[Item] = []
    size_ink, high_wide = "size", _widest(row.height for row in among)
    free, under = _name_room(among, box.width)
    x, y = box.x + _NAME_MM, box.y
    for row, high in zip(rows, key_heights(rows, among, box.width, row_mm), strict=True):
        foot, step = y + row_mm / 2 + 0.95, row_mm * _RUN_ON
        items.append(Circle((box.x + 1.9, foot - 0.92), 1.85, "key-ring"))
        items.append(Text((box.x + 1.9, foot), str(row.number), "key-numeral"))
        lines = wrap(row.name, size_of("row"), free)
        name = tuple(
            Text((x, foot + i * step), line, "row", "start") for i, line in enumerate(lines)
        )
        items.append(Group(name, "", (("key", str(row.number)),)))
        sizes_foot = foot + max(1, len(lines)) * step if under else foot
        items.append(Text((box.right - high_wide - 2.5, sizes_foot), row.size, size_ink, "end"))
        items.append(Text((box.right, sizes_foot), row.height, size_ink, "end"))
        y += high
    return tuple(items)


def key_heights(
    rows: Iterable[KeyRow], among: Sequence[KeyRow], width: float, row_mm: float
) -> Iterator[float]:
    """Return height of each row of the key in a column of this width; `row_mm` is one line's."""
    free, under = _name_room(among, width)
    for row in rows:
        more = max(1, len(wrap(row.name, size_of("row"), free))) - 1
        yield row_mm * (2 if under else 1) + row_mm * _RUN_ON * more


def key_holds(
    rows: Iterable[KeyRow], among: Sequence[KeyRow], width: float, high: float, row_mm: float
) -> int:
    """Return how many rows of the key, from the first on, a column of this size holds."""
    feet = accumulate(key_heights(rows, among, width, row_mm))
    return sum(1 for _ in takewhile(lambda foot: foot <= high + _SLACK_MM, feet))


def _widest(words: Iterable[str]) -> float:
    return max((width_of(each, size_of("size")) for each in words), default=0.0)


def _name_room(rows: Sequence[KeyRow], width: float) -> tuple[float, bool]:
    """Return the width for the names, and whether the sizes stand under them instead of beside."""
    sizes = _widest(row.size for row in rows) + _widest(row.height for row in rows)
    beside = width - _NAME_MM - sizes - 5
    return (beside, False) if beside >= _LEAST_NAME_MM else (width - _NAME_MM, True)


def snag_paragraph(row: SnagRow) -> Paragraph:
    """Return a snag as a paragraph with its flag, or with a ring where it is settled."""

    def mark(at: Point) -> tuple[Item, ...]:
        x, y = at
        if row.settled:
            return (
                Circle((x + 1.9, y + 1.75), 1.85, "key-ring"),
                Text((x + 1.9, y + 2.65), str(row.number), "key-numeral"),
            )
        return tuple(flag_items((x + 0.2, y + 3.5), row.number, row.severity, 3.5, "list-"))

    return Paragraph((row.sentence, *row.several), 1.5, mark, 7.4, 3.8)


@dataclass(frozen=True, slots=True)
class CautionLine:
    """One line of the cautions; the first of each subject carries it in bold before the line."""

    subject: str
    words: str
    starts: bool = False


_SUBJECT_MM = 29.0
_TABLE_MM = 84.0


def caution_lines(width: float, running: bool, table: bool = True) -> tuple[CautionLine, ...]:
    """Return the cautions wrapped to a width: subjects in a column of their own, or all run on."""
    size = size_of("small")
    if running:
        paragraphs = [f"{c.subject}: {c.line}" for c in CAUTIONS]
        return tuple(
            CautionLine("", line)
            for line in wrap(" ".join([WHO_DECIDES, *paragraphs]), size, width)
        )
    lines = [CautionLine("", line) for line in wrap(WHO_DECIDES, size, width)]
    in_table = table and width >= _TABLE_MM
    for caution in CAUTIONS:
        if in_table:
            words = caution.line[:1].upper() + caution.line[1:]
            wrapped = wrap(words, size, width - _SUBJECT_MM)
        else:
            wrapped = wrap(f"{caution.subject}: {caution.line}", size, width)
        for i, line in enumerate(wrapped):
            subject = caution.subject if in_table and i == 0 else ""
            lines.append(CautionLine(subject, line, i == 0))
    return tuple(lines)


def caution_items(lines: Sequence[CautionLine], box: Box, title: bool = True) -> tuple[Item, ...]:
    """Letter the cautions from the top of a box down, under their heading."""
    size = size_of("small")
    items: list[Item] = [heading(box.x, box.y, "Cautions")] if title else []
    in_table = False
    for i, line in enumerate(lines):
        y = box.y + HEAD_MM + size + i * size * _LEADING
        in_table = in_table or bool(line.subject)
        if line.subject:
            items.append(Text((box.x, y), line.subject, "small-bold", "start"))
        x = box.x + (_SUBJECT_MM if in_table else 0.0)
        items.append(Text((x, y), line.words, "small", "start"))
    return tuple(items)


def caution_height(lines: Sequence[CautionLine]) -> float:
    """Return the height that so many lines of cautions take, heading and a little air included."""
    return HEAD_MM + len(lines) * size_of("small") * _LEADING + 2.5


def title_block(words: TitleWords, box: Box) -> tuple[Item, ...]:
    """Letter the title block into a box of the height `TITLE_MM`."""
    x, y, right = box.x, box.y, box.right
    half = x + box.width / 2
    rows = (y, y + 14.0, y + 25.0, y + 36.0, y + TITLE_MM)
    items: list[Item] = [Line((x, y), (right, y), "edge"), Line((x, y), (x, box.bottom), "edge")]
    items += [Line((x, at), (right, at), "rule") for at in rows[1:4]]
    items.append(Line((half, rows[1]), (half, rows[3]), "rule"))
    pad, full, part = 2.5, box.width - 5, box.width / 2 - 5
    items.append(Text((x + pad, y + 3.8), "Plan", "label", "start"))
    if width_of(words.title, size_of("title"), bold=True) <= full:
        items.append(Text((x + pad, y + 10.6), words.title, "title", "start"))
    else:
        lines = wrap(words.title, size_of("head") * 1.15, full, 2)
        for i, line in enumerate(lines):
            items.append(Text((x + pad, y + 8.0 + i * 4.0), line, "head", "start"))
    dated = ", ".join(word for word in (words.revision, words.date) if word) or "–"
    for left, row, name, value in (
        (x, 1, "Scale", f"{words.scale} on {words.paper}"),
        (half, 1, "Revision", dated),
        (x, 2, "Drawn for", words.drawn_for or HOUSEHOLD),
        (half, 2, "Sheet", words.sheet),
        (x, 3, "Trains here", words.trains or "–"),
    ):
        top = rows[row]
        room = full if row == 3 else part
        items.append(Text((left + pad, top + 3.7), name, "label", "start"))
        size = size_of("value")
        if width_of(value, size) <= room:
            items.append(Text((left + pad, top + 8.4), value, "value", "start"))
        else:
            for i, line in enumerate(wrap(value, size_of("small"), room, 2)):
                items.append(Text((left + pad, top + 6.9 + i * 2.9), line, "small", "start"))
    return tuple(items)


def scale_bar(x: float, y: float, width: float, scale: int, units: Units) -> tuple[Item, ...]:
    """Draw a bar of whole metres or feet, at most `width` long, its upper edge at `y`."""
    unit = 1000.0 if units == "metric" else _FOOT_MM
    name = "m" if units == "metric" else "ft"
    steps = {
        "metric": ((0.5, 2), (0.5, 4), (1, 3), (1, 4), (1, 5), (2, 5)),
        "feet": ((1, 2), (1, 4), (2, 3), (2, 4), (2, 5), (4, 4), (4, 5)),
    }[units]
    fitting = [s for s in steps if s[0] * s[1] * unit / scale <= width - 8]
    step, count = fitting[-1] if fitting else steps[0]
    each = step * unit / scale
    items: list[Item] = []
    for i in range(count):
        a, b = x + i * each, x + (i + 1) * each
        items.append(
            Polygon(
                ((a, y), (b, y), (b, y + 1.6), (a, y + 1.6)), "bar-light" if i % 2 else "bar-dark"
            )
        )
    for i in range(count + 1):
        if each < 9 and i % 2 and i < count:
            continue
        words = f"{step * i:g}" + (f" {name}" if i == count else "")
        items.append(Text((x + i * each, y + 5.2), words, "small"))
    return tuple(items)


def hundred_mm(x: float, y: float, units: Units = "metric") -> tuple[Item, ...]:
    """Draw the line of exactly 100 mm whose length tells whether a print is true to scale."""
    long = "100 mm" if units == "metric" else f"100 mm ({format_short(100, units)})"
    return (
        Line((x, y + 0.8), (x + 100, y + 0.8), "measure", (("measure", "100"),)),
        Line((x, y - 0.6), (x, y + 2.2), "measure"),
        Line((x + 100, y - 0.6), (x + 100, y + 2.2), "measure"),
        Text((x + 50, y + 5.2), f"{long}: measure me after printing", "small"),
    )


def rule_between(boxes: Sequence[Box]) -> tuple[Item, ...]:
    """Draw the rules between columns that stand side by side."""
    return tuple(
        Line((right.x, right.y), (right.x, right.bottom), "rule") for _, right in pairwise(boxes)
    )
