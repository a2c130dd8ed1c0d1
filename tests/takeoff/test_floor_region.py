"""The floor that a covering lies on, in square millimetres by hand; gaps: common practice."""

from typing import Any

import pytest
from shapely import Point, Polygon

from app.errors import PlanError
from app.model.flooring import FloorLaying
from app.model.kit import Piece
from app.model.room import Opening
from app.scene.build import Scene, build_scene
from app.takeoff.floor_region import (
    door_stop_of,
    floor_size,
    floor_to_cover,
    frame_of,
    gap_of,
    joints_of,
    laid_round,
    start_of,
    walls_by_length,
)
from tests.builders import column, make_plan, make_room, place, rectangle, turned_plan

SQUARE = 3016.0
"""With 8 mm off every wall 3000 are left."""


def mat(**fields: Any) -> FloorLaying:
    return FloorLaying.model_validate({"id": "f", **fields})


def scene(*pieces: Piece, size: tuple[float, float] = (SQUARE, SQUARE), **room: Any) -> Scene:
    return build_scene(make_plan(*pieces, room=make_room(*size, **room)))


def garage_door(**fields: Any) -> Opening:
    given = {"id": "d", "wall": "front", "kind": "canopy", "offset_mm": 300}
    return Opening.model_validate({**given, "width_mm": 2400, "height_mm": 2100, **fields})


# A room of 4000 x 3000. With one's face to a wall: the left end of the back wall is at the origin;
# that of the right wall at its back end, of the front wall on the right as drawn, of the left
# wall at its front end.
@pytest.mark.parametrize(
    ("wall", "origin", "along", "into"),
    [
        ("back", (0, 0), (1, 0), (0, 1)),
        ("right", (4000, 0), (0, 1), (-1, 0)),
        ("front", (4000, 3000), (-1, 0), (0, -1)),
        ("left", (0, 3000), (0, -1), (1, 0)),
    ],
)
def test_a_frame_runs_from_left_to_right_along_its_wall_and_into_the_room(
    wall: str, origin: tuple[float, float], along: tuple[float, float], into: tuple[float, float]
) -> None:
    room = scene(size=(4000, 3000)).room
    frame = frame_of(next(one for one in room.walls if one.id == wall))
    assert frame.origin == pytest.approx(origin)
    at = Point(
        origin[0] + 700 * along[0] + 200 * into[0], origin[1] + 700 * along[1] + 200 * into[1]
    )
    assert frame.into(at).equals_exact(Point(700, 200), 1e-9)
    assert frame.back(Point(700, 200)).equals_exact(at, 1e-9)
    # never mirrored: what runs round clockwise still does
    ring = Polygon([(0, 0), (900, 0), (0, 500)]).exterior
    assert frame.into(ring).is_ccw is ring.is_ccw


def test_gaps_and_stops_as_typed_or_of_the_register() -> None:
    assert (gap_of(mat()), gap_of(mat(gap_mm=0)), gap_of(mat(gap_mm=12))) == (8, 0, 12)
    # 50 at the least, and a ramp of 1 in 5 fits before the line (common practice, no source)
    stops = [door_stop_of(mat(thickness_mm=thick)) for thick in (3, 10, 11, 20, 40)]
    assert stops == [50, 50, 55, 100, 200]
    assert door_stop_of(mat(door_stop_mm=0)) == 0
    with pytest.raises(PlanError, match="the gap along the walls is less than nothing"):
        gap_of(mat(gap_mm=-1))


def area(found: Scene, **fields: Any) -> float:
    return float(floor_to_cover(found, mat(**fields)).area)


def test_the_floor_less_its_gap() -> None:
    assert area(scene()) == pytest.approx(3000**2)
    assert area(scene(), gap_mm=0) == pytest.approx(3016**2)
    # a column of 250 takes 266 each way; its corners stay square
    nib = column(rectangle(1000, 1000, 1250, 1250))
    assert area(scene(columns=[nib])) == pytest.approx(3000**2 - 266**2)
    # within a zone no gap is kept at its own edges
    zone = rectangle(0, 0, 1508, 5000)
    assert area(scene(), zone=zone) == pytest.approx(1500 * 3000)


