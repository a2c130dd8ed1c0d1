"""Paragraphs poured into columns of paper, whole: what finds no room is given back, never cut."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace

from app.drawing.ink import size_of
from app.drawing.lettering import wrap
from app.drawing.paper import Box
from app.drawing.primitives import Item, Point, Text

HEAD_MM = 6.0
_LEADING = 1.28
_LINE_MM = size_of("small") * _LEADING
_BULLET, _HANG_MM = "–", 2.8
_FEWEST_LINES = 3

Mark = Callable[[Point], tuple[Item, ...]]
"""Gives what stands at the left of a paragraph whose top left corner is at a point."""


@dataclass(frozen=True, slots=True)
class Paragraph:
    """Words to letter: the first of `parts` runs on, the others are listed under it.

    `after_mm` is the air below; `mark` stands in the `indent_mm` at the left.
    """

    parts: tuple[str, ...]
    after_mm: float = 0.9
    mark: Mark | None = None
    indent_mm: float = 0.0
    least_mm: float = 0.0
    all_listed: bool = False
    """Whether the first part is listed too: so with the rest of one that was divided."""

    def lines(self, width_mm: float) -> tuple[tuple[int, bool, str], ...]:
        """Its lines in a column of this width: which part, whether it starts there, words."""
        lines_so_far = []
        for i, words in enumerate(self.parts):
            hang = _HANG_MM if self._listed(i) else 0.0
            lines = wrap(words, size_of("small"), width_mm - self.indent_mm - hang)
            lines_so_far += [(i, j == 0, line) for j, line in enumerate(lines)]
        return tuple(lines_so_far)

    def _listed(self, part: int) -> bool:
        return part > 0 or self.all_listed

    def high_mm(self, count: int) -> float:
        """Return the height that so many of its lines take, the air below included."""
        return max(count * _LINE_MM, self.least_mm) + self.after_mm

    def lettered(
        self, lines: Sequence[tuple[int, bool, str]], at: Point
    ) -> tuple[tuple[Item, ...], float]:
        """Letter some of its lines from a point down; give them and the height they took."""
        x, y = at
        items = list(self.mark(at)) if self.mark is not None else []
        foot = y + size_of("small") - 0.1
        for i, (part, starts, words) in enumerate(lines):
            left, line = x + self.indent_mm, foot + i * _LINE_MM
            if self._listed(part):
                if starts:
                    items.append(Text((left, line), _BULLET, "small", "start"))
                left += _HANG_MM
            items.append(Text((left, line), words, "small", "start"))
        return tuple(items), self.high_mm(len(lines))

    def rest(self, lines: Sequence[tuple[int, bool, str]]) -> Paragraph:
        """Return the paragraph that holds only these last lines of this one."""
        first = lines[0][0]
        parts = tuple(
            " ".join(words for part, _, words in lines if part == i)
            for i in range(first, len(self.parts))
        )
        return replace(self, parts=parts, all_listed=self._listed(first))


@dataclass(frozen=True, slots=True)
class Poured:
    """What found room, what did not, and in which column (-1: none) at which y it ended."""

    items: tuple[Item, ...]
    rest: tuple[Paragraph, ...]
    column: int
    y: float


def pour(
    paragraphs: Sequence[Paragraph],
    columns: Sequence[Box],
    title: str,
    *,
    whole_mm: float,
    goes_on: bool = False,
) -> Poured:
    """Letter paragraphs under a heading down one column after another, in their order.

    A paragraph stays whole unless it is higher than `whole_mm`, the most that any column here or
    to come has for it; then it is divided. `goes_on` tells that others stood on an earlier sheet.
    """
    items: list[Item] = []
    rest = list(paragraphs)
    ended, end_y = -1, 0.0
    for index, column in enumerate(columns):
        y = column.y + HEAD_MM
        made: list[Item] = []
        while rest:
            lines = rest[0].lines(column.width)
            room = column.bottom - y
            if rest[0].high_mm(len(lines)) - rest[0].after_mm <= room:
                some, high = rest.pop(0).lettered(lines, (column.x, y))
            else:
                fitting = int(room // _LINE_MM)
                if rest[0].high_mm(len(lines)) <= whole_mm or fitting < _FEWEST_LINES:
                    break
                some, high = rest[0].lettered(lines[:fitting], (column.x, y))
                rest[0] = rest[0].rest(lines[fitting:])
            made += some
            y += high
        if made:
            more = goes_on or ended >= 0
            words = f"{title}, more" if more else title
            items += [Text((column.x, column.y + 3.4), words, "head", "start"), *made]
            ended, end_y = index, y
    return Poured(tuple(items), tuple(rest), ended, end_y)
