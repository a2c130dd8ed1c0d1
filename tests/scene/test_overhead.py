"""What is overhead, by hand in a room of 5000 x 4000."""

import math

import numpy as np
import pytest
import shapely
import shapely.affinity
from shapely.geometry.base import BaseGeometry

from app.checks.air import volume_m3
from app.checks.run import run
from app.model.room import Joists, Opening, Plane, Room
from app.scene.build import build_scene
from app.scene.overhead import Above, lower_part, that_open
from app.scene.room import room_shape
from app.scene.tolerance import Geometries
from app.takeoff.surfaces import ceiling_m2, faces
from tests.builders import low_thing, make_person, make_plan, make_room, rectangle, turned_plan

GARAGE = Opening(
    id="g", wall="back", kind="tracks", offset_mm=1000, width_mm=2000, height_mm=2100, opener=True
)


def clear(
    room: Room, x0: float, y0: float, x1: float, y1: float, doors_open: bool = False
) -> tuple[float, str]:
    """The least clear height over a rectangle, and the name of what sets it."""
    shape = room_shape(room)
    over = shape.open if doors_open else shape.shut
    areas: Geometries = np.array([shapely.box(x0, y0, x1, y1)], dtype=np.object_)
    height, cause = over.clear(areas)
    name = over.items[int(cause[0])].name if cause[0] >= 0 else ""
    return float(height[0]), name


def test_a_level_ceiling_and_nothing_beyond_the_room() -> None:
    room = make_room(5000, 4000, 2500)
    assert clear(room, 100, 100, 900, 900) == (2500, "ceiling")
    assert clear(room, 6000, 100, 7000, 900) == (math.inf, "")
    assert room_shape(room).shut.lowest_mm == 2500


def test_where_no_ceiling_is_told_it_is_as_high_as_the_highest_told() -> None:
    # the left half at 2400, a quarter at the right at 2100, nothing told of the rest
    half = Plane(id="left", height_mm=2400, outline=rectangle(0, 0, 2500, 4000))
    low = Plane(id="right", height_mm=2100, outline=rectangle(2500, 0, 5000, 2000))
    room = make_room(5000, 4000, planes=(half, low))
    assert clear(room, 3000, 2500, 4000, 3500) == (2400, "ceiling")
    assert clear(room, 3000, 500, 4000, 1500) == (2100, "ceiling")
    # and a room with a hole in its ceiling is judged as any other
    plan = make_plan(room=room, people=[make_person(1800, want=("squat", "skip", "run"))])
    assert run(build_scene(plan))
    # 10 m2 and 5 m2 as told, 5 m2 as high as the highest: 24 + 10.5 + 12 m3 of air, 20 m2 to paint
    scene = build_scene(plan)
    assert volume_m3(scene) == pytest.approx(46.5)
    assert ceiling_m2(scene) == pytest.approx(20)
    # the right wall is 2.1 m high along 2 m of it and 2.4 m along 2 m
    right = next(face for face in faces(scene) if face.wall.id == "right")
    assert right.whole.area / 1e6 == pytest.approx(9.0)
    # parts that meet leave none
    whole = Plane(id="rest", height_mm=2600, outline=rectangle(2500, 2000, 5000, 4000))
    met = room_shape(make_room(5000, 4000, planes=(half, low, whole))).shut
    assert len(met.items) == 3


def test_the_low_side_of_a_slope_counts() -> None:
    # 2000 at (1000, 500), 100 mm a metre of x and -40 of y: at (2000, 1500) it is 2060
    slope = Plane(id="roof", height_mm=2000, rise_x=100, rise_y=-40, at=(1000, 500))
    room = make_room(5000, 4000, planes=(slope,))
    height, _ = clear(room, 2000, 500, 3000, 1500)
    assert height == pytest.approx(2060)
    # the lowest of the room is its corner (0, 4000): 2000 - 100 - 140
    assert room_shape(room).shut.lowest_mm == pytest.approx(1760)


