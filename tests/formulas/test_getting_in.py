"""Boxes through doors, round corners and up, against worked examples."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import affinity, box

from app.formulas.getting_in import (
    corner_length_mm,
    held_round,
    held_through,
    raised_length_mm,
    stood_up_mm,
)


def test_a_thin_length_round_a_corner() -> None:
    # corridors of 2 and 4: "about 8 and one third" in an article on moving sofas
    assert math.isclose(corner_length_mm(2000, 4000), 8323.9, abs_tol=0.5)
    # a ladder round a corner of 1 and 1: 2 x sqrt 2
    assert math.isclose(corner_length_mm(1000, 1000), 2828.4, abs_tol=0.1)
    # the same with a width of 450 in two corridors of 900: 2 x 900 x sqrt 2 less 2 x 450
    assert math.isclose(corner_length_mm(900, 900, 450), 1645.6, abs_tol=0.1)
    assert corner_length_mm(900, 900, 901) == 0
    # thicker than the narrower of two corridors, whichever comes first
    assert corner_length_mm(900, 2000, 901) == corner_length_mm(2000, 900, 901) == 0
    assert corner_length_mm(2000, 900, 100) > 0


def test_a_raised_box_round_a_corner() -> None:
    # a question on a mathematics site: 4.3 x 0.2 x 0.07 m, corridors 1.5 wide and 2.5 high; with
    # one end raised it covers 3.72 m and asks for 1.365 m of width, so it passes
    carried = (4300.0, 200.0, 70.0)
    covered = raised_length_mm(4300, 200, 2500)
    assert math.isclose(covered, 3721.2, abs_tol=0.5)
    assert math.isclose((70 + covered / 2) / math.sqrt(2), 1365, abs_tol=1)
    assert held_round(carried, 1500, 1500, 2500) is not None
    assert held_round(carried, 1366, 1366, 2500) is not None
    assert held_round(carried, 1364, 1364, 2500) is None
    # flat it does not pass: 2 x 1500 x sqrt 2 - 2 x 70 = 4103
    assert held_round(carried, 1500, 1500, 200) is None


def test_doors() -> None:
    assert held_through((2000, 950, 450), 762, 1981) is not None
    assert held_through((1000, 800, 800), 762, 1981) is None
    # exactly as large as the door passes, a hair more does not
    assert held_through((2500, 1981, 762), 762, 1981) is not None
    assert held_through((2500, 1981, 762.1), 762, 1981) is None
    # Carver 1957: 1 wide, so thin as to lie on the diagonal of a square of 1: it passes tilted
    assert held_through((3000, 1400, 10), 1000, 1000) is not None
    assert held_through((3000, 1415, 10), 1000, 1000) is None


@pytest.mark.parametrize(
    ("height", "depth", "swept"),
    # common practice: under 2310 a thing 800 deep stands up to 2165 high; a rack of 2000 x 1250
    # has a diagonal of 2358 and is built upright
    [(2165, 800, 2308), (2000, 1250, 2358)],
)
def test_standing_up(height: float, depth: float, swept: float) -> None:
    assert math.isclose(stood_up_mm(height, depth), swept, abs_tol=1)


@given(st.floats(600, 2000), st.floats(600, 2000), st.floats(50, 550))
def test_the_corner_by_turning_a_rectangle(one: float, other: float, thick: float) -> None:
    # the longest rectangle touches both outer walls and clears the inner corner at every angle
    length = corner_length_mm(one, other, thick)
    short = _clears_at_every_angle(length - 2, one, other, thick)
    long = _clears_at_every_angle(length * 1.01 + 2, one, other, thick)
    assert short
    assert not long


def _clears_at_every_angle(length: float, one: float, other: float, thick: float) -> bool:
    # outer walls along x = 0 and y = 0, inner corner at (one, other) and beyond
    inner = box(one, other, 20_000, 20_000)
    for degrees in range(1, 90):
        turn = math.radians(degrees)
        # its long outer side lies between the two outer walls
        start, end = (0.0, length * math.sin(turn)), (length * math.cos(turn), 0.0)
        flat = box(0, 0, length, thick)
        placed = affinity.rotate(flat, -degrees, origin=(0, 0))
        placed = affinity.translate(placed, *start)
        corners = shapely.get_coordinates(placed)
        assert math.isclose(corners[:, 0].min(), 0, abs_tol=1e-6)
        assert any(math.dist(corner, end) < 1e-6 for corner in corners)
        if placed.intersection(inner).area > 1e-3:
            return False
    return True


@given(st.floats(100, 3000), st.floats(100, 3000), st.floats(500, 2500), st.floats(0, 300))
def test_a_wider_way_never_stops_more(p: float, q: float, width: float, more: float) -> None:
    carried = (p, q, 300.0)
    if held_through(carried, width, 2000) is not None:
        assert held_through(carried, width + more, 2000) is not None
    if held_round(carried, width, 900, 2000) is not None:
        assert held_round(carried, width + more, 900, 2000) is not None


def _tilts_through(p: float, q: float, width: float, height: float) -> bool:
    """Try every tenth of a degree: a rectangle tilted by t is p cos t + q sin t wide."""
    turns = np.radians(np.arange(0, 90.05, 0.1))
    wide = p * np.cos(turns) + q * np.sin(turns)
    high = p * np.sin(turns) + q * np.cos(turns)
    return bool(((wide <= width) & (high <= height)).any())


@given(st.floats(50, 3000), st.floats(50, 3000), st.floats(300, 2500), st.floats(300, 2500))
def test_the_tilt_in_a_door_by_trying_every_angle(
    p: float, q: float, width: float, height: float
) -> None:
    # 0.2 % is what a tenth of a degree can miss
    passes = held_through((9000, p, q), width, height) is not None
    if _tilts_through(p, q, width * 0.998, height * 0.998):
        assert passes
    if passes:
        assert _tilts_through(p, q, width * 1.002, height * 1.002)


@pytest.mark.parametrize(
    ("p", "q", "passes"),
    [
        # by hand, in a square of 1000 a rectangle lies best at 45 degrees: p + q <= 1414.2
        (1300, 114, True),
        (1300, 115, False),
        (1100, 314, True),
        (1100, 315, False),
    ],
)
def test_a_rectangle_in_a_square_by_carver(p: float, q: float, passes: bool) -> None:
    assert (held_through((3000, p, q), 1000, 1000) is not None) is passes


def test_a_rectangle_in_a_door_by_carver() -> None:
    # a door of 762 x 1981 and a sheet 20 thick and 2100 wide: it must lie so that its height
    # 2100 cos t + 20 sin t is 1981, t = 19.9 degrees; 2100 sin t + 20 cos t is then 735 wide
    # (by hand); 60 thick it comes to 805
    assert held_through((2500, 2100, 20), 762, 1981) is not None
    assert held_through((2500, 2100, 60), 762, 1981) is None


@given(st.floats(300, 6000), st.floats(20, 1500), st.floats(1000, 3000))
def test_the_raised_end_by_trying_every_angle(length: float, thick: float, height: float) -> None:
    # raised by t it is L sin t + T cos t high and L cos t + T sin t long; it may be raised till
    # it touches, and stands upright where it can
    found = raised_length_mm(length, thick, height)
    turns = np.radians(np.arange(0, 90.001, 0.01))
    high = length * np.sin(turns) + thick * np.cos(turns)
    long = length * np.cos(turns) + thick * np.sin(turns)
    if length <= height:
        assert found == thick
    elif thick > height:
        assert math.isinf(found)
    else:
        # from flat up to the first angle at which it touches
        touching = int(np.argmax(high > height)) if (high > height).any() else len(turns)
        assert math.isclose(found, float(long[max(0, touching - 1)]), rel_tol=0.002, abs_tol=2)


def test_a_raised_end_by_hand() -> None:
    # 4 m of no thickness under 2 m: 30 degrees, 4 cos 30 = 3.4641 m
    assert math.isclose(raised_length_mm(4000, 0, 2000), 3464.1, abs_tol=0.1)
    assert raised_length_mm(2000, 300, 2000) == 300


def test_carried_on_without_turning() -> None:
    # 3095 x 600 fits sideways in a corridor of 3100 and endways in one of 600, exactly; turned
    # it would not pass: at 5.6 degrees 600 / sin + 3100 / cos - 600 / (sin cos) is 3085
    carried = (3095.0, 600.0, 100.0)
    assert corner_length_mm(600, 3100, 600) < 3095
    assert held_round(carried, 600, 3100, 500) is not None
    assert held_round(carried, 3100, 600, 500) is not None
    assert held_round(carried, 599, 3100, 500) is None
    # under a ceiling as high as it is thick no end is raised
    assert held_round(carried, 600, 3094, 100) is None


def test_on_edge_and_on_end() -> None:
    # 2000 x 1000 x 100: flat 2 x 700 x sqrt 2 - 2 x 1000 is under 0; on edge 2 x 700 x sqrt 2
    # - 2 x 100 = 1780 under a ceiling of 1100; on end 1000 long where the ceiling allows 2000
    assert held_round((2000, 1000, 100), 700, 700, 1100) is None
    assert held_round((1700, 1000, 100), 700, 700, 1100) is not None
    assert held_round((2000, 1000, 100), 700, 700, 2000) is not None
    # too high for every way: 1000 on edge under 950, 2000 on end
    assert held_round((1700, 1000, 100), 700, 700, 90) is None


@pytest.mark.parametrize(
    ("width", "height", "held"),
    [
        # flat it is 950 wide and 450 high, on its long edge 450 wide and 950 high
        (1000, 1981, "flat"),
        (950, 450, "flat"),
        (600, 1981, "on its long edge"),
        (450, 950, "on its long edge"),
        (449, 449, None),
    ],
)
def test_how_a_box_is_held_in_a_door(width: float, height: float, held: str | None) -> None:
    assert held_through((2000, 950, 450), width, height) == held


def test_how_a_box_is_held_round_a_corner() -> None:
    # on end it is turned as 950 x 450, and stands 2000 high
    carried = (2000.0, 950.0, 450.0)
    assert held_round(carried, 1100, 1100, 2400) == "on its long edge"
    assert held_round(carried, 960, 960, 2000) == "on end"
    assert held_round(carried, 800, 800, 1950) is None
    # a sheet as high as the ceiling goes on edge, and a longer one with an end raised
    assert held_round((2000, 1000, 100), 2000, 2000, 100) == "flat"
    # 2 x 1500 x root 2 less 2 x 70 is 4103: 4300 passes with an end raised, 4100 without
    assert held_round((4300, 200, 70), 1500, 1500, 2500) == "with one end raised"
    assert held_round((4100, 200, 70), 1500, 1500, 2500) == "on its long edge"
    assert held_through((2500, 2100, 20), 762, 1981) == "tilted"


@pytest.mark.parametrize(("one", "other"), [(6000, 600), (600, 6000), (9000, 450)])
def test_a_thin_length_between_a_wide_and_a_narrow_corridor(one: float, other: float) -> None:
    # (a^(2/3) + b^(2/3))^(3/2), at an angle whose tangent is the cube root of a / b
    expected = (one ** (2 / 3) + other ** (2 / 3)) ** 1.5
    assert math.isclose(corner_length_mm(one, other), expected, abs_tol=0.5)


def test_what_is_thicker_than_the_room_is_high_is_never_short() -> None:
    assert raised_length_mm(3000, 500, 400) == math.inf
