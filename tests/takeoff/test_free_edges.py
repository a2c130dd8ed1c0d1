"""Edges that somebody walks over, by hand: along a wall or a thing that stays none is free."""

from typing import Any

import pytest
from shapely import LineString, box

from app.model.kit import Piece
from app.model.room import Opening
from app.takeoff.free_edges import _by_height, free_edges
from tests.builders import column, make_room, place, rectangle
from tests.takeoff.making import scene_of

HALF = rectangle(0, 0, 2500, 5000)


def door(kind: str = "hinged", **fields: Any) -> Opening:
    given = {"id": "d", "wall": "back", "kind": kind, "offset_mm": 2000, "width_mm": 900}
    return Opening.model_validate({**given, "height_mm": 2000, **fields})


def edges(
    *pieces: Piece, zones: Any = (), openings: Any = (), columns: Any = (), **laid: Any
) -> Any:
    floors = [{"id": f"f{i}", "zone": zone, **laid} for i, zone in enumerate(zones)]
    room = make_room(openings=openings, columns=columns)
    return free_edges(scene_of(*pieces, room=room, floors=floors))


def test_at_a_door_the_edge_is_free_and_along_walls_and_windows_it_is_not() -> None:
    assert edges().is_empty
    assert edges(openings=[door("window", sill_mm=900, height_mm=600)]).is_empty
    # 900 wide at the back wall from 2000 on, the posts of the door left and right of it
    free = edges(openings=[door()])
    assert free.length == pytest.approx(900, abs=5)
    assert free.bounds == pytest.approx((2000, 0, 2900, 0), abs=5)


def test_the_edge_in_the_room_is_free_up_to_the_walls() -> None:
    # the floor ends at 2500, and 8 off either wall: so far goes the strip
    free = edges(zones=[HALF])
    assert free.length == pytest.approx(5000 - 16, abs=1)
    assert free.bounds == pytest.approx((2500, 8, 2500, 4992), abs=1)
    assert edges(zones=[HALF], gap_mm=70).length == pytest.approx(5000 - 140, abs=1)


def test_floors_that_meet_have_no_edge_between_them() -> None:
    other = rectangle(2500, 0, 5000, 5000)
    assert edges(zones=[HALF, other]).is_empty
    # 40 apart are bridged, 60 are not
    near, far = rectangle(2540, 0, 5000, 5000), rectangle(2560, 0, 5000, 5000)
    assert edges(zones=[HALF, near]).is_empty
    assert edges(zones=[HALF, far]).length == pytest.approx(2 * (5000 - 16), abs=1)


def test_columns_and_what_stays_stop_a_foot() -> None:
    # in the edge at 2500 a column of 400 and a freezer of 600 deep, each with 8 either side
    nib = column(rectangle(2300, 1000, 2700, 1400))
    freezer = place("chest-freezer", 2500, 3300, width=900, depth=600, stays=True)
    whole = 5000 - 16
    assert edges(zones=[HALF], columns=[nib]).length == pytest.approx(whole - 416, abs=1)
    assert edges(freezer, zones=[HALF]).length == pytest.approx(whole - 616, abs=1)
    assert edges(freezer, zones=[HALF]).intersection(box(0, 2992, 5000, 3608)).length < 1
    moved = freezer.model_copy(update={"stays": False})
    assert edges(moved, zones=[HALF]).length == pytest.approx(whole, abs=1)


def test_what_cannot_be_laid_has_no_edge() -> None:
    crossed = ((0, 0), (1000, 1000), (1000, 0), (0, 1000))
    assert edges(zones=[HALF, crossed]).length == pytest.approx(5000 - 16, abs=1)
    assert edges(zones=[crossed]).is_empty


def test_an_edge_away_from_every_wall_is_free_all_round() -> None:
    # 1 m x 2 m in the middle of the room
    assert edges(zones=[rectangle(2000, 1500, 3000, 3500)]).length == pytest.approx(6000, abs=1)