def test_joists_hang_below_the_ceiling_in_their_strips() -> None:
    # along x, 400 apart, 50 wide and 150 deep, the first middle at y = 200
    joists = Joists(direction_deg=0, spacing_mm=400, width_mm=50, depth_mm=150, first_mm=200)
    room = make_room(5000, 4000, 2500, joists=joists)
    assert clear(room, 0, 230, 5000, 570) == (2500, "ceiling")
    assert clear(room, 1000, 224, 2000, 300) == (2350, "joist")
    assert clear(room, 1000, 570, 2000, 576) == (2350, "joist")
    shapes = room_shape(room).joists
    # 200, 600 ... 3800
    assert len(shapes) == 10
    assert shapes[1].bounds == pytest.approx((0, 575, 5000, 625))
    # along y: across runs to the left, from x = 5000 down
    turned = make_room(5000, 4000, 2500, joists=joists.model_copy(update={"direction_deg": 90}))
    first = room_shape(turned).joists[0]
    assert first.bounds == pytest.approx((4775, 0, 4825, 4000))


@pytest.mark.parametrize(
    ("first", "count", "last"),
    [
        # the last lies half in the far wall, all but 5 of it, and all of it; so does the first
        (390, 10, (3965, 4000)),
        (20, 11, (3995, 4000)),
        (25, 10, (3600, 3650)),
    ],
)
def test_the_last_joist_may_lie_in_the_wall(
    first: float, count: int, last: tuple[float, float]
) -> None:
    joists = Joists(direction_deg=0, spacing_mm=400, width_mm=50, depth_mm=150, first_mm=first)
    shapes = room_shape(make_room(5000, 4000, 2500, joists=joists)).joists
    assert len(shapes) == count
    assert shapes[-1].bounds == pytest.approx((0, last[0], 5000, last[1]))


def test_boards_under_joists_hide_them_and_today_they_hang_there() -> None:
    joists = Joists(direction_deg=0, spacing_mm=400, width_mm=50, depth_mm=150, first_mm=200)
    plain = make_room(5000, 4000, 2500, joists=joists)
    boarded = plain.model_copy(
        update={"ceiling": plain.ceiling.model_copy(update={"finish_mm": 12.5})}
    )
    for at in (224, 300):
        assert clear(boarded, 1000, at, 2000, at + 20) == (2337.5, "ceiling")
    assert not room_shape(boarded).joists
    under, between = (
        np.array([shapely.box(1000, at, 2000, at + 20)], dtype=np.object_) for at in (214, 300)
    )
    today = room_shape(boarded).bare
    assert today.clear(under)[0] == 2350
    assert today.clear(between)[0] == 2500


def test_the_floor_below_is_taken_off_and_the_higher_one_counts() -> None:
    room = make_room(5000, 4000, 2500)
    planes = (
        Plane(id="f", height_mm=0, rise_x=10),
        Plane(id="step", height_mm=150, outline=rectangle(0, 0, 1000, 4000)),
    )
    stepped = room.model_copy(update={"floor": room.floor.model_copy(update={"planes": planes})})
    assert clear(stepped, 200, 200, 800, 800) == (2350, "ceiling")
    # 10 mm a metre: at x = 3000 the floor is 30 higher
    assert clear(stepped, 2000, 200, 3000, 800)[0] == pytest.approx(2470)


def test_the_lowest_of_several_is_named() -> None:
    room = make_room(
        5000,
        4000,
        2500,
        low_things=(low_thing(rectangle(1000, 1000, 2000, 1200), 2200),
                    low_thing(rectangle(1500, 0, 1700, 4000), 2300, "other")),
    )  # fmt: skip
    assert clear(room, 1400, 900, 1800, 1100) == (2200, "beam")
    assert clear(room, 1400, 1300, 1800, 1500) == (2300, "beam")
    assert clear(room, 100, 1300, 400, 1500) == (2500, "ceiling")


