"""Freeing one piece after the other from a stock piece by cuts from edge to edge.

`cutting_2d` says where each piece lies in its stock piece; here is said which cuts free one of
them, what is left of the stock piece then, and that every piece can be freed so. Any cut from edge
to edge that runs through no piece is a good one: both parts can still be cut up, for the cuts that
would have done it still run from edge to edge in them.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from app.takeoff.cutting_2d import Bounds, Segment
from app.takeoff.effort import STEPS_PER_MM

_TINY_MM = 0.5 / STEPS_PER_MM
"""Half a step of the cutting: what lies nearer is the same place."""

SCRAP_MM = 5.0
"""An offcut narrower than this is dust and thread, and nobody keeps it."""


@dataclass(frozen=True, slots=True)
class Cut:
    """One cut from edge to edge through `blank`: what is kept of it, and what falls off.

    `upright` cuts run down. `fell` is None where nothing worth keeping falls off.
    """

    blank: Bounds
    upright: bool
    kept: Bounds
    fell: Bounds | None

    @property
    def before(self) -> bool:
        """Whether the part on the left, or on top, is kept."""
        low, high = _ends(self.upright)
        return self.kept[high] < self.blank[high] and self.kept[low] == self.blank[low]

    @property
    def at_mm(self) -> float:
        """Where the edge of the kept part comes to lie."""
        low, high = _ends(self.upright)
        return self.kept[high] if self.before else self.kept[low]


def cuts_to(
    blank: Bounds, target: Bounds, others: Sequence[Bounds], kerf_mm: float
) -> tuple[Cut, ...]:
    """Return the cuts that free a rectangle from a blank and run through none of the others.

    At each cut as much as possible falls off, so that the offcuts are large. Raises ValueError
    where there is no such cut.
    """
    cuts: list[Cut] = []
    now = blank
    while not _same(now, target):
        within = [one for one in others if _inside(one, now)]
        ways = list(_ways(now, target, within, kerf_mm))
        if not ways:
            raise ValueError(f"no cut frees {target} from {now}")
        cut = min(ways, key=lambda way: (_area(way.kept), not way.upright))
        cuts.append(cut)
        now = cut.kept
    return tuple(cuts)


def knives(blank: Bounds, pieces: Sequence[Bounds], kerf_mm: float) -> Iterator[Segment]:
    """Return all cuts that free all pieces of a blank. Raises ValueError where none do."""
    if not pieces:
        return
    target, *others = pieces
    for cut in cuts_to(blank, target, others, kerf_mm):
        x0, y0, x1, y1 = cut.blank
        at = cut.at_mm
        yield ((at, y0), (at, y1)) if cut.upright else ((x0, at), (x1, at))
        if cut.fell is not None:
            within = [one for one in others if _inside(one, cut.fell)]
            yield from knives(cut.fell, within, kerf_mm)


def _ways(now: Bounds, target: Bounds, others: Sequence[Bounds], kerf_mm: float) -> Iterator[Cut]:
    for upright in (True, False):
        low, high = _ends(upright)
        for one in (target, *others):
            for ends, begins in (
                (one[high], min(one[high] + kerf_mm, now[high])),
                (max(one[low] - kerf_mm, now[low]), one[low]),
            ):
                if all(
                    each[high] <= ends + _TINY_MM or each[low] >= begins - _TINY_MM
                    for each in (target, *others)
                ):
                    cut = _cut(now, upright, ends, begins, target[high] <= ends + _TINY_MM)
                    if not _same(cut.kept, now):
                        yield cut


def _cut(now: Bounds, upright: bool, ends: float, begins: float, before: bool) -> Cut:
    x0, y0, x1, y1 = now
    parts: tuple[Bounds, Bounds] = (
        ((x0, y0, ends, y1), (begins, y0, x1, y1))
        if upright
        else ((x0, y0, x1, ends), (x0, begins, x1, y1))
    )
    part, fell = parts if before else (parts[1], parts[0])
    left, top, right, bottom = fell
    worth = min(right - left, bottom - top) >= SCRAP_MM
    return Cut(now, upright, part, fell if worth else None)


def _ends(upright: bool) -> tuple[int, int]:
    """Return the places in bounds of where a part begins and ends across a cut."""
    low = 0 if upright else 1
    return low, low + 2


def _same(one: Bounds, other: Bounds) -> bool:
    return all(abs(a - b) <= _TINY_MM for a, b in zip(one, other, strict=True))


def _inside(one: Bounds, other: Bounds) -> bool:
    (x0, y0, x1, y1), (a, b, c, d) = one, other
    return x0 >= a - _TINY_MM and y0 >= b - _TINY_MM and x1 <= c + _TINY_MM and y1 <= d + _TINY_MM


def _area(box: Bounds) -> float:
    x0, y0, x1, y1 = box
    return (x1 - x0) * (y1 - y0)
