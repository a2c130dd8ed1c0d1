"""Areas of walls, ceiling and floor: by hand, and the same whichever way the room lies."""

import math

import pytest

from app.model.room import Opening, Plane, Room
from app.scene.build import build_scene
from app.takeoff.surfaces import ceiling_m2, column_faces_m2, face_of, faces, floor_area
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
