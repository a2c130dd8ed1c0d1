"""The supply of a strip can be reached; its cable goes along walls, over doors, never across."""

from __future__ import annotations

from typing import Any

import pytest

from app.model.finishing import StripRun
from app.model.room import Opening, Room
from app.takeoff.supply_ways import feed_of
from tests.builders import make_room, place
from tests.takeoff.making import counted, scene_of


def run(*points: tuple[float, float], wall: str | None = "back", **fields: Any) -> StripRun:
    return StripRun(id="s", wall=wall, points=points, **fields)


def room(**fields: Any) -> Room:
    return make_room(4000, 3000, 2400, **fields)


def with_sockets(*places: tuple[str, float], openings: Any = ()) -> Room:
    data = room(openings=openings).model_dump()
    data["sockets"] = [
        {"id": f"s{i}", "wall": wall, "offset_mm": offset, "height_mm": 300}
        for i, (wall, offset) in enumerate(places)
    ]
    return Room.model_validate(data)


def test_the_supply_lies_beside_the_socket_with_the_shortest_way() -> None:
    # 500 along and 2200 - 300 up: 2400; round the corner from the left wall's end it is
    # 500 + 100 + 1900 = 2500
    scene = scene_of(room=with_sockets(("back", 1000), ("left", 2500)))
    feed = feed_of(scene, run((500, 2200), (3000, 2200)))
    assert feed is not None
    assert (feed.wall, feed.offset_mm, feed.way_mm) == ("back", 1000, 2400)
    near = scene_of(room=with_sockets(("back", 3900), ("left", 2900)))
    round_the_corner = feed_of(near, run((500, 2200), (3000, 2200)))
    assert round_the_corner is not None
    assert (round_the_corner.wall, round_the_corner.way_mm) == ("left", 500 + 100 + 1900)


def test_a_socket_behind_a_thing_is_no_place_for_a_supply() -> None:
    tree = place("plate-tree", 1000, 350)
    scene = scene_of(tree, room=with_sockets(("back", 1000), ("back", 3900)))
    feed = feed_of(scene, run((500, 2200), (3000, 2200)))
    assert feed is not None
    assert feed.offset_mm == 3900


def test_a_cable_that_does_not_reach_is_said() -> None:
    strip = run((500, 2200), (3000, 2200), cable_mm=1000).model_dump()
    said = counted(room=with_sockets(("back", 1000)), strips=[strip]).says
    assert any("1.00 m, which does not reach: type 2.40 m." in one for one in said)
    strip["cable_mm"] = 2400
    said = counted(room=with_sockets(("back", 1000)), strips=[strip]).says
    assert not any("does not reach" in one for one in said)
    assert any("100 mm of air round it" in one for one in said)


@pytest.mark.parametrize(("height", "way"), [(2200, 500 + 1900), (300, 500), (100, 500 + 200)])
def test_a_cable_goes_down_to_a_run_below_its_socket_as_it_goes_up(
    height: float, way: float
) -> None:
    # 500 along, and between the socket at 300 and the start of the run
    scene = scene_of(room=with_sockets(("back", 1000)))
    feed = feed_of(scene, run((500, height), (3000, height)))
    assert feed is not None
    assert feed.way_mm == way


def opening(kind: str, offset: float, wall: str = "back", **fields: Any) -> Opening:
    given = {"id": f"{wall}-{offset}", "wall": wall, "kind": kind, "offset_mm": offset}
    return Opening.model_validate({**given, "width_mm": 800, "height_mm": 2000, **fields})


