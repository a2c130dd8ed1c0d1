"""The region in which a movement fits says at every place what the card's own test says there."""

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import Point, Polygon

from app.arrange.region import headroom_region
from app.checks.open_floor import card, directions
from app.formulas.headroom import demand
from app.library.movements import movements
from app.model.people import Person
from app.model.room import Joists, Opening, Plane, Room
from app.scene.build import Scene, build_scene
from app.scene.shapes import turned
from app.scene.swept import area_size_mm, parts, usual_bar
from app.scene.tolerance import TOLERANCE_MM, falls_short
from tests.builders import low_thing, make_person, make_plan, make_room, rectangle
from tests.thinned import drawn

BAND_MM = 1.0
SHAPES = {
    "rectangle": ((0, 0), (5200, 0), (5200, 4300), (0, 4300)),
    "l": ((0, 0), (5600, 0), (5600, 2900), (3900, 2900), (3900, 5200), (0, 5200)),
    "askew": ((0, 300), (5400, 0), (5000, 4600), (-300, 4200)),
}
MOVEMENTS = ("standing-press", "pull-up", "skip", "kettlebell-overhead", "floor-work")


def scene_of(room: Room, person: Person) -> Scene:
    return build_scene(make_plan(room=room, people=(person,)))


def passes(scene: Scene, person: Person, movement: str, x: float, y: float, margin: bool) -> bool:
    """The card's test at one place: the body between the walls, each part clear of what hangs."""
    held = usual_bar()
    rising = parts(movement, held)
    width, depth = area_size_mm(movement, held)
    wander = movements()[movement].wander_mm
    w, d = width / 2 - wander, depth / 2 - wander
    most = max(part.held_mm or 0.0 for part in rising)
    asked = demand(
        movement,
        person.stature_mm,
        person.reach_mm,
        floor_mm=scene.plan.room.floor.covering.thickness_mm,
        held_mm=None if rising[0].held_mm is None else most,
    )
    required = asked.need_mm if margin else asked.least_mm
    for angle in directions(scene.room):

        def put(area: Polygon, angle: float = angle) -> Polygon:
            return shapely.transform(turned(area, angle), lambda xy: xy + np.array([x, y]))

        if not scene.room.within.covers(put(Polygon([(-w, -d), (w, -d), (w, d), (-w, d)]))):
            continue
        areas = [put(p.area).buffer(-TOLERANCE_MM / 2, join_style="mitre") for p in rising]
        clear, _ = scene.room.shut.clear(np.array(areas, dtype=object))
        over = min(c - (p.held_mm or 0.0) for c, p in zip(clear, rising, strict=True))
        if not falls_short(over + most, required):
            return True
    return False


rooms = st.builds(
    lambda shape, height, joists, slope, beam: make_room(
        corners=SHAPES[shape],
        covering=15,
        joists=joists,
        planes=(Plane(id="c", height_mm=height, at=(0, 0), rise_x=slope[0], rise_y=slope[1]),),
        low_things=(low_thing(*beam),) if beam else (),
    ),
    shape=st.sampled_from(sorted(SHAPES)),
    height=st.integers(2150, 2750),
    joists=st.one_of(
        st.none(),
        st.builds(
            Joists,
            direction_deg=st.integers(0, 179),
            spacing_mm=st.sampled_from((400, 600, 1200)),
            width_mm=st.just(45),
            depth_mm=st.sampled_from((95, 145)),
            first_mm=st.integers(0, 400),
        ),
    ),
    slope=st.sampled_from(((0, 0), (90, 0), (0, -60), (40, 70))),
    beam=st.one_of(
        st.none(),
        st.tuples(
            st.just(((1500, 900), (3600, 1000), (3500, 1400), (2600, 1200), (1450, 1300))),
            st.integers(1900, 2300),
        ),
    ),
)


@drawn(15, 40)
@given(
    room=rooms,
    stature=st.integers(1500, 2000),
    movement=st.sampled_from(MOVEMENTS),
    margin=st.booleans(),
    shares=st.lists(st.tuples(st.floats(0, 1), st.floats(0, 1)), min_size=30, max_size=30),
)
def test_inside_the_region_it_passes_and_outside_it_does_not(
    room: Room, stature: int, movement: str, margin: bool, shares: list[tuple[float, float]]
) -> None:
    person = make_person(stature)
    scene = scene_of(room, person)
    region = shapely.union_all(headroom_region(scene, person, movement, margin))
    x0, y0, x1, y1 = scene.room.free.bounds
    for across, down in shares:
        x, y = x0 + across * (x1 - x0), y0 + down * (y1 - y0)
        if region.is_empty or region.boundary.distance(Point(x, y)) > BAND_MM:
            inside = bool(region.covers(Point(x, y)))
            assert passes(scene, person, movement, x, y, margin) == inside, (x, y)


