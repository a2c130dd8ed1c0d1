"""Figures on pages: how large each is at a scale, which stand side by side, where on the paper."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import TypeAlias

from app.drawing.medium import Medium
from app.drawing.paper import Box
from app.drawing.primitives import Group, Item

AIR_MM = 1.5

Bounds = tuple[float, float, float, float]


@dataclass(frozen=True, slots=True)
class Figure:
    """A drawing in mm of the room: its items, and all that they reach to (x0, y0, x1, y1)."""

    items: tuple[Item, ...]
    bounds: Bounds

    def size(self, scale: int) -> tuple[float, float]:
        """Return the width and height in mm of paper that it takes at a scale."""
        x0, y0, x1, y1 = self.bounds
        return (x1 - x0) / scale + AIR_MM, (y1 - y0) / scale + AIR_MM


FigureAt: TypeAlias = Callable[[Medium, int], Figure]
"""Draws a figure for a scale: its lettering has one size on paper whatever the scale."""

Rows: TypeAlias = list[list[int]]
"""Numbers of figures that stand side by side, row under row of one page."""


def largest(figures: Sequence[Figure], scale: int) -> tuple[float, float]:
    """Return the greatest width and height in mm of paper."""
    every = [figure.size(scale) for figure in figures]
    return max(w for w, _ in every), max(h for _, h in every)


def in_rows(figures: Sequence[Figure], boxes: tuple[Box, Box], scale: int) -> list[Rows]:
    """Put figures in rows from the top of a page down, on further pages where it is full.

    `boxes` are their room on the first page and on each further one.
    """
    pages: list[Rows] = [[[]]]
    for i, figure in enumerate(figures):
        wide, high = figure.size(scale)
        row, box = pages[-1][-1], boxes[min(len(pages) - 1, 1)]
        across = sum(figures[j].size(scale)[0] for j in row)
        over = sum(high_of(figures, each, scale) for each in pages[-1][:-1] if each)
        fits = over + high_of(figures, [*row, i], scale) <= box.height
        if row and across + wide <= box.width and fits:
            row.append(i)
            continue
        above = sum(high_of(figures, each, scale) for each in pages[-1] if each)
        if above and (above + high > box.height or wide > box.width):
            pages.append([[]])
        if pages[-1][-1]:
            pages[-1].append([])
        pages[-1][-1].append(i)
    return [rows for rows in ([row for row in page if row] for page in pages) if rows]


def page_high(figures: Sequence[Figure], rows: Rows, scale: int) -> float:
    """Return the height in mm of paper that the rows of a page take."""
    return sum(high_of(figures, row, scale) for row in rows)


def placed(figures: Sequence[Figure], rows: Rows, box: Box, scale: int) -> list[Item]:
    """Place the rows of a page in their room on it.

    What is left is shared out between them, so that none sticks to an edge.
    """
    gap = (box.height - page_high(figures, rows, scale)) / (len(rows) + 1)
    y = box.y + gap
    items: list[Item] = []
    for row in rows:
        high, up = high_of(figures, row, scale), max(-figures[j].bounds[1] for j in row) / scale
        free = box.width - sum(figures[j].size(scale)[0] for j in row)
        x = box.x + free / (len(row) + 1)
        for j in row:
            wide, x0 = figures[j].size(scale)[0], figures[j].bounds[0] / scale
            at = (round(x + AIR_MM / 2 - x0, 3), round(y + AIR_MM / 2 + up, 3))
            items.append(
                Group(figures[j].items, "figure", (("scale", str(scale)),), at, scale=1 / scale)
            )
            x += wide + free / (len(row) + 1)
        y += high + gap
    return items


def high_of(figures: Sequence[Figure], row: Sequence[int], scale: int) -> float:
    """Return the height of figures side by side, all on one level: sections on one floor."""
    if not row:
        return 0.0
    up, down = (max(sign * figures[j].bounds[k] for j in row) for sign, k in ((-1, 1), (1, 3)))
    return (up + down) / scale + AIR_MM
