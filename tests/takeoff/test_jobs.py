"""What is done to a room, measured by hand in rooms of 5 x 5 m and 4 x 3 m."""

from __future__ import annotations

from typing import Any

import pytest

from app.takeoff.jobs import Jobs, jobs_of
from app.takeoff.line import Gathered
from app.takeoff.paint_plan import coats
from app.takeoff.quantities import take_off
from tests.builders import make_room, place
from tests.checks.hanging import room_of
from tests.takeoff.making import counted, scene_of


def jobs(*pieces: Any, **asked: Any) -> Jobs:
    scene = scene_of(*pieces, **asked)
    return jobs_of(scene, take_off(scene).lines, coats(scene, Gathered()))


def uneven(mm: float, construction: str = "ground-slab") -> Any:
    data = room_of(floor=construction).model_dump()
    data["floor"]["uneven_mm"] = mm
    return type(make_room()).model_validate(data)


FLOOR = [{"id": "f"}]


@pytest.mark.parametrize(
    ("mm", "poured"),
    # half of the widest gap and 3 over the high places; up to 5 a mat lies over it
    [(8, 7), (12, 9), (5, 0), (5.1, 5.55), (0, 0)],
)
def test_levelled_by_half_the_widest_gap_and_a_least_cover(mm: float, poured: float) -> None:
    assert jobs(room=uneven(mm), floors=FLOOR).levelled_mm == pytest.approx(poured)


def test_only_a_slab_that_is_worked_on_is_levelled() -> None:
    assert jobs(room=uneven(8, "suspended-slab"), floors=FLOOR).levelled_mm == pytest.approx(7)
    assert jobs(room=uneven(8, "timber"), floors=FLOOR).levelled_mm == 0
    assert jobs(room=uneven(8)).levelled_mm == 0


def test_levelling_by_weight_and_primer_by_area() -> None:
    # 25 m2 x 7 mm x 1.7 kg; 0.15 L a m2
    took = counted(room=uneven(8), floors=FLOOR)
    assert took.line("small.levelling-25kg").net == pytest.approx(25 * 7 * 1.7)
    assert took.line("small.levelling-primer-5l").net == pytest.approx(25 * 0.15)


def test_a_picture_on_a_wall_is_as_wide_as_its_throw() -> None:
    # 3000 off at 1.5: 2000 wide; 16:9 of it 1125 high, 2.25 m2
    picture = {"id": "p", "wall": "back", "distance_mm": 3000, "throw_ratio": 1.5,
        "aspect": 16 / 9, "middle_mm": 2500}  # fmt: skip
    made = jobs(room=room_of(), projections=[picture, {**picture, "id": "q", "wall": "left",
        "aspect": 2.0}])  # fmt: skip
    (back, first), (left, second) = made.pictures_m2
    assert (back, left) == ("the back wall", "the left wall")
    assert (first, second) == pytest.approx((2.25, 2.0))
    # 0.5 off at 0.5 it is as wide as the lens is off
    (near,) = jobs(room=room_of(), projections=[{**picture, "distance_mm": 500,
        "throw_ratio": 0.5}]).pictures_m2  # fmt: skip
    assert near[0] == "the back wall"
    assert near[1] == pytest.approx(1 * 9 / 16)
    assert jobs(room=room_of()).pictures_m2 == []


def test_what_is_bolted_to_the_floor_is_fixed_to_it() -> None:
    rack = jobs(place("short-rack", 2500, 2500, bolted=True), room=room_of())
    assert [placed.piece.id for placed in rack.bolted] == ["short-rack"]
    assert len(rack.into_floor) == 1
    loose = jobs(place("short-rack", 2500, 2500), room=room_of())
    assert (loose.bolted, loose.into_floor) == ([], [])
    # a mirror on a brick wall: dust of masonry, and nothing into the floor
    mirror = {"id": "m", "wall": "back", "offset_mm": 500, "width_mm": 2400}
    hung = jobs(room=room_of("solid-brick"), mirrors=[mirror])
    assert hung.into_floor == []
    assert hung.dusty_holes == hung.holes > 0
    studs = jobs(room=room_of("timber-studs"), mirrors=[mirror])
    assert studs.dusty_holes == 0 < studs.holes
    assert (hung.mirrors, hung.screens, hung.shelves) == (1, 0, 0)
    # what stands on the plan is hung as well, but for what hangs there already
    kits = ("mirror", "screen", "shelving", "shelving")
    pieces = [place(kit, 600 + 900 * i, 300, piece_id=f"p{i}") for i, kit in enumerate(kits)]
    more = jobs(*pieces, room=room_of(), mirrors=[mirror])
    assert (more.mirrors, more.screens, more.shelves) == (2, 1, 2)
    kept = [piece.model_copy(update={"stays": True}) for piece in pieces]
    there = jobs(*kept, room=room_of(), mirrors=[mirror])
    assert (there.mirrors, there.screens, there.shelves) == (1, 0, 0)


