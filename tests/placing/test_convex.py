"""Sums of outlines: against the slow and plain way of making them."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import MultiPoint, Polygon
from shapely.geometry.base import BaseGeometry

from app.placing.convex import below, grown, meeting, rings

coordinate = st.integers(-500, 500).map(float)
points = st.lists(st.tuples(coordinate, coordinate), min_size=3, max_size=8, unique=True)


def hull(corners: list[tuple[float, float]]) -> Polygon | None:
    made = MultiPoint(corners).convex_hull
    return made if isinstance(made, Polygon) and made.area > 1 else None


@given(points, points)
def test_a_sum_is_the_hull_of_all_differences(
    one: list[tuple[float, float]], other: list[tuple[float, float]]
) -> None:
    a, b = hull(one), hull(other)
    if a is None or b is None:
        return
    (ring_a,), (ring_b,) = rings(a), rings(b)
    (made,) = meeting([ring_a], [ring_b], np.array([0]), np.array([0]))
    every = (ring_a[:, None, :] - ring_b[None, :, :]).reshape(-1, 2)
    plain = MultiPoint(every).convex_hull
    assert made.is_valid
    assert made.symmetric_difference(plain).area <= 1e-6 * plain.area


@pytest.mark.parametrize(
    "shape",
    [
        Polygon([(0, 0), (4, 0), (4, 1), (1, 1), (1, 3), (0, 3)]),
        Polygon([(0, 0), (9, 0), (9, 9), (0, 9)], [[(3, 3), (6, 3), (6, 6), (3, 6)]]),
        shapely.MultiPolygon([shapely.box(0, 0, 1, 1), shapely.box(5, 0, 6, 2)]),
    ],
    ids=["an L", "with a hole", "in two"],
)
def test_convex_parts_make_up_the_whole(shape: BaseGeometry) -> None:
    parts = [Polygon(ring) for ring in rings(shape)]
    assert all(part.convex_hull.area == pytest.approx(part.area) for part in parts)
    assert shapely.union_all(parts).symmetric_difference(shape).area == pytest.approx(0, abs=1e-9)
    assert sum(part.area for part in parts) == pytest.approx(shape.area)


def test_what_is_below_a_height_under_a_slope() -> None:
    """1500 high at x = 0 and rising 1 in 2: under 2000 as far as x = 1000."""
    (ring,) = rings(shapely.box(0, 0, 3000, 1000))
    part = below(ring, (1500, 0.5, 0), 2000)
    assert part is not None
    assert Polygon(part).bounds == pytest.approx((0, 0, 1000, 1000))
    assert below(ring, (1500, 0.5, 0), 1500) is None
    assert below(ring, (1500, 0.5, 0), 4000) is ring


def test_sides_that_meet_but_for_rounding_have_no_mitre_far_off() -> None:
    # two corners a ten-millionth of a millionth apart, as sums of outlines have them
    shape = Polygon(
        [
            (84.00000000000011, 994.0),
            (113.88286744939387, -1023.9999999999999),
            (113.8828674493935, -1024.0),
            (53.8828674493935, -1024.0),
        ]
    )
    wider = grown(shape, 0.015)
    assert wider.is_valid
    assert wider.covers(shape)
    assert wider.hausdorff_distance(shape) < 1
