"""Patterns of one stock length beside all that there are, tried one by one."""

from itertools import product

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.takeoff.patterns import Counts, Search

MANY = 100_000


def every(lengths: list[int], wanted: list[int], stock: int) -> list[Counts]:
    """All that fits, by trying each count of each length."""
    counts = product(*(range(most + 1) for most in wanted))
    return [c for c in counts if sum(a * n for a, n in zip(lengths, c, strict=True)) <= stock]


def worth_of(counts: Counts, worth: list[float]) -> float:
    return sum(n * w for n, w in zip(counts, worth, strict=True))


def full(counts: Counts, lengths: list[int], wanted: list[int], stock: int) -> bool:
    left = stock - sum(a * n for a, n in zip(lengths, counts, strict=True))
    return not any(
        n < most and a <= left for a, n, most in zip(lengths, counts, wanted, strict=True)
    )


def test_the_richest_by_hand() -> None:
    # 10 long: 6 + 4 is worth 9, two of 5 are worth 10, three of 3 are worth 6
    search = Search([6, 5, 4, 3], [1, 2, 1, 3], 10, [6.0, 5.0, 3.0, 2.0])
    assert search.richest(MANY) == (10, (0, 2, 0, 0), True)
    # one of 5 alone is left: 6 + 4 or 6 + 3 or 5 + 4: 9, 8, 8
    assert Search([6, 5, 4, 3], [1, 1, 1, 3], 10, [6.0, 5.0, 3.0, 2.0]).richest(MANY)[:2] == (
        9,
        (1, 0, 1, 0),
    )
    # nothing fits; nothing is worth anything
    assert Search([11], [3], 10, [1.0]).richest(MANY) == (0, (0,), True)
    assert Search([5], [2], 10, [0.0]).richest(MANY)[0] == 0


def test_a_search_cut_short_says_so_and_counts_its_looks() -> None:
    search = Search([6, 5, 4, 3], [1, 2, 1, 3], 10, [6.0, 5.0, 3.0, 2.0])
    worth, _, certain = search.richest(MANY)
    looks = search.looked
    assert (worth, certain) == (10, True)
    assert 4 <= looks <= len(every([6, 5, 4, 3], [1, 2, 1, 3], 10)) * 4
    assert search.richest(looks)[2]
    assert not search.richest(looks - 1)[2]
    assert search.looked == looks - 1
    found = search.worth_at_least(0, 2, MANY)
    assert (len(found.patterns), found.complete) == (2, False)
    assert not search.worth_at_least(0, MANY, 3).complete


@given(
    st.lists(st.tuples(st.integers(1, 9), st.integers(1, 3), st.integers(1, 9)), min_size=1,
        max_size=4, unique_by=lambda row: row[0]),
    st.integers(3, 20), st.integers(0, 20),
)  # fmt: skip
@settings(max_examples=60, deadline=None)
def test_none_is_forgotten_and_none_is_told_twice(
    rows: list[tuple[int, int, int]], stock: int, asked: int
) -> None:
    lengths, wanted = [row[0] for row in rows], [row[1] for row in rows]
    worth = [float(row[2]) for row in rows]
    search = Search(lengths, wanted, stock, worth)
    fitting = every(lengths, wanted, stock)
    most, counts, certain = search.richest(MANY)
    assert certain
    assert most == max(worth_of(each, worth) for each in fitting) == worth_of(counts, worth)
    assert counts in fitting
    found = search.worth_at_least(asked, MANY, MANY)
    assert found.complete
    assert sorted(found.patterns) == sorted(
        each
        for each in fitting
        if full(each, lengths, wanted, stock) and worth_of(each, worth) >= asked
    )


@pytest.mark.parametrize("most", [1, 3])
def test_no_more_than_asked_for(most: int) -> None:
    found = Search([3, 2], [3, 3], 7, [1.0, 1.0]).worth_at_least(0, most, MANY)
    # 3 + 2 + 2, 3 + 3, 2 + 2 + 2 fill it: three
    assert (len(found.patterns), found.complete) == (most, most == 3)
