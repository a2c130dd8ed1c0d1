"""Which edges of what stands before a wall one sees, and which are hidden by what is nearer."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from typing import Protocol, TypeAlias

import numpy as np
from numpy.typing import NDArray

from app.takeoff.small_points import PointOnWall

NEARER_MM = 1.0
"""What is nearer to the eye by less than this hides nothing: parts with one front meet in it."""
_TOUCH_MM = 0.01
"""Edges nearer to one another than this are one line: sums of lengths differ by less."""

Floats: TypeAlias = NDArray[np.float64]
Stroke: TypeAlias = "tuple[PointOnWall, PointOnWall]"
"""A straight line on a wall laid flat, from end to end."""


class Flat(Protocol):
    """A box as one sees it who faces the wall, mm."""

    @property
    def left(self) -> float:
        """Its left side."""

    @property
    def right(self) -> float:
        """Its right side."""

    @property
    def low(self) -> float:
        """Its lower edge."""

    @property
    def high(self) -> float:
        """Its upper edge."""


class Standing(Flat, Protocol):
    """A box of kit before the wall."""

    @property
    def off(self) -> float:
        """How far from the wall its front is."""


class Column(Flat, Protocol):
    """A column before the wall."""

    @property
    def deep(self) -> float:
        """How far from the wall its front is."""


def unhidden(boxes: Sequence[Standing], fronts: Sequence[Column] = ()) -> tuple[Stroke, ...]:
    """Return the edges of boxes before a wall that nothing nearer to the eye hides, s and z, mm.

    `fronts` are the columns before it, which hide too.
    """
    if not boxes:
        return ()
    hiders: list[Standing | Column] = [*boxes, *fronts]
    fore = [*(box.off for box in boxes), *(one.deep for one in fronts)]
    sides = np.array([(o.left, o.right, o.low, o.high) for o in hiders])
    left, right, low, high = sides.T
    own_left, own_right, own_low, own_high = sides[: len(boxes), :, None].transpose(1, 0, 2)
    off = np.array([box.off for box in boxes])[:, None]
    nearer = np.array(fore) > off + NEARER_MM
    across, tall = [(o.left, o.right) for o in hiders], [(o.low, o.high) for o in hiders]
    level = [_chosen(nearer & _within(z, low, high), across) for z in (own_low, own_high)]
    upright = [_chosen(nearer & _within(s, left, right), tall) for s in (own_left, own_right)]
    strokes: list[Stroke] = []
    for i, box in enumerate(boxes):
        for z, hiding in zip((box.low, box.high), level, strict=True):
            strokes += [((a, z), (b, z)) for a, b in _without(box.left, box.right, hiding[i])]
        for s, hiding in zip((box.left, box.right), upright, strict=True):
            strokes += [((s, a), (s, b)) for a, b in _without(box.low, box.high, hiding[i])]
    return tuple(strokes)


def _chosen(
    which: NDArray[np.bool_], spans: Sequence[tuple[float, float]]
) -> list[list[tuple[float, float]]]:
    """Return for each row of `which` those of the spans that it says."""
    rows: list[list[tuple[float, float]]] = [[] for _ in which]
    for i, j in np.argwhere(which).tolist():
        rows[i].append(spans[j])
    return rows


def _within(mm: Floats, low: Floats, high: Floats) -> NDArray[np.bool_]:
    """Return which lines lie behind what reaches from `low` to `high`, not along its edge."""
    return (low + _TOUCH_MM < mm) & (mm < high - _TOUCH_MM)


def _without(
    start: float, end: float, hiding: Iterable[tuple[float, float]]
) -> Iterator[tuple[float, float]]:
    """Yield what of a stretch lies in none of others."""
    for low, high in sorted(hiding):
        if low > start:
            yield start, min(low, end)
        start = max(start, high)
        if start >= end:
            return
    if start < end:
        yield start, end
