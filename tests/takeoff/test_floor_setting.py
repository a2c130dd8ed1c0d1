"""Where a fitter begins: rooms in which 3 x 2 mats of 1000 lie between gaps of 8."""

from typing import Any

import pytest

from app.model.flooring import FloorLaying
from app.model.room import Opening
from app.scene.build import Scene, build_scene
from app.takeoff.floor import floor_layout
from app.takeoff.floor_setting import setting_out, setting_words
from tests.builders import make_plan, make_room


def room(width: float = 3016, depth: float = 2016, **fields: Any) -> Scene:
    return build_scene(make_plan(room=make_room(width, depth, **fields)))


def laying(**fields: Any) -> FloorLaying:
    given = {"id": "f", "start_wall": "back", "start_end": "left", "joints": "straight"}
    return FloorLaying.model_validate({**given, **fields})


@pytest.mark.parametrize(
    ("wall", "end", "corner", "joint", "row"),
    [
        # the back wall, faced, from left to right as drawn; the front wall the other way round
        ("back", "left", (8, 8), (1008, 2008), 1008),
        ("back", "right", (3008, 8), (2008, 1008), 1008),
        ("front", "left", (3008, 2008), (1008, 2008), 1008),
        ("front", "right", (8, 2008), (2008, 1008), 1008),
        # the right wall from the back on, the left one from the front on
        ("right", "left", (3008, 8), (1008, 1008), 1008),
        ("left", "left", (8, 2008), (1008, 1008), 1008),
    ],
)
def test_the_corner_and_the_first_joints(
    wall: str, end: str, corner: tuple[float, float], joint: tuple[float, float], row: float
) -> None:
    scene = room()
    layout = floor_layout(scene, laying(start_wall=wall, start_end=end), compare=False)
    found = setting_out(scene, layout)
    assert found.corner == pytest.approx(corner)
    assert found.joint_mm == pytest.approx(joint)
    assert found.row_mm == pytest.approx(row)
    # the end of the wall that one faces, from which the tape runs
    long = 3016 if wall in ("back", "front") else 2016
    assert (found.end_mm, found.wall_mm) == pytest.approx((0 if end == "left" else long, 0))


def test_what_has_no_joint_has_none() -> None:
    one = room(1016, 2016)
    found = setting_out(one, floor_layout(one, laying(), compare=False))
    assert found.joint_mm is None
    assert found.row_mm == pytest.approx(1008)
    row = room(3016, 1016)
    found = setting_out(row, floor_layout(row, laying(), compare=False))
    assert found.joint_mm == pytest.approx((1008, 2008))
    assert found.row_mm is None


def told(scene: Scene, **fields: Any) -> str:
    return setting_words(scene, floor_layout(scene, laying(**fields), compare=False), "metric")


def test_in_words() -> None:
    words = told(room())
    assert (
        "First joint along it: 1008 mm from its left corner, 2008 mm from its right one." in words
    )
    assert "First joint between rows: 1008 mm off it." in words
    assert words.endswith("Gap at the walls: 8 mm.")
    assert "First joint between" not in told(room(3016, 1016))
    # within a zone no wall is near
    assert "Gap" not in told(room(), zone=((0, 0), (1508, 0), (1508, 2016), (0, 2016)))


def test_the_stop_at_a_garage_door_where_it_is_more_than_the_gap() -> None:
    door = Opening(
        id="d", wall="front", kind="canopy", offset_mm=300, width_mm=2400, height_mm=1900
    )
    garage = room(openings=[door])
    bare = "Beside the door the {} mm before its wall stay bare too: the floor ends in one line."
    assert told(garage).endswith(
        f"Gap at the walls: 8 mm; 100 mm short of the garage door's line. {bare.format(100)}"
    )
    assert told(garage, door_stop_mm=8).endswith("Gap at the walls: 8 mm.")
    assert told(garage, door_stop_mm=9).endswith(
        f"; 9 mm short of the garage door's line. {bare.format(9)}"
    )
    # as wide as its wall it has no wall beside it
    whole = door.model_copy(update={"offset_mm": 0, "width_mm": 3016})
    assert told(room(openings=[whole])).endswith("short of the garage door's line.")
    house = door.model_copy(update={"kind": "hinged"})
    assert told(room(openings=[house])).endswith("Gap at the walls: 8 mm.")


