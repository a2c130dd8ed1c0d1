"""One-dimensional cutting against known least numbers of stock, and the laws of any plan."""

import math
from collections import Counter
from collections.abc import Sequence

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from scipy.optimize import LinearConstraint, milp

from app.errors import PlanError
from app.takeoff.cutting_1d import CuttingPlan, _checked, cut_lengths
from tests.takeoff.cutting_sets import (
    CHVATAL,
    PAPER_MACHINE,
    SCHOLL,
    TRIPLETS,
    filled,
    first_fit_decreasing,
)
from tests.thinned import drawn

Pieces = Sequence[tuple[float, int]]
T60 = [(length, 1) for triple in TRIPLETS for length in triple]


def holds(plan: CuttingPlan, pieces: Pieces, kerf: float = 0) -> None:
    """What any plan must keep: everything cut once, nothing more, no bar too full."""
    wanted: Counter[float] = Counter()
    for length, count in pieces:
        wanted[length] += count
    cut: Counter[float] = Counter()
    for pattern in plan.patterns:
        count = sum(n for _, n in pattern.pieces)
        assert count >= 1
        used = sum(length * n for length, n in pattern.pieces) + (count - 1) * kerf
        assert used <= pattern.stock_mm + 0.01
        for length, n in pattern.pieces:
            cut[length] += n * pattern.times
    assert cut == wanted
    assert sum(p.times for p in plan.patterns) == plan.stock_used
    assert sum(p.times * p.stock_mm for p in plan.patterns) == pytest.approx(plan.stock_mm)
    assert plan.net_mm == pytest.approx(sum(length * count for length, count in pieces))
    assert plan.waste_mm == pytest.approx(plan.stock_mm - plan.net_mm)


@pytest.mark.parametrize(
    ("pieces", "stock", "least", "by_rule_of_thumb"),
    [
        (CHVATAL, 100, 453, 485),  # Chvatal 1983
        (PAPER_MACHINE, 5600, 73, None),  # encyclopaedia article; linear bound 72.917
        (T60, 100, 20, 23),  # Falkenauer t60_00
        ([(n, 1) for n in SCHOLL], 100, 25, 25),  # Scholl N1C1W1_A
        # by construction: three pieces of each of 20 bars
        *((filled(seed), 1000, 20, None) for seed in range(1, 9)),
    ],
)
def test_the_known_least_is_reached_and_proven(
    pieces: Pieces, stock: float, least: int, by_rule_of_thumb: int | None
) -> None:
    plan = cut_lengths(pieces, stock)
    holds(plan, pieces)
    assert (plan.stock_used, plan.lower_bound, plan.proven) == (least, least, True)
    if by_rule_of_thumb is not None:
        assert first_fit_decreasing(pieces, stock) == by_rule_of_thumb


def test_the_rule_of_thumb_falls_short() -> None:
    short = [seed for seed in range(1, 9) if first_fit_decreasing(filled(seed), 1000) > 20]
    assert short == [1, 2, 3, 4, 5, 6, 7, 8]


def test_where_whole_bars_cannot_reach_the_linear_bound() -> None:
    # 2 x 44, 3 x 33, 6 x 12 from 132: 259 in all, less than two bars, yet three are needed
    # (Nitsche, Scheithauer, Terno, Tighter relaxations for the cutting stock problem, 1999)
    plan = cut_lengths([(44, 2), (33, 3), (12, 6)], 132)
    assert least_by_trying([44] * 2 + [33] * 3 + [12] * 6, 132, 0) == 3
    assert (plan.stock_used, plan.lower_bound, plan.proven) == (3, 3, True)


def test_a_kerf_turns_one_bar_into_two() -> None:
    # 3 x 2000 fill 6000; two cuts of 3 do not fit as well
    assert cut_lengths([(2000, 3)], 6000).stock_used == 1
    assert cut_lengths([(2000, 3)], 6000, 3).stock_used == 2
    # 3 x 1998 + 2 x 3 = 6000
    assert cut_lengths([(1998, 3)], 6000, 3).stock_used == 1
    assert cut_lengths([(1998.01, 3)], 6000, 3).stock_used == 2


def test_several_stock_lengths_give_the_least_length() -> None:
    # 2 x 1700 and 1 x 900 by hand: 1700 + 900 from 3000 and 1700 from 2000 is less than 2 x 3000
    plan = cut_lengths([(1700, 2), (900, 1)], [3000, 2000, 1000])
    assert (plan.stock_mm, plan.stock_used, plan.proven) == (5000, 2, True)
    assert plan.lower_bound == 5000


def test_of_several_stocks_with_the_same_total_the_fewest_bars() -> None:
    # by hand: 4 x 900 and 2 x 1000 take 6000 of stock: as 3 bars of 2000 or as one of 6000
    plan = cut_lengths([(900, 4), (1000, 2)], [2000, 4000, 6000])
    holds(plan, [(900, 4), (1000, 2)])
    assert (plan.stock_mm, plan.stock_used, plan.proven) == (6000, 1, True)


