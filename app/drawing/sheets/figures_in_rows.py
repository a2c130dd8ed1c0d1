"""Rows of figures in a column of a sheet: as many side by side as its width holds unbroken."""

from __future__ import annotations

from dataclasses import dataclass

from app.drawing.flow import LINE_MM, Entry
from app.drawing.ink import SMALL_MM
from app.drawing.lettering import width_of
from app.drawing.primitives import Item, Text

_BESIDE_MM, _APART_MM = 3.0, 8.0
"""The least that is free before a figure, and between two rows that stand side by side."""
_AFTER_MM = 0.2
_AT_MOST = 2
"""Rows side by side: of more nobody sees which figure is whose."""


@dataclass(frozen=True, slots=True)
class Figures:
    """Rows of a name and figures, each as many; no figure is ever broken over two lines."""

    rows: tuple[tuple[str, ...], ...]

    def _wide_mm(self) -> list[float]:
        return [
            max(width_of(words, SMALL_MM) for words in each)
            for each in zip(*self.rows, strict=True)
        ]

    def _beside(self, width: float) -> int:
        wide = self._wide_mm()
        each = sum(wide) + _BESIDE_MM * (len(wide) - 1)
        return max(1, min(_AT_MOST, int((width + _APART_MM) // (each + _APART_MM))))

    def high_mm(self, width: float) -> float:
        """Return its height."""
        return -(-len(self.rows) // self._beside(width)) * (LINE_MM + _AFTER_MM)

    def at(self, x: float, y: float, width: float) -> tuple[Item, ...]:
        """Letter it from a point down: names on the left, figures under one another."""
        beside, (name_mm, *wide) = self._beside(width), self._wide_mm()
        room = (width - _APART_MM * (beside - 1)) / beside
        # what is left over is shared out before the figures
        free = min((room - name_mm - sum(wide)) / len(wide), _APART_MM)
        items: list[Item] = []
        for number, (name, *figures) in enumerate(self.rows):
            line, place = divmod(number, beside)
            foot = y + SMALL_MM * 0.86 + line * (LINE_MM + _AFTER_MM)
            right = x + place * (room + _APART_MM)
            items.append(Text((right, foot), name, "small", "start"))
            right += name_mm
            for words, figure_mm in zip(figures, wide, strict=True):
                right += free + figure_mm
                items.append(Text((right, foot), words, "small", "end"))
        return tuple(items)

    def parted(self, width: float, room: float) -> tuple[Entry, Entry] | None:
        """Return what of it fits into a height and the rest; None where no row does."""
        count = int(room // (LINE_MM + _AFTER_MM)) * self._beside(width)
        if not 0 < count < len(self.rows):
            return None
        return Figures(self.rows[:count]), Figures(self.rows[count:])
