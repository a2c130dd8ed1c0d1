"""Narrow places gathered and named; widths of ways: 450 at the least, 600 wanted, 760 easy."""

import pytest

from app.checks.way_words import (
    EASY,
    LEAST,
    WANTED,
    Neck,
    between,
    misses,
    names_of,
    necks_of,
    owner_name,
    pieces_of,
)
from app.model.room import Opening
from app.scene.build import Scene, build_scene
from app.scene.routes import Way, routes
from tests.builders import (
    column,
    make_plan,
    make_room,
    place,
    rectangle,
    turned_plan,
    turned_point,
)


def way(width: float, *between: int) -> Way:
    return Way(width, between, (0.0, 0.0), 0)


def test_a_way_misses_a_width_by_more_than_the_tolerance() -> None:
    assert misses(way(448), LEAST)
    assert not misses(way(449.5), LEAST)
    assert misses(way(598), WANTED)
    assert not misses(way(760), EASY)


def test_ways_through_one_place_are_one_neck_as_wide_as_the_narrowest() -> None:
    ways = {0: way(500, 1, 2), 1: way(700, 3), 2: way(480, 1, 2), 3: way(400, 5), 4: way(590, 4)}
    necks = necks_of(ways, 450, WANTED)
    assert [(neck.way.width_mm, neck.to) for neck in necks] == [(480, (0, 2)), (590, (4,))]
    assert [neck.to for neck in necks_of(ways, 0, LEAST)] == [(3,)]
    assert [neck.to for neck in necks_of(ways, 600, EASY)] == [(1,)]


def test_no_way_at_all_counts_among_the_narrowest() -> None:
    assert [neck.to for neck in necks_of({0: way(0)}, 0, LEAST)] == [(0,)]


def scene() -> Scene:
    door = Opening(id="d", wall="front", kind="hinged", offset_mm=500, width_mm=900, height_mm=2000)
    post = column(rectangle(4700, 4700, 4900, 4900))
    bikes = [place("bike", 1000 + 900 * i, 1500, piece_id=f"b{i}") for i in range(4)]
    runner = place("running-machine", 2500, 3500)
    return build_scene(make_plan(*bikes, runner, room=make_room(openings=[door], columns=[post])))


def test_a_narrow_place_is_told_by_what_makes_it() -> None:
    made = scene()
    count = len(made.order)
    # the room's own outlines are counted after those of the kit
    assert count == 5
    names = [owner_name(made, count + i) for i in range(len(made.fixed_names))]
    assert names == list(made.fixed_names)
    assert owner_name(made, count - 1) == "the running machine"
    wall = made.fixed_names[0]
    assert between(made, way(500, 4, count)) == f"between the running machine and {wall}"
    assert between(made, way(500, 4)) == "at the running machine"
    assert between(made, way(500)) == "nowhere"


@pytest.mark.parametrize("turn", [0, 28])
@pytest.mark.parametrize(
    ("where", "named"),
    # a door from 1000 to 1800 along the back wall: half of 600 from its jamb, and 4 more
    [((1000, 300), "the jamb of the side door"), ((704, 0), "the jamb of the side door"),
     ((696, 0), "the back wall"), ((2800, 300), "the back wall")],
)  # fmt: skip
def test_a_way_that_is_narrow_at_a_door_is_told_by_its_jamb(
    where: tuple[float, float], named: str, turn: float
) -> None:
    door = Opening(
        id="d", wall="back", kind="hinged", offset_mm=1000, width_mm=800, height_mm=2000,
        label="Side door",
    )  # fmt: skip
    plan = make_plan(place("jump-box", piece_id="box"), room=make_room(openings=[door]))
    scene = build_scene(turned_plan(plan, turn))
    way = Way(600, (0, 1), turned_point(where, turn), 0)
    assert between(scene, way) == f"between the jump box and {named}"


def test_a_narrow_place_points_at_the_kit_that_makes_it_else_at_what_it_bars() -> None:
    made = scene()
    paths = routes(made)
    count = len(made.order)
    ids = [made.order[stand.number].piece.id for stand in paths.stands]
    assert pieces_of(made, paths, Neck(way(500, 1, 4), (0,))) == ("b1", "running-machine")
    assert pieces_of(made, paths, Neck(way(500, 1, count), (0,))) == ("b1",)
    barred = pieces_of(made, paths, Neck(way(500, count, count + 1), (0, 2)))
    assert barred == (ids[0], ids[2])


def test_stations_are_named_up_to_three_kinds_of_them() -> None:
    made = scene()
    paths = routes(made)
    names = {made.order[stand.number].name: i for i, stand in enumerate(paths.stands)}
    assert names_of(made, paths, [names["Running machine"]]) == "the running machine"
    every = names_of(made, paths, range(len(paths.stands)))
    assert every == "four upright bikes and the running machine"
