"""Which sets of cuts come out of one stock piece by cuts from edge to edge, and how.

A set fits if it can be parted in two that fit beside or above one another. For each set all
smallest boxes are kept (no other box is both narrower and lower), so every order and number of
knife cuts is weighed: Wang, Two algorithms for constrained two-dimensional cutting stock problems,
Operations Research 31, 1983, made complete by going through all sets from small to large.

Sizes are whole steps. A cut may need edges of the stock piece as they came from the factory.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import IntFlag, auto

from app.takeoff.effort import PAIRS_AT_MOST, SETS_AT_MOST

QUARTERS = 4
"""Ways to lay a rectangle by quarter turns."""


class Edge(IntFlag):
    """Edges of a piece as drawn, y downwards."""

    LEFT = auto()
    RIGHT = auto()
    TOP = auto()
    BOTTOM = auto()


NO_EDGE = Edge(0)
_TURNED = {
    Edge.LEFT: Edge.TOP,
    Edge.TOP: Edge.RIGHT,
    Edge.RIGHT: Edge.BOTTOM,
    Edge.BOTTOM: Edge.LEFT,
}


def _turned(edges: Edge) -> Edge:
    result = NO_EDGE
    for edge, after in _TURNED.items():
        if edge in edges:
            result |= after
    return result


# Looked up by what edges are as numbers: a flag that is worked out anew costs more than all else.
_ALL = [Edge(number) for number in range(2 ** len(Edge))]
_AFTER_A_TURN = [_turned(edges) for edges in _ALL]
_UNIONS = [[one | other for other in _ALL] for one in _ALL]
_WITHIN = [[one & ~other == NO_EDGE for other in _ALL] for one in _ALL]
_HOLDS = {edge: [edge in edges for edges in _ALL] for edge in Edge}


def turned_edges(edges: Edge) -> Edge:
    """Return where the edges lie after a quarter turn clockwise: left becomes top."""
    return _AFTER_A_TURN[edges]


@dataclass(frozen=True, slots=True)
class Form:
    """One way a cut may lie: its size, the factory edges that it needs, and its quarter turns."""

    width: int
    height: int
    edges: Edge
    quarters: int


@dataclass(frozen=True, slots=True)
class Box:
    """A smallest box for a set of cuts: one form of one kind, or two boxes beside or above."""

    width: int
    height: int
    edges: Edge
    kind: int = -1
    form: Form | None = None
    beside: bool = False
    first: Box | None = None
    second: Box | None = None

    @property
    def cut_area(self) -> int:
        """What of it is cut to be used, in square steps."""
        if self.first is None or self.second is None:
            return self.width * self.height
        return self.first.cut_area + self.second.cut_area


def forms(width: int, height: int, edges: Edge, turns: bool) -> tuple[Form, ...]:
    """Return the ways a cut may lie, each once."""
    best: dict[tuple[int, int, Edge], Form] = {}
    for quarters in range(QUARTERS if turns else 1):
        best.setdefault((width, height, edges), Form(width, height, edges, quarters))
        width, height, edges = height, width, turned_edges(edges)
    return tuple(best.values())


@dataclass(slots=True)
class Sets:
    """The sets that fit one stock piece: counts of each kind, and their boxes.

    `complete` tells whether these are all, `whole_to` up to how many cuts none is left out.
    """

    boxes: dict[tuple[int, ...], tuple[Box, ...]]
    complete: bool
    whole_to: int


def fitting_sets(
    kinds: Sequence[tuple[Form, ...]], wanted: Sequence[int], width: int, height: int, kerf: int
) -> Sets:
    """Return every set of at most the wanted counts that fits a stock piece.

    Past `SETS_AT_MOST` and `PAIRS_AT_MOST` the answer is not complete.
    """
    return _Growth(kinds, wanted, width, height, kerf).sets()


class _Growth:
    """Grows sets by one cut at a time, level by level."""

    def __init__(
        self,
        kinds: Sequence[tuple[Form, ...]],
        wanted: Sequence[int],
        width: int,
        height: int,
        kerf: int,
    ) -> None:
        self._area = [min(f.width * f.height for f in ways) for ways in kinds]
        self._wanted, self._width, self._height, self._kerf = wanted, width, height, kerf
        self._known: dict[tuple[int, ...], tuple[Box, ...]] = {}
        zero = (0,) * len(kinds)
        self._ones = [_more(zero, kind) for kind in range(len(kinds))]
        # Sets grow from single cuts, so that both parts of every parting are known before it is
        # weighed.
        for kind, ways in enumerate(kinds):
            singles = [b for b in (_leaf(kind, f, width, height) for f in ways) if b is not None]
            if singles:
                self._known[self._ones[kind]] = _smallest(singles)

    def sets(self) -> Sets:
        """Return all sets, or what the limits let through."""
        sets_left = SETS_AT_MOST
        pairs_left = PAIRS_AT_MOST
        level = list(self._known)
        size = 1
        while level:
            fresh: dict[tuple[int, ...], tuple[Box, ...]] = {}
            tried: set[tuple[int, ...]] = set()
            for counts in level:
                for kind in range(len(self._ones)):
                    more = _more(counts, kind)
                    # One set is reached from each of its parts; once is enough.
                    if more in tried or not self._may_fit(more):
                        continue
                    tried.add(more)
                    boxes, weighed = self._boxes(_partings(more))
                    sets_left, pairs_left = sets_left - 1, pairs_left - weighed
                    if boxes:
                        fresh[more] = _smallest(boxes)
                # What this level has brought is of use, but not promised to be all: only those
                # before it are.
                if sets_left < 0 or pairs_left < 0:
                    self._known.update(fresh)
                    return Sets(self._known, False, size)
            self._known.update(fresh)
            level = list(fresh)
            size += 1
        return Sets(self._known, True, sum(self._wanted))

    def _filled(self, counts: tuple[int, ...]) -> int:
        return sum(n * a for n, a in zip(counts, self._area, strict=True))

    def _may_fit(self, counts: tuple[int, ...]) -> bool:
        if any(n > most for n, most in zip(counts, self._wanted, strict=True)):
            return False
        # Area alone throws out most sets, long before a box is put together.
        if self._filled(counts) > self._width * self._height:
            return False
        # A set fits only if it still does with any one cut taken away.
        return all(_less(counts, i) in self._known for i, n in enumerate(counts) if n)

    def _boxes(
        self, partings: Iterator[tuple[tuple[int, ...], tuple[int, ...]]]
    ) -> tuple[list[Box], int]:
        """Return the boxes of a set and how many pairs of boxes were weighed for them."""
        boxes: list[Box] = []
        weighed = 0
        for one, other in partings:
            for a in self._known.get(one, ()):
                for b in self._known.get(other, ()):
                    boxes.extend(_joined(a, b, self._width, self._height, self._kerf))
                    weighed += 1
            # A parting costs time even where one side fits in no box, and is counted for it.
            weighed += 1
        return boxes, weighed


def _more(counts: tuple[int, ...], kind: int) -> tuple[int, ...]:
    return (*counts[:kind], counts[kind] + 1, *counts[kind + 1 :])


def _less(counts: tuple[int, ...], kind: int) -> tuple[int, ...]:
    return (*counts[:kind], counts[kind] - 1, *counts[kind + 1 :])


def _partings(counts: tuple[int, ...]) -> Iterator[tuple[tuple[int, ...], tuple[int, ...]]]:
    """Return each way to part a set in two that are not empty, once."""
    parts: list[tuple[int, ...]] = [()]
    for count in counts:
        parts = [(*part, n) for part in parts for n in range(count + 1)]
    # Read from both ends the list holds a part and the rest, for it is in the order of digits.
    last = len(parts) - 1
    for i in range(1, last // 2 + 1):
        yield parts[i], parts[last - i]


def _leaf(kind: int, form: Form, width: int, height: int) -> Box | None:
    """Return the box of one cut; None if it does not fit or its edges are not to be had."""
    if form.width > width or form.height > height:
        return None
    # Factory edges on both sides: only a cut as wide as the stock piece has them.
    if (Edge.LEFT | Edge.RIGHT) in form.edges and form.width < width:
        return None
    if (Edge.TOP | Edge.BOTTOM) in form.edges and form.height < height:
        return None
    return Box(form.width, form.height, form.edges, kind, form)


_LEFT, _RIGHT, _TOP, _BOTTOM = (
    _HOLDS[edge] for edge in (Edge.LEFT, Edge.RIGHT, Edge.TOP, Edge.BOTTOM)
)


def _joined(a: Box, b: Box, width: int, height: int, kerf: int) -> Iterator[Box]:
    edges = _UNIONS[a.edges][b.edges]
    across, down = a.width + kerf + b.width, a.height + kerf + b.height
    if across <= width:
        high = max(a.height, b.height)
        # What needs the right edge must lie on the right; where both need the same one neither
        # order does.
        if not (_RIGHT[a.edges] or _LEFT[b.edges]):
            yield Box(across, high, edges, beside=True, first=a, second=b)
        elif not (_RIGHT[b.edges] or _LEFT[a.edges]):
            yield Box(across, high, edges, beside=True, first=b, second=a)
    if down <= height:
        wide = max(a.width, b.width)
        if not (_BOTTOM[a.edges] or _TOP[b.edges]):
            yield Box(wide, down, edges, first=a, second=b)
        elif not (_BOTTOM[b.edges] or _TOP[a.edges]):
            yield Box(wide, down, edges, first=b, second=a)


def _smallest(boxes: list[Box]) -> tuple[Box, ...]:
    """Keep the boxes that no other one beats in width, height and edges needed."""
    smallest: list[Box] = []
    # In this order no later box can beat an earlier one, so one pass does.
    for box in sorted(boxes, key=lambda b: (b.width, b.height, b.edges.bit_count())):
        if not any(
            k.width <= box.width and k.height <= box.height and _WITHIN[k.edges][box.edges]
            for k in smallest
        ):
            smallest.append(box)
    return tuple(smallest)
