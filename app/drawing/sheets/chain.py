"""Chains of dimensions under a drawing: ticks at their stops, each figure by itself."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from app.drawing.lettering import width_of
from app.drawing.primitives import Item, Line, Text
from app.drawing.sheets.in_steps import runs_alike
from app.units import Units, format_short

FIRST_ROW, SECOND_ROW = 1, 2
"""The rows under a chain in which figures hang that find no room in it."""
UNDER_EM = 0.2
"""What is free between the end of a witness line and a figure under the chain."""
ROW_EM, HANGING_EM = 2.3, 0.95
"""From one chain to the next, and what each row of figures that hang under it adds, in sizes of
the lettering."""


def chain(
    row: Sequence[float], line: float, em: float, units: Units, holes: Collection[float] = ()
) -> tuple[list[Item], float]:
    """Draw a chain at `line` (y down); give where the next one stands under it.

    A row is its stops from left to right, in mm. Spaces alike between `holes` among these are told
    once, with their sum.
    """
    items: list[Item] = [Line((row[0], line), (row[-1], line), "dim")]
    slant, drop, deepest = em * 0.3, 0, 0
    for s in row:
        items.append(Line((s, line - em * 0.9), (s, line + em * 0.45), "dim"))
        items.append(Line((s - slant, line + slant), (s + slant, line - slant), "tick"))
    for first, last in runs_alike(row, holes):
        a, b, count = row[first], row[last], last - first
        words = format_short(b - a, units)
        if count > 1:
            words = f"{count} × {format_short((b - a) / count, units)} (= {words})"
        narrow = width_of(words, em) + em * 0.6 > b - a
        # figures too wide for their piece of the chain hang under it: neighbours in two rows
        drop = (SECOND_ROW if drop == FIRST_ROW else FIRST_ROW) if narrow else 0
        deepest = max(deepest, drop)
        y = line + em * (1.05 * drop + UNDER_EM) if narrow else line - em * 0.35
        items.append(Text(((a + b) / 2, y), words, "dimt"))
    return items, line + em * (ROW_EM + HANGING_EM * deepest)
