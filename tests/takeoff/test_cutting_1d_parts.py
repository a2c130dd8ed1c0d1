"""The steps of a proof that bars are fewest, by hand: pieces of 7 and 4 out of 15."""

from __future__ import annotations

import pytest

from app.takeoff.bars import Column, Task, cost_of, singles
from app.takeoff.cutting_1d import (
    _all_full,
    _all_within,
    _better,
    _fewer_bars,
    _linear,
    _with_more,
    cut_lengths,
)
from app.takeoff.pattern_choice import Chosen

TASK = Task((7, 4), (2, 3), (15,), (1,))
"""7 + 4 + 4 fill a bar: 1.5 of them and a quarter of one with 7 + 7 are 1.75 bars in part."""
LOOSE: dict[Column, int] = {(0, (1, 1)): 2, (0, (0, 1)): 1}
"""A plan of three bars where two will do."""


def test_the_linear_bound_takes_up_the_patterns_that_make_it() -> None:
    columns = singles(TASK)
    linear, prices, sure = _linear(TASK, columns)
    assert (0, (1, 2)) in columns
    assert linear == pytest.approx(1.75)
    assert list(prices) == pytest.approx([1 / 2, 1 / 4])
    assert sure
    # two stocks that cost by their length are no dearer together than either alone
    both = Task((7, 4), (2, 3), (11, 15), (11, 15))
    linear, prices, sure = _linear(both, singles(both))
    assert linear == pytest.approx(26)
    assert list(prices) == pytest.approx([7, 4])
    assert sure


@pytest.mark.parametrize(
    ("spare", "found"),
    [
        # at 1/2 and 1/4 a bar of 7 + 7 or 7 + 4 + 4 is worth its price, one of 4 + 4 + 4 3/4 of it
        (0.0, {(2, 0), (1, 2)}),
        (0.24, {(2, 0), (1, 2)}),
        (0.25, {(2, 0), (1, 2), (0, 3)}),
    ],
)
def test_what_a_plan_may_use_that_is_so_far_above_the_bound(
    spare: float, found: set[tuple[int, int]]
) -> None:
    columns, complete = _all_within(TASK, [1 / 2, 1 / 4], spare, 100)
    assert {counts for _, counts in columns} == found
    assert complete
    assert not _all_within(TASK, [1 / 2, 1 / 4], spare, 1)[1]
    # of two stocks each has its own
    two = Task((7, 4), (2, 3), (11, 15), (11, 15))
    columns, complete = _all_within(two, [7, 4], 0.0, 100)
    assert set(columns) == {(0, (1, 1)), (1, (1, 2))}
    assert complete


@pytest.mark.parametrize("first", [True, False])
def test_a_plan_at_the_goal_is_found_or_there_is_none(first: bool) -> None:
    columns = singles(TASK)
    made, settled = _with_more(TASK, columns, [1 / 2, 1 / 4], 2, 0.25, first)
    assert made is not None
    assert cost_of(TASK, made) == 2
    assert settled
    # with one bar it cannot be, and that is settled as well
    assert _with_more(TASK, columns, [1 / 2, 1 / 4], 1, 0.0, first) == (None, True)


def test_a_choice_counts_where_it_is_cheaper() -> None:
    pool: list[Column] = [(0, (1, 2)), (0, (2, 0)), (0, (0, 3))]
    assert _better(TASK, LOOSE, pool, Chosen(None, 0, True)) is LOOSE
    assert _better(TASK, LOOSE, pool, Chosen((1, 1, 1), 3, True)) is LOOSE
    assert _better(TASK, LOOSE, pool, Chosen((0, 1, 1), 2, True)) == {pool[1]: 1, pool[2]: 1}


def test_almost_without_waste_it_is_proven_at_once() -> None:
    # 26 of 30: two bars are the least by length
    full = _all_full(TASK, LOOSE)
    assert full is not None
    assert cost_of(TASK, full) == 2
    assert _all_full(TASK, full) is full
    # four of 8 and one of 7 are 39: three bars by length, but no two of 8 come out of 15
    eights = Task((8, 7), (4, 1), (15,), (1,))
    four: dict[Column, int] = {(0, (1, 1)): 1, (0, (1, 0)): 3}
    assert _all_full(eights, four) is None
    # three of 8: none of their bars wastes as little as a plan of two may
    assert _all_full(Task((8,), (3,), (15,), (1,)), {(0, (1,)): 3}) is None
    # of several stocks it says nothing
    assert _all_full(Task((7, 4), (2, 3), (11, 15), (11, 15)), LOOSE) is None


def test_of_as_much_stock_fewer_bars_are_taken() -> None:
    task = Task((10,), (2,), (10, 20), (1, 2))
    short: dict[Column, int] = {(0, (1,)): 2}
    assert _fewer_bars(task, short, singles(task), [1.0], 2.0) == {(1, (2,)): 1}
    long: dict[Column, int] = {(1, (2,)): 1}
    assert _fewer_bars(task, long, singles(task), [1.0], 2.0) == long
    # three: one long and one short, no less stock
    three = Task((10,), (3,), (10, 20), (1, 2))
    made = _fewer_bars(three, {(0, (1,)): 3}, singles(three), [1.0], 3.0)
    assert made == {(0, (1,)): 1, (1, (2,)): 1}
    plan = cut_lengths([(1000, 4)], [1000, 2000])
    assert (plan.stock_used, plan.stock_mm) == (2, 4000)
    # the long ones dearer than two short ones they are not: stock comes first
    plan = cut_lengths([(1000, 2)], [1000, 2500])
    assert (plan.stock_used, plan.stock_mm) == (2, 2000)
