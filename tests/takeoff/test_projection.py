"""A picture on a wall by hand: throw ratio 1.5 and 3 m make 2 m; stand 400 x 400, body 200."""

from typing import Any

import pytest

from app.takeoff.line import Gathered
from app.takeoff.projection import image_width_mm, projections
from tests.builders import make_room, place
from tests.takeoff.making import scene_of


def told(*pieces: Any, room: Any = None, **fields: Any) -> Gathered:
    shot = {"id": "p", "wall": "back", "middle_mm": 2500, "distance_mm": 3000, **fields}
    return projections(scene_of(*pieces, room=room or make_room(5000, 4000), projections=[shot]))


def words(*pieces: Any, **fields: Any) -> str:
    return " ".join(told(*pieces, **fields).says)


def test_width_height_and_light() -> None:
    with pytest.raises(ValueError, match="more than nothing"):
        image_width_mm(3000, 0)
    # 2 m wide at 16 : 8 is 1 m high; 3000 lm on 2 m2
    (size, light) = told(aspect=2).says
    assert size.endswith("from 3.00 m it is 2.00 m wide and 1.00 m high.")
    assert "1500 lux on white" in light
    # a short throw: 0.5 off at 0.5 it is 1 m wide; one lumen is little and is light all the same
    short = told(distance_mm=500, throw_ratio=0.5, lumens=1, lens_mm=1)
    assert short.problems == []
    assert "from 0.50 m it is 1.00 m wide" in short.says[0]
    assert not [said for said in short.says if "its lens lies outside" in said]
    # 100 lux are needed to trace it: 2 m2 take 200 lm
    assert "faint" in words(aspect=2, lumens=199)
    assert "faint" not in words(aspect=2, lumens=200)


@pytest.mark.parametrize(
    # half of the picture is 1000: its middle from 1000 to 4000 along the wall
    ("middle", "past"),
    [(999, True), (1000, False), (4000, False), (4001, True)],
)
def test_the_picture_stays_on_its_wall(middle: float, past: bool) -> None:
    assert ("runs past its end" in words(middle_mm=middle)) is past
    if past:
        assert "the wall is 5.00 m long" in words(middle_mm=middle)


# The stand reaches 200 beyond the lens; a room of 5000 x 4000, so the left wall is 4000 long and
# from it one gets 5000 away.
@pytest.mark.parametrize(
    ("wall", "distance", "deep"),
    [("back", 3800, None), ("back", 3810, 4), ("left", 4800, None), ("left", 4810, 5),
     ("front", 3800, None), ("front", 3810, 4), ("right", 4800, None), ("right", 4810, 5)],
)  # fmt: skip
def test_it_stands_in_the_room(wall: str, distance: float, deep: float | None) -> None:
    said = words(wall=wall, middle_mm=2000, distance_mm=distance, throw_ratio=9)
    assert ("cannot stand" in said) is (deep is not None)
    if deep:
        assert f"it cannot stand {distance / 1000:.2f} m off, the room is {deep}.00 m deep" in said


@pytest.mark.parametrize(
    ("middle", "fits"), [(200, True), (190, False), (4800, True), (4810, False)]
)
def test_nor_does_it_stand_in_a_side_wall(middle: float, fits: bool) -> None:
    assert ("cannot stand" not in words(middle_mm=middle, throw_ratio=90)) is fits


def test_the_depth_is_that_up_to_what_is_in_the_way() -> None:
    # an L: behind x = 3000 the room is 2000 deep
    corners = [(0, 0), (5000, 0), (5000, 2000), (3000, 2000), (3000, 4000), (0, 4000)]
    room = make_room(corners=corners)
    said = words(wall="w1", middle_mm=4000, distance_mm=3000, throw_ratio=9, room=room)
    assert "the room is 2.00 m deep there" in said
    # a wall across the corner counts from where the picture hangs
    assert "cannot stand" not in words(wall="w1", middle_mm=1500, throw_ratio=9, room=room)