def test_what_cannot_be_covered_is_named() -> None:
    crossed = [(0, 0), (1000, 1000), (1000, 0), (0, 1000)]
    with pytest.raises(PlanError, match="the outline of its zone crosses itself"):
        floor_to_cover(scene(), mat(zone=crossed))
    with pytest.raises(PlanError, match="there is no floor left to cover"):
        floor_to_cover(scene(), mat(gap_mm=1600))


def test_it_stops_short_of_a_garage_door_along_the_whole_wall() -> None:
    # 50 off the line of the door, where 8 would be: 42 less; 100 for the ramp of 20 mm: 92 less
    door = scene(openings=[garage_door()])
    assert area(door, thickness_mm=10) == pytest.approx(3000 * (3000 - 42))
    assert area(door) == pytest.approx(3000 * (3000 - 92))
    assert area(door, door_stop_mm=300) == pytest.approx(3000 * (3000 - 292))
    assert area(door, door_stop_mm=0) == pytest.approx(3000**2)
    low = floor_to_cover(door, mat(door_stop_mm=300)).bounds
    assert low == pytest.approx((8, 8, 3008, 2716))
    side = floor_to_cover(scene(openings=[garage_door(wall="right")]), mat(door_stop_mm=300))
    assert side.bounds == pytest.approx((8, 8, 2716, 3008))
    # a door of the house is no reason
    assert area(scene(openings=[garage_door(kind="hinged")])) == pytest.approx(3000**2)


def test_a_slit_behind_a_thing_that_stays_is_left_bare() -> None:
    # a freezer that stays 65 off the wall leaves 49 between both gaps, 67 off leave 51
    def covered(back_mm: float) -> bool:
        thing = place("chest-freezer", 1508, back_mm + 300, width=900, depth=600, stays=True)
        return floor_to_cover(scene(thing), mat()).covers(Point(1508, back_mm / 2))

    assert not covered(65)
    assert covered(67)


def test_what_stays_on_the_floor_is_laid_round() -> None:
    freezer = place("chest-freezer", 1500, 1500, width=900, depth=600, stays=True)
    found = scene(freezer)
    assert [one.piece.id for one in laid_round(found, mat())] == ["chest-freezer"]
    assert laid_round(found, mat(under=["chest-freezer"])) == ()
    assert area(found) == pytest.approx(3000**2 - 916 * 616)
    moved = place("chest-freezer", 1500, 1500, width=900, depth=600)
    assert laid_round(scene(moved), mat()) == ()
    # a boiler hangs on its wall: mats go under it
    hung = place("boiler", 1500, 175, stays=True)
    (boiler,) = scene(hung).order
    assert float(boiler.shape.low_mm.min()) + boiler.rest_mm[0] > 100
    assert laid_round(scene(hung), mat()) == ()


def test_the_size_of_the_floor_is_that_of_the_smallest_rectangle_round_it() -> None:
    plain = make_plan(room=make_room(4016, 3016))
    for angle in (0, 30):
        size = floor_size(build_scene(turned_plan(plain, angle)), mat())
        assert sorted(size) == pytest.approx([3000, 4000])


@pytest.mark.parametrize(
    ("fields", "joints"),
    [
        ({}, "staggered"),
        ({"kind": "board"}, "staggered"),
        ({"kind": "tile"}, "straight"),
        ({"kind": "roll"}, "straight"),
        ({"joints": "straight"}, "straight"),
        ({"kind": "tile", "joints": "balanced"}, "balanced"),
    ],
)
def test_joints_unless_typed(fields: dict[str, str], joints: str) -> None:
    assert joints_of(mat(**fields)) == joints


def order(found: Scene) -> list[str]:
    return [wall.id for wall in walls_by_length(found)]


