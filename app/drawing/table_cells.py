"""Rows of tables among the words of a sheet."""

from __future__ import annotations

from dataclasses import dataclass

from app.drawing.flow import LINE_MM, Entry, Mark
from app.drawing.ink import SMALL_MM, is_bold, size_of
from app.drawing.lettering import wrap
from app.drawing.primitives import Item, Text


@dataclass(frozen=True, slots=True)
class Cells:
    """One row of a table: words in columns, each a share of the width, from the left or right.

    What is too long for its column runs on under itself.
    """

    words: tuple[str, ...]
    shares: tuple[float, ...]
    right: tuple[bool, ...] = ()
    ink: str = "small"
    mark: Mark | None = None
    indent_mm: float = 0.0
    after_mm: float = 0.5

    def _columns(self, width: float) -> list[tuple[float, float]]:
        free = width - self.indent_mm
        at, columns, whole = self.indent_mm, [], sum(self.shares)
        for share in self.shares:
            wide = free * share / whole
            columns.append((at, wide))
            at += wide
        return columns

    def _lines(self, width: float) -> list[tuple[str, ...]]:
        gap = 1.5
        return [
            wrap(words, size_of(self.ink), wide - gap, bold=is_bold(self.ink))
            for words, (_, wide) in zip(self.words, self._columns(width), strict=True)
        ]

    def high_mm(self, width: float) -> float:
        """Return the height of its highest cell."""
        return max(1, *(len(lines) for lines in self._lines(width))) * LINE_MM + self.after_mm

    def at(self, x: float, y: float, width: float) -> tuple[Item, ...]:
        """Letter the row from a point down."""
        items = list(self.mark((x, y))) if self.mark is not None else []
        right = self.right or (False,) * len(self.words)
        foot = y + SMALL_MM * 0.86
        for lines, (at, wide), end in zip(
            self._lines(width), self._columns(width), right, strict=True
        ):
            for i, line in enumerate(lines):
                place = (x + at + (wide if end else 0.0), foot + i * LINE_MM)
                items.append(Text(place, line, self.ink, "end" if end else "start"))
        return tuple(items)

    def parted(self, width: float, room: float) -> tuple[Entry, Entry] | None:
        """Return nothing: a row stays whole."""
        return None