# A box 750 high, 500 x 600: in the stand from 2300 to 2700 and 2800 to 3200, or in the beam, a
# triangle from the lens to the picture from 1500 to 3500, where it is higher than 200 below the
# lens.
@pytest.mark.parametrize(
    ("x", "y", "lens", "what"),
    [
        (2500, 3000, 1000, "stands where the projector should"),
        (2500, 3490, 1000, "stands where the projector should"),
        (2500, 3510, 1000, None),
        (2960, 3000, 1000, None),
        (2940, 3000, 1000, "stands where the projector should"),
        (2500, 1500, 1000, None),
        (2500, 1500, 900, "stands in the beam"),
        # beside the beam, which is 500 wide to either side where the box begins, at 1500
        (3260, 1800, 900, None),
        (3240, 1800, 900, "stands in the beam"),
        (1760, 1800, 900, "stands in the beam"),
        (1740, 1800, 900, None),
    ],
)
def test_what_stands_in_the_way(x: float, y: float, lens: float, what: str | None) -> None:
    thing = place("jump-box", x, y)
    said = words(thing, lens_mm=lens)
    for clause in ("stands where the projector should", "stands in the beam"):
        assert (clause in said) is (clause == what), said


def test_what_cannot_be_is_named() -> None:
    for fields, word in (
        ({"wall": "attic"}, "its wall is not in the room"),
        ({"throw_ratio": 0}, "a throw ratio of 0 is none"),
        ({"lumens": 0}, "it gives no light"),
    ):
        found = told(**fields)
        assert found.says == []
        assert word in found.problems[0]


@pytest.mark.parametrize(("x", "y"), [(1, 1), (1, -1), (-1, 1), (-1, -1)])
@pytest.mark.parametrize("wall", ["back", "left", "front", "right"])
def test_what_stands_on_a_corner_of_its_stand_is_in_its_way(wall: str, x: int, y: int) -> None:
    # the stand reaches 200 each way from the lens, 1500 off the middle of a wall; low things of
    # 100 x 100 stand in no beam
    lens = {
        "back": (2500, 1500),
        "left": (1500, 2000),
        "front": (2500, 2500),
        "right": (3500, 2000),
    }
    middle = 2500 if wall in ("back", "front") else 2000

    def said(away: float) -> str:
        at_x, at_y = lens[wall]
        thing = place(
            "other-thing", at_x + x * away, at_y + y * away, width=100, depth=100, height=300
        )
        return words(thing, wall=wall, middle_mm=middle, distance_mm=1500, lens_mm=1500)

    assert "stands where the projector should" in said(245)
    assert "stands where" not in said(255)


@pytest.mark.parametrize(
    ("distance", "aspect", "says"),
    [
        # at 1.0 it is as wide as it is far off; ten millimetres are the least either way
        (20, 2.0, ""),
        (10, 0.5, ""),
        (19, 2.0, "a picture 19 mm wide and 10 mm high shows nothing"),
        (16, 4.0, "a picture 16 mm wide and 4 mm high shows nothing"),
        (9, 0.5, "a picture 9 mm wide and 18 mm high shows nothing"),
    ],
)
def test_a_picture_of_nothing_is_named(distance: float, aspect: float, says: str) -> None:
    found = told(distance_mm=distance, throw_ratio=1, aspect=aspect)
    assert bool(found.problems) is bool(says)
    assert not says or says in found.problems[0]


@pytest.mark.parametrize(
    "bad",
    [
        {"wall": "attic"},
        {"throw_ratio": 0},
        {"lumens": 0},
        {"distance_mm": 5, "throw_ratio": 1},
    ],
)
def test_one_that_cannot_be_hides_no_other(bad: dict[str, Any]) -> None:
    good = {"id": "p", "wall": "back", "middle_mm": 2500, "distance_mm": 3000}
    first, second = {**good, "id": "a", **bad}, {**good, "id": "z"}
    alone = projections(scene_of(room=make_room(5000, 4000), projections=[second]))
    both = projections(scene_of(room=make_room(5000, 4000), projections=[first, second]))
    assert len(both.problems) == 1
    assert len(both.says) == len(alone.says) > 0
