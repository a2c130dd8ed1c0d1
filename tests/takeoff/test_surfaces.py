"""Areas of walls, ceiling and floor: by hand, and the same whichever way the room lies."""

import math

import pytest

from app.model.room import Opening, Plane, Room
from app.scene.build import build_scene
from app.takeoff.surfaces import (
    along_face,
    ceiling_m2,
    column_faces_m2,
    face_of,
    faces,
    floor_area,
)
from tests.builders import column, make_plan, make_room, rectangle, turned_plan
from tests.takeoff.making import scene_of

GARAGE = make_room(
    5500,
    2740,
    2400,
    openings=(
        Opening(
            id="garage", wall="left", kind="roller", offset_mm=300, width_mm=2134, height_mm=2134
        ),
        Opening(id="door", wall="back", kind="hinged", offset_mm=500, width_mm=838, height_mm=1981),
    ),
)


def test_the_walls_of_a_garage_net_of_its_doors() -> None:
    # 5.5 x 2.74 x 2.4 m: perimeter 16.48 m, gross 39.552 m2; less 2.134 x 2.134 and
    # 0.838 x 1.981: net 33.338 m2
    found = faces(scene_of(room=GARAGE))
    assert sum(face.gross_m2 for face in found) == pytest.approx(39.552)
    assert sum(face.net_m2() for face in found) == pytest.approx(33.338, abs=0.0005)


def test_rules_of_measurement_leave_small_openings_in() -> None:
    found = faces(scene_of(room=GARAGE))
    # the door has 1.66 m2: over 1 m2 it is deducted, not over 2.5
    assert sum(f.net_m2("over-1-m2") for f in found) == pytest.approx(33.338, abs=0.0005)
    assert sum(f.net_m2("over-2-5-m2") for f in found) == pytest.approx(34.998, abs=0.0005)


def test_a_sloping_ceiling_makes_the_side_walls_trapezoids() -> None:
    # a lean-to rises from 2.05 m to 2.75 over 2.7 m
    slope = Plane(id="roof", height_mm=2050, rise_x=700 / 2.7)
    scene = scene_of(room=make_room(2700, 5000, planes=(slope,)))
    assert face_of(scene, "back").gross_m2 == pytest.approx(2.7 * (2.05 + 2.75) / 2, abs=1e-4)
    assert face_of(scene, "left").gross_m2 == pytest.approx(5 * 2.05, abs=1e-4)
    assert ceiling_m2(scene) == pytest.approx(5 * math.hypot(2.7, 0.7), abs=1e-3)


def test_a_patch_that_slopes_cuts_a_corner_off_the_wall() -> None:
    # level at 2.35 m; over the first metre it slopes up from 1.45
    planes = (
        Plane(id="ceiling", height_mm=2350),
        Plane(id="slope", height_mm=1450, rise_y=900, outline=rectangle(0, 0, 4600, 1000)),
    )
    scene = scene_of(room=make_room(4600, 4400, planes=planes))
    assert face_of(scene, "right").gross_m2 == pytest.approx(3.4 * 2.35 + (1.45 + 2.35) / 2)
    assert face_of(scene, "back").gross_m2 == pytest.approx(4.6 * 1.45)


def test_a_column_hides_wall_and_shows_its_own_faces() -> None:
    # a pier of 300 x 200 on the back wall: 0.3 x 2.6 is hidden, 0.7 m of it shows
    room = make_room(5000, 4000, 2600, columns=(column(rectangle(1000, 0, 1300, 200)),))
    scene = scene_of(room=room)
    assert face_of(scene, "back").gross_m2 == pytest.approx(4.7 * 2.6, abs=0.01)
    assert column_faces_m2(scene) == pytest.approx(0.7 * 2.6, abs=0.02)
    assert floor_area(scene).area == pytest.approx(5000 * 4000 - 300 * 200)


@pytest.mark.parametrize("angle", [30, 90, 217])
def test_areas_do_not_hang_on_how_the_room_lies(angle: float) -> None:
    corners = ((0, 0), (4600, 0), (4600, 2600), (2400, 2600), (2400, 4400), (0, 4400))
    room = make_room(corners=corners, height=2350, openings=GARAGE.openings[:0])
    plan = make_plan(room=room)
    here, there = build_scene(plan), build_scene(turned_plan(plan, angle, (700, -300)))
    for one, other in zip(faces(here), faces(there), strict=True):
        assert one.net_m2() == pytest.approx(other.net_m2(), abs=1e-3)
    assert ceiling_m2(here) == pytest.approx(ceiling_m2(there), abs=1e-3)


def test_linings_make_the_walls_shorter() -> None:
    room = make_room(5000, 4000, 2500, lining=50)
    assert isinstance(room, Room)
    assert face_of(scene_of(room=room), "back").gross_m2 == pytest.approx(4.9 * 2.5)