def test_an_open_door_hangs_lower_and_its_opener_always() -> None:
    # the leaf on tracks lies 100 under the height of the opening, 2100 deep
    room = make_room(5000, 4000, 2500, openings=(GARAGE,))
    assert clear(room, 1200, 200, 1400, 600) == (2500, "ceiling")
    assert clear(room, 1200, 200, 1400, 600, doors_open=True) == (2000, "open garage door")
    assert room_shape(room).opens
    # the motor hangs mid-width behind the lintel, under the ceiling by its drop
    (opener,) = [item for item in room_shape(room).shut.items if item.kind == "opener"]
    # 300 wide and 400 long from 2900 behind the lintel on, 250 under the ceiling (the register)
    assert opener.polygon.bounds == pytest.approx((1850, 2900, 2150, 3300))
    assert opener.coefficients == (2250, 0, 0)
    assert opener.polygon.area == pytest.approx(300 * 400)
    plain = make_room(5000, 4000, 2500, openings=(GARAGE.model_copy(update={"opener": False}),))
    assert not [item for item in room_shape(plain).shut.items if item.kind == "opener"]


@pytest.mark.parametrize(
    ("rise", "level", "area", "corner"),
    [
        # 2000 at the left wall of 5000 x 4000 and 200 a metre: below 2400 up to 2000
        ((200, 0), 2400, 2000 * 4000, (0, 0)),
        # 2000 at the back wall, falling to 1200 at the front: below 1800 from 1000 on
        ((0, -200), 1800, 5000 * 3000, (5000, 4000)),
        # 3 to 4: rising by 250 a metre along (0.6, 0.8), level lines askew; below 2300 a triangle
        # with 1200 along it: 2000 by 1500 in the corner
        ((150, 200), 2300, 2000 * 1500 / 2, (0, 0)),
        ((200, 0), 1999, 0, None),
        ((200, 0), 2000, 0, None),
        ((200, 0), 3001, 5000 * 4000, (5000, 4000)),
        ((0, 0), 2000, 0, None),
        ((0, 0), 2000.1, 5000 * 4000, (0, 0)),
    ],
)
@pytest.mark.parametrize("shift", [(0, 0), (90_000, -30_000)])
def test_what_lies_lower_than_a_level(
    rise: tuple[float, float],
    level: float,
    area: float,
    corner: tuple[float, float] | None,
    shift: tuple[float, float],
) -> None:
    dx, dy = shift
    b, c = (part / 1000 for part in rise)
    outline = shapely.box(dx, dy, dx + 5000, dy + 4000)
    item = Above("roof", outline, (2000 - b * dx - c * dy, b, c), "ceiling")
    low = lower_part(item, level)
    assert low.area == pytest.approx(area, abs=1)
    assert low.is_empty or float(item.heights(low).max()) <= level + 1e-6
    if corner is not None:
        assert low.buffer(1).covers(shapely.Point(dx + corner[0], dy + corner[1]))


@pytest.mark.parametrize("angle", [30, 120, 285])
def test_an_opener_turns_with_its_room(angle: float) -> None:
    plan = make_plan(room=make_room(5000, 4000, 2500, openings=(GARAGE,)))

    def opener(of: Room) -> BaseGeometry:
        (item,) = [item for item in room_shape(of).shut.items if item.kind == "opener"]
        return item.polygon

    here, there = opener(plan.room), opener(turned_plan(plan, angle).room)
    back = shapely.affinity.rotate(there, -angle, origin=(0, 0))
    # a room is kept to hundredths of a millimetre, round 1400 of edges
    assert back.symmetric_difference(here).area < 14


@pytest.mark.parametrize(
    ("answers", "hang"),
    [
        # of several those that are said to be shut while training stay so
        (("no", "unknown"), {"d1"}),
        (("no", "yes"), {"d1"}),
        (("unknown", "yes"), {"d0", "d1"}),
        (("no", "no"), {"d0", "d1"}),
        (("no",), {"d0"}),
    ],
)
def test_which_doors_hang_overhead_when_doors_are_open(
    answers: tuple[str, ...], hang: set[str]
) -> None:
    doors = [
        GARAGE.model_copy(update={"id": f"d{i}", "wall": wall, "open_while_training": answer})
        for i, (wall, answer) in enumerate(zip(("back", "front"), answers, strict=False))
    ]
    openings = build_scene(make_plan(room=make_room(5000, 4000, openings=doors))).room.openings
    assert that_open(openings) == hang