def test_under_a_level_ceiling_only_the_walls_bound_it() -> None:
    """A skipping person takes 1500 x 2400 of floor; the wander of 200 may brush the walls."""
    person = make_person(1700)
    scene = scene_of(make_room(4000, 5000, 2600), person)
    region = headroom_region(scene, person, "skip")
    # along: 4000 - 1500 by 5000 - 2400; across: 4000 - 2400 by 5000 - 1500
    along, across, both = 2500 * 2600, 1600 * 3500, 1600 * 2600
    assert sum(part.area for part in region) == pytest.approx(along + across - both, rel=0.002)


def test_a_beam_forbids_its_width_and_that_of_the_head() -> None:
    """Pull-ups at 1750: the lowest tucked bar is 1450, the crown 1450 + 50 + 227.5 = 1727.5."""
    person = make_person(1750)
    beam = low_thing(rectangle(2000, 0, 2200, 5000), 1700)
    with_beam = scene_of(make_room(5000, 5000, 2600, low_things=(beam,)), person)
    bare = scene_of(make_room(5000, 5000, 2600), person)
    left, right = sorted(headroom_region(with_beam, person, "pull-up"), key=lambda p: p.bounds[0])
    # the head is 250 wide and wanders 100 to each side: 225 from its middle to the beam
    assert left.bounds[2] == pytest.approx(2000 - 225, abs=1)
    assert right.bounds[0] == pytest.approx(2200 + 225, abs=1)
    (whole,) = headroom_region(bare, person, "pull-up")
    assert whole.bounds[0] == pytest.approx(left.bounds[0], abs=0.01)


def test_under_a_slope_it_ends_at_the_level_line() -> None:
    """Sitting up at 1800 takes 946.8; the ceiling rises 200 a metre from 700 at the left wall."""
    person = make_person(1800)
    slope = (Plane(id="c", height_mm=700, at=(0, 0), rise_x=200),)
    scene = scene_of(make_room(5000, 5000, planes=slope), person)
    region = shapely.union_all(headroom_region(scene, person, "floor-work"))
    # 946.8 is reached 1234 from the wall; the place of the head is 250 wide and its wander
    half = 125 + movements()["floor-work"].wander_mm
    assert region.bounds[0] == pytest.approx((946.8 - 700) / 0.2 + half, abs=6)


@settings(max_examples=15, deadline=None)
@given(room=rooms, stature=st.integers(1500, 1900), more=st.integers(1, 200), which=st.booleans())
def test_who_asks_for_more_has_no_place_more(
    room: Room, stature: int, more: int, which: bool
) -> None:
    movement = "standing-press" if which else "skip"
    short, tall = make_person(stature), make_person(stature + more)
    scene = scene_of(room, short)
    least, need, taller = (
        shapely.union_all(found)
        for found in (
            headroom_region(scene, short, movement),
            headroom_region(scene, short, movement, margin=True),
            headroom_region(scene, tall, movement),
        )
    )
    assert need.difference(least).area < 1
    assert taller.difference(least).area < 1


def test_it_is_empty_only_where_the_card_says_it_does_not_fit() -> None:
    """The card tries 7 x 7 places; where one of them passes the region is not empty."""
    person = make_person(1880)
    joists = Joists(direction_deg=0, spacing_mm=400, width_mm=45, depth_mm=150, first_mm=200)
    scene = scene_of(make_room(5320, 5180, 2460, covering=20, joists=joists), person)
    (lines,) = (one.lines for one in card(scene))
    told = {line.movement: line.verdict for line in lines}
    for movement, verdict in told.items():
        region = headroom_region(scene, person, movement)
        assert verdict == "does-not" or region, movement
        assert math.fsum(part.area for part in region) <= scene.room.free.area
    assert not headroom_region(scene, person, "standing-press")
    assert headroom_region(scene, person, "seated-press")


@pytest.mark.parametrize(
    ("said", "least", "need"),
    [("unknown", True, False), ("yes", False, False), ("no", True, True)],
)
def test_under_an_open_leaf_the_films_show_what_the_flags_say(
    said: str, least: bool, need: bool
) -> None:
    # a leaf 2100 deep hangs at 2000; 1.75 m swing a weight overhead in 1.20 H + 35 = 2135 (common
    # practice, no source), and with its margin in 2312
    door = Opening.model_validate(
        {"id": "g", "wall": "back", "kind": "tracks", "offset_mm": 1000, "width_mm": 4000}
        | {"height_mm": 2100, "open_while_training": said}
    )
    person = make_person(1750)
    scene = scene_of(make_room(6000, 6000, 2600, openings=[door]), person)
    for margin, there in ((False, least), (True, need)):
        areas = headroom_region(scene, person, "kettlebell-overhead", margin)
        assert any(area.covers(Point(3000, 1100)) for area in areas) == there
        assert any(area.covers(Point(3000, 4500)) for area in areas)
