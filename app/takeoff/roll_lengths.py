"""Covering sold by the running metre: which lengths are cut off the roll, with the least in all.

A length is as long as its longest piece, to the whole step that a shop measures off. What is
narrower than the roll leaves lanes beside it, in which shorter pieces lie one after the other: all
of it comes apart by cuts from edge to edge. The bound is that of pieces of which no two lie beside
one another, and of the area of the others (Martello, Monaci and Vigo, An exact approach to the
strip-packing problem, INFORMS Journal on Computing 15, 2003; the classes of widths from memory).
"""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from app.scene.tolerance import TOLERANCE_MM
from app.takeoff.cutting_2d import CutRect, CutSheet
from app.takeoff.separating import knives

Piece = tuple[float, float]
"""Along the roll and across it, in mm."""


@dataclass(frozen=True, slots=True)
class _Put:
    """A piece in a length: its number, and where it begins along the roll and across it."""

    number: int
    along: float
    across: float


@dataclass(frozen=True, slots=True)
class RollPlan:
    """The lengths off the roll in steps, what lies in each, and how few steps no plan beats."""

    lengths: tuple[tuple[int, tuple[_Put, ...]], ...]
    least: int

    @property
    def steps(self) -> int:
        """All lengths together."""
        return sum(steps for steps, _ in self.lengths)


def off_the_roll(
    pieces: Sequence[Piece], wide_mm: float, step_mm: float, kerf_mm: float = 0
) -> RollPlan:
    """Plan the lengths for pieces off a roll of a width, each measured to whole steps.

    Worked: 4,084 x 1,250, 4,084 x 484 and two of 1,800 x 700 from 1,250: two lengths of 4.1 m,
    the short ones in the lane beside the narrow one.
    """
    ways = (_lengths(pieces, wide_mm, step_mm, kerf_mm, order) for order in _ORDERS)
    best = min(ways, key=lambda lengths: (sum(steps for steps, _ in lengths), len(lengths)))
    return RollPlan(tuple(best), least_steps(pieces, wide_mm, step_mm))


_ORDERS: tuple[Callable[[Piece], tuple[float, float]], ...] = (
    lambda piece: (-piece[0], -piece[1]),
    lambda piece: (-piece[1], -piece[0]),
)
"""What goes into the lanes first: the longest, or the widest."""


def _lengths(
    pieces: Sequence[Piece],
    wide_mm: float,
    step_mm: float,
    kerf_mm: float,
    order: Callable[[Piece], tuple[float, float]],
) -> list[tuple[int, tuple[_Put, ...]]]:
    waiting = sorted(range(len(pieces)), key=lambda i: (*order(pieces[i]), i))
    lengths: list[tuple[int, tuple[_Put, ...]]] = []
    while waiting:
        # the longest piece says how long the length is
        first = max(waiting, key=lambda i: (pieces[i][0], pieces[i][1], -i))
        waiting.remove(first)
        long, across = pieces[first]
        put = [_Put(first, 0.0, 0.0)]
        across += kerf_mm
        while across < wide_mm:
            lane = _lane(pieces, waiting, long, wide_mm - across, across, kerf_mm)
            if not lane:
                break
            put += lane
            across += max(pieces[one.number][1] for one in lane) + kerf_mm
        lengths.append((_steps(long, step_mm), tuple(put)))
    return lengths


def _lane(
    pieces: Sequence[Piece],
    waiting: list[int],
    long_mm: float,
    wide_mm: float,
    across_mm: float,
    kerf_mm: float,
) -> list[_Put]:
    """Take from what waits, in its order, what lies one after the other in a lane."""
    lane: list[_Put] = []
    at, wide = 0.0, wide_mm
    for i in list(waiting):
        along, across = pieces[i]
        if across <= wide + _FINE_MM and at + along <= long_mm + _FINE_MM:
            lane.append(_Put(i, at, across_mm))
            waiting.remove(i)
            at += along + kerf_mm
            # the first of a lane says how wide it is
            wide = across if len(lane) == 1 else wide
    return lane


_FINE_MM = TOLERANCE_MM / 4
"""Finer than the step of the cutting."""


def _steps(mm: float, step_mm: float) -> int:
    # a length that is a millimetre short leaves a millimetre bare
    return math.ceil(mm / step_mm - _FINE_MM / step_mm)


def least_steps(pieces: Sequence[Piece], wide_mm: float, step_mm: float) -> int:
    """Return how few steps of roll no plan beats.

    For every width: what is so wide that nothing of that width or more lies beside it takes its own
    length, the rest of that width or more at least its area. Only the sum is in whole steps: pieces
    that lie alone may still lie one after the other in one length.
    """
    best = 0.0
    for least in {0.0, wide_mm / 2, *(across for _, across in pieces if across <= wide_mm / 2)}:
        alone = [p for p in pieces if p[1] > wide_mm - least + _FINE_MM]
        rest = [p for p in pieces if least <= p[1] <= wide_mm - least + _FINE_MM]
        area = sum(along * across for along, across in rest)
        best = max(best, sum(along for along, _ in alone) + area / wide_mm)
    return _steps(best, step_mm)


def cut_off(
    plan: RollPlan,
    pieces: Sequence[Piece],
    wide_mm: float,
    step_mm: float,
    upright: bool,
    kerf_mm: float,
) -> tuple[tuple[CutSheet, tuple[float, float]], ...]:
    """Return every length with its cuts and its size, lying along the rows or `upright` to them."""
    made = []
    for steps, put in plan.lengths:
        long = steps * step_mm
        size = (wide_mm, long) if upright else (long, wide_mm)
        rects = tuple(_rect(one, pieces[one.number], upright) for one in put)
        boxes = [rect.bounds for rect in rects]
        knife = tuple(knives((0.0, 0.0, *size), boxes, kerf_mm))
        made.append((CutSheet(rects, knife), size))
    return tuple(made)


def _rect(one: _Put, piece: Piece, upright: bool) -> CutRect:
    along, across = piece
    if upright:
        return CutRect(one.number, one.across, one.along, across, along, 0)
    return CutRect(one.number, one.along, one.across, along, across, 0)
