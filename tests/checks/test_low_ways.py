"""What hangs low over the only way, by hand: a room of 5 x 5 m with a door in its front wall."""

import pytest

from app.checks.low_ways import Low, low_for_heads, low_of_the_way
from app.model.kit import Piece, Pose
from app.model.people import Person
from app.model.room import LowThing, Plane
from app.scene.build import Scene, build_scene
from app.scene.routes import Routes, routes
from tests.builders import (
    column,
    low_thing,
    make_person,
    make_plan,
    make_room,
    place,
    rectangle,
    turned_plan,
)
from tests.checks.test_routes import barred, door

BIKE = place("bike", 2500, 900)
PERSON = make_person(1825)
"""1825, 25 of shoe and 50 to spare: 1900 (common practice, no source)."""


def low_over_ways(scene: Scene, paths: Routes) -> tuple[Low, ...]:
    """What the tallest head may meet, else what an ordinary one may: the first hides the second."""
    care = low_for_heads(scene, paths)
    return low_of_the_way(scene, paths) if care is None else (care,)


def beam(bottom: float, at: float = 2500, name: str = "beam", x1: float = 5000) -> LowThing:
    """A beam 200 wide across the room, between the bike and the door."""
    return low_thing(rectangle(0, at - 100, x1, at + 100), bottom, name)


def low(
    *beams: LowThing,
    kit: tuple[Piece, ...] = (BIKE,),
    people: tuple[Person, ...] = (PERSON,),
    covering: float = 0,
) -> tuple[Low, ...]:
    room = make_room(openings=[door()], low_things=beams, covering=covering)
    scene = build_scene(make_plan(*kit, room=room, people=people))
    return low_over_ways(scene, routes(scene))


@pytest.mark.parametrize(
    ("bottom", "needed", "care"),
    # ADA 307.4: 2030; a millimetre is no matter
    [
        (1850, 1900, True),
        (1898, 1900, True),
        (1899.5, 2030, False),
        (2028, 2030, False),
        (2029.5, None, False),
    ],
)
@pytest.mark.parametrize("covering", [0, 20])
def test_a_head_may_meet_it_or_it_is_only_low(
    bottom: float, needed: float | None, care: bool, covering: float
) -> None:
    told = low(beam(bottom + covering), covering=covering)
    if needed is None:
        assert told == ()
        return
    (one,) = told
    assert (one.height_mm, one.needed_mm, one.care) == (
        *(bottom + covering, needed + covering, care),
    )
    assert (one.name, one.to) == ("beam", (0,))
    x, y = one.where
    assert 0 < x < 5000
    assert 2400 < y < 2600


def test_where_nobody_is_named_nobody_meets_it() -> None:
    (one,) = low(beam(1700), people=())
    assert (one.needed_mm, one.care) == (2030, False)
    # of several people the tallest
    short = make_person(1600, person_id="short")
    assert low(beam(1850), people=(PERSON, short)) == low(beam(1850))
    (one,) = low(beam(1850), people=(short,))
    assert one.care is False


def test_the_lowest_of_several_is_named() -> None:
    for first, second in ((1850, 1820), (1820, 1850)):
        (one,) = low(beam(first, 2000, "one"), beam(second, 3000, "two"))
        assert one.height_mm == 1820
        assert (one.where[1] < 2500) is (first == 1820)
    # one that a head may meet goes before one that is only low
    (one,) = low(beam(1950, 2000, "one"), beam(1890, 3000, "two"))
    assert (one.height_mm, one.care) == (1890, True)


def test_only_stations_behind_it_are_named() -> None:
    near = place("bike", 2500, 4000, piece_id="a-near")
    (one,) = low(beam(1850), kit=(near, BIKE))
    assert one.to == (1,)
    (one,) = low(beam(1850), kit=(BIKE, place("bike", 1000, 900, piece_id="c")))
    assert one.to == (0, 1)
    assert low(beam(1850), kit=(near,)) == ()
    # two beams: only who passes under the lower one is named under it
    middle = place("bike", 4500, 2600, piece_id="b-middle")
    (one,) = low(beam(1820, 1800, "one"), beam(1850, 3300, "two"), kit=(middle, BIKE))
    assert (one.height_mm, one.to) == (1820, (1,))


def test_what_can_be_gone_round_is_not_said() -> None:
    assert low(beam(1850, x1=3000)) == ()
    (one,) = low(beam(1850))
    assert one.care is True


