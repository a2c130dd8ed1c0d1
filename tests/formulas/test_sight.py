"""Screens and angles against worked examples."""

import math

import pytest

from app.formulas import sight


@pytest.mark.parametrize(("angle", "distance"), [(30, 2685), (40, 1977)])
def test_screen_distance(angle: float, distance: float) -> None:
    # 65 in 16:9 is 1439 mm wide: an article prints 2.69 m for 30 degrees; 40 degrees by hand
    assert math.isclose(sight.distance_mm(1439, angle), distance, abs_tol=1)
    assert math.isclose(sight.angle_deg(1439, distance), angle, abs_tol=0.02)


@pytest.mark.parametrize(("angle", "ratio"), [(26, 2.166), (30, 1.866), (36, 1.539), (40, 1.374)])
def test_screen_distance_over_width(angle: float, ratio: float) -> None:
    # two audio and video articles print 2.2, 1.9, 1.54 and 1.4
    assert math.isclose(sight.distance_mm(1000, angle) / 1000, ratio, abs_tol=0.001)


def test_angles_aside_and_up() -> None:
    assert math.isclose(sight.turned_aside_deg((0, -1), (1, -1)), 45)
    assert math.isclose(sight.turned_aside_deg((0, -1), (0, 1)), 180)
    assert math.isclose(sight.up_deg(1600, 2100, 1866.03), 15, abs_tol=0.001)


def test_below_the_eye_is_down() -> None:
    # 1 down on 1 away is 45 degrees
    assert math.isclose(sight.up_deg(1600, 600, 1000), -45)


def test_angles_on_either_side_are_alike() -> None:
    # facing along (1, 0), things at 30 degrees (sqrt 3, 1) to the left and to the right, behind
    root = math.sqrt(3)
    for x, y, degrees in ((root, 1, 30), (root, -1, 30), (1, root, 60), (-root, 1, 150)):
        assert math.isclose(sight.turned_aside_deg((1, 0), (x, y)), degrees)
        assert math.isclose(sight.turned_aside_deg((0, 2), (-y, x)), degrees)
    # facing along (1, 1), a thing along (1, 0): 45 degrees
    assert math.isclose(sight.turned_aside_deg((1, 1), (1, 0)), 45)
    # (1, 2) . (3, 1) is 5, (1, 2) x (3, 1) is -5: 45 degrees too, with no axis in it
    assert math.isclose(sight.turned_aside_deg((1, 2), (3, 1)), 45)


def test_the_diagonal_of_a_screen() -> None:
    # 16 : 9, so 1600 wide is 900 high: the root of 1600 and 900 squared
    assert math.isclose(sight.diagonal_mm(1600, 9 / 16), 1835.76, abs_tol=0.01)
