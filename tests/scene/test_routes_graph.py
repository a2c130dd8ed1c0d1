"""Outlines as points with their neighbours: by hand."""

from __future__ import annotations

import numpy as np
import shapely

from app.scene.routes_graph import sampled

SQUARE = shapely.box(0, 0, 100, 100).exterior
LINE = shapely.LineString([(300, 0), (500, 0)])


def test_a_ring_goes_round_and_a_line_ends() -> None:
    lines = np.array([SQUARE, LINE], dtype=object)
    samples = sampled(lines, np.array([7, 9], dtype=np.intp), 1000)
    # four corners once, though a ring names its first twice; then the two ends of the line
    assert len(samples.xy) == 6
    assert samples.owner.tolist() == [7, 7, 7, 7, 9, 9]
    assert samples.xy[4:].tolist() == [[300, 0], [500, 0]]
    assert samples.before.tolist() == [3, 0, 1, 2, 4, 4]
    assert samples.after.tolist() == [1, 2, 3, 0, 5, 5]
    assert samples.spacing_mm == 1000


def test_no_gap_is_wider_than_the_spacing_and_each_point_knows_its_neighbours() -> None:
    lines = np.array([LINE, SQUARE, LINE], dtype=object)
    samples = sampled(lines, np.array([1, 2, 3], dtype=np.intp), 60)
    # 200 in four of 50, twice; each side of 100 in two
    assert samples.owner.tolist() == [1] * 5 + [2] * 8 + [3] * 5
    steps = np.hypot(*(samples.xy[samples.after] - samples.xy).T)
    ends = [4, 17]
    assert {round(float(step)) for i, step in enumerate(steps) if i not in ends} == {50}
    assert samples.after[ends].tolist() == ends
    assert samples.before[[0, 13]].tolist() == [0, 13]
    inner = [i for i in range(len(steps)) if i not in ends]
    assert samples.before[samples.after[inner]].tolist() == inner


def test_no_outline_has_no_points() -> None:
    samples = sampled(np.zeros(0, dtype=object), np.zeros(0, dtype=np.intp), 60)
    assert (len(samples.xy), len(samples.before), len(samples.after)) == (0, 0, 0)