@pytest.mark.parametrize(("gap", "count"), [(448, 1), (452, 0), (700, 0)])
@pytest.mark.parametrize("turn", [0, 33])
def test_what_is_wide_enough_beside_it_is_a_way_wherever_the_widest_one_leads(
    gap: float, count: int, turn: float
) -> None:
    # 450 is what one passes sideways (common practice, no source)
    room = make_room(openings=[door()], low_things=[beam(1850, x1=5000 - gap)])
    plan = turned_plan(make_plan(BIKE, room=room, people=(PERSON,)), turn)
    scene = build_scene(plan)
    assert len(low_over_ways(scene, routes(scene))) == count


@pytest.mark.parametrize(("x", "count"), [(4500, 1), (3800, 0)])
def test_a_way_beside_it_that_is_stood_in_is_none(x: float, count: int) -> None:
    chest = place("kettlebell-shelf", x, 2500, piece_id="z-shelf")
    room = make_room(openings=[door()], low_things=[beam(1850, x1=4300)])
    scene = build_scene(make_plan(BIKE, chest, room=room, people=(PERSON,)))
    assert len(low_over_ways(scene, routes(scene))) == count


@pytest.mark.parametrize(("x0", "count"), [(4400, 1), (4990, 0)])
def test_a_way_beside_it_that_a_column_stands_in_is_none(x0: float, count: int) -> None:
    post = column(rectangle(x0, 2300, 5000, 2700))
    room = make_room(openings=[door()], low_things=[beam(1850, x1=4300)], columns=[post])
    scene = build_scene(make_plan(BIKE, room=room, people=(PERSON,)))
    assert len(low_over_ways(scene, routes(scene))) == count


def test_of_what_slopes_the_lowest_place_on_the_way_counts_and_is_true_at_its_mark() -> None:
    # 1700 at the back wall and 40 more on each metre: at the door 1900, at the bike, to which one
    # comes from the front, some 1736
    slope = Plane(id="slope", height_mm=1700, rise_y=40)
    room = make_room(openings=[door()], planes=[slope])
    scene = build_scene(make_plan(BIKE, room=room, people=(PERSON,)))
    (one,) = low_over_ways(scene, routes(scene))
    assert one.height_mm == pytest.approx(1700 + 0.040 * one.where[1], abs=1)
    assert 1700 + 0.040 * 700 < one.height_mm < 1700 + 0.040 * 1200
    assert one.care is True


@pytest.mark.parametrize(("doors", "count"), [((), 1), (("left",), 0)])
def test_a_garage_door_stands_open_over_the_way_where_there_is_no_other(
    doors: tuple[str, ...], count: int
) -> None:
    # an open leaf hangs 100 under the lintel (common practice, no source): 1898 of 1900
    openings = [door(kind="canopy", height_mm=1998), *(door(wall) for wall in doors)]
    scene = build_scene(make_plan(BIKE, room=make_room(openings=openings), people=(PERSON,)))
    assert len(low_over_ways(scene, routes(scene))) == count
    # asked once more it says the same
    assert len(low_over_ways(scene, routes(scene))) == count


def test_who_cannot_get_there_passes_under_nothing() -> None:
    for gap, told in ((440, 0), (500, 1)):
        plan = barred(gap, BIKE, room=make_room(openings=[door()], low_things=[beam(1850, 3600)]))
        scene = build_scene(plan.model_copy(update={"people": (PERSON,)}))
        assert len(low_over_ways(scene, routes(scene))) == told


@pytest.mark.parametrize(("sides", "count"), [((), 1), (("left",), 0)])
def test_where_a_side_door_leads_out_the_garage_door_is_shut_over_the_way(
    sides: tuple[str, ...], count: int
) -> None:
    # the leaf would hang at 1898 over all of the way from the side door, 2000 into the room
    garage = door(kind="canopy", height_mm=1998, width_mm=4800, offset_mm=100)
    openings = [garage, *(door(wall, offset_mm=300) for wall in sides)]
    bike = place("bike", 2500, 4000)
    scene = build_scene(make_plan(bike, room=make_room(openings=openings), people=(PERSON,)))
    assert len(low_over_ways(scene, routes(scene))) == count


def test_what_kit_hangs_low_is_looked_at_where_it_is_now() -> None:
    # a panel 4600 wide across the room leaves 200 at either wall, moved by 300 a way of 500 at one
    panel = place("radiant-panel", 2500, 2500, width=4600, depth=200, height=1880)
    room = make_room(openings=[door()])
    scene = build_scene(make_plan(BIKE, panel, room=room, people=(PERSON,)))
    aside = scene.moved({panel.id: Pose(x_mm=2800, y_mm=2500)})
    for now, count in ((scene, 1), (aside, 0), (scene, 1), (aside, 0)):
        assert len(low_over_ways(now, routes(now))) == count
