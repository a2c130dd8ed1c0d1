"""Samples on outlines put together and moved to their places, by hand."""

from __future__ import annotations

import numpy as np
import pytest

from app.scene.build import build_scene
from app.scene.outlines import SAMPLE_MM, outline_of, together
from app.scene.routes_graph import Samples
from tests.builders import make_plan, place


def samples(*points: tuple[float, float], spacing: float = 10) -> Samples:
    """A closed outline: each point has the one before and the one after it."""
    numbers = np.arange(len(points), dtype=np.intp)
    return Samples(
        np.array(points, dtype=np.float64),
        np.roll(numbers, 1),
        np.roll(numbers, -1),
        np.zeros(len(points), dtype=np.intp),
        spacing,
    )


def test_each_is_moved_and_its_neighbours_are_counted_on() -> None:
    parts = [samples((0, 0), (1, 0), (1, 1)), samples((5, 5), (6, 5), spacing=20)]
    whole = together(parts, np.array([(100.0, 0.0), (0.0, 200.0)]), np.array([3, 7], dtype=np.intp))
    assert whole.xy.tolist() == [[100, 0], [101, 0], [101, 1], [5, 205], [6, 205]]
    assert whole.before.tolist() == [2, 0, 1, 4, 3]
    assert whole.after.tolist() == [1, 2, 0, 4, 3]
    assert whole.owner.tolist() == [3, 3, 3, 7, 7]
    assert whole.spacing_mm == 20


@pytest.mark.parametrize("kit", ["flat-bench", "mid-rack", "bike"])
def test_an_outline_runs_round_what_stands_and_nowhere_else(kit: str) -> None:
    shape = build_scene(make_plan(place(kit))).placed[kit].shape
    every = outline_of(shape, bytes([1] * len(shape.cores)))
    assert every.spacing_mm <= SAMPLE_MM
    # about its middle, half a millimetre within the thing
    low_x, low_y, high_x, high_y = shape.footprint.bounds
    assert every.xy.min(axis=0) == pytest.approx((low_x, low_y), abs=0.6)
    assert every.xy.max(axis=0) == pytest.approx((high_x, high_y), abs=0.6)
    # of one solid alone it is that solid's outline
    one = outline_of(shape, bytes([1] + [0] * (len(shape.cores) - 1)))
    x0, y0, x1, y1 = shape.cores[0].bounds
    assert one.xy.min(axis=0) == pytest.approx((x0, y0), abs=0.01)
    assert one.xy.max(axis=0) == pytest.approx((x1, y1), abs=0.01)
    # neighbours are mutual, and so near to one another as is told
    assert (every.after[every.before] == np.arange(len(every.xy))).all()
    steps = np.hypot(*(every.xy[every.after] - every.xy).T)
    assert 0 < steps.max() <= every.spacing_mm
