"""Published hard cutting sets: the least is reached, or the gap is said, and every list ends.

Where the lengths and the least stock come from is said beside the files, in cutting/README.md.
"""

from __future__ import annotations

import time
from pathlib import Path

import pytest

from app.takeoff.cutting_1d import cut_lengths
from tests.takeoff.test_cutting_1d import holds

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
