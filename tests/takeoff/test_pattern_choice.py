"""Which patterns, how often: linear programmes solved by hand with their dual prices."""

import pytest

from app.takeoff.pattern_choice import linear_bound, whole_choice

COLUMNS = [(2, 0), (0, 3), (1, 1)]


def test_the_linear_bound_and_its_prices() -> None:
    # 4 and 6 wanted: two and two; prices 1/2 and 1/3 pay for each: 4 / 2 + 6 / 3
    bound, prices = linear_bound(COLUMNS, [1, 1, 1], [4, 6])
    assert bound == pytest.approx(4)
    assert list(prices) == pytest.approx([1 / 2, 1 / 3])
    # one of each: in part 1/2 + 1/3 cost 0.83, less than the third column
    assert linear_bound(COLUMNS, [1, 1, 1], [1, 1])[0] == pytest.approx(5 / 6)
    # costs 1000 times as large are a bound 1000 times as large
    bound, prices = linear_bound(COLUMNS, [1000, 1000, 1000], [4, 6])
    assert bound == pytest.approx(4000)
    assert list(prices) == pytest.approx([500, 1000 / 3])
    # the first column at 3: both from the third, which costs 1
    assert linear_bound(COLUMNS, [3, 1, 1], [1, 1])[0] == pytest.approx(1)


def test_the_whole_choice() -> None:
    found = whole_choice(COLUMNS, [1, 1, 1], [4, 6], None, 1000)
    assert (found.times, found.cost, found.settled) == ((2, 2, 0), 4, True)
    assert whole_choice(COLUMNS, [1, 1, 1], [1, 1], None, 1000).times == (0, 0, 1)
    # 5 and 1: the third column and two of the first
    assert whole_choice(COLUMNS, [1, 1, 1], [5, 1], None, 1000).cost == 3
    # dear ones are left alone: 2 x 7 by the third for 1 each
    assert whole_choice(COLUMNS, [9, 9, 1], [2, 2], None, 1000).times == (0, 0, 2)
    # two of the first at 3, two of the second at 4
    paid = whole_choice(COLUMNS, [3, 4, 9], [4, 6], None, 1000)
    assert (paid.times, paid.cost) == ((2, 2, 0), 14)


def test_no_choice_within_what_is_allowed() -> None:
    found = whole_choice(COLUMNS, [1, 1, 1], [4, 6], 3, 1000)
    assert (found.times, found.cost, found.settled) == (None, 0, True)
    assert whole_choice(COLUMNS, [1, 1, 1], [4, 6], 4, 1000).cost == 4
    # what no column gives is not to be had
    assert whole_choice([(1, 0)], [1], [1, 1], None, 1000).times is None