@pytest.mark.parametrize(
    ("openings", "height", "way", "over"),
    [
        # socket at 1000 and 300 up, the strip begins at 3000: 2000 along, up to the strip, and
        # over a door 2000 high first: up 1700 and down what is left
        ([], 1000, 2000 + 700, 0),
        ([opening("hinged", 1500)], 1000, 2000 + 1700 + 1000, 1),
        ([opening("gap", 1500)], 1000, 2000 + 1700 + 1000, 1),
        # to a strip above the door's head nothing is added, and it goes over the door all the same
        ([opening("hinged", 1500)], 2100, 2000 + 1800, 1),
        # the higher of two doors counts
        ([opening("hinged", 1100), opening("hinged", 2000, height_mm=2100)], 1000, 4900, 2),
        # beside the way, and on the way round behind
        ([opening("hinged", 3100), opening("hinged", 1500, "front")], 1000, 2000 + 700, 0),
        # under a sill it passes; a window that reaches below the socket is as a door
        ([opening("window", 1500, sill_mm=900, height_mm=900)], 1000, 2000 + 700, 0),
        ([opening("window", 1500, sill_mm=200, height_mm=1800)], 1000, 4700, 1),
    ],
)
def test_a_cable_goes_over_a_door_and_never_across_it(
    openings: list[Opening], height: float, way: float, over: int
) -> None:
    of = run((3000, height), (3900, height), cable_mm=9000)
    marked = with_sockets(("back", 1000), openings=openings)
    feed = feed_of(scene_of(room=marked), of)
    assert feed is not None
    assert (feed.way_mm, len(feed.over)) == (way, over)
    said = " ".join(counted(room=marked, strips=[of.model_dump()]).says)
    assert ("along the walls, over the head" in said) is bool(over)


def test_the_way_round_behind_is_taken_where_it_is_shorter() -> None:
    # from 200 on the back wall over a high door 3200 along and twice 2000 up and down, or round
    # by the three other walls: 200 + 3000 + 4000 + 3000 + 600
    high = opening("hinged", 1500, height_mm=2390)
    of = run((3400, 300), (3900, 300))
    scene = scene_of(room=with_sockets(("back", 200), openings=[high]))
    feed = feed_of(scene, of)
    assert feed is not None
    assert (feed.way_mm, feed.over) == (3200 + 2 * 2090, ("door",))
    scene = scene_of(
        room=with_sockets(
            ("back", 200), openings=[opening("hinged", 1500, wall="front", height_mm=2390)]
        )
    )
    feed = feed_of(scene, of)
    assert feed is not None
    assert (feed.way_mm, feed.over) == (3200, ())


def test_under_the_ceiling_the_way_is_up_along_and_out() -> None:
    # up 2400 - 300, 500 along the back wall, 1200 out from it
    of = run((1500, 1200), (3000, 1200), wall=None, cable_mm=1000)
    marked = with_sockets(("back", 1000))
    feed = feed_of(scene_of(room=marked), of)
    assert feed is not None
    assert feed.way_mm == pytest.approx(2100 + 500 + 1200)
    said = counted(room=marked, strips=[of.model_dump()]).says
    assert any("the cable is 3.80 m up the wall to the ceiling, along the" in one for one in said)
    assert any("does not reach: type 3.80 m." in one for one in said)


@pytest.mark.parametrize("wall", [None, "back"])
def test_without_a_socket_it_is_said_that_no_place_is_told(wall: str | None) -> None:
    of = run((1500, 1200), (3000, 1200), wall=wall)
    said = counted(room=room(), strips=[of.model_dump()]).says
    assert any("no socket is marked on the plan" in one for one in said)


@pytest.mark.parametrize(
    ("wall", "offset", "start", "way"),
    [
        # 2100 up from a socket at 300; along the wall to abreast of the start, and out to it
        ("back", 1000, (1500, 800), 2100 + 500 + 800),
        ("right", 1000, (3000, 1500), 2100 + 500 + 1000),
        ("front", 500, (3000, 2000), 2100 + 500 + 1000),
        ("left", 1000, (800, 1500), 2100 + 500 + 800),
    ],
)
def test_to_a_run_under_the_ceiling_it_goes_up_along_and_out_from_any_wall(
    wall: str, offset: float, start: tuple[float, float], way: float
) -> None:
    scene = scene_of(room=with_sockets((wall, offset)))
    feed = feed_of(scene, run(start, (2000, 1500), wall=None))
    assert feed is not None
    assert feed.wall == wall
    assert feed.way_mm == pytest.approx(way)
