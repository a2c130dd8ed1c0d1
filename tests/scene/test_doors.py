"""Openings as geometry: worked by hand on a wall along x, the room below it as drawn.

The sizes of tracks, boxes and leaves are the register's rows `garage.*` (common practice or from
memory, as each row says); what is worked here is where they lie.
"""

import math

import pytest
import shapely
from shapely import Polygon

from app.model.room import Opening
from app.scene.doors import Hanging, OpeningShape, sector
from app.scene.room import room_shape
from tests.builders import make_room

SIZE = {"offset_mm": 1000, "width_mm": 2000, "height_mm": 2100}


def shape_of(kind: str, wall: str = "back", lining: float = 0, **fields: object) -> OpeningShape:
    """One opening in the wall of a room of 5000 x 4000, walls clockwise from (0, 0)."""
    opening = Opening.model_validate({"id": "it", "wall": wall, "kind": kind} | SIZE | fields)
    return room_shape(make_room(5000, 4000, openings=[opening], lining=lining)).openings[0]


def heights(parts: tuple[Hanging, ...]) -> list[tuple[str, float, float]]:
    return [(part.name, part.bottom_mm, part.top_mm) for part in parts]


def bounds(shape: Polygon) -> tuple[float, ...]:
    return tuple(round(each, 6) for each in shape.bounds)


def test_tracks_of_a_retractable_door_hang_under_the_open_leaf() -> None:
    # clear height 2100 - 100; a track is 80 wide and 80 high, as deep as the leaf is high
    shape = shape_of("tracks")
    assert heights(shape.always) == [("door track", 2000, 2080)] * 2
    assert sorted(bounds(part.polygon) for part in shape.always) == [
        (920, 0, 1000, 2100),
        (3000, 0, 3080, 2100),
    ]


def test_tracks_of_a_sectional_door_begin_at_the_lintel() -> None:
    # 600 deeper than the door is high; 80 from the lintel up
    shape = shape_of("sectional")
    assert heights(shape.always) == [("door track", 2100, 2180)] * 2
    assert sorted(bounds(part.polygon) for part in shape.always) == [
        (920, 0, 1000, 2700),
        (3000, 0, 3080, 2700),
    ]


def test_the_box_of_a_roller_door() -> None:
    # a box of 300 x 300 over the opening, as wide as the opening and a guide of 95 on each side
    (box,) = shape_of("roller").always
    assert heights((box,)) == [("roller box", 2100, 2400)]
    assert bounds(box.polygon) == (905, 0, 3095, 300)
    assert shape_of("roller").when_open == ()


def test_open_leaves_of_garage_doors() -> None:
    # up and over: underside 2100 - 100, 60 thick; retractable wholly inside, canopy two thirds
    (tracks,) = shape_of("tracks").when_open
    assert heights((tracks,)) == [("open garage door", 2000, 2060)]
    assert bounds(tracks.polygon) == (1000, 0, 3000, 2100)
    (canopy,) = shape_of("canopy").when_open
    assert heights((canopy,)) == [("open garage door", 2000, 2060)]
    assert bounds(canopy.polygon)[3] == pytest.approx(2100 * 2 / 3, abs=0.1)
    # sectional: from the lintel to its gear 120 above
    (sectional,) = shape_of("sectional").when_open
    assert heights((sectional,)) == [("open garage door", 2100, 2220)]
    assert bounds(sectional.polygon) == (1000, 0, 3000, 2100)


def test_floor_behind_garage_doors() -> None:
    tracks = {s.name: (s.low_mm, s.high_mm, bounds(s.polygon)) for s in shape_of("tracks").sweeps}
    assert tracks == {
        "leaf as it swings up": (1200, 2100, (1000, 0, 3000, 600)),
        "back of the leaf": (0, 2100, (1000, 0, 3000, 100)),
    }
    (sectional,) = shape_of("sectional").sweeps
    assert (sectional.low_mm, sectional.high_mm) == (0, 2100)
    assert bounds(sectional.polygon) == (1000, 0, 3000, 100)
    assert shape_of("roller").sweeps == ()


def test_a_very_low_door_leaves_a_millimetre() -> None:
    # never an underside at or under the floor
    (leaf,) = shape_of("canopy", height_mm=100).when_open
    assert leaf.bottom_mm == 1


