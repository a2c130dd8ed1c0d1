"""Bars filled with little waste, by hand and as a law: all is cut, no bar overfull."""

from hypothesis import given
from hypothesis import strategies as st

from app.takeoff.bars import Task, cost_of, first_fit, least_by_length
from app.takeoff.least_waste import least_waste
from tests.takeoff.test_published_sets import pieces_of


def test_a_bar_takes_what_fills_it_and_not_what_is_longest() -> None:
    # from 10: longest first takes 6 + 3 and is left with 4 + 4, 3; 6 + 4 twice fills two bars
    task = Task((6, 4, 3), (2, 2, 1), (10,), (1,))
    assert least_waste(task, 3) == {(0, (1, 1, 0)): 2, (0, (0, 0, 1)): 1}
    # 7 + 3 and 5 + 5, where the longest first would put 7 + 3, 5 + 5 too; 51 of each as one column
    many = Task((7, 5, 3), (51, 102, 51), (10,), (1,))
    assert least_waste(many, 102) == {(0, (1, 0, 1)): 51, (0, (0, 2, 0)): 51}


def test_of_several_lengths_of_stock_it_knows_nothing() -> None:
    assert least_waste(Task((7, 4), (2, 3), (11, 15), (11, 15)), 1) is None


def test_it_ends_at_the_goal() -> None:
    # one bar would do; with a goal of two the first plan of two is good enough
    task = Task((3, 2), (2, 2), (10,), (1,))
    assert cost_of(task, least_waste(task, 2) or {}) == 1


@given(st.lists(st.integers(20, 100), min_size=1, max_size=40))
def test_all_is_cut_and_no_bar_is_overfull(pieces: list[int]) -> None:
    lengths = tuple(sorted({*pieces}, reverse=True))
    wanted = tuple(pieces.count(length) for length in lengths)
    task = Task(lengths, wanted, (100,), (1,))
    plan = least_waste(task, 0)
    assert plan is not None
    for i, count in enumerate(wanted):
        assert sum(counts[i] * times for (_, counts), times in plan.items()) == count
    for _, counts in plan:
        assert sum(n * length for n, length in zip(counts, lengths, strict=True)) <= 100
    assert least_by_length(task) <= cost_of(task, plan)


def test_a_published_set_of_200_lengths_comes_to_its_known_least() -> None:
    lengths = sorted((round(length) for length, _ in pieces_of("HARD0")), reverse=True)
    task = Task(tuple(lengths), (1,) * len(lengths), (100_000,), (1,))
    # longest first takes 59 or more; the least is 56 (published table, from memory)
    assert cost_of(task, first_fit(task)) > 58
    plan = least_waste(task, least_by_length(task))
    assert plan is not None
    assert cost_of(task, plan) == 56
