"""The words of a sheet as entries of its columns: key, open snags, legend, cautions; scale bar."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from app.drawing.cautions import CAUTIONS, WHO_DECIDES
from app.drawing.flow import LINE_MM, Block, Drawn, Entry, Mark, Stacked, Words
from app.drawing.ink import SMALL_MM, size_of
from app.drawing.lettering import width_of, wrap
from app.drawing.marks import Severity, flag_items
from app.drawing.primitives import Circle, Group, Item, Line, Point, Polygon, Text
from app.units import Units, format_short

HOUSEHOLD = "the household"
"""Whom a plan is drawn for where nobody is named; the desk says the same."""
_FOOT_MM = 304.8
_RING_MM = 2.3
_NAME_MM = 6.2
_LEAST_NAME_MM = 26.0
_FLAG_MM = 8.6


Sample: TypeAlias = Callable[[float, float, float], tuple[Item, ...]]
"""Draws a sample about a height from a left edge in a width."""


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
class _KeyEntry:
    """A row of the key in its column; `among` are all rows, whose sizes stand under one another."""

    row: KeyRow
    sizes_mm: float
    heights_mm: float

    def _name(self, width: float) -> tuple[tuple[str, ...], tuple[str, ...]]:
        """Return the lines of the name, and those of the sizes where they stand under it."""
        beside = width - _NAME_MM - self.sizes_mm - self.heights_mm - 4.5
        under = beside < _LEAST_NAME_MM
        free = width - _NAME_MM if under else beside
        sizes = wrap(f"{self.row.size}, {self.row.height}", SMALL_MM, free) if under else ()
        return wrap(self.row.name, size_of("row"), free), sizes

    def high_mm(self, width: float) -> float:
        """Return its height: the lines of its name, and of the sizes where they stand under it."""
        lines, under = self._name(width)
        return max((len(lines) + len(under)) * LINE_MM, 2 * _RING_MM) + 0.7

    def at(self, x: float, y: float, width: float) -> tuple[Item, ...]:
        """Letter it from a point down."""
        row, (lines, under) = self.row, self._name(width)
        foot = y + SMALL_MM * 0.9
        ring, digits = Circle((x + _RING_MM, foot - 1.25), _RING_MM, "key-ring"), str(row.number)
        items: list[Item] = [ring, Text((x + _RING_MM, foot), digits, "key-numeral")]
        name = tuple(
            Text((x + _NAME_MM, foot + i * LINE_MM), line, "row", "start")
            for i, line in enumerate(lines)
        )
        items.append(Group(name, "", (("key", digits),)))
        if under:
            last = foot + len(lines) * LINE_MM
            sizes = (
                Text((x + _NAME_MM, last + i * LINE_MM), line, "size", "start")
                for i, line in enumerate(under)
            )
            return (*items, *sizes)
        right = x + width
        items.append(Text((right - self.heights_mm - 2.5, foot), row.size, "size", "end"))
        items.append(Text((right, foot), row.height, "size", "end"))
        return tuple(items)

    def parted(self, width: float, room: float) -> tuple[Entry, Entry] | None:
        """Return nothing: a row stays whole."""
        return None


def key_block(rows: Sequence[KeyRow]) -> Block:
    """Return the key of the kit: number, name, width x depth, height."""
    sizes = max((width_of(row.size, SMALL_MM) for row in rows), default=0.0)
    heights = max((width_of(row.height, SMALL_MM) for row in rows), default=0.0)
    head = Words("width × depth, height", "size", after_mm=0.8)
    return Block("Kit", (head, *(_KeyEntry(row, sizes, heights) for row in rows)), "key")


def snags_block(rows: Iterable[SnagRow], title: str = "Open snags") -> Block:
    """Return the open snags, each with its flag, and those that are settled with a ring."""
    entries: list[Entry] = []
    for row in rows:
        sentence = Words(
            row.sentence, mark=_mark(row), indent_mm=_FLAG_MM, after_mm=1.4, least_mm=5.0
        )
        several = [listed(words, _FLAG_MM) for words in row.several]
        # what it is stays with the first of what it says
        entries += [Stacked((sentence, several[0])), *several[1:]] if several else [sentence]
    return Block(title, tuple(entries), "snags")


def _mark(row: SnagRow) -> Mark:
    def mark(at: Point) -> tuple[Item, ...]:
        x, y = at
        if row.settled:
            ring = Circle((x + _RING_MM, y + 2.0), _RING_MM, "key-ring")
            return (ring, Text((x + _RING_MM, y + 3.25), str(row.number), "key-numeral"))
        return tuple(flag_items((x + 0.2, y + 4.3), row.number, row.severity, 4.6, "list-"))

    return mark


def listed(words: str, indent_mm: float = 0.0) -> Words:
    """Return a paragraph with a dash before it."""

    def dash(at: Point) -> tuple[Item, ...]:
        return (Text((at[0] + indent_mm, at[1] + SMALL_MM * 0.86), "–", "small", "start"),)

    return Words(words, mark=dash, indent_mm=indent_mm + 2.8)


def cover_block() -> Block:
    """Return where a sheet of a set has its cautions and open snags."""
    return Block("", (Words("Cautions and open snags: on the cover.", "size"),))


def cautions_block(running: bool = True) -> Block:
    """Return the cautions: who decides, then subject by subject, run on or one by one."""
    lines = [f"{caution.subject}: {caution.line}" for caution in CAUTIONS]
    if running:
        return Block("Cautions", (Words(" ".join([WHO_DECIDES, *lines])),), "cautions")
    return Block("Cautions", (Words(WHO_DECIDES, "small-bold"), *(listed(each) for each in lines)))


def legend_block(samples: Sequence[tuple[str, Sample]], title: str = "How it is drawn") -> Block:
    """Return samples of lines and areas with what each stands for."""
    return Block(title, tuple(_legend_entry(words, sample) for words, sample in samples))


_SAMPLE_MM = 13.0


def _legend_entry(words: str, sample: Sample) -> Entry:
    return Words(
        words, mark=lambda at: sample(at[0], at[1] + 2.2, _SAMPLE_MM - 3), indent_mm=_SAMPLE_MM
    )


def line_sample(ink: str) -> Sample:
    """Return a sample of a line."""
    return lambda x, y, wide: (Line((x, y), (x + wide, y), ink),)


def area_sample(*inks: str, hatched: str = "") -> Sample:
    """Return a sample of an area in its inks, hatched where an ink for that is given."""

    def draw(x: float, y: float, wide: float) -> tuple[Item, ...]:
        ring = ((x, y - 1.7), (x + wide, y - 1.7), (x + wide, y + 1.7), (x, y + 1.7))
        items: list[Item] = [Polygon(ring, ink) for ink in inks]
        if hatched:
            at = [x + i * 1.9 for i in range(1, int((wide + 3.4) // 1.9) + 1)]
            for start in at:
                a = (min(start, x + wide), y - 1.7 + max(0.0, start - x - wide))
                b = (max(start - 3.4, x), y + 1.7 - max(0.0, x - start + 3.4))
                items.append(Line(a, b, hatched))
        return tuple(items)

    return draw


def scale_bar(x: float, y: float, width: float, scale: int, units: Units) -> tuple[Item, ...]:
    """Draw a bar of metres or tenths, or of feet, at most `width` long, its upper edge at `y`."""
    unit = 1000.0 if units == "metric" else _FOOT_MM
    name = "m" if units == "metric" else "ft"
    steps = {
        "metric": ((0.1, 5), (0.5, 2), (0.5, 4), (1, 3), (1, 4), (1, 5), (2, 5), (5, 4), (10, 4)),
        "feet": ((1, 2), (1, 4), (2, 3), (2, 4), (2, 5), (4, 4), (4, 5), (10, 4), (20, 4)),
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
        items.append(Text((x + i * each, y + 5.4), words, "small"))
    return tuple(items)


def hundred_mm(x: float, y: float, paper: str, units: Units = "metric") -> tuple[Item, ...]:
    """Draw the line of exactly 100 mm whose length tells whether a print is true to scale.

    `paper` is what the sheet is made for: on another one a browser shrinks it, and its scale with
    it, which no sheet can know of.
    """
    long = "this is not 100 mm" if units == "metric" else f"not 100 mm ({format_short(100, units)})"
    words = f"If {long} the scale is not true: print at 100 %, on {paper}"
    return (
        Line((x, y + 0.8), (x + 100, y + 0.8), "measure", (("measure", "100"),)),
        Line((x, y - 0.6), (x, y + 2.2), "measure"),
        Line((x + 100, y - 0.6), (x + 100, y + 2.2), "measure"),
        Text((x + 50, y + 5.4), words, "small"),
    )


def gap(high_mm: float) -> Entry:
    """Return so much air."""
    return Drawn(high_mm, lambda x, y, wide: ())
