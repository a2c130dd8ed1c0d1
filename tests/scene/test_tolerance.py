"""Touching is not overlapping: half a millimetre off each of two, a millimetre between them."""

import numpy as np
import pytest
import shapely
from shapely import box

from app.scene.tolerance import cores, enough_mm, falls_short, heights_meet


def test_cores_are_drawn_in_by_half_a_millimetre_and_slivers_stay() -> None:
    sliver = box(0, 0, 0.8, 500)
    given = np.array([box(0, 0, 100, 50), sliver, box(0, 0, 1.2, 500)], dtype=object)
    whole, kept, thin = cores(given)
    assert whole.bounds == (0.5, 0.5, 99.5, 49.5)
    assert kept.equals(sliver)
    assert thin.bounds == pytest.approx((0.5, 0.5, 0.7, 499.5))
    assert shapely.is_empty(cores(np.array([box(0, 0, 10, 10)], dtype=object))).sum() == 0


def test_two_that_touch_do_not_meet_and_two_that_overlap_by_two_do() -> None:
    for overlap, meet in ((0, False), (0.9, False), (2, True)):
        one, other = cores(np.array([box(0, 0, 100, 50), box(100 - overlap, 0, 200, 50)]))
        assert bool(shapely.intersects(one, other)) is meet


def test_a_measure_falls_short_by_more_than_half_a_millimetre() -> None:
    """What is told in whole millimetres is short where it is told as less: 999 of 1000."""
    measured = np.array([998.9, 999, 999.4, 999.5, 1000, 1001])
    short = [True, True, True, False, False, False]
    assert [falls_short(mm, 1000) for mm in measured.tolist()] == short
    assert falls_short(measured, 1000).tolist() == short
    assert falls_short(999, measured).tolist() == [False, False, False, False, True, True]
    assert [mm < enough_mm(1000) for mm in measured.tolist()] == short


@pytest.mark.parametrize(
    ("low", "high", "meet"),
    [(1000, 2000, False), (999, 2000, False), (998.9, 2000, True), (0, 500, False),
     (0, 501, False), (0, 501.1, True), (600, 700, True), (0, 3000, True)],
)  # fmt: skip
def test_heights_meet_where_they_share_more_than_a_millimetre(
    low: float, high: float, meet: bool
) -> None:
    def one(value: float) -> np.ndarray[tuple[int], np.dtype[np.float64]]:
        return np.array([value], dtype=np.float64)

    for order in ((500, 1000, low, high), (low, high, 500, 1000)):
        assert heights_meet(*map(one, order)).tolist() == [meet]
