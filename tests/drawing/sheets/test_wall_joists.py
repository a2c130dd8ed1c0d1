"""Joists on the walls from inside, against the numbers a room was made from."""

import math

import pytest

from app.drawing.sheets.wall_items import FlatWall
from app.drawing.sheets.wall_joists import WallJoist, joists_on
from app.drawing.sheets.walls import walls_sheet
from app.model.room import Joists, Plane, Room
from app.scene.build import Scene, build_scene
from app.takeoff.surfaces import faces
from tests.builders import make_plan, make_room, rectangle, turned_plan
from tests.drawing.reading import parse, seen

ACROSS = Joists(direction_deg=90, spacing_mm=400, width_mm=45, depth_mm=150, first_mm=300)


def on_walls(scene: Scene) -> dict[str, tuple[WallJoist, ...]]:
    return {face.wall.id: joists_on(FlatWall(face, scene)) for face in faces(scene)}


def room_with(joists: Joists, *planes: Plane) -> Room:
    return make_room(4000, 3000, 2500, joists=joists, planes=planes)


@pytest.mark.parametrize("angle", [0.0, 27.0])
def test_ends_are_where_the_joists_are_and_along_the_others_the_nearest_runs(angle: float) -> None:
    # counted along the long walls: middles at 300, 700 ... 3900, from the one side or the other
    plan = turned_plan(make_plan(room=room_with(ACROSS)), angle)
    walls = on_walls(build_scene(plan))
    expected = [300.0 + 400 * i for i in range(10)]
    for wall in ("back", "front"):
        middles = [one.middle for one in walls[wall]]
        other = [4000 - one for one in reversed(expected)]
        assert middles == pytest.approx(expected, abs=0.5) or middles == pytest.approx(
            other, abs=0.5
        )
        assert all(one.ends_here and one.right - one.left == pytest.approx(45, abs=0.5)
                   for one in walls[wall])  # fmt: skip
    # 300 less half its width from the one, 100 less half of it from the other
    offs = [one.off for wall in ("left", "right") for one in walls[wall]]
    assert sorted(offs) == pytest.approx([77.5, 277.5], abs=0.5)
    heights = [z for some in walls.values() for one in some for z in one.low]
    assert heights == pytest.approx([2350] * len(heights), abs=0.1)


def test_a_joist_half_in_the_next_wall_is_told_by_its_own_middle() -> None:
    joists = Joists(direction_deg=90, spacing_mm=400, width_mm=45, depth_mm=150, first_mm=0)
    some = on_walls(build_scene(make_plan(room=room_with(joists))))["back"]
    assert [round(one.middle) for one in some] == [400 * i for i in range(11)]
    assert min(one.left for one in some) == 0
    assert max(one.right for one in some) == 4000


@pytest.mark.parametrize(("angle", "ends"), [(9.0, False), (11.0, True)])
def test_what_runs_nearly_along_a_wall_does_not_end_on_it(angle: float, ends: bool) -> None:
    joists = Joists(
        direction_deg=angle, spacing_mm=400, width_mm=45, depth_mm=150, first_mm=200
    )  # fmt: skip
    some = on_walls(build_scene(make_plan(room=room_with(joists))))["back"]
    assert some
    assert {one.ends_here for one in some} == {ends}
    if ends:
        # cut aslant a joist is longer on the wall
        wide = [one.right - one.left for one in some if one.left > 0 and one.right < 4000]
        assert max(wide) == pytest.approx(45 / math.sin(math.radians(angle)), rel=0.05)


def test_under_a_slope_each_joist_is_as_high_as_the_roof_there() -> None:
    # from 2100 at the left to 2900 at the right: 200 a metre, joists 150 deep up the slope
    roof = Plane(id="roof", height_mm=2100, rise_x=200)
    joists = Joists(direction_deg=0, spacing_mm=600, width_mm=45, depth_mm=150, first_mm=300)
    walls = on_walls(build_scene(make_plan(room=room_with(joists, roof))))
    assert [z for one in walls["left"] for z in one.low] == pytest.approx([1950] * 10, abs=0.1)
    assert [z for one in walls["right"] for z in one.low] == pytest.approx([2750] * 10, abs=0.1)
    for wall in ("back", "front"):
        (one,) = walls[wall]
        assert sorted(one.low) == pytest.approx([1950, 2750], abs=0.1)


def test_of_two_planes_each_joist_has_its_own_height() -> None:
    half = Plane(id="low", height_mm=2200, outline=rectangle(0, 0, 1500, 3000))
    room = room_with(ACROSS, Plane(id="ceiling", height_mm=2500), half)
    some = on_walls(build_scene(make_plan(room=room)))["back"]
    assert {(one.middle < 1500, round(one.low[0])) for one in some} == {(True, 2050), (False, 2350)}


def test_boards_under_joists_hide_them() -> None:
    room = room_with(ACROSS)
    ceiling = {**room.ceiling.model_dump(), "finish_mm": 25}
    shut = Room.model_validate({**room.model_dump(), "ceiling": ceiling})
    assert not any(on_walls(build_scene(make_plan(room=shut))).values())


def test_they_are_drawn_dimensioned_and_told_on_the_sheet() -> None:
    scene = build_scene(make_plan(room=room_with(ACROSS)))
    drawn = {
        element.get("data-wall", ""): list(seen(element))
        for svg in walls_sheet(scene, paper="A3").inside
        for element in parse(svg).iter()
        if element.get("data-wall")
    }
    for wall, count in (("back", 10), ("front", 10), ("left", 1), ("right", 1)):
        boxes = [one for one in drawn[wall] if one.element.get("data-joist") == wall]
        assert len(boxes) == count
        assert {round(-y) for one in boxes for _, y in one.points} == {2350, 2500}
        words = [one.words for one in drawn[wall]]
        # its own dimension at the right, the ceiling's at the left, and a name under them
        assert "2350" in words
        assert "2500" in words
        named = "Joists 45 × 150" if count > 1 else "Joist 45 × 150"
        assert f"{named}, underside 2350" in words
    said = " ".join(one.words for one in drawn["back"])
    assert "Joists 45 × 150 end on it, middles 100, then 9 × 400 to 3700" in said
    assert "Joist 45 × 150 along it, its side 278 from the wall" in " ".join(
        one.words for wall in ("left", "right") for one in drawn[wall]
    )
