"""How a bare floor falls, by hand: 10 mm to the metre towards a wall."""

import pytest
import shapely

from app.model.room import Floor, Opening, Plane, Room
from app.scene.build import Scene, build_scene
from app.scene.floor_fall import fall_over, fall_under, falls, stands_level
from tests.builders import make_plan, make_room, place, rectangle

DOOR = Opening(id="g", wall="front", kind="tracks", offset_mm=500, width_mm=2400, height_mm=2000)


def falling(rise_x: float, rise_y: float, *pieces: str, turned: float = 0) -> Scene:
    room = make_room(4000, 5000, openings=[DOOR])
    plane = Plane(id="floor", height_mm=0, rise_x=rise_x, rise_y=rise_y)
    data = room.model_dump() | {"floor": Floor(planes=(plane,)).model_dump()}
    placed = [place(key, 2000, 2500, turned) for key in pieces]
    return build_scene(make_plan(*placed, room=Room.model_validate(data)))


def test_a_level_floor_falls_nowhere() -> None:
    assert not falls(falling(0, 0))
    assert falls(falling(0, -10))


def test_a_rack_lies_over_a_fall_by_its_depth() -> None:
    scene = falling(0, -10, "mid-rack")
    (rack,) = scene.order
    assert stands_level(rack)
    fall, plane = fall_under(scene, rack)
    assert fall == pytest.approx(rack.extent.depth_mm / 100)
    assert plane.id == "floor"
    # a quarter turned it is its width that counts
    scene = falling(0, -10, "mid-rack", turned=90)
    (rack,) = scene.order
    assert fall_under(scene, rack)[0] == pytest.approx(rack.extent.width_mm / 100)
    assert not stands_level(falling(0, -10, "flat-bench").order[0])


def test_over_an_area_it_falls_by_its_length_and_half_of_that_on_average() -> None:
    scene = falling(0, -10)
    fall, mean, _ = fall_over(scene, shapely.box(0, 0, 4000, 5000))
    assert fall == pytest.approx(50)
    assert mean == pytest.approx(25)
    fall, mean, _ = fall_over(scene, shapely.box(0, 1000, 1000, 2000))
    assert fall == pytest.approx(10)
    assert mean == pytest.approx(5)
    # both ways: the corners count
    assert fall_over(falling(5, -10), shapely.box(0, 0, 4000, 5000))[0] == pytest.approx(70)


@pytest.mark.parametrize(("x", "plane", "fall"), [(1000, "floor", 12.5), (3000, "step", 0)])
@pytest.mark.parametrize("turned_round", [False, True])
def test_the_floor_under_a_piece_counts_and_no_higher_one_beside_it(
    x: float, plane: str, fall: float, turned_round: bool
) -> None:
    # 10 mm a metre over 1.25 m of rack; beside it a level step of 100 over the right half
    planes = (
        Plane(id="floor", height_mm=0, rise_y=-10),
        Plane(id="step", height_mm=100, outline=rectangle(2000, 0, 4000, 5000)),
    )
    of = Floor(planes=planes[::-1] if turned_round else planes)
    data = make_room(4000, 5000).model_dump() | {"floor": of.model_dump()}
    scene = build_scene(make_plan(place("mid-rack", x, 2500), room=Room.model_validate(data)))
    fell, under = fall_under(scene, scene.order[0])
    assert under.id == plane
    assert fell == pytest.approx(fall)


@pytest.mark.parametrize("turned_round", [False, True])
def test_over_an_area_the_floor_of_all_of_the_room_counts(turned_round: bool) -> None:
    # 10 mm a metre over 5 m; a step over a part of it, in whichever order they stand in the plan
    planes = (
        Plane(id="floor", height_mm=0, rise_y=-10),
        Plane(id="step", height_mm=100, outline=rectangle(2000, 0, 4000, 5000)),
    )
    of = Floor(planes=planes[::-1] if turned_round else planes)
    data = make_room(4000, 5000).model_dump() | {"floor": of.model_dump()}
    scene = build_scene(make_plan(room=Room.model_validate(data)))
    fall, _, plane = fall_over(scene, shapely.box(0, 0, 4000, 5000))
    assert plane.id == "floor"
    assert fall == pytest.approx(50)
