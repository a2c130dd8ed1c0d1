"""Cuts from stock pieces: edge to edge, no overlap, the least number where it is proven."""

import math
from collections.abc import Sequence
from functools import cache
from itertools import combinations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.errors import PlanError
from app.takeoff.cutting_2d import (
    CutRect,
    CutSheet,
    SheetPlan,
    Wanted,
    _apart,
    _greedy,
    cut_sheets,
    grows,
)
from app.takeoff.guillotine import NO_EDGE, Edge, Sets, fitting_sets, forms, turned_edges

SIDE = 1000.0


def apart(a: CutRect, b: CutRect, kerf: float) -> bool:
    gap = kerf - 0.01
    return (
        a.x_mm + a.width_mm + gap <= b.x_mm
        or b.x_mm + b.width_mm + gap <= a.x_mm
        or a.y_mm + a.height_mm + gap <= b.y_mm
        or b.y_mm + b.height_mm + gap <= a.y_mm
    )


def comes_apart(rects: Sequence[CutRect]) -> bool:
    """Tell whether cuts from edge to edge part the rectangles, by trying every line."""
    if len(rects) <= 1:
        return True
    for line in {r.x_mm for r in rects}:
        low = [r for r in rects if r.x_mm + r.width_mm <= line + 0.01]
        high = [r for r in rects if r.x_mm >= line - 0.01]
        if low and high and len(low) + len(high) == len(rects):
            return comes_apart(low) and comes_apart(high)
    for line in {r.y_mm for r in rects}:
        low = [r for r in rects if r.y_mm + r.height_mm <= line + 0.01]
        high = [r for r in rects if r.y_mm >= line - 0.01]
        if low and high and len(low) + len(high) == len(rects):
            return comes_apart(low) and comes_apart(high)
    return False


def sheet_holds(sheet: CutSheet, wanted: Sequence[Wanted], w: float, h: float, kerf: float) -> None:
    assert sheet.rects
    for r in sheet.rects:
        assert r.x_mm >= 0
        assert r.y_mm >= 0
        assert r.x_mm + r.width_mm <= w + 0.01
        assert r.y_mm + r.height_mm <= h + 0.01
        one = wanted[r.number]
        size = (one.width_mm, one.height_mm)
        edges = one.edges
        for _ in range(r.quarters):
            size, edges = size[::-1], turned_edges(edges)
        assert (r.width_mm, r.height_mm) == pytest.approx(size)
        assert one.turns or r.quarters == 0
        assert Edge.LEFT not in edges or r.x_mm == 0
        assert Edge.TOP not in edges or r.y_mm == 0
        assert Edge.RIGHT not in edges or r.x_mm + r.width_mm == pytest.approx(w)
        assert Edge.BOTTOM not in edges or r.y_mm + r.height_mm == pytest.approx(h)
    assert all(apart(a, b, kerf) for a, b in combinations(sheet.rects, 2))
    assert comes_apart(sheet.rects)
    if not kerf:
        comes_out(sheet, w, h)


def holds(
    plan: SheetPlan, wanted: Sequence[Wanted], w: float = SIDE, h: float = SIDE, kerf: float = 0
) -> None:
    assert sorted(r.number for s in plan.sheets for r in s.rects) == list(range(len(wanted)))
    for sheet in plan.sheets:
        sheet_holds(sheet, wanted, w, h, kerf)
    assert plan.lower_bound <= len(plan.sheets)


