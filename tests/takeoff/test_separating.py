"""Cuts from edge to edge that free one piece after the other, by hand: stock of 1000 x 800."""

from __future__ import annotations

import pytest

from app.takeoff.cutting_2d import Bounds
from app.takeoff.separating import SCRAP_MM, Cut, cuts_to, knives

STOCK: Bounds = (0.0, 0.0, 1000.0, 800.0)


def test_what_is_the_whole_blank_needs_no_cut() -> None:
    assert cuts_to(STOCK, STOCK, [], 0) == ()
    # by less than half a step of a hundredth it is the same
    assert cuts_to(STOCK, (0, 0, 999.996, 800), [], 0) == ()
    assert len(cuts_to(STOCK, (0, 0, 999.99, 800), [], 0)) == 1


def test_one_cut_frees_what_reaches_from_edge_to_edge() -> None:
    (left,) = cuts_to(STOCK, (0, 0, 300, 800), [], 0)
    assert left == Cut(STOCK, True, (0, 0, 300, 800), (300, 0, 1000, 800))
    assert (left.before, left.at_mm) == (True, 300)
    (right,) = cuts_to(STOCK, (700, 0, 1000, 800), [], 0)
    assert right == Cut(STOCK, True, (700, 0, 1000, 800), (0, 0, 700, 800))
    assert (right.before, right.at_mm) == (False, 700)
    (bottom,) = cuts_to(STOCK, (0, 500, 1000, 800), [], 0)
    assert bottom == Cut(STOCK, False, (0, 500, 1000, 800), (0, 0, 1000, 500))
    assert (bottom.before, bottom.at_mm) == (False, 500)


def test_the_knife_takes_its_width_off_what_falls() -> None:
    (left,) = cuts_to(STOCK, (0, 0, 300, 800), [], 3)
    assert left.fell == (303, 0, 1000, 800)
    (right,) = cuts_to(STOCK, (700, 0, 1000, 800), [], 3)
    assert right.fell == (0, 0, 697, 800)
    (top,) = cuts_to(STOCK, (0, 0, 1000, 500), [], 3)
    assert top.fell == (0, 503, 1000, 800)


@pytest.mark.parametrize(("wide", "kept"), [(995, True), (995.1, False), (990, True)])
def test_thread_and_dust_are_no_offcut(wide: float, kept: bool) -> None:
    (cut,) = cuts_to(STOCK, (0, 0, wide, 800), [], 0)
    assert SCRAP_MM == 5
    assert (cut.fell is not None) is kept


def test_first_falls_as_much_as_can() -> None:
    # a corner of 300 x 400: cut across, 300 x 800 is left; cut down first, 1000 x 400 would be
    first, second = cuts_to(STOCK, (0, 0, 300, 400), [], 0)
    assert (first.upright, first.kept) == (True, (0, 0, 300, 800))
    assert (second.upright, second.kept, second.fell) == (
        False, (0, 0, 300, 400), (0, 400, 300, 800)
    )  # fmt: skip
    # 500 x 400: alike either way, the upright one first
    first, _ = cuts_to(STOCK, (0, 0, 500, 400), [], 0)
    assert first.upright


def test_no_cut_runs_through_another_piece() -> None:
    # the other one lies below right, from 200 on: only across at 400 both stay whole
    first, second = cuts_to(STOCK, (0, 0, 300, 400), [(200, 400, 900, 800)], 0)
    assert (first.upright, first.kept, first.fell) == (
        False, (0, 0, 1000, 400), (0, 400, 1000, 800)
    )  # fmt: skip
    assert (second.upright, second.kept) == (True, (0, 0, 300, 400))
    # between both a knife of 3 needs its 3
    apart = cuts_to(STOCK, (0, 0, 300, 400), [(200, 403, 900, 800)], 3)
    assert apart[0].fell == (0, 403, 1000, 800)
    with pytest.raises(ValueError, match="no cut frees"):
        cuts_to(STOCK, (0, 0, 300, 400), [(200, 402, 900, 800)], 3)


def test_four_round_a_hole_cannot_be_freed() -> None:
    wheel: list[Bounds] = [(0, 0, 600, 300), (600, 0, 1000, 500), (400, 500, 1000, 800),
        (0, 300, 400, 800)]  # fmt: skip
    for target in wheel:
        others = [one for one in wheel if one is not target]
        with pytest.raises(ValueError, match="no cut frees"):
            cuts_to(STOCK, target, others, 0)


def test_every_cut_of_a_stock_piece_in_its_order() -> None:
    assert list(knives(STOCK, [], 0)) == []
    # the first off the left; of what fell the next off its top; what is left is the last
    pieces: list[Bounds] = [(0, 0, 300, 800), (300, 0, 1000, 500), (300, 500, 1000, 800)]
    assert list(knives(STOCK, pieces, 0)) == [((300, 0), (300, 800)), ((300, 500), (1000, 500))]
    # with a kerf each begins beyond the cut; what is over is cut off besides
    pieces = [(0, 0, 300, 800), (303, 0, 1000, 500), (303, 503, 900, 800)]
    assert list(knives(STOCK, pieces, 3)) == [
        ((300, 0), (300, 800)),
        ((303, 500), (1000, 500)),
        ((900, 503), (900, 800)),
    ]


def test_of_equal_pieces_the_larger_rest_falls_wherever_it_lies() -> None:
    # the corner at the right bottom: 300 x 800 is left of a cut down, 1000 x 400 of one across
    first, second = cuts_to(STOCK, (700, 400, 1000, 800), [], 0)
    assert (first.upright, first.kept) == (True, (700, 0, 1000, 800))
    assert (second.upright, second.kept) == (False, (700, 400, 1000, 800))
    # 600 x 200 at the bottom: across first
    first, _ = cuts_to(STOCK, (400, 600, 1000, 800), [], 0)
    assert (first.upright, first.kept) == (False, (0, 600, 1000, 800))
    low = (0.0, 300.0, 1000.0, 800.0)
    first, _ = cuts_to(low, (0, 300, 550, 550), [], 0)
    # of 1000 x 500 a cut down lets 450 x 500 fall, one across 1000 x 250
    assert (first.upright, first.kept) == (False, (0, 300, 1000, 550))
