"""What outlines share and how they are cut, beside what the geometry library says."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import Polygon

from app.drawing.picture_clip import area_of, halved, halves, on_side, parted, quads_of, shared

CORNER = st.tuples(st.integers(-900, 900), st.integers(-900, 900))
FOUR = st.lists(CORNER, min_size=4, max_size=4)


def convex(points: list[tuple[int, int]]) -> Polygon | None:
    hull = shapely.MultiPoint(points).convex_hull
    if isinstance(hull, Polygon) and len(hull.exterior.coords) == 5 and hull.area > 1:
        return hull
    return None


@given(FOUR, FOUR)
def test_two_quads_share_what_the_library_says(
    one: list[tuple[int, int]], other: list[tuple[int, int]]
) -> None:
    a, b = convex(one), convex(other)
    if a is None or b is None:
        return
    quads, four_sided = quads_of(np.array([a, shapely.reverse(b)], dtype=object))
    assert four_sided.all()
    corners, there = shared(quads[:1], quads[1:])
    common = shapely.intersection(a, b)
    area = float(area_of(corners)[0]) if there.any() else 0.0
    assert area == pytest.approx(common.area, abs=1e-6 * max(1.0, a.area))
    if common.area > 1:
        x0, y0, x1, y1 = common.bounds
        assert corners[0].min(axis=0) == pytest.approx((x0, y0), abs=1e-6)
        assert corners[0].max(axis=0) == pytest.approx((x1, y1), abs=1e-6)


@given(FOUR, FOUR, st.floats(0, 2 * math.pi), st.floats(-400, 400))
def test_what_is_shared_is_parted_by_a_line(
    one: list[tuple[int, int]], other: list[tuple[int, int]], turn: float, off: float
) -> None:
    a, b = convex(one), convex(other)
    if a is None or b is None:
        return
    common = shapely.intersection(a, b)
    if common.area < 1:
        return
    quads, _ = quads_of(np.array([a, b], dtype=object))
    corners, there = shared(quads[:1], quads[1:])
    way = np.array([math.cos(turn), math.sin(turn)])
    more, less = (float(each[0]) for each in parted(corners, there, corners @ way - off))
    on, along = way * off, np.array([-way[1], way[0]])
    half = Polygon([on - along * 5e3, on + along * 5e3, on + (along + way) * 5e3,
                    on + (way - along) * 5e3])  # fmt: skip
    assert more == pytest.approx(common.intersection(half).area, abs=1e-3)
    assert more + less == pytest.approx(common.area, abs=1e-3)


def test_what_is_no_convex_quad_is_told() -> None:
    dent = Polygon([(0, 0), (100, 0), (20, 20), (0, 100)])
    flats = [shapely.box(0, 0, 1, 1), dent, Polygon([(0, 0), (1, 0), (0, 1)]),
             shapely.MultiPolygon([shapely.box(0, 0, 1, 1)])]  # fmt: skip
    assert quads_of(np.array(flats, dtype=object))[1].tolist() == [True, False, False, False]


def test_quads_apart_share_nothing() -> None:
    quads, _ = quads_of(
        np.array([shapely.box(0, 0, 9, 9), shapely.box(20, 0, 29, 9)], dtype=object)
    )
    corners, there = shared(quads[:1], quads[1:])
    assert not there.any() or area_of(corners)[0] == 0


def test_a_ring_cut_more_than_once_is_left_to_the_library() -> None:
    comb = [(0.0, 0.0), (60.0, 0.0), (60.0, 30.0), (40.0, 30.0), (40.0, 10.0), (20.0, 10.0),
            (20.0, 30.0), (0.0, 30.0)]  # fmt: skip
    assert halved(comb, [y - 20 for _, y in comb]) is None
    more, less = halves(Polygon(comb), np.array([-20.0, 0.0, 1.0]))
    assert more is not None
    assert less is not None
    assert more.area == pytest.approx(400)
    assert less.area == pytest.approx(1000)


def test_strokes_end_a_little_past_the_line_they_are_cut_at() -> None:
    edges = np.array(
        [[[0.0, 0.0], [100.0, 0.0]], [[0.0, 5.0], [30.0, 5.0]], [[70.0, 0.0], [90.0, 9.0]]]
    )
    left = on_side(edges, np.array([50.0, -1.0, 0.0]))
    assert left.tolist() == [[[0.0, 0.0], [51.0, 0.0]], [[0.0, 5.0], [30.0, 5.0]]]
