"""Published hard cutting sets: the least is reached, or the gap is said, and every list ends.

Where the lengths and the least stock come from is said beside the files, in cutting/README.md.
"""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from app.takeoff.cutting_1d import cut_lengths
from tests.takeoff.test_cutting_1d import holds
from tests.thinned import one_of

SETS = Path(__file__).parent / "cutting"
AT_MOST_S = 20.0
"""Of processor, for one list."""


def pieces_of(name: str) -> list[tuple[float, int]]:
    return [(float(word), 1) for word in (SETS / f"{name}.txt").read_text().split()]


@pytest.mark.long
@pytest.mark.parametrize(("name", "least"), [("u120_00", 48), ("u120_08", 50), ("u120_19", 49)])
def test_uniform_sets_are_reached_and_proven(name: str, least: int) -> None:
    pieces = pieces_of(name)
    assert len(pieces) == 120
    began = time.process_time()
    plan = cut_lengths(pieces, 150)
    assert time.process_time() - began < AT_MOST_S
    holds(plan, pieces)
    assert (plan.stock_used, plan.lower_bound, plan.proven) == (least, least, True)


@pytest.mark.long
@pytest.mark.parametrize(
    ("name", "least", "used"),
    [("u250_00", 99, 99), ("u250_07", 103, 104), ("u250_12", 105, 105), ("u250_13", 103, 103)],
)
def test_larger_uniform_sets_are_reached_or_the_gap_is_said(
    name: str, least: int, used: int
) -> None:
    pieces = pieces_of(name)
    assert len(pieces) == 250
    assert all(20 <= length <= 100 for length, _ in pieces)
    ended(pieces, 150, least, used)


def ended(pieces: list[tuple[float, int]], stock: float, least: int, used: int) -> None:
    """See that a list ends in time with a plan that holds and a bound that is true."""
    began = time.process_time()
    plan = cut_lengths(pieces, stock)
    assert time.process_time() - began < AT_MOST_S
    holds(plan, pieces)
    assert plan.lower_bound <= least <= plan.stock_used <= used
    assert plan.proven == (plan.stock_used == plan.lower_bound)
    if used == least:
        assert plan.proven


@pytest.mark.long
@pytest.mark.parametrize(
    ("name", "count", "used"),
    [("t120_00", 120, 40), ("t501_00", 249, 84), ("t501_00", 501, 167)],
)
def test_triples_that_fill_their_stock_are_reached_or_the_gap_is_said(
    name: str, count: int, used: int
) -> None:
    """Three after three fill a stock to the last, so that the least is a third of their number.

    t249_00 is what t501_00 begins with.
    """
    pieces = pieces_of(name)[:count]
    assert len(pieces) == count
    assert all(
        sum(length for length, _ in pieces[i : i + 3]) == pytest.approx(100)
        for i in range(0, count, 3)
    )
    ended(pieces, 100, count // 3, used)


TRIPLES_OF_60 = (SETS / "t60.txt").read_text().splitlines()


@pytest.mark.parametrize("number", one_of(9, range(9)))
def test_sixty_pieces_in_triples_are_reached_and_proven(number: int) -> None:
    pieces = [(float(word), 1) for word in TRIPLES_OF_60[number].split()]
    assert len(pieces) == 60
    assert sum(length for length, _ in pieces) == pytest.approx(2000)
    ended(pieces, 100, 20, 20)


@pytest.mark.parametrize(
    ("name", "count", "least"), [("N1W1B1R0", 50, 18), ("N2W1B1R0", 100, 34), ("N3W1B1R0", 200, 67)]
)
def test_sets_of_three_to_a_stock_are_reached_and_proven(name: str, count: int, least: int) -> None:
    """Scholl's second data set: of 1000, pieces of 266 to 395, so that three go into one at most.

    The sum of the lengths alone would allow 17, 33 and 67.
    """
    pieces = pieces_of(name)
    assert len(pieces) == count
    began = time.process_time()
    plan = cut_lengths(pieces, 1000)
    assert time.process_time() - began < AT_MOST_S
    holds(plan, pieces)
    assert (plan.stock_used, plan.lower_bound, plan.proven) == (least, least, True)


@pytest.mark.long
@pytest.mark.parametrize(
    ("name", "least", "used"),
    [
        ("HARD0", 56, 56), ("HARD1", 57, 57), ("HARD2", 56, 56), ("HARD3", 55, 56),
        ("HARD4", 57, 57), ("HARD5", 56, 56), ("HARD6", 57, 57), ("HARD7", 55, 55),
        ("HARD8", 57, 57), ("HARD9", 56, 56),
    ],
)  # fmt: skip
def test_hard_sets_end_with_a_true_bound_and_the_gap_said(name: str, least: int, used: int) -> None:
    pieces = pieces_of(name)
    assert len(pieces) == 200
    began = time.process_time()
    plan = cut_lengths(pieces, 100_000)
    assert time.process_time() - began < AT_MOST_S
    holds(plan, pieces)
    # what length alone allows is one fewer in all but HARD2, HARD3 and HARD9
    assert plan.lower_bound <= least <= plan.stock_used <= used
    assert plan.lower_bound >= least - 1
    assert plan.proven == (plan.stock_used == plan.lower_bound)
