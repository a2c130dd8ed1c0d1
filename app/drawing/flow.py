"""Words, tables and small figures set down the columns of a sheet, then of further ones.

Nothing is left out: where the columns of a sheet are full, a further one is begun.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from typing import Protocol, TypeAlias

from app.drawing.headings import HEAD_LINE_MM, HEAD_MM, heading_lines, heading_mm
from app.drawing.ink import SMALL_MM, is_bold, size_of
from app.drawing.lettering import wrap
from app.drawing.paper import Box
from app.drawing.primitives import Group, Item, Point, Text

LINE_MM = SMALL_MM * 1.3
_AFTER_MM = 1.1
_FEWEST_LINES = 3
_FEWEST_ENTRIES = 2

Heights: TypeAlias = "dict[tuple[int, float], tuple[Entry, float]]"
"""How high entries are in columns of a width, each with its entry, which keeps its number."""


@dataclass
class Flow:
    """Sets things one under the other through the columns of a sheet, then of further ones.

    `pages` holds what is on each sheet; a heading stands over what is set first under it, and
    again over each column of a further sheet and where words go on under a figure.
    """

    first: Sequence[Box]
    further: Sequence[Box]
    column: int = 0
    y: float = 0.0
    head: str = ""
    due: bool = False
    headed: bool = False
    pages: list[list[Item]] = field(default_factory=lambda: [[]])
    fitted: bool = True
    ink: str = ""
    trial: bool = False
    """Whether only the height is wanted: nothing is lettered."""
    heights: Heights = field(default_factory=dict)
    whole: bool = False
    """Whether what had better stay together does, whatever room that takes."""
    again: Entry | None = None
    """What stands under a heading each time it is set again: the head of a table."""
    closer_mm: float = 0.0
    """How much less air is under each entry than it asks for."""

    def __post_init__(self) -> None:
        """Begin with a further sheet where the first has no column."""
        if not self.first and len(self.pages) == 1:
            self.pages.append([])

    @property
    def boxes(self) -> Sequence[Box]:
        """The columns of the sheet that is being filled."""
        return self.first if len(self.pages) == 1 else self.further

    @property
    def width(self) -> float:
        """The width in mm of the column that is being filled."""
        return self.boxes[self.column].width

    @property
    def room(self) -> float:
        """The height in mm that is left in the column, less that of a heading that is due."""
        return self.boxes[self.column].height - self.y - (self._head_mm if self.due else 0.0)

    @property
    def _head_mm(self) -> float:
        """What the heading takes that is due, with the head of its table where it is set again."""
        again = self.again if self.headed else None
        under = self._high(again, self.width) if again is not None else 0.0
        return heading_mm(self._heading, self.width) + under

    @property
    def _heading(self) -> str:
        """The words of the heading, as they go on or for the first time."""
        return f"{self.head}, more" if self.headed else self.head

    @property
    def whole_mm(self) -> float:
        """The height in mm that every column of a further sheet has."""
        return min(box.height for box in self.further) - HEAD_MM

    def begin(self, head: str, again: Entry | None = None) -> None:
        """Let a heading stand over what comes next, where it has words."""
        self.head, self.due, self.headed, self.again = head, bool(head), False, again

    def take(self, high: float) -> Box | None:
        """Return a box of this height in the column, under its heading; None where it is full."""
        if high > self.room:
            return None
        box = self.boxes[self.column]
        if self.due:
            for i, words in enumerate(heading_lines(self._heading, box.width)):
                foot = box.y + self.y + SMALL_MM + i * HEAD_LINE_MM
                self.pages[-1].append(Text((box.x, foot), words, "head", "start"))
            if self.headed and self.again is not None and not self.trial:
                under = box.y + self.y + heading_mm(self._heading, box.width)
                self.pages[-1] += self.again.at(box.x, under, box.width)
            self.y += self._head_mm
            self.due, self.headed = False, True
        taken = Box(box.x, box.y + self.y, box.width, high)
        self.y += high
        return taken

    def go_on(self) -> None:
        """Begin the next column, on a further sheet where this was the last."""
        before = self.boxes[self.column]
        self.column, self.y = self.column + 1, 0.0
        if self.column >= len(self.boxes):
            self.column = 0
            self.pages.append([])
        # under a figure the words go on far from where they ended, as they do on a further sheet
        far = len(self.pages) > 1 or self.boxes[self.column].y > before.y
        self.due = self.due or (bool(self.head) and far)

    def copy(self) -> Flow:
        """Return a flow that goes on from here, for a trial."""
        pages = [list(page) for page in self.pages]
        return Flow(
            self.first, self.further, self.column, self.y, self.head, self.due, self.headed, pages,
            whole=self.whole, again=self.again, closer_mm=self.closer_mm,
        )  # fmt: skip

    def keep(self, block: Block, whole_mm: float) -> None:
        """Go on to the next column where a block is to stay whole and finds no room in this one.

        Blocks higher than `whole_mm` are parted, though not so that one line of them stands alone.
        """
        width, box = self.width, self.boxes[self.column]
        following = [*self.boxes[self.column + 1 :], *self.further][0]
        head = heading_mm(block.title, width) if block.title else 0.0
        whole = head + sum(self._high(entry, width) for entry in block.entries) - _AFTER_MM
        few = head + sum(self._high(entry, width) for entry in block.entries[:_FEWEST_ENTRIES])
        wanted = whole - head <= whole_mm
        # the words of a figure stand on its own sheet as far as they find room there
        own = len(self.pages) == 1 and self.column + 1 == len(self.first)
        needed = whole if wanted and whole <= following.height and not own else few - _AFTER_MM
        goes_on = bool(self.y) and self.y + needed > box.height
        if goes_on:
            self.go_on()
        if wanted and (goes_on or not own):
            self.fitted = self.fitted and whole - head <= self.whole_mm

    def put(self, entry: Entry) -> None:
        """Set an entry, whole unless it is higher than any column that comes."""
        if isinstance(entry, Unparted) and not self.whole:
            for each in entry.loose:
                self.put(each)
            return
        passed = 0
        while True:
            width, room = self.width, self.room
            high = self._high(entry, width)
            if high - _AFTER_MM <= room:
                box = self.take(min(high, room))
                assert box is not None
                self._show(entry, box)
                return
            if high > self.whole_mm:
                parts = entry.parted(width, room)
                if parts is not None:
                    self.put(parts[0])
                    self.go_on()
                    entry = parts[1]
                    continue
            passed += 1
            if passed > len(self.first) + len(self.further) + 1:
                # higher than every column: it is set all the same, and the caller sees it
                self.fitted = False
                whole = self.boxes[self.column]
                self._show(entry, Box(whole.x, whole.y + self.y, whole.width, high))
                self.y += high
                return
            self.go_on()

    def _high(self, entry: Entry, width: float) -> float:
        key = id(entry), width
        if key not in self.heights:
            self.heights[key] = entry, entry.high_mm(width)
        return self.heights[key][1] - self.closer_mm

    def _show(self, entry: Entry, box: Box) -> None:
        if self.trial:
            return
        items = entry.at(box.x, box.y, box.width)
        self.pages[-1] += [Group(items, self.ink)] if self.ink else items

    def letter(self, paragraphs: Sequence[str]) -> None:
        """Letter paragraphs one by one, whole but where one is higher than a column."""
        for words in paragraphs:
            rest = words
            while rest:
                lines = wrap(rest, SMALL_MM, self.width)
                if len(lines) * LINE_MM > self.room:
                    fitting = int(self.room // LINE_MM)
                    if len(lines) * LINE_MM <= self.whole_mm or fitting < _FEWEST_LINES:
                        self.go_on()
                        continue
                    lines, rest = lines[:fitting], " ".join(lines[fitting:])
                else:
                    rest = ""
                box = self.take(len(lines) * LINE_MM)
                assert box is not None
                self.add(lines, box.x, box.y)
            self.y += _AFTER_MM

    def add(self, lines: Sequence[str], x: float, y: float) -> None:
        """Letter lines from a point down."""
        self.pages[-1] += [
            Text((x, y + SMALL_MM + n * LINE_MM), line, "small", "start")
            for n, line in enumerate(lines)
        ]


Mark: TypeAlias = Callable[[Point], tuple[Item, ...]]
"""Gives what stands at the left of an entry whose top left corner is at a point."""


class Entry(Protocol):
    """One thing of a block, kept whole: its height in a column, and its items at a point."""

    def high_mm(self, width: float) -> float:
        """Return the height it takes in a column of a width, the air under it included."""

    def at(self, x: float, y: float, width: float) -> tuple[Item, ...]:
        """Return it set from a point down."""

    def parted(self, width: float, room: float) -> tuple[Entry, Entry] | None:
        """Return what of it fits a height and the rest, where it can be parted."""


@dataclass(frozen=True, slots=True)
class Words:
    """A paragraph; `indent_mm` is kept free at its left for a mark, or for a hanging number."""

    words: str
    ink: str = "small"
    mark: Mark | None = None
    indent_mm: float = 0.0
    after_mm: float = _AFTER_MM
    least_mm: float = 0.0

    def lines(self, width: float) -> tuple[str, ...]:
        """Return its lines in a column of a width."""
        return wrap(self.words, size_of(self.ink), width - self.indent_mm, bold=is_bold(self.ink))

    @property
    def step_mm(self) -> float:
        """From one line to the next."""
        return size_of(self.ink) * LINE_MM / SMALL_MM

    def high_mm(self, width: float) -> float:
        """Return the height of its lines and the air under them."""
        return max(len(self.lines(width)) * self.step_mm, self.least_mm) + self.after_mm

    def at(self, x: float, y: float, width: float) -> tuple[Item, ...]:
        """Letter it from a point down."""
        items = list(self.mark((x, y))) if self.mark is not None else []
        foot, left = y + size_of(self.ink) * 0.86, x + self.indent_mm
        items += [
            Text((left, foot + i * self.step_mm), line, self.ink, "start")
            for i, line in enumerate(self.lines(width))
        ]
        return tuple(items)

    def parted(self, width: float, room: float) -> tuple[Entry, Entry] | None:
        """Part it between two of its lines."""
        lines, fitting = self.lines(width), int(room // self.step_mm)
        if fitting < _FEWEST_LINES or fitting >= len(lines):
            return None
        some, rest = " ".join(lines[:fitting]), " ".join(lines[fitting:])
        return (
            Words(some, self.ink, self.mark, self.indent_mm),
            Words(rest, self.ink, None, self.indent_mm, self.after_mm),
        )


@dataclass(frozen=True, slots=True)
class Drawn:
    """A small figure of a fixed height, drawn from its top left corner in a width."""

    high: float
    draw: Callable[[float, float, float], tuple[Item, ...]]

    def high_mm(self, width: float) -> float:
        """Return its height."""
        return self.high

    def at(self, x: float, y: float, width: float) -> tuple[Item, ...]:
        """Return it at a point."""
        return self.draw(x, y, width)

    def parted(self, width: float, room: float) -> tuple[Entry, Entry] | None:
        """Return nothing: a figure stays whole."""
        return None


@dataclass(frozen=True, slots=True)
class Stacked:
    """Entries that stay together, such as a name and the first row under it."""

    entries: tuple[Entry, ...]

    def high_mm(self, width: float) -> float:
        """Return the height of them all."""
        return sum(entry.high_mm(width) for entry in self.entries)

    def at(self, x: float, y: float, width: float) -> tuple[Item, ...]:
        """Return them one under the other."""
        items: list[Item] = []
        for entry in self.entries:
            items += entry.at(x, y, width)
            y += entry.high_mm(width)
        return tuple(items)

    def parted(self, width: float, room: float) -> tuple[Entry, Entry] | None:
        """Part them where they are higher than a column: between two, or inside of one."""
        for i, entry in enumerate(self.entries):
            high = entry.high_mm(width)
            if high <= room:
                room -= high
                continue
            before, after = self.entries[:i], self.entries[i:]
            if (parts := entry.parted(width, room)) is not None:
                before, after = (*before, parts[0]), (parts[1], *after[1:])
            return (Stacked(before), Stacked(after)) if before else None
        return None


@dataclass(frozen=True, slots=True)
class Unparted(Stacked):
    """Entries that stay together where that takes no further sheet; else as `loose` has them."""

    loose: tuple[Entry, ...] = ()


@dataclass(frozen=True, slots=True)
class Block:
    """Entries under one heading; `ink` names the group that each is put into.

    `again` is set under the heading wherever that stands again, as the head of a table is.
    """

    title: str
    entries: tuple[Entry, ...]
    ink: str = ""
    again: Entry | None = None