@pytest.mark.parametrize(("way", "side"), [("left", 0), ("right", 5000)])
def test_a_side_sliding_leaf_stands_along_the_side_wall(way: str, side: float) -> None:
    # 150 deep and as long as the opening is wide, from the corner on. From inside, facing the
    # back wall at y = 0, x runs to the right
    (strip,) = shape_of("side-sliding", slides_to=way).sweeps
    x0, y0, x1, y1 = bounds(strip.polygon)
    assert (y0, y1) == (0, 2000)
    assert {x0, x1} == {side, abs(side - 150)}
    assert (strip.low_mm, strip.high_mm) == (0, 2100)


def test_a_side_sliding_leaf_is_no_longer_than_the_wall() -> None:
    opening = Opening.model_validate(
        {"id": "it", "wall": "back", "kind": "side-sliding", "slides_to": "left"} | SIZE
    )
    (shape,) = room_shape(make_room(5000, 1500, openings=[opening])).openings
    (strip,) = shape.sweeps
    assert bounds(strip.polygon) == (0, 0, 150, 1500)


def test_the_hole_goes_through_lining_and_wall() -> None:
    room = make_room(lining=50)
    thick = room.walls[0].thickness_mm
    assert thick > 0
    shape = shape_of("hinged", lining=50)
    assert bounds(shape.hole) == (1000, -thick, 3000, 50)
    assert (shape.left, shape.right) == ((1000, 50), (3000, 50))
    assert shape.inward == (0, 1)


def test_left_and_right_are_seen_from_inside() -> None:
    # the front wall runs from (5000, 4000) to (0, 4000): facing it, x runs to the left
    shape = shape_of("hinged", wall="front")
    assert (shape.left, shape.right) == ((4000, 4000), (2000, 4000))
    # a room drawn the other way round
    opening = Opening.model_validate({"id": "it", "wall": "w1", "kind": "hinged"} | SIZE)
    corners = ((0, 0), (0, 4000), (5000, 4000), (5000, 1), (4999, 0))
    (other,) = room_shape(make_room(corners=corners, openings=[opening])).openings
    assert (other.left, other.right) == ((0, 3000), (0, 1000))


@pytest.mark.parametrize(("hinge", "at", "end"), [("left", 1000, 3000), ("right", 3000, 1000)])
def test_a_hinged_leaf(hinge: str, at: float, end: float) -> None:
    shape = shape_of("hinged", hinge=hinge)
    (leaf,), (sweep,) = shape.leaves, shape.sweeps
    assert list(leaf.coords) == [(at, 0), (at, 2000)]
    assert (sweep.hinge, sweep.leaf_mm) == ((at, 0), 2000)
    assert sweep.shut == ((end - at) / 2000, 0)
    assert (sweep.low_mm, sweep.high_mm) == (0, 2100)
    out = shape_of("hinged", hinge=hinge, swing="out")
    assert list(out.leaves[0].coords) == [(at, 0), (at, -2000)]
    assert out.sweeps == ()


def test_a_pair_has_half_a_leaf_on_each_side() -> None:
    shape = shape_of("pair")
    assert [list(leaf.coords) for leaf in shape.leaves] == [
        [(1000, 0), (1000, 1000)],
        [(3000, 0), (3000, 1000)],
    ]
    assert [bounds(sweep.polygon)[1] for sweep in shape.sweeps] == [0, 0]


@pytest.mark.parametrize("end", [(800, 0), (-800, 0)])
def test_a_sector_is_a_quarter_circle_and_a_little_more(end: tuple[float, float]) -> None:
    # pi r^2 / 4; its chords lie outside the arc by less than 1 in 100
    swept = sector((0, 0), end, (0, 1), 800)
    assert swept.area == pytest.approx(math.pi * 800**2 / 4, rel=0.01)
    assert swept.area >= math.pi * 800**2 / 4
    for degrees in range(1, 90):
        turn = math.radians(degrees)
        x, y = 799.9 * math.cos(turn), 799.9 * math.sin(turn)
        assert swept.covers(shapely.Point(math.copysign(x, end[0]), y))


@pytest.mark.parametrize(
    ("wall", "hole"),
    [
        # 1000 along its wall, 2000 wide, in a room of 5000 x 4000: from 50 of lining inside to the
        # face outside
        ("back", (1000, -1, 3000, 50)),
        ("right", (4950, 1000, 5001, 3000)),
        ("front", (2000, 3950, 4000, 4001)),
        ("left", (-1, 1000, 50, 3000)),
    ],
)
def test_the_hole_lies_in_its_own_wall(wall: str, hole: tuple[float, ...]) -> None:
    shape = shape_of("hinged", wall, lining=50)
    thick = shape.wall.wall.thickness_mm
    outside = [at + math.copysign(thick - 1, at) if at in (-1, 4001, 5001) else at for at in hole]
    assert bounds(shape.hole) == tuple(outside)
