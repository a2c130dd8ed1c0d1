"""Chains of dimensions under a drawing: ticks at their stops, each figure by itself."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from app.drawing.lettering import width_of
from app.drawing.primitives import Item, Line, Text
from app.units import Units, lengths_between

FIRST_ROW, SECOND_ROW = 1, 2
"""The rows under a chain in which figures hang that find no room in it."""
UNDER_EM = 0.2
"""What is free between the end of a witness line and a figure under the chain."""
ROW_EM, HANGING_EM = 2.3, 0.95
"""From one chain to the next, and what each row of figures that hang under it adds, in sizes of
the lettering."""


def chain(row: Sequence[float], line: float, em: float, units: Units) -> tuple[list[Item], float]:
    """Draw a chain at `line` (y down); give where the next one stands under it.

    A row is its stops from left to right, in mm.
    """
    items: list[Item] = [Line((row[0], line), (row[-1], line), "dim")]
    slant, drop, deepest = em * 0.3, 0, 0
    for s in row:
        items.append(Line((s, line - em * 0.9), (s, line + em * 0.45), "dim"))
        items.append(Line((s - slant, line + slant), (s + slant, line - slant), "tick"))
    for (a, b), words in zip(pairwise(row), lengths_between(row, units), strict=True):
        narrow = width_of(words, em) + em * 0.6 > b - a
        # figures too wide for their piece of the chain hang under it: neighbours in two rows
        drop = (SECOND_ROW if drop == FIRST_ROW else FIRST_ROW) if narrow else 0
        deepest = max(deepest, drop)
        y = line + em * (1.05 * drop + UNDER_EM) if narrow else line - em * 0.35
        items.append(Text(((a + b) / 2, y), words, "dimt"))
    return items, line + em * (ROW_EM + HANGING_EM * deepest)