def test_an_unknown_wall_has_no_face() -> None:
    with pytest.raises(KeyError, match="nowhere"):
        face_of(scene_of(room=GARAGE), "nowhere")


def test_openings_are_summed_as_written() -> None:
    # 2.134 x 2.134 = 4.554 m2 on the left wall, 0.838 x 1.981 = 1.660 on the back one
    scene = scene_of(room=GARAGE)
    assert face_of(scene, "left").openings_m2 == pytest.approx(4.554, abs=0.0005)
    assert face_of(scene, "back").openings_m2 == pytest.approx(1.660, abs=0.0005)
    assert face_of(scene, "front").openings_m2 == 0


def test_an_opening_lies_where_it_was_measured() -> None:
    # by hand: 900 from the corner, sill 1000, 1200 x 800 on a wall of 5000 x 2500 with linings
    # of 50: the inner face begins 50 beyond the corner
    window = Opening(
        id="w",
        wall="back",
        kind="window",
        offset_mm=900,
        width_mm=1200,
        height_mm=800,
        sill_mm=1000,
    )
    face = face_of(
        scene_of(room=make_room(5000, 4000, 2500, lining=50, openings=(window,))), "back"
    )
    ((_, hole),) = face.holes
    assert hole.bounds == pytest.approx((850, 1000, 2050, 1800))
    assert face.net_m2() == pytest.approx(4.9 * 2.5 - 1.2 * 0.8)
    assert along_face(face.wall, 900) == pytest.approx(850)


def test_a_column_hides_the_whole_height_and_no_more_than_its_width() -> None:
    # a pier of 400 on the right wall, seen along it; another that stands 500 off hides nothing
    room = make_room(
        5000,
        4000,
        2600,
        columns=(
            column(rectangle(4800, 1000, 5000, 1400)),
            column(rectangle(2000, 500, 2300, 800), "free"),
        ),
    )
    scene = scene_of(room=room)
    assert face_of(scene, "right").whole.area / 1e6 == pytest.approx(3.6 * 2.6, abs=0.01)
    assert face_of(scene, "back").whole.area / 1e6 == pytest.approx(5 * 2.6)
    # 0.2 + 0.4 + 0.2 m of the pier shows, and 1.2 m of the column
    assert column_faces_m2(scene) == pytest.approx((0.8 + 1.2) * 2.6, abs=0.03)


def test_a_floor_that_falls_makes_the_walls_higher() -> None:
    # the floor falls 20 mm a metre towards the right: 2.5 m on the left, 2.6 on the right
    room = make_room(5000, 4000, 2500)
    floor = room.floor.model_copy(update={"planes": (Plane(id="f", height_mm=0, rise_x=-20),)})
    falling = room.model_copy(update={"floor": floor})
    scene = scene_of(room=falling)
    assert face_of(scene, "left").gross_m2 == pytest.approx(4 * 2.5, abs=1e-4)
    assert face_of(scene, "right").gross_m2 == pytest.approx(4 * 2.6, abs=1e-4)
    assert face_of(scene, "back").gross_m2 == pytest.approx(5 * 2.55, abs=1e-4)


def test_a_door_stands_on_the_floor_there() -> None:
    # a step of 150 over the right half: the door in the right wall begins at 150
    door = Opening(
        id="d", wall="right", kind="hinged", offset_mm=1000, width_mm=900, height_mm=2000
    )
    room = make_room(5000, 4000, 2500, openings=(door,))
    step = Plane(id="step", height_mm=150, outline=rectangle(2500, 0, 5000, 4000))
    stepped = room.model_copy(
        update={
            "floor": room.floor.model_copy(update={"planes": (Plane(id="f", height_mm=0), step)})
        }
    )
    face = face_of(scene_of(room=stepped), "right")
    ((_, hole),) = face.holes
    assert hole.bounds == pytest.approx((1000, 150, 1900, 2150))
    assert face.gross_m2 == pytest.approx(4 * 2.35)
    # half the back wall is 2.5 m high, half 2.35
    assert face_of(scene_of(room=stepped), "back").gross_m2 == pytest.approx(2.5 * (2.5 + 2.35))


def test_two_slopes_meet_in_a_ridge() -> None:
    # the lower of two planes counts: up 0.5 from 2000, down from 3000 at x = 4000 by 0.25: they
    # meet at x where 2000 + 0.5 x = 3000 - 0.25 (x - 0): x = 1333.3, 2666.7 high (by hand)
    planes = (
        Plane(id="up", height_mm=2000, rise_x=500),
        Plane(id="down", height_mm=3000, rise_x=-250),
    )
    scene = scene_of(room=make_room(4000, 3000, planes=planes))
    first = 4 / 3 * (2 + 8 / 3) / 2
    second = (4 - 4 / 3) * (8 / 3 + 2) / 2
    assert face_of(scene, "back").gross_m2 == pytest.approx(first + second, abs=1e-4)
    assert face_of(scene, "left").gross_m2 == pytest.approx(3 * 2, abs=1e-4)