@pytest.mark.long
def test_a_hard_list_ends_and_keeps_the_bound_by_length() -> None:
    # 200 lengths of 1 to 350, 20 of each, from 1000, by a plain congruence: many fit any bar
    state, pieces = 1, list[tuple[float, int]]()
    for _ in range(200):
        state = (state * 1103515245 + 12345) % 2**31
        pieces.append((1 + state // 65536 % 350, 20))
    plan = cut_lengths(pieces, 1000)
    holds(plan, pieces)
    net = sum(length * count for length, count in pieces)
    assert math.ceil(net / 1000) <= plan.lower_bound <= plan.stock_used
    assert plan.stock_used <= math.ceil(net / 1000) + 1


def test_nothing_to_cut() -> None:
    plan = cut_lengths([], 6000)
    assert (plan.patterns, plan.stock_used, plan.proven) == ((), 0, True)


@pytest.mark.parametrize(
    ("pieces", "stock", "kerf", "sentence"),
    [
        ([(1250, 6)], 1000, 0, "1250:6: the piece of 1250 is longer than the stock of 1000"),
        ([(900, 4)], 1000, -1, "kerf: a kerf of -1 mm: it must be 0 or more"),
        ([(900, 0)], 1000, 0, "900:0: a count must be 1 or more"),
        ([(0, 4)], 1000, 0, "0:4: a piece must be longer than nothing"),
        ([(900, 4)], 0, 0, "stock: a stock of 0 mm cannot be cut"),
        ([(900, 4)], [], 0, "stock: give at least one stock length"),
        ([(900, 10**9)], 1000, 0, "pieces: at most 1,000,000 pieces of 400 lengths at once"),
    ],
)
def test_what_cannot_be_cut_is_named(
    pieces: Pieces, stock: float | list[float], kerf: float, sentence: str
) -> None:
    with pytest.raises(PlanError) as refused:
        cut_lengths(pieces, stock, kerf)
    assert refused.value.sentence == sentence


def least_by_trying(pieces: Sequence[int], stock: int, kerf: int) -> int:
    """The least number of bars by trying all ways; slow and plain."""
    best = len(pieces)

    def go(i: int, left: list[int]) -> None:
        nonlocal best
        if len(left) >= best:
            return
        if i == len(pieces):
            best = len(left)
            return
        for j, room in enumerate(left):
            if pieces[i] + kerf <= room and room not in left[:j]:
                go(i + 1, [*left[:j], room - pieces[i] - kerf, *left[j + 1 :]])
        go(i + 1, [*left, stock - pieces[i]])

    go(0, [])
    return best


@given(
    st.lists(st.integers(10, 60), min_size=1, max_size=8),
    st.integers(60, 120),
    st.integers(0, 5),
)
@drawn(20, 60)
def test_the_same_as_trying_all_ways(pieces: list[int], stock: int, kerf: int) -> None:
    asked = [(float(piece), 1) for piece in pieces]
    plan = cut_lengths(asked, stock, kerf)
    holds(plan, asked, kerf)
    assert plan.proven
    assert plan.stock_used == least_by_trying(sorted(pieces, reverse=True), stock, kerf)


def test_sixty_pieces_are_proven_before_the_solver_is_stopped() -> None:
    for seed in range(1, 9):
        assert cut_lengths(filled(seed), 1000).proven


def test_what_is_left_of_each_bar_and_of_all() -> None:
    # by hand: 2 x 2500 and 1000 with a kerf of 3 for each; two bars of 6000, whichever way
    plan = cut_lengths([(1000, 1), (2500, 2)], 6000, 3)
    assert sum(p.left_mm for p in plan.patterns) == 12000 - 6000 - 3 * 3
    assert (plan.stock_used, plan.stock_mm, plan.net_mm, plan.waste_mm) == (2, 12000, 6000, 6000)


def test_lengths_asked_for_twice_are_added_up() -> None:
    # 4 of 1500 fill one bar of 6000
    plan = cut_lengths([(1500, 1), (1500, 3)], 6000)
    assert [(p.pieces, p.times, p.left_mm) for p in plan.patterns] == [(((1500, 4),), 1, 0)]
    assert plan.waste_mm == 0


def test_alike_bars_are_one_pattern() -> None:
    # 9 of 2000 are three bars of 6000, all alike
    plan = cut_lengths([(2000, 9)], 6000)
    assert [(p.pieces, p.times) for p in plan.patterns] == [(((2000, 3),), 3)]
    assert (plan.lower_bound, plan.proven) == (3, True)


def test_of_several_stocks_the_one_that_wastes_least() -> None:
    # 2 x 1400 in 3000 leave 200, in two of 2000 1200; 1 x 1900 fits a bar of 2000 (by hand)
    plan = cut_lengths([(1400, 2), (1900, 1)], [2000, 3000])
    assert sorted((p.stock_mm, p.pieces) for p in plan.patterns) == [
        (2000, ((1900, 1),)),
        (3000, ((1400, 2),)),
    ]
    assert (plan.stock_mm, plan.lower_bound, plan.proven) == (5000, 5000, True)


@pytest.mark.parametrize(
    ("stock", "kerf"),
    [(math.nan, 0), (math.inf, 0), (-5, 0), (1000, math.nan), (1000, math.inf)],
)
def test_figures_that_are_none_are_refused(stock: float, kerf: float) -> None:
    with pytest.raises(PlanError, match=r"cannot be cut|must be 0 or more"):
        cut_lengths([(900, 4)], stock, kerf)
    with pytest.raises(PlanError, match="longer than nothing"):
        cut_lengths([(math.nan, 4)], 1000)


def test_so_many_lengths_and_no_more() -> None:
    # 400 different lengths at the most; one more is refused before anything is reckoned
    with pytest.raises(PlanError, match="400 lengths"):
        cut_lengths([(100 + n, 1) for n in range(401)], 6000)


def least_over_all_ways(pieces: Pieces, stocks: Sequence[float], kerf: float) -> tuple[float, int]:
    """The least stock in mm and the fewest bars of so much: an integer programme over all ways.

    Every way to fill a bar is a column, by another program's solver: stock first, then bars.
    """
    lengths = [length for length, _ in pieces]
    ways: list[tuple[float, list[int]]] = []

    def fill(bar: float, room: float, counts: list[int]) -> None:
        if len(counts) == len(lengths):
            ways.append((bar, counts))
            return
        for n in range(int(room // (lengths[len(counts)] + kerf)) + 1):
            fill(bar, room - n * (lengths[len(counts)] + kerf), [*counts, n])

    for bar in stocks:
        fill(bar, bar + kerf, [])
    cut = LinearConstraint(np.array([counts for _, counts in ways]).T, [n for _, n in pieces])
    lengths_of_bars, ones = np.array([bar for bar, _ in ways]), np.ones(len(ways))
    least = milp(lengths_of_bars, constraints=cut, integrality=ones).fun
    paid = LinearConstraint(lengths_of_bars[None, :], ub=least + 0.5)
    return least, round(milp(ones, constraints=[cut, paid], integrality=ones).fun)


@pytest.mark.parametrize(
    ("pieces", "kerf"),
    [
        ([(428, 2), (339, 5), (392, 6), (447, 1)], 0),
        ([(208, 3), (214, 3), (647, 5)], 3),
        ([(285, 3), (553, 4), (203, 1), (647, 5), (500, 3), (217, 3)], 3),
        ([(610, 4), (330, 5), (255, 3)], 0),
    ],
)
def test_of_several_stocks_as_an_integer_programme_has_it(pieces: Pieces, kerf: float) -> None:
    stocks = [1000, 1500, 700]
    plan = cut_lengths(pieces, stocks, kerf)
    holds(plan, pieces, kerf)
    least, bars = least_over_all_ways(pieces, stocks, kerf)
    assert plan.stock_mm == pytest.approx(least)
    assert plan.stock_used == bars
    assert plan.lower_bound == pytest.approx(least)


def test_as_many_pieces_and_lengths_are_cut_as_is_said() -> None:
    # a million pieces and 400 lengths, and none more
    lengths = [(1000.0 + n, 1) for n in range(400)]
    assert len(_checked(lengths, [2000], 3)) == 400
    assert _checked([(500, 1_000_000)], [2000], 3) == {500: 1_000_000}
    for pieces in ([*lengths, (900.0, 1)], [(500.0, 1_000_000), (400.0, 1)]):
        with pytest.raises(PlanError, match="at most 1,000,000 pieces of 400 lengths at once"):
            _checked(pieces, [2000], 3)
    # of one length twice it is one
    assert len(_checked([*lengths, (1000.0, 5)], [2000], 3)) == 400


@pytest.mark.parametrize(
    ("pieces", "stocks", "kerf", "says"),
    [
        ([(500, 1)], [], 3, "give at least one stock length"),
        ([(500, 1)], [1000, 0.004], 3, "a stock of 0.004 mm cannot be cut"),
        ([(500, 1)], [math.inf], 3, "a stock of inf mm cannot be cut"),
        ([(500, 1)], [1000], -0.01, "a kerf of -0.01 mm: it must be 0 or more"),
        ([(500, 1)], [1000], math.inf, "a kerf of inf mm: it must be 0 or more"),
        ([(0.004, 1)], [1000], 0, "a piece must be longer than nothing"),
        ([(math.nan, 1)], [1000], 0, "a piece must be longer than nothing"),
        ([(500, 0)], [1000], 0, "a count must be 1 or more"),
        ([(1000.01, 1)], [900, 1000], 0, "the piece of 1000.01 is longer than the stock of 1000"),
    ],
)
def test_what_cannot_be_cut_is_refused(
    pieces: Pieces, stocks: list[float], kerf: float, says: str
) -> None:
    with pytest.raises(PlanError, match=says):
        cut_lengths(pieces, stocks, kerf)


def test_at_the_bounds_it_is_cut() -> None:
    for pieces, stocks, kerf in (
        ([(500.0, 1)], [1000, 0.01], 0),
        ([(0.01, 1)], [1000], 0),
        ([(1000.0, 1)], [900, 1000], 3),
    ):
        plan = cut_lengths(pieces, stocks, kerf)
        holds(plan, pieces, kerf)
        assert plan.stock_used == 1
    assert cut_lengths([], [1000]).stock_used == 0