def test_no_strip_lies_at_what_is_let_in() -> None:
    platform = place("platform", 2500, 2500, width=2000, depth=1830, height=40)
    assert edges(platform, zones=[()], flush=("platform",)).is_empty
    # at the end of a zone the strip goes up to it: 5000 less 8 at either wall and 2000
    half = rectangle(0, 0, 5000, 2500)
    assert edges(platform, zones=[half], flush=("platform",)).length == pytest.approx(2984, abs=1)


def test_what_cannot_be_laid_hides_no_other_and_takes_no_part_in_the_gap() -> None:
    crossed = ((0, 0), (1000, 1000), (1000, 0), (0, 1000))
    assert edges(zones=[crossed, HALF]).length == pytest.approx(5000 - 16, abs=1)
    # of two floors the wider gap counts at both: 70 from the walls, and 8
    other = rectangle(3500, 0, 5000, 5000)
    floors = [{"id": "a", "zone": HALF, "gap_mm": 70}, {"id": "b", "zone": other}]
    free = free_edges(scene_of(room=make_room(), floors=floors))
    assert free.length == pytest.approx(5000 - 140 + 5000 - 16, abs=1)


@pytest.mark.parametrize("apart", [40, 50, 51.5, 52.5, 60])
def test_floors_that_nearly_meet_have_no_edge_between_them(apart: float) -> None:
    # 50 are left bare at a wall (common practice, no source), and 2 for what a cut errs
    zones = [HALF, rectangle(2500 + apart, 0, 5000, 5000)]
    assert edges(zones=zones).is_empty is (apart < 52)


def test_an_edge_between_two_columns_ends_at_both() -> None:
    # columns from 1000 to 1400 and from 3000 to 3400 in the edge, 8 round each
    nibs = [column(rectangle(2300, y, 2700, y + 400), f"c{y}") for y in (1000, 3000)]
    free = edges(zones=[HALF], columns=nibs)
    ys = sorted(part.bounds[1::2] for part in free.geoms)
    assert ys == [pytest.approx(span, abs=1) for span in ((8, 992), (1408, 2992), (3408, 4992))]


@pytest.mark.parametrize(("offset", "width"), [(2000, 900), (300, 700), (60, 800)])
def test_an_edge_at_a_door_ends_at_its_posts(offset: float, width: float) -> None:
    # along the wall beside the door nobody walks over it
    free = edges(openings=[door(offset_mm=offset, width_mm=width)])
    (part,) = free.geoms
    assert part.bounds == pytest.approx((offset, 0, offset + width, 0), abs=2)


def test_an_edge_that_no_covering_reaches_goes_with_the_nearest() -> None:
    coverings = {20.0: box(0, 0, 1000, 900), 10.0: box(0, 1200, 1000, 2000)}
    across = LineString([(0, 1000), (1000, 1000)])
    ((line, high),) = _by_height(across, coverings)
    assert (line, high) == (across, 20)
    ((_, high),) = _by_height(LineString([(0, 1100), (1000, 1100)]), coverings)
    assert high == 10


def test_an_edge_is_parted_where_the_covering_beside_it_changes() -> None:
    # 20 along the first 400, nothing to 600, 10 on; of two over one another the first one
    coverings = {20.0: box(0, 0, 400, 1000), 10.0: box(600, 0, 1000, 1000)}
    across = LineString([(0, 1000), (1000, 1000)])
    parts = [(line.bounds[0], line.bounds[2], high) for line, high in _by_height(across, coverings)]
    assert [high for *_, high in parts] == [20, 10]
    assert [x for part in parts for x in part[:2]] == pytest.approx([0, 600, 600, 1000], abs=3)
    over = {20.0: box(0, 0, 1000, 1000), 10.0: box(200, 0, 800, 1000)}
    ((line, high),) = _by_height(across, over)
    assert (line.length, high) == (1000, 20)