def test_a_sloping_patch_is_counted_along_its_slope() -> None:
    # 4.6 x 1 m at 900 mm a metre: 4.6 x sqrt(1 + 0.81); the rest 4.6 x 3.4 m level
    planes = (
        Plane(id="ceiling", height_mm=2350),
        Plane(id="slope", height_mm=1450, rise_y=900, outline=rectangle(0, 0, 4600, 1000)),
    )
    scene = scene_of(room=make_room(4600, 4400, planes=planes))
    assert ceiling_m2(scene) == pytest.approx(4.6 * math.sqrt(1.81) + 4.6 * 3.4, abs=1e-4)


def test_the_top_of_a_wall_follows_the_slope_to_its_very_face() -> None:
    # up by 300 a metre from 2000 at the back wall: 3500 at a front wall 5 m off, the sides between
    slope = Plane(id="roof", height_mm=2000, rise_y=300)
    scene = build_scene(make_plan(room=make_room(5000, 5000, planes=[slope])))
    tops = {face.wall.id: face.whole.bounds[3] for face in faces(scene)}
    assert tops == pytest.approx(
        {"back": 2000, "right": 3500, "front": 3500, "left": 3500}, abs=0.1
    )
    areas = {face.wall.id: face.whole.area / 1e6 for face in faces(scene)}
    assert areas == pytest.approx(
        {"back": 10, "right": 13.75, "front": 17.5, "left": 13.75}, abs=1e-3
    )


def test_a_column_hides_the_wall_behind_it_and_one_off_the_wall_does_not() -> None:
    posts = [
        column(rectangle(2000, 500, 2400, 900), "off"),
        column(rectangle(1000, 0, 1400, 300), "at"),
        column(rectangle(3000, 0, 3600, 300), "second"),
    ]
    for order in (posts, posts[::-1]):
        scene = build_scene(make_plan(room=make_room(5000, 5000, 2500, columns=order)))
        (back,) = (face for face in faces(scene) if face.wall.id == "back")
        # each is taken a millimetre wider on both sides
        assert back.whole.area / 1e6 == pytest.approx((5 - 0.402 - 0.602) * 2.5, abs=1e-3)


def test_where_no_patch_of_the_floor_lies_it_is_at_nought() -> None:
    # 5 x 4 m, 2.5 m high, and a step of 100 over the left half alone
    step = Plane(id="step", height_mm=100, outline=rectangle(0, 0, 2500, 4000))
    room = make_room(5000, 4000, 2500)
    floor = room.floor.model_copy(update={"planes": (step,)})
    scene = scene_of(room=room.model_copy(update={"floor": floor}))
    assert face_of(scene, "back").gross_m2 == pytest.approx(2.5 * 2.4 + 2.5 * 2.5)
    assert face_of(scene, "right").gross_m2 == pytest.approx(4 * 2.5)
    assert face_of(scene, "left").gross_m2 == pytest.approx(4 * 2.4)


def test_a_window_over_a_floor_that_rises_is_as_high_as_over_its_middle() -> None:
    # 20 mm a metre towards the right: under the middle of a window from 1000 to 2600 it is at 36
    window = Opening(
        id="w", wall="back", kind="window", offset_mm=1000, width_mm=1600, height_mm=800,
        sill_mm=900,
    )  # fmt: skip
    room = make_room(5000, 4000, 2500, openings=(window,))
    floor = room.floor.model_copy(update={"planes": (Plane(id="f", height_mm=0, rise_x=20),)})
    face = face_of(scene_of(room=room.model_copy(update={"floor": floor})), "back")
    ((_, hole),) = face.holes
    assert hole.bounds == pytest.approx((1000, 936, 2600, 1736))


@pytest.mark.parametrize("angle", [0, 17, 37, 90, 123])
def test_a_wall_under_patches_that_end_where_the_floor_does_is_whole(angle: float) -> None:
    # 2 m under 2.40 over a floor at nought, 3 m under 2.60 over one 0.10 higher, at one line
    left, right = rectangle(0, 0, 2000, 4000), rectangle(2000, 0, 5000, 4000)
    data = make_room(
        5000, 4000,
        planes=(
            Plane(id="low", height_mm=2400, outline=left),
            Plane(id="high", height_mm=2600, outline=right),
        ),
    ).model_dump()  # fmt: skip
    data["floor"]["planes"] = [
        {"id": "left", "height_mm": 0, "outline": left},
        {"id": "right", "height_mm": 100, "outline": right},
    ]
    plan = turned_plan(make_plan(room=Room.model_validate(data)), angle)
    scene = build_scene(plan)
    assert face_of(scene, "back").gross_m2 == pytest.approx(2 * 2.4 + 3 * 2.5, abs=1e-3)
    assert face_of(scene, "left").gross_m2 == pytest.approx(4 * 2.4, abs=1e-3)
