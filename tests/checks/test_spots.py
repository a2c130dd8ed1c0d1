"""Where movements are done and how high it is there, by hand, from the rows of the library.

The full rack is 1220 x 1250 x 2140: crossmembers and rails hang from 2065 up, one squats in its
middle, presses 700 before its front and hangs on a bar 37 under its top, 37 behind its front.
"""

import math
from typing import Any

import pytest
from shapely import Polygon

from app.checks.rising import _own_top_mm
from app.checks.spot import Spot, form_of
from app.checks.spots import (
    BARE,
    OPEN,
    TRAINING,
    best_spot,
    demand_of,
    is_within,
    judge,
    measure,
    overhead_in,
    served,
    spots,
)
from app.model.kit import Piece
from app.model.room import Opening, Plane, Room
from app.scene.build import Scene, build_scene
from tests.builders import low_thing, make_person, make_plan, make_room, place, rectangle

TALL = make_person(1800)
RACK = place("full-rack", 2500, 2500, piece_id="rack")
BAR = place("bar-20", 2500, 2500, piece_id="bar", carried_by="rack")
BENCH = place("flat-bench", 2500, 2500, piece_id="bench", carried_by="rack")
NOW = "today"


def scene_of(*pieces: Piece, room: Room | None = None) -> Scene:
    return build_scene(make_plan(*pieces, room=room or make_room(), people=[TALL]))


def only(scene: Scene, movement: str) -> Spot:
    (spot,) = spots(scene)[movement]
    return spot


def at(*pieces: Piece) -> dict[str, list[str]]:
    """The pieces at which each movement is done."""
    every = spots(scene_of(*pieces))
    assert served(scene_of(*pieces)) == set(every)
    return {
        movement: [spot.placed.piece.id for spot in places] for movement, places in every.items()
    }


def test_what_a_station_offers_hangs_on_its_bar_and_its_bench() -> None:
    assert at(RACK) == {"pull-up": ["rack"]}
    barred = {one: ["rack"] for one in ("pull-up", "squat", "standing-press", "kneeling-press")}
    assert at(RACK, BAR) == barred
    # the bench in the rack is part of it, whatever it offers by itself
    assert at(RACK, BAR, BENCH) == barred | {"bench-press": ["rack"], "seated-press": ["rack"]}
    assert at(RACK, BENCH)["pull-up"] == ["rack"]
    assert "bench-press" not in at(RACK, BENCH)
    # beside it each offers its own, and lends the rack nothing
    beside = place("flat-bench", 4000, 1000, piece_id="bench")
    assert at(RACK, BAR, beside) == barred | {"seated-press": ["bench"]}
    other = place("flat-bench", 1000, 1000, piece_id="other")
    assert at(beside, other) == {"seated-press": ["bench", "other"]}


def test_what_is_folded_offers_nothing() -> None:
    belt = place("running-machine")
    assert at(belt) == {"run": ["running-machine"], "walk": ["running-machine"]}
    assert at(belt.model_copy(update={"state": "folded"})) == {}
    assert at() == {}
    # what comes after it in the plan is there all the same
    folded = belt.model_copy(update={"state": "folded", "id": "a"})
    assert at(folded, place("flat-bench", 1000, 1000)) == {"seated-press": ["flat-bench"]}


@pytest.mark.parametrize(
    ("angle", "middle"),
    # from the middle of the rack 625 to its front and 700 on; a quarter clockwise that is left
    [(0, (2500, 3825)), (90, (1175, 2500)), (180, (2500, 1175))],
)
def test_the_middle_of_a_place(angle: float, middle: tuple[float, float]) -> None:
    rack = place("full-rack", 2500, 2500, angle, piece_id="rack")
    assert only(scene_of(rack, BAR), "standing-press").at == pytest.approx(middle)


def test_the_part_with_the_least_to_spare_decides() -> None:
    scene = scene_of(RACK, BAR)
    verdict = judge(scene, TALL, only(scene, "standing-press"), NOW)
    # plates of 450 stand 225 over the grip, more than the bar and the hands
    assert (verdict.clear.part, verdict.clear.held_mm) == ("plates", 225)
    assert (verdict.clear.clear_mm, verdict.clear.own) == (2600, False)
    assert verdict.spare_least_mm == pytest.approx(2600 - verdict.demand.least_mm)
    assert verdict.spare_need_mm == pytest.approx(2600 - verdict.demand.need_mm)
    # under a beam over the head alone it is the hands: 300 lower than over the plates
    beam = low_thing(rectangle(2300, 3700, 2700, 3950), 2300)
    low = scene_of(RACK, BAR, room=make_room(low_things=[beam]))
    verdict = judge(low, TALL, only(low, "standing-press"), NOW)
    assert (verdict.clear.part, verdict.clear.clear_mm, verdict.clear.cause) == (
        *("hands", 2300, "beam"),
    )


