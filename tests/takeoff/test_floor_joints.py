"""Where joints may lie, by hand: pieces of 1000, strips of 150 at the least."""

from __future__ import annotations

import numpy as np
import pytest
import shapely

from app.takeoff.floor_joints import (
    Pattern,
    apart_mm,
    first_piece_mm,
    joint_within,
    narrow_strips,
    places_of_joints,
    stagger_mm,
    without_a_line,
)


@pytest.mark.parametrize(
    ("one", "other", "apart"),
    [(900, 100, 200), (100, 900, 200), (400, 100, 300), (600, 100, 500), (100, 3100, 0)],
)
def test_the_nearest_joints_of_two_lines(one: float, other: float, apart: float) -> None:
    assert apart_mm(one, other, 1000) == apart


@pytest.mark.parametrize(
    ("past", "first"),
    [
        (600, 600), (0, 1000), (1250, 250), (-300, 700), (333.33, 333.3),
        # less than half a millimetre is none
        (0.4, 1000), (0.6, 0.6), (999.4, 999.4), (999.6, 1000),
    ],
)  # fmt: skip
def test_a_whole_first_piece_is_whole(past: float, first: float) -> None:
    assert first_piece_mm(past, 1000) == first


@pytest.mark.parametrize(
    ("joint", "high", "within"),
    [
        (500, 800, True), (-500, 800, True), (900, 800, False), (0, 800, False),
        (0, 1200, True),
        # at either end within a millimetre it is that end
        (0, 1001, False), (0, 1002, True), (1, 800, False), (2, 800, True),
    ],
)  # fmt: skip
def test_a_joint_between_two_ends(joint: float, high: float, within: bool) -> None:
    assert joint_within(joint, 1000, 0, high) is within
    assert joint_within(joint + 70, 1000, 70, high + 70) is within


def test_head_joints_of_a_roll_are_never_in_one_line() -> None:
    straight_end: Pattern = ("straight", 0.0, False, 900.0)
    straight_line: Pattern = ("straight", 0.0, False, 500.0)
    staggered: Pattern = ("staggered", 0.5, False, 500.0)
    nothing: Pattern = ("staggered", 0.5, False, 900.0)
    ways = [straight_end, straight_line, staggered, nothing]
    assert without_a_line(ways, 1000, 0, 800) == [straight_end, staggered]
    assert without_a_line([straight_line, nothing], 1000, 0, 800) == []


def test_places_the_plain_one_first_and_each_once() -> None:
    region = shapely.box(0, 0, 2500, 600)
    # 8 as told; the ends 0 | 2500 and a least strip before and beyond them; half a piece at either
    # end; the middle of the floor, and of a piece there
    assert places_of_joints(region, 0, 1000, 150, 8, (0.0,), ()) == [
        8, 0, 500, 850, 150, 350, 650, 250, 750,
    ]  # fmt: skip
    # across it, 600 deep in pieces of 400; less than a millimetre apart is one place
    assert places_of_joints(region, 1, 400, 100, 0.2, (0.0,), ()) == [
        0.2, 200, 300, 100,
    ]  # fmt: skip


def test_a_stagger_and_the_middle_of_a_column_make_more_places() -> None:
    region = shapely.box(0, 0, 2000, 600)
    plain = places_of_joints(region, 0, 1000, 150, 0, (0.0,), ())
    assert plain == [0, 850, 150, 500]
    column = places_of_joints(region, 0, 1000, 150, 0, (0.0,), (1520,))
    assert column == [0, 850, 150, 500, 520]
    half = places_of_joints(region, 0, 1000, 150, 0, (0.0, -500.0), ())
    assert half == [0, 500, 850, 350, 150, 650]


def test_a_step_in_the_outline_is_an_edge_too() -> None:
    ell = shapely.Polygon([(0, 0), (2000, 0), (2000, 300), (1230, 300), (1230, 600), (0, 600)])
    places = places_of_joints(ell, 0, 1000, 150, 0, (0.0,), ())
    assert places == [0, 850, 150, 500, 230, 80, 380]


@pytest.mark.parametrize(
    ("edge", "strips"),
    [
        (2000, 0), (2100, 1), (2500, 0), (2900, 1),
        # a millimetre is none; of 149 it is wide enough
        (2001, 0), (2002, 1), (2148, 1), (2149, 0), (2851, 0), (2852, 1), (2998, 1), (2999, 0),
    ],
)  # fmt: skip
def test_a_strip_between_a_corner_and_a_joint(edge: float, strips: int) -> None:
    assert narrow_strips(np.array([edge]), np.array([0.0]), 1000, 150).tolist() == [strips]
    moved = narrow_strips(np.array([edge + 70]), np.array([3070.0]), 1000, 150)
    assert moved.tolist() == [strips]


def test_strips_are_counted_for_each_place() -> None:
    edges = np.array([0.0, 2100.0, 2950.0])
    assert narrow_strips(edges, np.array([0.0, 950.0, 500.0]), 1000, 150).tolist() == [2, 1, 0]


@pytest.mark.parametrize(
    ("stagger", "length", "on"),
    [
        (1 / 2, 1000, 500),
        (1 / 2, 609.6, 304.8),
        (0.3333, 1000, 333),
        (0.3333, 1830, 610),
        (0, 9, 0),
    ],
)
def test_rows_go_on_by_half_a_piece_or_by_whole_millimetres(
    stagger: float, length: float, on: float
) -> None:
    assert stagger_mm(stagger, length) == pytest.approx(on, abs=1e-9)
