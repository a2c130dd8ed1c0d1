"""A place for every piece in one box, not only by cuts from edge to edge: a search of our own.

The lowest free spot furthest left is filled with a piece or left empty by one unit, so no packing
is left out. A branch is given up when more area is lost than the box can spare: what no remaining
piece can reach counts as lost at once. Sizes are whole units (their greatest divisor is one step).
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import reduce

from app.takeoff.effort import PLACES_AT_MOST

_SHARES = (16, 2, 1)
"""One part in so many of all steps goes to each try: a quick look from both sides first, for what
is found at all is mostly found soon."""


@dataclass(frozen=True, slots=True)
class Place:
    """Where piece `number` lies: its corner and its size as it lies."""

    number: int
    x: int
    y: int
    width: int
    height: int


@dataclass(frozen=True, slots=True)
class BoxAnswer:
    """The places, or None; `certain` tells that None means there is no packing."""

    places: tuple[Place, ...] | None
    certain: bool
    steps: int


def place_all(
    pieces: Sequence[tuple[int, int]],
    width: int,
    height: int,
    turns: bool = True,
    limit: int | None = None,
) -> BoxAnswer:
    """Find a place for all pieces in a box. Gives up after `limit` steps (else the register's).

    Worked: the 21 squares of Duijvestijn (1978) fill a box of 112. Raises ValueError for sizes
    that are not positive.
    """
    if min(width, height, *(side for piece in pieces for side in piece)) <= 0:
        raise ValueError("a box and its pieces are larger than nothing")
    unit = reduce(math.gcd, (side for piece in pieces for side in piece), 0) or 1
    inner = (width // unit, height // unit)
    scaled = [(w // unit, h // unit) for w, h in pieces]
    spare = inner[0] * inner[1] - sum(w * h for w, h in scaled)
    if spare < 0:
        return BoxAnswer(None, True, 0)
    left = PLACES_AT_MOST if limit is None else limit
    whole = left
    # Seen from the other side of the diagonal some sets come out at once, so both are begun.
    for share in _SHARES:
        for flipped in (False, True):
            given = min(left, whole // share)
            search = _Search(_seen(scaled, flipped), *_seen([inner], flipped)[0], turns, given)
            found = search.run(spare)
            left -= given - max(search.left, 0)
            if found:
                places = [
                    Place(
                        n, *(unit * side for side in (*_swap(x, y, flipped), *_swap(w, h, flipped)))
                    )
                    for n, x, y, w, h in sorted(search.placed)
                ]
                return BoxAnswer(tuple(places), True, whole - left)
            if search.left >= 0:
                return BoxAnswer(None, True, whole - left)
    return BoxAnswer(None, False, whole - left)


def _swap(a: int, b: int, flipped: bool) -> tuple[int, int]:
    return (b, a) if flipped else (a, b)


def _seen(sizes: Sequence[tuple[int, int]], flipped: bool) -> list[tuple[int, int]]:
    return [_swap(w, h, flipped) for w, h in sizes]


class _Search:
    """The tops of the columns as runs [x, width, top], left to right, no two equal in height."""

    def __init__(
        self,
        pieces: Sequence[tuple[int, int]],
        width: int,
        height: int,
        turns: bool,
        steps: int,
    ) -> None:
        self._width, self._height, self.left = width, height, steps
        kinds: dict[tuple[int, int], list[int]] = {}
        for number, (w, h) in enumerate(pieces):
            kinds.setdefault((max(w, h), min(w, h)) if turns else (w, h), []).append(number)
        order = sorted(kinds, key=lambda size: (-size[0] * size[1], -max(size)))
        self._numbers = [kinds[size] for size in order]
        self._ways = [[(w, h), (h, w)] if turns and w != h else [(w, h)] for w, h in order]
        self._count = [len(numbers) for numbers in self._numbers]
        self.placed: list[tuple[int, int, int, int, int]] = []

    def run(self, spare: int) -> bool:
        """Search; the places are then in `placed`."""
        return self._go([(0, self._width, 0)], spare)

    def _go(self, tops: list[tuple[int, int, int]], spare: int) -> bool:
        if not any(self._count):
            return True
        self.left -= 1
        if self.left < 0:
            return False
        at = min(range(len(tops)), key=lambda i: tops[i][2])
        x, wide, low = tops[at]
        walls = [tops[i][2] for i in (at - 1, at + 1) if 0 <= i < len(tops)]
        rim = min([*walls, self._height]) if walls else self._height
        fits = self._fits(wide, self._height - low)
        if not fits:
            lost = wide * (rim - low)
            if lost > spare or (not walls and rim == self._height):
                return False
            return self._go(_raised(tops, at, wide, rim), spare - lost)
        if self._starved(wide, low, spare):
            return False
        for kind, w, h in fits:
            self._count[kind] -= 1
            number = self._numbers[kind][self._count[kind]]
            self.placed.append((number, x, low, w, h))
            if self._go(_raised(tops, at, w, low + h), spare):
                return True
            self.placed.pop()
            self._count[kind] += 1
            if self.left < 0:
                return False
        return spare > 0 and self._go(_raised(tops, at, 1, low + 1), spare - 1)

    def _fits(self, wide: int, high: int) -> list[tuple[int, int, int]]:
        """Return what may lie in the corner: kind and size, a piece that closes the gap first."""
        found = [
            (kind, w, h)
            for kind, ways in enumerate(self._ways)
            if self._count[kind]
            for w, h in ways
            if w <= wide and h <= high
        ]
        return sorted(found, key=lambda way: (way[1] != wide, way[0]))

    def _starved(self, wide: int, low: int, spare: int) -> bool:
        """Return whether the bottom of this gap cannot be covered but for what may be lost."""
        if spare >= wide:
            return False
        sums = 1
        for kind, ways in enumerate(self._ways):
            for _ in range(min(self._count[kind], wide)):
                more = sums
                for w, h in ways:
                    if h <= self._height - low:
                        more |= sums << w
                sums = more
        reach = sums & ((1 << (wide + 1)) - 1)
        return reach.bit_length() - 1 < wide - spare


def _raised(
    tops: list[tuple[int, int, int]], at: int, wide: int, top: int
) -> list[tuple[int, int, int]]:
    """Return the tops after the left `wide` of one run has been raised."""
    x, whole, low = tops[at]
    fresh = [(x, wide, top)]
    if wide < whole:
        fresh.append((x + wide, whole - wide, low))
    result = [*tops[:at]]
    for run in (*fresh, *tops[at + 1 :]):
        if result and result[-1][2] == run[2]:
            before = result.pop()
            result.append((before[0], before[1] + run[1], run[2]))
        else:
            result.append(run)
    return result