@pytest.mark.parametrize(
    ("height", "covering", "clear", "own"),
    [
        (2600, 0, 2065, True),
        # a rack on a covering is lifted with it
        (2600, 20, 2085, True),
        (2066, 0, 2065, True),
        (2065, 0, 2065, False),
        (2064, 0, 2064, False),
    ],
)
def test_what_hangs_lowest_the_rack_itself_or_the_ceiling(
    height: float, covering: float, clear: float, own: bool
) -> None:
    scene = scene_of(RACK, BAR, room=make_room(height=height, covering=covering))
    told = judge(scene, TALL, only(scene, "squat"), NOW).clear
    assert told.clear_mm == pytest.approx(clear)
    assert told.own is own
    assert told.cause == ("crossmember" if own else "ceiling")


def test_over_a_bar_hang_the_rails_and_over_plates_nothing_of_the_rack() -> None:
    scene = scene_of(RACK, BAR, BENCH)
    form = form_of(scene, only(scene, "bench-press"))
    hangs = [(part.name, own) for part, own in zip(form.parts, form.own_mm, strict=True)]
    # hands reach no rail; plates hang outside the posts
    assert hangs == [("hands", math.inf), ("bar", 2065), *[("plates", math.inf)] * 2]
    assert judge(scene, TALL, only(scene, "bench-press"), NOW).clear.cause == "rails"
    before = form_of(scene, only(scene, "standing-press"))
    assert before.own_mm == (math.inf,) * 4


def test_areas_lie_about_the_middle_of_the_piece_and_turn_with_it() -> None:
    for angle, middle in ((0, (0, 1325)), (90, (-1325, 0))):
        rack = place("full-rack", 2500, 2500, angle, piece_id="rack")
        scene = scene_of(rack, BAR)
        hands, bar, *plates = form_of(scene, only(scene, "standing-press")).areas
        for area in (hands, bar):
            assert (area.centroid.x, area.centroid.y) == pytest.approx(middle, abs=1e-6)
        # drawn in by half a millimetre each way
        wide = bar.bounds[2] - bar.bounds[0], bar.bounds[3] - bar.bounds[1]
        across = max(wide)
        flat = max(p.bounds[2] for p in plates) if angle == 0 else max(p.bounds[3] for p in plates)
        assert flat == pytest.approx(across / 2)


@pytest.mark.parametrize(("rise", "best"), [(0, "a"), (0.04, "a"), (0.06, "b"), (-1, "a")])
def test_of_several_places_the_one_with_the_most_to_spare(rise: float, best: str) -> None:
    # a metre apart under a slope; what differs by less than 0.05 is alike, and the first is given
    mats = [place("mat-space", x, 2500, piece_id=name) for name, x in (("a", 1500), ("b", 2500))]
    slope = Plane(id="slope", height_mm=2500, rise_x=rise)
    scene = scene_of(*mats, room=make_room(planes=[slope]))
    verdict, spot = best_spot(scene, TALL, spots(scene)["stretch"], NOW)
    assert spot.placed.piece.id == best
    assert verdict == judge(scene, TALL, spot, NOW)


def test_a_place_beyond_a_wall_is_none_while_there_is_another() -> None:
    slope = Plane(id="slope", height_mm=2500, rise_x=-100)
    room = make_room(planes=[slope])
    out = place("mat-space", -10, 2500, piece_id="out")
    edge = place("mat-space", 0, 2500, piece_id="edge")
    far = place("mat-space", 2500, 2500, piece_id="within")
    scene = scene_of(out, far, room=room)
    # ids go before places: the one in the room stands last
    outside, inside = sorted(spots(scene)["stretch"], key=lambda spot: spot.at)
    assert (is_within(scene, outside), is_within(scene, inside)) == (False, True)
    for order in ((outside, inside), (inside, outside)):
        assert best_spot(scene, TALL, order, NOW)[1] == inside
    # alone it is judged, as high as at the nearest spot in the room
    alone, near = scene_of(out, room=room), scene_of(edge, room=room)
    verdict, spot = best_spot(alone, TALL, spots(alone)["stretch"], NOW)
    assert spot.placed.piece.id == "out"
    at_edge = only(near, "stretch")
    assert is_within(near, at_edge)
    high = judge(near, TALL, at_edge, NOW).clear.clear_mm
    assert verdict.clear.clear_mm == pytest.approx(high, abs=1e-6)