@pytest.mark.parametrize(
    ("wanted", "kerf", "least"),
    [
        # by hand: four quarters of a mat; a kerf spoils three of them
        ([Wanted(500, 500)] * 4, 0, 1),
        ([Wanted(500, 500)] * 4, 3, 4),
        # three strips of 320 from a mat, five of 180 from another, the corner from the rest
        ([Wanted(320, 1000)] * 3 + [Wanted(1000, 180)] * 5 + [Wanted(40, 900)], 0, 2),
        # 600 x 400 five times round a hole fit 1000 x 1000 only as a pinwheel, which no knife
        # cut from edge to edge opens: four of 600 x 400 and the middle of 200 x 200
        ([Wanted(600, 400)] * 4 + [Wanted(200, 200)], 0, 2),
        # three of 600 never share, a strip of 400 goes beside each, the fourth strip is left over
        ([Wanted(600, 600)] * 3 + [Wanted(400, 1000)] * 4, 0, 4),
        # the same with a kerf: 600 + 3 + 400 is more than 1000, and of strips two go into one mat
        ([Wanted(600, 600)] * 3 + [Wanted(400, 1000)] * 4, 3, 5),
        # each larger than half a mat both ways
        ([Wanted(501, 501)] * 5, 0, 5),
        ([], 0, 0),
    ],
)
def test_by_hand(wanted: list[Wanted], kerf: float, least: int) -> None:
    plan = cut_sheets(wanted, SIDE, SIDE, kerf)
    holds(plan, wanted, kerf=kerf)
    assert (len(plan.sheets), plan.lower_bound, plan.proven) == (least, least, True)


def test_factory_edges_cost_mats() -> None:
    # three strips of 320 come out of one mat, but the one from the middle has no factory edge
    assert len(cut_sheets([Wanted(320, 1000)] * 3, SIDE, SIDE).sheets) == 1
    edged = [Wanted(320, 1000, Edge.LEFT)] * 3
    plan = cut_sheets(edged, SIDE, SIDE)
    holds(plan, edged)
    assert len(plan.sheets) == 2
    # without turning the left edge of a mat is there once
    still = [Wanted(320, 1000, Edge.LEFT, turns=False)] * 3
    plan = cut_sheets(still, SIDE, SIDE)
    holds(plan, still)
    assert len(plan.sheets) == 3


def test_turning_only_where_it_may() -> None:
    # 1000 x 500 boards: 500 x 1000 comes out only turned
    assert len(cut_sheets([Wanted(500, 900)], 1000, 500).sheets) == 1
    with pytest.raises(PlanError, match="cut 1: 500 x 900 does not come out"):
        cut_sheets([Wanted(500, 900, turns=False)], 1000, 500)


@pytest.mark.parametrize(
    ("wanted", "size", "kerf", "words"),
    [
        ([Wanted(100, 100)], (0, 1000), 0, "stock: a stock piece of 0 x 1000 cannot be cut"),
        ([Wanted(100, 100)], (1000, 1000), -1, "kerf: a kerf of -1 mm: it must be 0 or more"),
        ([Wanted(100, 100)], (1000, 0), 0, "stock: a stock piece of 1000 x 0 cannot be cut"),
        ([Wanted(100, 100)], (math.inf, 1000), 0, "stock: a stock piece of inf x 1000 cannot"),
        ([Wanted(100, 100)], (1000, 1000), math.inf, "kerf: a kerf of inf mm"),
        ([Wanted(0, 100)], (1000, 1000), 0, "cut 1: a cut must be larger than nothing"),
        ([Wanted(9, 9), Wanted(100, -1)], (1000, 1000), 0, "cut 2: a cut must be larger than"),
        ([Wanted(100, 100), Wanted(1001, 5)], (1000, 1000), 0, "cut 2: 1001 x 5 does not come"),
    ],
)
def test_what_cannot_be_cut_is_named(
    wanted: list[Wanted], size: tuple[float, float], kerf: float, words: str
) -> None:
    with pytest.raises(PlanError) as refused:
        cut_sheets(wanted, *size, kerf)
    assert refused.value.sentence.startswith(words)


