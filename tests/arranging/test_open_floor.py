"""The open floor of rooms out of square, against sizes worked out by hand."""

import pytest

from app.arranging.open_floor import Floors, open_floor
from app.model.people import Person
from app.model.room import Room
from app.scene.build import build_scene
from tests.builders import low_thing, make_person, make_plan, make_room, two_slopes


@pytest.mark.parametrize("out", [0.0, -0.05, 0.05, -20.0])
def test_a_back_wall_out_of_square_costs_its_wedge_of_floor(out: float) -> None:
    # by hand: along the long right wall lies a rectangle as wide as the room, from the front wall
    # to where the back wall comes nearest; beside a hair's breadth the wedges have no width
    corners = [(0, 0), (0, -5200), (2950.39, -5260.05), (2950, out)]
    scene = build_scene(make_plan(room=make_room(corners=corners, height=2300)))
    floor = open_floor(scene)
    assert floor is not None
    assert floor.short_mm == pytest.approx(2950, abs=2)
    assert floor.long_mm == pytest.approx(5200 + min(out, 0), abs=2)
    assert Floors(scene, ()).of({}) == floor


def wide_and_deep(room: Room, *people: Person) -> tuple[float, float]:
    """The sides of the open floor of an empty room, along x and along y."""
    scene = build_scene(make_plan(room=room, people=people))
    floor = open_floor(scene)
    assert floor is not None
    assert Floors(scene, ()).of({}) == floor
    xs, ys = zip(*floor.corners, strict=True)
    return max(xs) - min(xs), max(ys) - min(ys)


@pytest.mark.parametrize("depth", [5000, 3000])
def test_nobody_stands_up_under_the_eaves(depth: float) -> None:
    # 1300 at both long walls and 900 more on each metre: 2000 from 700 / 0.9 = 777.8 off them on
    loft = make_room(4400, depth, planes=two_slopes(4400, depth, 1300, 900))
    assert wide_and_deep(loft) == pytest.approx((4400 - 2 * 777.8, depth), abs=2)


@pytest.mark.parametrize(("under", "wide"), [(1999, 3000), (2000, 5000)])
def test_a_beam_lower_than_somebody_standing_parts_the_floor(under: float, wide: float) -> None:
    beam = low_thing(((1800, 0), (2000, 0), (2000, 4000), (1800, 4000)), under)
    assert wide_and_deep(make_room(5000, 4000, low_things=[beam])) == pytest.approx((wide, 4000))


BEAM = ((1800, 0), (2000, 0), (2000, 4000), (1800, 4000))


@pytest.mark.parametrize(
    ("tallest", "under", "wide"),
    [
        # 1670 and a sole of 25, a hop of 100 and the 100 that are kept over what rises
        (1670, 1894, 3000),
        (1670, 1895, 5000),
        # of who is taller than 1775 not more than 2000 is asked
        (1800, 1960, 3000),
        (1800, 2000, 5000),
    ],
)
def test_a_beam_that_is_hit_in_a_hop_parts_the_floor(
    tallest: float, under: float, wide: float
) -> None:
    room = make_room(5000, 4000, low_things=[low_thing(BEAM, under)])
    people = make_person(1600, person_id="short"), make_person(tallest)
    assert wide_and_deep(room, *people) == pytest.approx((wide, 4000))


@pytest.mark.parametrize(("under", "wide"), [(1874, 3000), (1875, 5000)])
def test_where_nobody_hops_anywhere_a_beam_over_the_tallest_head_parts_nothing(
    under: float, wide: float
) -> None:
    # 1800 and a sole of 25, with the 50 that a way is to leave, under a ceiling of 1950
    room = make_room(5000, 4000, 1950, low_things=[low_thing(BEAM, under)])
    people = make_person(1670, person_id="short"), make_person(1800)
    assert wide_and_deep(room, *people) == pytest.approx((wide, 4000))


def test_where_nobody_stands_up_anywhere_the_floor_is_open_all_the_same() -> None:
    assert wide_and_deep(make_room(5000, 4000, 1950)) == pytest.approx((5000, 4000))
