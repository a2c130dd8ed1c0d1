"""Triangles between points: their circles are empty, whoever finds them (Delaunay 1934)."""

from collections.abc import Callable

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray

from app.scene.triangles import _MIXING, APART_MM, _first_of_alike, by_hull, triangles

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Ways = Callable[[Floats], tuple[Ints, Ints]]
SQUARE = [(-900.0, -900.0), (900.0, -900.0), (900.0, 900.0), (-900.0, 900.0)]
# on a grid, so that many lie on one circle and some coincide, or anywhere
GRID = st.tuples(*(st.integers(-4, 4).map(lambda step: 60.0 * step),) * 2)
ANYWHERE = st.tuples(*(st.floats(-240, 240, allow_nan=False).map(lambda at: round(at, 6)),) * 2)


@pytest.mark.parametrize("find", [triangles, by_hull])
@given(points=st.lists(GRID | ANYWHERE, max_size=40))
def test_circles_are_empty_and_sides_are_shared(
    find: Ways, points: list[tuple[float, float]]
) -> None:
    xy = np.array([*points, *SQUARE])
    corners, beyond = find(xy)
    shapes = shapely.polygons(xy[corners])
    assert shapely.area(shapes).sum() == pytest.approx(1800**2)
    for number, (three, others) in enumerate(zip(corners, beyond, strict=True)):
        a, b, c = (xy[i] for i in three)
        twice = 2 * ((b - a)[0] * (c - a)[1] - (b - a)[1] * (c - a)[0])
        bb, cc = ((b - a) ** 2).sum(), ((c - a) ** 2).sum()
        middle = a + np.array(
            [(c - a)[1] * bb - (b - a)[1] * cc, (b - a)[0] * cc - (c - a)[0] * bb]
        ) / (twice or 1.0)
        if abs(twice) > 1.0:
            assert (np.hypot(*(xy - middle).T) >= np.hypot(*(a - middle)) * (1 - 1e-6)).all()
        for corner, other in zip(three, others, strict=True):
            if other < 0:
                # only sides of the square have nothing beyond them
                assert {*three} - {corner} <= {*range(len(points), len(xy))}
                continue
            assert {*three} - {corner} <= {*corners[other]}
            assert number in beyond[other]


def test_points_that_coincide_are_one_corner() -> None:
    xy = np.array([*SQUARE, (0.0, 0.0), (0.0, 0.0), (0.0, 0.0)])
    corners, _ = triangles(xy)
    assert len(corners) == 4
    assert len({int(i) for i in corners.ravel() if i >= len(SQUARE)}) == 1


def test_points_that_share_their_number_are_told_apart() -> None:
    # 866988874 and 2056319178 steps of a millionth: mixed to one number they come to nought
    far = (-866.988874, 2056.319178)
    xy = np.array([(0.0, 0.0), far, (100.0, 0.0), (0.0, 0.0), far, (0.0, 100.0), (100.0, 0.0)])
    assert _first_of_alike(xy).tolist() == [0, 1, 2, 5]
    assert _first_of_alike(xy[[0, 2, 3, 5]]).tolist() == [0, 1, 3]
    x, y = (round(at / APART_MM) for at in far)
    assert (x * int(_MIXING) + y) % 2**64 == 0
