"""What is still to be cut, from the offcuts that are there and as few new stock pieces as will do.

The sets of cuts that fit an offcut or a new stock piece come from `guillotine`; which of them to
use is a whole-number choice in which each offcut is used once at the most.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from app.takeoff.cutting_2d import (
    Bounds,
    CutRect,
    CutSheet,
    Wanted,
    cut_sheets,
    grows,
    kinds_of,
    only_wanted,
    sheet_of,
)
from app.takeoff.effort import OFFCUTS_AT_MOST, SOLVER_NODES, STEPS_PER_MM
from app.takeoff.guillotine import Box, Edge, Form, Sets, fitting_sets
from app.takeoff.pattern_choice import whole_choice

_NEW_COSTS = 1_000
"""A new stock piece costs more than all offcuts together; of equal plans fewer offcuts are cut."""

Chosen = list[tuple[int, Box]]
"""Boxes with the place of the offcut that each is cut from; -1 for a new stock piece."""


@dataclass(frozen=True, slots=True)
class Offcut:
    """A rectangle that is left of a stock piece, by its number; `factory` are edges as they came.

    `box` is where it lay in the stock piece.
    """

    sheet: int
    box: Bounds
    factory: Edge

    @property
    def size_mm(self) -> tuple[float, float]:
        """Across and down, as it lay in its stock piece."""
        x0, y0, x1, y1 = self.box
        return x1 - x0, y1 - y0

    def holds(self, x_mm: float, y_mm: float) -> bool:
        """Return whether the left top corner of a cut lies in it."""
        x0, y0, x1, y1 = self.box
        fine = 1 / STEPS_PER_MM
        return x0 - fine <= x_mm < x1 - fine and y0 - fine <= y_mm < y1 - fine


@dataclass(frozen=True, slots=True)
class CutAgain:
    """What comes out of offcuts, each with where its cuts lie in its stock piece, and out of new
    stock pieces; `least` is what no plan beats in new ones.
    """

    from_offcuts: tuple[tuple[Offcut, tuple[CutRect, ...]], ...]
    new: tuple[CutSheet, ...]
    least: int


def cut_again(
    wanted: Sequence[Wanted],
    offcuts: Sequence[Offcut],
    width_mm: float,
    height_mm: float,
    kerf_mm: float,
) -> CutAgain:
    """Cut rectangles from offcuts and as few new stock pieces as possible, all in mm.

    Worked: 600 x 1000 and 400 x 1000 with an offcut of 450 x 1000: one from it, one new piece.
    Raises PlanError as `cut_sheets` does.
    """
    plain = cut_sheets(wanted, width_mm, height_mm, kerf_mm)
    large = sorted(offcuts, key=lambda one: (-one.size_mm[0] * one.size_mm[1], one.sheet, one.box))
    large = large[:OFFCUTS_AT_MOST]
    if not wanted or not large:
        return CutAgain((), plain.sheets, plain.lower_bound)
    kinds = kinds_of(wanted)
    ways, counts = list(kinds), [len(numbers) for numbers in kinds.values()]
    kerf = _steps(kerf_mm)
    fits = [_fitting(ways, counts, one, kerf) for one in large]
    whole = fitting_sets(ways, counts, _steps(width_mm), _steps(height_mm), kerf)
    best = _one_by_one(large, fits, counts)
    rest = [
        number
        for (_, numbers), left in zip(kinds.items(), best[1], strict=True)
        for number in numbers[len(numbers) - left :]
    ]
    new = cut_sheets([wanted[number] for number in rest], width_mm, height_mm, kerf_mm)
    chosen, least = _chosen([*fits, whole], counts)
    if chosen is not None and sum(at == len(large) for at, _ in chosen) < len(new.sheets):
        numbers = [list(each) for each in kinds.values()]
        cut = [
            (at, _cut(at, box, large, (width_mm, height_mm), kerf, numbers)) for at, box in chosen
        ]
        olds = tuple((large[at], sheet.rects) for at, sheet in cut if at < len(large))
        return CutAgain(olds, tuple(sheet for at, sheet in cut if at == len(large)), least)
    numbers = [list(each) for each in kinds.values()]
    olds = tuple(
        (large[at], _cut(at, box, large, (width_mm, height_mm), kerf, numbers).rects)
        for at, box in best[0]
    )
    renumbered = tuple(
        replace(one, rects=tuple(replace(r, number=rest[r.number]) for r in one.rects))
        for one in new.sheets
    )
    return CutAgain(olds, renumbered, min(least, len(renumbered)))


def _steps(mm: float) -> int:
    return round(mm * STEPS_PER_MM)


def _fitting(
    ways: Sequence[tuple[Form, ...]], counts: Sequence[int], offcut: Offcut, kerf: int
) -> Sets:
    """Return the sets that fit an offcut: what needs a factory edge needs one that it has."""
    able = [tuple(form for form in each if form.edges & ~offcut.factory == 0) for each in ways]
    places = [i for i, each in enumerate(able) if each]
    wide, high = (_steps(mm) for mm in offcut.size_mm)
    sets = fitting_sets([able[i] for i in places], [counts[i] for i in places], wide, high, kerf)
    boxes: dict[tuple[int, ...], tuple[Box, ...]] = {}
    for one, boxed in sets.boxes.items():
        spread = [0] * len(ways)
        for place, count in zip(places, one, strict=True):
            spread[place] = count
        boxes[tuple(spread)] = tuple(_of_kinds(box, places) for box in boxed[:1])
    return Sets(boxes, sets.complete, sets.whole_to)


def _of_kinds(box: Box, places: Sequence[int]) -> Box:
    if box.first is None or box.second is None:
        return replace(box, kind=places[box.kind])
    return replace(box, first=_of_kinds(box.first, places), second=_of_kinds(box.second, places))


def _chosen(stock: Sequence[Sets], counts: Sequence[int]) -> tuple[Chosen | None, int]:
    """Choose sets, each offcut once; the last of the stock is new and costs. Return how few new
    ones no choice beats, nought where that is not settled.
    """
    columns: list[tuple[int, ...]] = []
    costs: list[int] = []
    of: list[int] = []
    for at, sets in enumerate(stock):
        last = at == len(stock) - 1
        largest = [one for one in sets.boxes if not grows(one, sets)]
        columns += largest
        costs += [_NEW_COSTS if last else 1] * len(largest)
        of += [at] * len(largest)
    limits = [
        ([place for place, each in enumerate(of) if each == at], 1)
        for at in range(len(stock) - 1)
        if at in of
    ]
    choice = whole_choice(columns, costs, counts, None, SOLVER_NODES, limits)
    if choice.times is None:
        return None, 0
    left = list(counts)
    boxes: Chosen = []
    for column, at, times in zip(columns, of, choice.times, strict=True):
        for _ in range(times):
            box = only_wanted(stock[at].boxes[column][0], left)
            if box is not None:
                boxes.append((at, box))
    sure = choice.settled and all(sets.complete for sets in stock)
    return boxes, choice.cost // _NEW_COSTS if sure else 0


def _one_by_one(
    offcuts: Sequence[Offcut], fits: Sequence[Sets], counts: Sequence[int]
) -> tuple[Chosen, list[int]]:
    """Fill offcut by offcut, the smallest first; return with it how many of each kind are left."""
    left = list(counts)
    boxes: Chosen = []
    for at in reversed(range(len(offcuts))):
        able = [
            one
            for one in fits[at].boxes
            if all(n <= have for n, have in zip(one, left, strict=True))
        ]
        if able:
            sets = fits[at].boxes
            best = max(able, key=lambda one: (sets[one][0].cut_area, one))
            left = [have - n for n, have in zip(best, left, strict=True)]
            boxes.append((at, sets[best][0]))
    return boxes, left


def _cut(
    at: int,
    box: Box,
    offcuts: Sequence[Offcut],
    size_mm: tuple[float, float],
    kerf: int,
    numbers: list[list[int]],
) -> CutSheet:
    """Cut a box out of its offcut, told where it lay in its stock piece, or out of a new one."""
    old = offcuts[at] if at < len(offcuts) else None
    wide, high = size_mm if old is None else old.size_mm
    sheet = sheet_of(box, _steps(wide), _steps(high), kerf, numbers)
    if old is None:
        return sheet
    x, y = old.box[:2]
    rects = tuple(replace(r, x_mm=r.x_mm + x, y_mm=r.y_mm + y) for r in sheet.rects)
    return CutSheet(rects, sheet.knife)