def nibbed(inwards: float) -> Scene:
    """3016 x 2016 with a nib out of the back wall, 200 wide, from 1800 on."""
    nib = ((1800, 0), (1800, inwards), (2000, inwards), (2000, 0))
    return build_scene(
        make_plan(room=make_room(corners=((0, 0), *nib, (3016, 0), (3016, 2016), (0, 2016))))
    )


def test_beyond_a_nib_it_is_told_from_the_wall_that_goes_on_there() -> None:
    """By hand: the first mat, begun at the right end, ends 8 off a wall that is 1016 long."""
    scene = nibbed(300)
    left_part = scene.room.walls[0].id
    layout = floor_layout(
        scene, laying(start_wall=left_part, start_end="right", first_mm=900), compare=False
    )
    found = setting_out(scene, layout)
    assert found.wall == scene.room.walls[4].id
    assert found.corner == pytest.approx((3008, 8))
    # 900 and the gap of 8 from the right corner of a wall that is 1016 long
    assert found.joint_mm == pytest.approx((108, 908))
    assert "-" not in setting_words(scene, layout, "metric")
    # begun at the left end it is the start wall itself
    plain = floor_layout(scene, laying(start_wall=left_part), compare=False)
    assert setting_out(scene, plain).wall == left_part


@pytest.mark.parametrize(("left", "wall"), [(1400, "w1"), (1600, "w5"), (2500, "w5")])
def test_it_is_told_from_the_start_wall_where_most_of_the_first_mat_lies_along_it(
    left: float, wall: str
) -> None:
    # 6000 x 4000 with 4000 x 900 missing out of the right side: w5, below that, begins at 2000, and
    # a mat of 1000 that begins at 1400 lies along it by 400, one at 1600 by 600
    corners = ((0, 0), (6000, 0), (6000, 1000), (2000, 1000), (2000, 1900), (6000, 1900))
    scene = build_scene(make_plan(room=make_room(corners=(*corners, (6000, 4000), (0, 4000)))))
    zone = ((left, 1900), (left + 3000, 1900), (left + 3000, 3900), (left, 3900))
    floor = laying(start_wall="w5", zone=zone, first_mm=1000)
    found = setting_out(scene, floor_layout(scene, floor, compare=False))
    # the gap of 8 where the wall is all along it
    top = 1900 + (8 if left > 2000 else 0)
    assert found.corner == pytest.approx((left, top))
    assert found.wall == wall
    # along it from both its corners, and off it between the rows
    x0, x1, y = {"w1": (0, 6000, 0), "w5": (2000, 6000, 1900)}[wall]
    assert found.joint_mm == pytest.approx((left + 1000 - x0, x1 - left - 1000))
    assert found.row_mm == pytest.approx(top + 1000 - y)


def test_of_two_walls_before_all_of_the_first_mat_the_nearer_one_tells() -> None:
    # the start wall ends at 1000; w3 lies 500 farther back and w7 1900 into the room, before both
    corners = ((0, 0), (1000, 0), (1000, -500), (6000, -500), (6000, 1000), (2000, 1000))
    more = ((2000, 1900), (6000, 1900), (6000, 4000), (0, 4000))
    scene = build_scene(make_plan(room=make_room(corners=(*corners, *more))))
    zone = ((2500, 1900), (5500, 1900), (5500, 3900), (2500, 3900))
    floor = laying(start_wall="w1", zone=zone, first_mm=1000)
    found = setting_out(scene, floor_layout(scene, floor, compare=False))
    assert found.wall == "w7"
    assert found.joint_mm == pytest.approx((1500, 2500))
    assert found.row_mm == pytest.approx(1008)


def test_before_a_recess_whose_wall_runs_askew_it_is_told_from_the_start_wall() -> None:
    # the first mat lies in the recess, behind the start wall, which is 2000 long
    corners = ((0, 0), (2000, 0), (2000, -600), (4000, -400), (4000, 0), (6000, 0))
    scene = build_scene(make_plan(room=make_room(corners=(*corners, (6000, 3000), (0, 3000)))))
    layout = floor_layout(scene, laying(start_wall="w1", first_mm=1000), compare=False)
    x0, y0, x1, y1 = layout.mats[0].polygon.bounds
    assert y0 < -100
    found = setting_out(scene, layout)
    assert (found.wall, found.end_mm, found.wall_mm) == ("w1", 0, 0)
    assert found.corner == pytest.approx((x0, y0))
    assert found.joint_mm == pytest.approx((x1, 2000 - x1))
    assert found.row_mm == pytest.approx(y1)
