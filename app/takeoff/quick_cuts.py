"""Rectangles from stock pieces at once: a good plan in a millisecond, where a proof may follow.

Each stock piece is filled from a corner: the first cut that fits, then the two rectangles beside
and below it (Jylanki, A thousand ways to pack the bin, 2010; from memory). Several orders and
splits are tried.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from operator import mul

from app.takeoff.guillotine import NO_EDGE, Box, Form

_ORDERS: tuple[Callable[[Form], int], ...] = (
    lambda f: f.width * f.height,
    lambda f: max(f.width, f.height),
    lambda f: min(f.width, f.height),
)
_SPLITS = ("wide", "deep", "larger")


def quick_boxes(
    kinds: Sequence[tuple[Form, ...]],
    wanted: Sequence[int],
    size: tuple[int, int],
    kerf: int,
    enough: int = 0,
) -> list[Box] | None:
    """Return a box for each stock piece; None where a cut needs factory edges or does not fit.

    The first plan of `enough` stock pieces or fewer will do. Sizes are whole steps.
    """
    width, height = size
    fitting: list[tuple[Form, ...]] = []
    for ways in kinds:
        fit = tuple(f for f in ways if f.width <= width and f.height <= height)
        if not fit or any(f.edges != NO_EDGE for f in ways):
            return None
        fitting.append(fit)
    best: list[Box] | None = None
    turns = [
        tuple(sorted(range(len(kinds)), key=lambda kind: (-order(fitting[kind][0]), kind)))
        for order in _ORDERS
    ]
    # of few kinds several orders are one
    for turn in dict.fromkeys(turns):
        for split in _SPLITS:
            less_than = None if best is None else len(best)
            boxes = _Filling(fitting, turn, split, kerf).plan(wanted, width, height, less_than)
            if boxes is not None:
                best = boxes
            if best is not None and len(best) <= enough:
                return best
    return best


class _Filling:
    """One order and one way to split what is left beside a cut."""

    def __init__(
        self, kinds: Sequence[tuple[Form, ...]], turn: Sequence[int], split: str, kerf: int
    ) -> None:
        self._kinds, self._turn, self._split, self._kerf = kinds, turn, split, kerf
        self._left: list[int] = []
        self._to_cut = 0
        # what is thinner takes no cut; nothing is cut out of nothing
        sides = (side for ways in kinds for form in ways for side in (form.width, form.height))
        self._thinnest = max(min(sides, default=1), 1)

    def plan(
        self, wanted: Sequence[int], width: int, height: int, less_than: int | None
    ) -> list[Box] | None:
        """Return a box for each stock piece; None where they are not fewer than `less_than`."""
        self._left = list(wanted)
        areas = [ways[0].width * ways[0].height for ways in self._kinds]
        self._to_cut = sum(map(mul, areas, wanted))
        boxes: list[Box] = []
        while any(self._left):
            # what is left to cut takes its area at the least
            at_least = len(boxes) - (-self._to_cut // (width * height))
            if less_than is not None and at_least >= less_than:
                return None
            box = self._fill(width, height)
            assert box is not None, "every kind fits a whole stock piece"
            boxes.append(box)
        return boxes

    def _fill(self, width: int, height: int) -> Box | None:
        if width < self._thinnest or height < self._thinnest:
            return None
        form, kind = self._next(width, height)
        if form is None:
            return None
        self._left[kind] -= 1
        self._to_cut -= form.width * form.height
        one = Box(form.width, form.height, form.edges, kind, form)
        right, below = width - form.width - self._kerf, height - form.height - self._kerf
        wide = self._split == "wide" or (
            self._split == "larger" and below * width >= right * height
        )
        if wide:
            row = _beside(one, self._fill(right, form.height), self._kerf)
            return _above(row, self._fill(width, below), self._kerf)
        column = _above(one, self._fill(form.width, below), self._kerf)
        return _beside(column, self._fill(right, height), self._kerf)

    def _next(self, width: int, height: int) -> tuple[Form | None, int]:
        """Return what is cut next: what fills a side to the last, else the first that fits."""
        first: tuple[Form | None, int] = (None, -1)
        for kind in self._turn:
            if not self._left[kind]:
                continue
            for form in self._kinds[kind]:
                if form.width <= width and form.height <= height:
                    if form.width == width or form.height == height:
                        return form, kind
                    if first[0] is None:
                        first = (form, kind)
        return first


def _beside(one: Box, other: Box | None, kerf: int) -> Box:
    if other is None:
        return one
    wide, high = one.width + kerf + other.width, max(one.height, other.height)
    return Box(wide, high, NO_EDGE, beside=True, first=one, second=other)


def _above(one: Box, other: Box | None, kerf: int) -> Box:
    if other is None:
        return one
    wide, high = max(one.width, other.width), one.height + kerf + other.height
    return Box(wide, high, NO_EDGE, first=one, second=other)
