"""The largest free floor in rooms worked by hand. As wide as a way: 600, common practice."""

import pytest
from shapely import Point

from app.scene.build import build_scene
from app.scene.free_floor import free_floor, free_floor_m2
from app.scene.routes import head_mm
from tests.builders import column, make_person, make_plan, make_room, place, rectangle, turned_plan


@pytest.mark.parametrize("angle", [0, 31.7])
def test_a_furnished_room_worked_by_hand(angle: float) -> None:
    """5 x 4 m less a shelving in a corner, a rack and a shelving 400 mm off the front wall.

    20 - 0.9 x 0.45 - 1.22 x 1.25 - 0.9 x (0.45 + 0.4) = 17.305 m2: the floor between the posts of
    the rack is taken, and nobody stands in 400 mm behind the second shelving.
    """
    plan = make_plan(
        place("shelving", 450, 225, piece_id="corner"),
        place("mid-rack", 4390, 625),
        place("shelving", 450, 3375, piece_id="off-the-wall"),
        room=make_room(5000, 4000),
    )
    plan = turned_plan(plan, angle, (812.3, -77.1))
    assert free_floor_m2(build_scene(plan)) == pytest.approx(17.305, abs=0.03)


def test_a_mat_is_stood_on_and_a_column_is_not() -> None:
    # mat and platform are lower than the 50 that are stepped over, common practice
    plan = make_plan(place("mat-space", 2500, 2500), place("platform", 2500, 2500))
    assert free_floor_m2(build_scene(plan)) == pytest.approx(25.0, abs=0.001)
    room = make_room(columns=[column(rectangle(2000, 2000, 3000, 3000))])
    assert free_floor_m2(build_scene(make_plan(room=room))) == pytest.approx(24.0, abs=0.03)


@pytest.mark.parametrize(("gap", "area"), [(590, 15.0), (610, 22.5 - 1)])
def test_two_floors_are_one_where_shoulders_pass_between_them(gap: float, area: float) -> None:
    """A wall of 500 mm across 5 x 5 m at x = 3000, with a gap: 15 m2 left of it, 7.5 right."""
    room = make_room(columns=[column(rectangle(3000, 0, 3500, 5000 - gap))])
    found = free_floor(build_scene(make_plan(room=room)))
    joined = found.covers(Point(4500, 1000))
    assert joined == (gap > 600)
    assert found.area / 1e6 >= area
    assert found.area / 1e6 <= 15.3 or joined


def test_what_hangs_above_the_tallest_head_takes_no_floor() -> None:
    # a wall bar at 2.1 m hangs over heads of 1.825 m in shoes, not over one of 2.3 m; it is 1.2 m
    # long, and some of its brackets hang lower
    kit = place("pull-up-bar-wall", 2500, 300)
    small = build_scene(make_plan(kit, people=[make_person(1800)]))
    tall = build_scene(make_plan(kit, people=[make_person(2299)]))
    assert head_mm(small) == 1825
    assert free_floor_m2(tall) < free_floor_m2(small) <= 25.0


def test_a_room_narrower_than_shoulders_has_no_free_floor() -> None:
    assert free_floor_m2(build_scene(make_plan(room=make_room(590, 4000)))) == 0
