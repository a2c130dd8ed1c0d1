"""Two-dimensional cutting: rectangles from stock pieces by cuts from edge to edge.

The sets that fit one stock piece come from `guillotine`; which of them to use, and how often, is
a whole-number choice. Where all sets were listed the answer is proven; else the bound by area and
by cuts that cannot share a piece is stated with the gap.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from app.errors import Fault, PlanError
from app.takeoff.effort import SOLVER_NODES, STEPS_PER_MM
from app.takeoff.guillotine import NO_EDGE, Box, Edge, Form, Sets, fitting_sets, forms
from app.takeoff.pattern_choice import whole_choice
from app.takeoff.quick_cuts import quick_boxes
from app.takeoff.shelves import in_rows

Segment = tuple[tuple[float, float], tuple[float, float]]
Bounds = tuple[float, float, float, float]
"""Left, top, right, bottom in mm, y downwards."""


@dataclass(frozen=True, slots=True)
class Wanted:
    """One rectangle to be cut, in mm, with the factory edges that it needs."""

    width_mm: float
    height_mm: float
    edges: Edge = NO_EDGE
    turns: bool = True


@dataclass(frozen=True, slots=True)
class CutRect:
    """Where a wanted rectangle (by its number) lies in its stock piece, in mm from top left.

    `quarters` counts the clockwise quarter turns of the rectangle.
    """

    number: int
    x_mm: float
    y_mm: float
    width_mm: float
    height_mm: float
    quarters: int

    @property
    def bounds(self) -> Bounds:
        """Left, top, right and bottom in its stock piece."""
        return (self.x_mm, self.y_mm, self.x_mm + self.width_mm, self.y_mm + self.height_mm)


@dataclass(frozen=True, slots=True)
class CutSheet:
    """One stock piece: what is cut from it and the knife cuts in their order."""

    rects: tuple[CutRect, ...]
    knife: tuple[Segment, ...]


@dataclass(frozen=True, slots=True)
class SheetPlan:
    """The stock pieces, the least number that no plan can beat, and whether that is reached."""

    sheets: tuple[CutSheet, ...]
    lower_bound: int

    @property
    def proven(self) -> bool:
        """Return whether no plan needs fewer stock pieces."""
        return len(self.sheets) == self.lower_bound


def cut_sheets(
    wanted: Sequence[Wanted], width_mm: float, height_mm: float, kerf_mm: float = 0
) -> SheetPlan:
    """Cut rectangles from as few stock pieces of one size as possible, all in mm.

    Worked: four of 500 x 500 from 1000 x 1000: 1; with a kerf of 3: 4.
    Raises PlanError for a stock of nothing, a negative kerf, a cut larger than the stock.
    """
    _check(wanted, width_mm, height_mm, kerf_mm)
    if not wanted:
        return SheetPlan((), 0)
    steps = STEPS_PER_MM
    width, height, kerf = (round(mm * steps) for mm in (width_mm, height_mm, kerf_mm))
    kinds = kinds_of(wanted)
    ways = list(kinds)
    counts = [len(numbers) for numbers in kinds.values()]
    area = sum(w[0].width * w[0].height * n for w, n in zip(ways, counts, strict=True))
    by_area = -(-area // (width * height))
    # Where a quick plan needs no more than the area asks, nothing is left to prove.
    quick = quick_boxes(ways, counts, (width, height), kerf, by_area)
    if quick is not None and len(quick) == by_area:
        return SheetPlan(_sheets(quick, kinds.values(), (width, height), kerf), by_area)
    sets = fitting_sets(ways, counts, width, height, kerf)
    for kind, numbers in enumerate(kinds.values()):
        if tuple(int(i == kind) for i in range(len(ways))) not in sets.boxes:
            one = wanted[numbers[0]]
            raise PlanError(
                Fault(
                    f"cut {numbers[0] + 1}",
                    f"{one.width_mm:g} x {one.height_mm:g} does not come out of a stock piece of "
                    f"{width_mm:g} x {height_mm:g}",
                )
            )
    # Past the limits large sets are missing, and plain rows may fill a sheet better than what is
    # left.
    rows = None if sets.complete else in_rows(ways, counts, width, height, kerf)
    used, bound = _choose(ways, counts, sets, width * height)
    for other in (rows, quick):
        if other is not None and len(other) < len(used):
            used = other
    return SheetPlan(_sheets(used, kinds.values(), (width, height), kerf), bound)


def kinds_of(wanted: Sequence[Wanted]) -> dict[tuple[Form, ...], list[int]]:
    """Return the different cuts, each with the numbers of those that are alike."""
    kinds: dict[tuple[Form, ...], list[int]] = {}
    for number, one in enumerate(wanted):
        width, height = (round(mm * STEPS_PER_MM) for mm in (one.width_mm, one.height_mm))
        kinds.setdefault(forms(width, height, one.edges, one.turns), []).append(number)
    return kinds


def _sheets(
    boxes: Sequence[Box], kinds: Iterable[Sequence[int]], size: tuple[int, int], kerf: int
) -> tuple[CutSheet, ...]:
    numbers_left = [list(numbers) for numbers in kinds]
    return tuple(sheet_of(box, *size, kerf, numbers_left) for box in boxes)


def _check(wanted: Sequence[Wanted], width_mm: float, height_mm: float, kerf_mm: float) -> None:
    if not (width_mm > 0 and height_mm > 0 and math.isfinite(width_mm * height_mm)):
        raise PlanError(
            Fault("stock", f"a stock piece of {width_mm:g} x {height_mm:g} cannot be cut")
        )
    if not (math.isfinite(kerf_mm) and kerf_mm >= 0):
        raise PlanError(Fault("kerf", f"a kerf of {kerf_mm:g} mm: it must be 0 or more"))
    for number, one in enumerate(wanted, start=1):
        if not (one.width_mm > 0 and one.height_mm > 0):
            raise PlanError(Fault(f"cut {number}", "a cut must be larger than nothing"))


def _choose(
    ways: Sequence[tuple[Form, ...]], counts: Sequence[int], sets: Sets, sheet_area: int
) -> tuple[list[Box], int]:
    """Return the box of each stock piece used, and the lower bound."""
    area = sum(w[0].width * w[0].height * n for w, n in zip(ways, counts, strict=True))
    # Two bounds, either of which alone is often weak: what the area asks, and cuts that never
    # share.
    bound = max(-(-area // sheet_area), _apart(counts, sets))
    greedy = _greedy(counts, sets)
    if len(greedy) > bound:
        # A set within a larger one is no use of its own: what is cut too much is left out
        # afterwards.
        largest = [s for s in sets.boxes if not grows(s, sets)]
        ones = [1] * len(largest)
        choice = whole_choice(largest, ones, counts, None, SOLVER_NODES)
        if choice.times is not None and choice.cost <= len(greedy):
            # Least among some sets only is no proof.
            if choice.settled and sets.complete:
                bound = choice.cost
            return _without_surplus(sets, largest, choice.times, counts), bound
    return [sets.boxes[s][0] for s in greedy], bound


def grows(one: tuple[int, ...], sets: Sets) -> bool:
    """Return whether a set fits with one cut more, so that it is of no use of its own."""
    return any((*one[:i], n + 1, *one[i + 1 :]) in sets.boxes for i, n in enumerate(one))


def _apart(counts: Sequence[int], sets: Sets) -> int:
    """Count cuts of which no two come out of one stock piece."""
    total, chosen = 0, list[int]()
    kinds = range(len(counts))
    for kind in sorted(kinds, key=lambda k: -counts[k]):
        pairs = [tuple(int(i == kind) + int(i == other) for i in kinds) for other in chosen]
        alone = counts[kind] == 1 or tuple(2 * int(i == kind) for i in kinds) not in sets.boxes
        # A pair that is missing says so only where all pairs were gone through.
        if sets.whole_to >= 2 and alone and not any(pair in sets.boxes for pair in pairs):
            chosen.append(kind)
            total += counts[kind]
    return total


def _greedy(counts: Sequence[int], sets: Sets) -> list[tuple[int, ...]]:
    """Take, again and again, the set that fills a stock piece best and is still wanted."""
    fill = {s: sum(box.cut_area for box in boxes[:1]) for s, boxes in sets.boxes.items()}
    # By the set itself where two fill alike: the same list is cut the same way every time.
    order = sorted(fill, key=lambda s: (-fill[s], s))
    left, used = list(counts), list[tuple[int, ...]]()
    for one in order:
        while all(n <= have for n, have in zip(one, left, strict=True)):
            left = [have - n for n, have in zip(one, left, strict=True)]
            used.append(one)
    return used


def _without_surplus(
    sets: Sets,
    columns: Sequence[tuple[int, ...]],
    times: Sequence[int],
    counts: Sequence[int],
) -> list[Box]:
    left, used = list(counts), list[Box]()
    for column, count in zip(columns, times, strict=True):
        for _ in range(count):
            box = only_wanted(sets.boxes[column][0], left)
            if box is not None:
                used.append(box)
    return used


def only_wanted(box: Box, left: list[int]) -> Box | None:
    """Return the box with the cuts that are still wanted, and take them off the list."""
    if box.first is None or box.second is None:
        if left[box.kind] == 0:
            return None
        left[box.kind] -= 1
        return box
    first, second = only_wanted(box.first, left), only_wanted(box.second, left)
    if first is None or second is None:
        return first or second
    return replace(box, first=first, second=second)


def sheet_of(box: Box, width: int, height: int, kerf: int, numbers: list[list[int]]) -> CutSheet:
    """Return a stock piece cut as a box says; the cuts take their `numbers`, by kind, off them.

    Sizes are whole steps.
    """
    rects: list[CutRect] = []
    knife: list[Segment] = []
    steps = STEPS_PER_MM

    def cut(x0: int, y0: int, x1: int, y1: int) -> None:
        knife.append(((x0 / steps, y0 / steps), (x1 / steps, y1 / steps)))

    def lay(node: Box, x0: int, y0: int, x1: int, y1: int) -> None:
        if node.first is not None and node.second is not None:
            # What is left over lies between the two: each is cut straight off an edge that is there
            # already, and whichever is cut first leaves the waste with the other.
            if node.beside:
                at, far = x0 + node.first.width, x1 - node.second.width
                for place in (at, far)[: 1 if far <= at + kerf else 2]:
                    cut(place, y0, place, y1)
                lay(node.first, x0, y0, at, y1)
                lay(node.second, far, y0, x1, y1)
            else:
                at, far = y0 + node.first.height, y1 - node.second.height
                for place in (at, far)[: 1 if far <= at + kerf else 2]:
                    cut(x0, place, x1, place)
                lay(node.first, x0, y0, x1, at)
                lay(node.second, x0, far, x1, y1)
            return
        form = node.form
        if form is None:
            return
        # Into the corner whose factory edges it needs, else where factory edges are.
        right = Edge.RIGHT in form.edges or (Edge.LEFT not in form.edges and x0 > 0 and x1 == width)
        below = Edge.BOTTOM in form.edges or (
            Edge.TOP not in form.edges and y0 > 0 and y1 == height
        )
        x = x1 - form.width if right else x0
        y = y1 - form.height if below else y0
        if form.width < x1 - x0:
            at = x if x > x0 else x + form.width
            cut(at, y0, at, y1)
        if form.height < y1 - y0:
            at = y if y > y0 else y + form.height
            cut(x, at, x + form.width, at)
        size = form.width / steps, form.height / steps
        number = numbers[node.kind].pop(0)
        rects.append(CutRect(number, x / steps, y / steps, *size, form.quarters))

    lay(box, 0, 0, width, height)
    return CutSheet(tuple(rects), tuple(knife))
