"""The parts of a search for the best floor, by hand: pieces of 1000 x 600, strips of 150."""

from __future__ import annotations

from typing import Any

import pytest
from shapely import box

from app.model.flooring import FloorLaying, Joints
from app.scene.build import build_scene
from app.takeoff.floor_lines import Grid
from app.takeoff.floor_region import THIRD, Start
from app.takeoff.floor_row_sums import Nearest, Summed, cut_rows
from app.takeoff.floor_rows import Row, RowCutter
from app.takeoff.floor_search import _patterns, _sites
from tests.builders import make_plan, make_room

GRID = Grid(1000, 600, 150)


def test_rows_are_added_up() -> None:
    # of two rows: one with a notch and a slit, one that begins and ends with a narrow strip
    one = Row(1, 0, 2, ((500, 600),), 700, 200, 1)
    other = Row(0, 2, 3, ((100, 600), (100, 600)), 1200, 100, 0)
    for rows in ([one, other], [other, one]):
        whole = Summed(rows)
        assert whole.sizes == ((100, 600), (100, 600), (500, 600))
        assert (whole.count, whole.narrow, whole.slits) == (5, 2, 1)
        # three are cut, and one of a row is notched besides
        assert (whole.cuts, whole.knife_mm, whole.least_mm) == (4, 1900, 100)


def test_places_come_the_nearest_first_across_the_end_of_a_piece() -> None:
    near = Nearest([500.0, 100.0, 950.0, 0.0], 1000)
    assert near.to(0) == [0, 950, 100, 500]
    assert near.to(980) == [0, 950, 100, 500]
    assert near.to(450) == [500, 100, 0, 950]
    assert near.to(450) is near.to(450)


@pytest.mark.parametrize(
    ("places", "phases", "narrow"),
    [
        # joints moved by 100 leave 100 at both ends of the second row: at 150 one narrow strip is
        # left of 3200, at 500 none
        ((0.0, 500.0, 150.0), (0, 500), 0),
        ((0.0, 150.0), (0, 150), 1),
        # in line with the row before it none is moved, nor as near to it as a strip is wide
        ((0.0, 140.0), (0, 100), 2),
        ((), (0, 100), 2),
        # of two with none the nearer one
        ((500.0, 300.0), (0, 300), 0),
    ],
)
def test_a_row_with_narrow_strips_takes_the_nearest_joint_that_has_fewer(
    places: tuple[float, ...], phases: tuple[float, ...], narrow: int
) -> None:
    cutter = RowCutter(box(0, 0, 3200, 1200), GRID)
    strips = [cutter.strip(0, 600), cutter.strip(600, 1200)]
    found, rows = cut_rows(cutter, strips, 0, 100, Nearest(places, 1000))
    assert found == phases
    assert [row.narrow for row in rows] == [0, narrow]


def test_rows_in_one_line_and_first_rows_lie_where_they_are_told_to() -> None:
    cutter = RowCutter(box(0, 0, 3200, 1200), GRID)
    strips = [cutter.strip(0, 600), cutter.strip(600, 1200)]
    near = Nearest([500.0], 1000)
    straight, _ = cut_rows(cutter, strips, 100, 0, near)
    assert straight == (100, 100)
    staggered, _ = cut_rows(cutter, strips, 100, 400, near)
    assert staggered == (100, 500)
    # beyond the end of a piece it is a joint of the next one
    onward, _ = cut_rows(cutter, strips, 700, 500, near)
    assert onward == (700, 200)


HALVES = [("staggered", 1 / 2, False), ("staggered", THIRD, False)]


@pytest.mark.parametrize(
    ("fields", "joints", "patterns"),
    [
        ({}, "staggered", HALVES),
        ({"kind": "board"}, "staggered", HALVES),
        ({"joints": "staggered"}, "staggered", HALVES),
        ({"stagger": 0.4}, "staggered", [("staggered", 0.4, False)]),
        ({"joints": "staggered", "stagger": 0.4}, "staggered", [("staggered", 0.4, False)]),
        ({"joints": "straight"}, "straight", [("straight", 0.0, False)]),
        ({"kind": "tile"}, "straight", [("straight", 0.0, False)]),
    ],
)
def test_joints_that_are_tried(
    fields: dict[str, Any], joints: Joints, patterns: list[tuple[str, float, bool]]
) -> None:
    laying = FloorLaying.model_validate({"id": "f", **fields})
    assert _patterns(laying, Start("back", False, True, joints)) == patterns


def test_a_wall_from_which_nothing_can_be_laid_hides_no_other() -> None:
    # 2016 x 2016 with a corner cut off: pieces of 40 x 40 are 2500 from the back wall; along the
    # slope the box round the room is 2800 x 2500, of which 4,000 pieces are too few
    corners = ((0, 0), (2016, 0), (2016, 1600), (1600, 2016), (0, 2016))
    scene = build_scene(make_plan(room=make_room(corners=corners)))
    laying = FloorLaying(id="f", length_mm=40, width_mm=40)
    slope, back = (Start(wall, False, True, "straight") for wall in ("w3", "w1"))
    for fronts in ((slope, back), (back, slope), (slope, back, slope)):
        assert [start for start, _ in _sites(scene, laying, fronts)] == [back]