def comes_out(sheet: CutSheet, w: float, h: float) -> None:
    """Make the knife cuts in their order, each from edge to edge of one piece of what is left on
    the bench, and see that every wanted rectangle lies there; for a knife that takes nothing.
    """
    pieces = [(0.0, 0.0, w, h)]
    for (ax, ay), (bx, by) in sheet.knife:
        (whole,) = [
            (x0, y0, x1, y1)
            for x0, y0, x1, y1 in pieces
            if (ax == bx and x0 < ax < x1 and (ay, by) == (y0, y1))
            or (ay == by and y0 < ay < y1 and (ax, bx) == (x0, x1))
        ]
        x0, y0, x1, y1 = whole
        pieces.remove(whole)
        parts = [(x0, y0, ax, y1), (ax, y0, x1, y1)], [(x0, y0, x1, ay), (x0, ay, x1, y1)]
        pieces += parts[ay == by]
    for r in sheet.rects:
        assert (r.x_mm, r.y_mm, r.x_mm + r.width_mm, r.y_mm + r.height_mm) in pieces


@pytest.mark.parametrize(
    ("one", "rect", "knife"),
    [
        # from the top left: a cut down, then one across the strip
        (Wanted(600, 400), (0, 0), [((600, 0), (600, 1000)), ((0, 400), (600, 400))]),
        # as wide, as high, as large as the stock: one cut, one cut, none
        (Wanted(1000, 400), (0, 0), [((0, 400), (1000, 400))]),
        (Wanted(600, 1000), (0, 0), [((600, 0), (600, 1000))]),
        (Wanted(1000, 1000), (0, 0), []),
        # into the corner with both factory edges
        (
            Wanted(600, 400, Edge.RIGHT | Edge.BOTTOM, turns=False),
            (400, 600),
            [((400, 0), (400, 1000)), ((400, 600), (1000, 600))],
        ),
        (
            Wanted(600, 400, Edge.LEFT | Edge.BOTTOM, turns=False),
            (0, 600),
            [((600, 0), (600, 1000)), ((0, 600), (600, 600))],
        ),
    ],
)
def test_the_knife_by_hand(
    one: Wanted, rect: tuple[float, float], knife: list[tuple[object, object]]
) -> None:
    (sheet,) = cut_sheets([one], SIDE, SIDE).sheets
    (cut,) = sheet.rects
    assert (cut.x_mm, cut.y_mm) == rect
    assert (cut.width_mm, cut.height_mm, cut.quarters) == (one.width_mm, one.height_mm, 0)
    assert list(sheet.knife) == knife
    comes_out(sheet, SIDE, SIDE)


def test_between_two_cuts_the_kerf_is_lost_once() -> None:
    # 500 + 3 + 500 from 1003
    (sheet,) = cut_sheets([Wanted(500, 1000)] * 2, 1003, 1000, 3).sheets
    assert [(r.x_mm, r.y_mm) for r in sheet.rects] == [(0, 0), (503, 0)]
    assert sheet.knife == (((500, 0), (500, 1000)),)
    (sheet,) = cut_sheets([Wanted(1000, 500)] * 2, 1000, 1003, 3).sheets
    assert [(r.x_mm, r.y_mm) for r in sheet.rects] == [(0, 0), (0, 503)]
    assert sheet.knife == (((0, 500), (1000, 500)),)


Small = tuple[tuple[int, int], ...]


@cache
def parts_by_trying(sizes: Small, w: int, h: int, kerf: int) -> bool:
    """Tell whether a piece gives all sizes, by every whole millimetre a knife could be put to."""
    if w <= 0 or h <= 0:
        return not sizes
    if len(sizes) <= 1:
        return all((a <= w and b <= h) or (b <= w and a <= h) for a, b in sizes)
    first, *rest = sizes
    for some in range(2 ** len(rest) - 1):
        one = (first, *(size for i, size in enumerate(rest) if some >> i & 1))
        other = tuple(size for i, size in enumerate(rest) if not some >> i & 1)
        if any(
            parts_by_trying(one, x, h, kerf) and parts_by_trying(other, w - x - kerf, h, kerf)
            for x in range(1, w)
        ) or any(
            parts_by_trying(one, w, y, kerf) and parts_by_trying(other, w, h - y - kerf, kerf)
            for y in range(1, h)
        ):
            return True
    return False