@pytest.mark.parametrize(
    ("fields", "covering", "more"),
    [
        ({}, 0, 0),
        # a bar hung 100 lower, a taller rack, one on a covering
        ({"bar_height_mm": 2003}, 0, -100),
        ({"height_mm": 2240}, 0, 100),
        ({}, 20, 20),
    ],
)
def test_who_hangs_on_a_bar_asks_for_what_is_over_it(
    fields: dict[str, Any], covering: float, more: float
) -> None:
    scene = scene_of(RACK.model_copy(update=fields), room=make_room(covering=covering))
    spot = only(scene, "pull-up")
    plain = scene_of(RACK)
    least = demand_of(plain, TALL, only(plain, "pull-up"), None).least_mm
    assert demand_of(scene, TALL, spot, None).least_mm == pytest.approx(least + more)


def test_each_person_and_each_part_asks_for_its_own() -> None:
    scene = scene_of(RACK, BAR)
    spot = only(scene, "standing-press")
    short = make_person(1600, person_id="short")
    tall, low = (demand_of(scene, person, spot, 225).least_mm for person in (TALL, short))
    assert tall > low
    # plates of 225 over the grip against a shaft of 14
    thin = demand_of(scene, TALL, spot, 14).least_mm
    assert tall - thin == pytest.approx(211)
    # a box to step on lifts whoever stands on it; rubber under both lifts as much again
    for height, covering in ((500, 0), (600, 0), (500, 20)):
        box = place("jump-box", 2500, 2500, height=height)
        boxed = scene_of(box, room=make_room(covering=covering))
        least = demand_of(boxed, TALL, spots(boxed)["step-up"][0], None).least_mm
        flat = scene_of(place("jump-box", 2500, 2500, height=500))
        base = demand_of(flat, TALL, spots(flat)["step-up"][0], None).least_mm
        assert least - base == pytest.approx(height - 500 + covering)
        # who stands before it is lifted by the rubber alone
        floor = demand_of(boxed, TALL, spots(boxed)["step-up"][0], None, on_floor=True).least_mm
        assert floor == pytest.approx(1800 + covering)


def test_what_is_overhead_hangs_on_the_situation() -> None:
    door = Opening.model_validate(
        {"id": "g", "wall": "front", "kind": "tracks", "offset_mm": 500, "width_mm": 4000,
         "height_mm": 2100}
    )  # fmt: skip
    mat = place("mat-space", 2500, 4000)
    scene = scene_of(mat, room=make_room(openings=[door]))
    room = scene.room
    for situation, overhead in ((OPEN, room.open), (TRAINING, room.training), (BARE, room.bare)):
        assert overhead_in(scene, situation) is overhead
    assert overhead_in(scene, NOW) is scene.overhead
    spot = only(scene, "stretch")
    shut, opened = (judge(scene, TALL, spot, one).clear for one in (NOW, OPEN))
    # what is remembered of one situation is not given for another
    assert opened.clear_mm < shut.clear_mm
    assert judge(scene, TALL, spot, NOW).clear == shut


def test_places_that_were_measured_together_are_judged_as_each_alone() -> None:
    beam = low_thing(rectangle(0, 0, 2000, 5000), 2200)
    room = make_room(low_things=[beam])
    mats = [place("mat-space", x, 2500, piece_id=f"mat-{x}") for x in (1000, 3500)]
    scene = scene_of(RACK.model_copy(update={"id": "z"}), *mats, room=room)
    places = [*spots(scene)["stretch"], *spots(scene)["pull-up"]]
    measure(scene, places, NOW)
    together = [judge(scene, TALL, spot, NOW).clear for spot in places]
    assert [clear.clear_mm for clear in together[:2]] == [2200, 2600]
    assert [clear.cause for clear in together[:2]] == ["beam", "ceiling"]
    for spot, clear in zip(places, together, strict=True):
        alone = scene_of(spot.placed.piece, room=room)
        (own,) = spots(alone)[spot.use.movement]
        assert judge(alone, TALL, own, NOW).clear == clear


def test_over_what_has_nothing_overhead_its_own_top_is_nowhere() -> None:
    mat = scene_of(place("mat-space")).placed["mat-space"]
    area = rectangle(-300, -300, 300, 300)
    assert math.isinf(_own_top_mm(mat.shape, mat.extent.height_mm, Polygon(area)))
    assert _own_top_mm(mat.shape, mat.extent.height_mm, Polygon(area)) > 0
    # the rails and crossmembers of a rack hang from 2065 up; beside it is none of them
    rack = scene_of(RACK).placed["rack"]
    over = rectangle(-700, -700, 700, 700)
    assert _own_top_mm(rack.shape, rack.extent.height_mm, Polygon(over)) == 2065
    far = rectangle(2000, 2000, 2200, 2200)
    assert _own_top_mm(rack.shape, rack.extent.height_mm, Polygon(far)) == math.inf