def test_a_fitter_starts_at_the_longest_wall_nearest_to_the_training() -> None:
    # 5000 x 3000: the long walls first; of two alike the one nearer to what is trained at
    near_front = scene(place("flat-bench", 2500, 2500), size=(5000, 3000))
    assert order(near_front)[:2] == ["front", "back"]
    near_back = scene(place("flat-bench", 2500, 500), size=(5000, 3000))
    assert order(near_back)[:2] == ["back", "front"]
    right = scene(place("flat-bench", 4000, 500), size=(5000, 3000))
    assert order(right) == ["back", "front", "right", "left"]
    # nobody starts at a garage door, however long its wall
    door = garage_door()
    led = scene(place("flat-bench", 2500, 2500), size=(5000, 3000), openings=[door])
    assert order(led)[0] == "back"
    assert order(led)[-1] == "front"


def test_walls_of_one_length_to_the_millimetre_are_equal() -> None:
    # a front wall longer by 0.4 than the back wall, the training at the back
    corners = [(0, 0), (5000, 0), (5000.4, 3000), (0, 3000)]
    found = build_scene(make_plan(place("flat-bench", 2500, 500), room=make_room(corners=corners)))
    assert order(found)[:2] == ["back", "front"]
    corners = [(0, 0), (5000, 0), (5020, 3000), (0, 3000)]
    found = build_scene(make_plan(place("flat-bench", 2500, 500), room=make_room(corners=corners)))
    assert order(found)[:2] == ["front", "back"]


def test_where_the_first_piece_lies() -> None:
    # the training on the right of the back wall, then on its left; the middle is no right
    for x, from_right in ((4000, True), (1000, False), (2500, False), (2501, True)):
        start = start_of(scene(place("flat-bench", x, 500), size=(5000, 3000)), mat())
        assert (start.wall, start.from_right, start.along) == ("back", from_right, True)
    # facing the front wall the right hand is at the left as drawn
    start = start_of(scene(place("flat-bench", 1000, 2500), size=(5000, 3000)), mat())
    assert (start.wall, start.from_right) == ("front", True)
    # two that train: the middle between them; what stays is no training
    two = place("flat-bench", 400, 500, piece_id="a"), place("flat-bench", 4400, 500, piece_id="b")
    assert start_of(scene(*two, size=(5000, 3000)), mat()).from_right is False
    kept = two[0].model_copy(update={"stays": True})
    assert start_of(scene(kept, two[1], size=(5000, 3000)), mat()).from_right is True


def test_the_start_as_typed() -> None:
    found = scene(place("flat-bench", 4000, 500), size=(5000, 3000))
    typed = start_of(found, mat(start_wall="left", start_end="right", along=False))
    assert (typed.wall, typed.from_right, typed.along) == ("left", True, False)
    assert start_of(found, mat(start_end="left")).from_right is False
    assert start_of(found, mat(along=True)).along is True
    with pytest.raises(PlanError, match="the wall it starts from is not in the room"):
        start_of(found, mat(start_wall="attic"))


def test_a_bare_room_is_trained_in_at_its_middle() -> None:
    # an L: its middle lies nearer to the long wall at the back, left of the middle of that wall:
    # (5000 x 1500 at 2500, 750) and (1500 x 1500 at 750, 2250): 2096, 1096
    corners = [(0, 0), (5000, 0), (5000, 1500), (1500, 1500), (1500, 3000), (0, 3000)]
    found = build_scene(make_plan(room=make_room(corners=corners)))
    start = start_of(found, mat())
    assert (start.wall, start.from_right) == ("w1", False)
    assert found.room.free.centroid.distance(Point(2096, 1096)) < 1


def test_what_is_let_in_is_laid_up_to_without_a_gap() -> None:
    platform = place("platform", 2000, 1500, width=2000, depth=1830, height=40)
    found = scene(platform, size=(4000, 3000))
    whole = 3984 * 2984
    assert area(found) == pytest.approx(whole)
    assert area(found, flush=("platform",)) == pytest.approx(whole - 2000 * 1830)
    # what is not on the plan, or no longer, takes nothing off
    assert area(found, flush=("gone",)) == pytest.approx(whole)