def least_by_trying(sizes: Small, w: int, h: int, kerf: int) -> int:
    """Put the first size with any of the others, and again with the rest."""
    if not sizes:
        return 0
    first, *rest = sizes
    least = len(sizes)
    for some in range(2 ** len(rest)):
        one = (first, *(size for i, size in enumerate(rest) if some >> i & 1))
        if parts_by_trying(one, w, h, kerf):
            other = tuple(size for i, size in enumerate(rest) if not some >> i & 1)
            least = min(least, 1 + least_by_trying(other, w, h, kerf))
    return least


@given(
    st.lists(st.tuples(st.integers(1, 5), st.integers(1, 4)), min_size=2, max_size=4),
    st.sampled_from([0, 1]),
)
@settings(max_examples=15, deadline=None)
def test_no_fewer_sheets_than_by_trying_every_cut(sizes: list[tuple[int, int]], kerf: int) -> None:
    wanted = [Wanted(w, h) for w, h in sizes]
    plan = cut_sheets(wanted, 6, 5, kerf)
    holds(plan, wanted, 6, 5, kerf)
    assert plan.proven
    assert len(plan.sheets) == least_by_trying(tuple(sorted(sizes)), 6, 5, kerf)


sides = st.integers(150, 1000)


@given(st.lists(st.tuples(sides, sides), min_size=1, max_size=7), st.sampled_from([0, 3, 10]))
@settings(max_examples=40, deadline=None)
def test_any_few_cuts_are_proven(sizes: list[tuple[int, int]], kerf: int) -> None:
    wanted = [Wanted(w, h) for w, h in sizes]
    plan = cut_sheets(wanted, SIDE, SIDE, kerf)
    holds(plan, wanted, kerf=kerf)
    assert plan.proven


def test_very_many_small_cuts_state_their_gap() -> None:
    wanted = [Wanted(150 + 13 * i, 500 - 17 * i) for i in range(16)]
    plan = cut_sheets(wanted, SIDE, SIDE)
    holds(plan, wanted)
    assert plan.lower_bound <= len(plan.sheets) <= plan.lower_bound + 1


@pytest.mark.parametrize(
    ("counts", "fits", "whole_to", "apart"),
    [
        # three of one kind no two of which share a piece; of the other two do
        ((3, 2), {(1, 0), (0, 1), (0, 2)}, 2, 3),
        # no two of either, nor one of each: five pieces at the least
        ((3, 2), {(1, 0), (0, 1)}, 2, 5),
        # one of each come out of one
        ((3, 2), {(1, 0), (0, 1), (1, 1)}, 2, 3),
        ((2, 3), {(1, 0), (0, 1), (1, 1)}, 2, 3),
        # a single one has no second
        ((1, 1), {(1, 0), (0, 1), (2, 0), (0, 2)}, 2, 2),
        ((2, 1), {(1, 0), (0, 1), (2, 0), (0, 2)}, 2, 1),
        # where not all pairs were gone through one that is missing says nothing
        ((3, 2), {(1, 0), (0, 1)}, 1, 0),
    ],
)
def test_cuts_of_which_no_two_share_a_piece(
    counts: tuple[int, int], fits: set[tuple[int, int]], whole_to: int, apart: int
) -> None:
    assert _apart(counts, Sets(dict.fromkeys(fits, ()), True, whole_to)) == apart


def test_what_fills_a_piece_best_is_taken_first_as_often_as_it_is_wanted() -> None:
    # of 10 x 6: two of 5 x 6 fill it, so do two of 10 x 3; of three of each one is left
    kinds = [forms(5, 6, NO_EDGE, False), forms(10, 3, NO_EDGE, False)]
    sets = fitting_sets(kinds, [3, 3], 10, 6, 0)
    assert _greedy([3, 3], sets) == [(0, 2), (2, 0), (0, 1), (1, 0)]
    assert _greedy([4, 0], sets) == [(2, 0), (2, 0)]
    assert _greedy([0, 0], Sets({}, True, 1)) == []
    assert grows((1, 0), sets)
    assert not grows((2, 0), sets)