def test_what_is_scrubbed_and_what_is_not() -> None:
    slab = jobs(room=room_of(), floors=FLOOR)
    assert (slab.floor_worked, slab.scrubbed, slab.on_ground) == (True, True, True)
    # 25 m2 x 0.18 m a m2
    assert slab.cracks_m == pytest.approx(4.5)
    boards = jobs(room=room_of(floor="timber"), floors=FLOOR)
    assert (boards.floor_worked, boards.scrubbed, boards.on_ground) == (True, False, False)
    assert boards.cracks_m == 0
    bare = jobs(room=room_of())
    assert (bare.floor_worked, bare.scrubbed, bare.cracks_m) == (False, False, 0)
    painted = jobs(room=room_of(floor="timber"), paint=[{"id": "p", "surface": "floor"}])
    assert (painted.floor_coated, painted.scrubbed, painted.ceiling_coated) == (True, True, False)


def test_the_thickest_mat_and_the_strips_that_lie_loose() -> None:
    corner = [[0, 0], [1000, 0], [1000, 1000], [0, 1000]]
    thick = {"id": "g", "thickness_mm": 30, "zone": corner}
    two = jobs(room=room_of(), floors=[{"id": "f", "thickness_mm": 8}, thick])
    assert two.thick_mm == 30
    # 4000 deep, 3050 long: begun whole, 50 less twice the gap are over in the last column
    narrow = {"id": "f", "joints": "straight", "start_wall": "back", "start_end": "left",
        "gap_mm": 5, "first_mm": 1000, "first_row_mm": 1000}  # fmt: skip
    laid = jobs(room=make_room(3050, 2010), floors=[narrow])
    # two strips of 40 x 1000: twice 2 x 1.04
    assert laid.loose_m == pytest.approx(4.16)
    assert jobs(room=make_room(3010, 2010), floors=[narrow]).loose_m == 0


def test_a_floor_that_cannot_be_laid_hides_no_other() -> None:
    narrow = {"id": "g", "joints": "straight", "start_wall": "back", "start_end": "left",
        "gap_mm": 5, "first_mm": 1000, "first_row_mm": 1000}  # fmt: skip
    lost = {"id": "f", "gap_mm": 4000}
    both = jobs(room=make_room(3050, 2010), floors=[lost, narrow])
    alone = jobs(room=make_room(3050, 2010), floors=[narrow])
    assert both.loose_m == alone.loose_m == pytest.approx(4.16)
    # two strips of a metre are cut off, and only rubber is cut with a knife
    assert both.knife_m == alone.knife_m > 0


@pytest.mark.parametrize(
    ("material", "knife_m", "longest_mm"),
    [
        # half of the 18 m along the walls is cut (common practice, no source); off a roll the
        # longest cut is as long as the longest wall, of mats no longer than a mat
        ("vinyl", 9.0, 5000),
        ("carpet", 9.0, 5000),
        ("rubber", 9.0, 0),
        ("foam", 9.0, 0),
        # boards are sawn
        ("timber", 0.0, 0),
    ],
)
def test_a_covering_counted_by_its_area_is_cut_along_the_walls(
    material: str, knife_m: float, longest_mm: float
) -> None:
    data = make_room(5000, 4000).model_dump()
    data["floor"]["covering"] = {"material": material, "thickness_mm": 8}
    made = jobs(room=type(make_room()).model_validate(data), nothing_assumed=False)
    assert made.knife_m == pytest.approx(knife_m)
    assert made.longest_cut_mm == longest_mm
    assert made.thick_mm == 8


def test_walls_are_boarded_where_they_are_lined() -> None:
    # one of 5 x 2.6 m lined, less a door of 0.9 x 2
    data = room_of().model_dump()
    data["walls"][0]["lining_mm"] = 50
    room = type(make_room()).model_validate(data)
    made = jobs(room=room)
    assert made.boarded_walls_m2 == pytest.approx(5 * 2.6)
    assert made.boarded_m2 == made.boarded_walls_m2 + made.boarded_ceiling_m2
    assert jobs(room=room_of()).boarded_walls_m2 == 0


def test_over_what_is_laid_no_covering_is_cut_by_its_area() -> None:
    # 5 m of cuts for five mats of which 500 are left, whatever covering was told before
    plain = jobs(room=room_of(), floors=FLOOR)
    told = jobs(room=room_of(covering={"material": "vinyl", "thickness_mm": 3}), floors=FLOOR)
    assert told.knife_m == pytest.approx(plain.knife_m)
    assert told.longest_cut_mm == pytest.approx(plain.longest_cut_mm)
    alone = jobs(
        room=room_of(covering={"material": "vinyl", "thickness_mm": 3}), nothing_assumed=False
    )
    assert alone.knife_m > 0
    assert jobs(room=room_of()).knife_m == 0
