"""Starter sets: what is placed meets nothing, is used where it stands, and adds no stop."""

import pytest

from app.arrange.starter import place_set
from app.checks.run import run
from app.library.kit import kit_types
from app.library.starters import StarterSet, starter_sets
from app.model.plan import Plan
from app.model.room import Opening
from app.scene.build import build_scene
from tests.builders import make_person, make_plan, make_room, place
from tests.thinned import one_of

ROOM = make_room(4000, 3500, 2500)
ADA = make_person(1700)


def stops(plan: Plan) -> set[str]:
    return {snag.code for snag in run(build_scene(plan)) if snag.severity == "stop"}


def set_of(*stations: dict[str, object]) -> StarterSet:
    return StarterSet.model_validate(
        {"key": "one", "name": "One", "purpose": "heart", "words": "", "stations": stations}
    )


@pytest.mark.parametrize("key", one_of(2, sorted(starter_sets())))
def test_every_set_finds_its_place_in_an_ordinary_room(key: str) -> None:
    plan = make_plan(room=ROOM, people=(ADA,))
    placed = place_set(plan, starter_sets()[key])
    assert placed.left_out == ()
    assert stops(placed.plan) == set()
    assert {piece.id for piece in placed.plan.pieces} == {piece.id for piece in placed.pieces}


def test_a_bar_lies_on_its_rack_and_the_bench_stands_in_it() -> None:
    placed = place_set(make_plan(room=ROOM, people=(ADA,)), starter_sets()["strength-first"])
    by_type = {piece.type: piece for piece in placed.pieces}
    assert by_type["bar-20"].carried_by == by_type["mid-rack"].id
    assert by_type["flat-bench"].carried_by == by_type["mid-rack"].id
    codes = {snag.code for snag in run(build_scene(placed.plan))}
    assert "bar-rests-on-nothing" not in codes
    assert "clash" not in codes


def test_what_is_too_high_is_left_for_a_lower_one_or_left_out() -> None:
    # 2030 mm for the mid rack, 1830 for the short one: under 1950 only the short one stands.
    low = make_plan(room=make_room(5000, 4000, 1950))
    placed = place_set(low, set_of({"type": "mid-rack", "instead": ["short-rack"]}))
    assert [piece.type for piece in placed.pieces] == ["short-rack"]
    assert placed.says == ("Short rack instead of the mid rack, which does not fit.",)
    none = place_set(make_plan(room=make_room(5000, 4000, 1500)), set_of({"type": "mid-rack"}))
    assert none.pieces == ()
    # 2030 mm high and 1250 deep with 150 behind it, 1220 wide: it is the height that it has not
    assert [(one.name, one.why.worded("metric")) for one in none.left_out] == [
        ("Mid rack", "no free floor of 1220 x 1400 mm under its height")
    ]


def test_a_room_that_is_full_takes_nothing_more() -> None:
    full = make_plan(place("car", 1500, 2500, piece_id="car"), room=make_room(3000, 5000))
    placed = place_set(full, set_of({"type": "running-machine"}, {"type": "rower"}))
    assert placed.pieces == ()
    assert [one.name for one in placed.left_out] == ["Running machine", "Rower"]
    assert placed.plan is full


def test_a_stop_that_was_there_hinders_nothing() -> None:
    # Nobody of 1.90 m presses standing under 2.20 m, with a rack or without.
    tall = make_person(1900, want=("standing-press",))
    plan = make_plan(room=make_room(5000, 4500, 2200), people=(tall,))
    assert stops(plan) == {"headroom"}
    placed = place_set(plan, starter_sets()["strength-first"])
    assert placed.left_out == ()
    assert stops(placed.plan) == {"headroom"}


def test_ids_go_on_from_those_that_are_taken() -> None:
    there = make_plan(place("jump-box", 3500, 3000, piece_id="bike-1"), room=ROOM)
    placed = place_set(there, set_of({"type": "bike"}))
    assert [piece.id for piece in placed.pieces] == ["bike-2"]


def test_sums_are_those_of_the_rows() -> None:
    # Guide prices: rack 520, bar 180, flat bench 110, iron plates 190, mat 30.
    assert starter_sets()["strength-first"].about_minor == 103_000
    sums = [one.about_minor for one in starter_sets().values()]
    assert all(total > 0 for total in sums)
    assert {one.purpose for one in starter_sets().values()} >= {"strength", "heart", "boxing"}
    assert all(
        kit_types()[name].price_minor is not None
        for one in starter_sets().values()
        for station in one.stations
        for name in station.types()
    )


def test_mats_do_not_lie_on_one_another_where_there_is_floor() -> None:
    placed = place_set(make_plan(room=ROOM, people=(ADA,)), starter_sets()["boxing"])
    on_floor = {one.piece.type: one.footprint for one in build_scene(placed.plan).order}
    mat, rope = on_floor["mat-space"], on_floor["skipping-space"]
    assert mat.intersection(rope).area == 0


def test_what_stands_is_not_put_in_twice_and_the_rack_gets_its_bar_and_bench() -> None:
    there = make_plan(
        place("full-rack", 2000, 800, piece_id="rack"),
        place("mat-space", 2000, 3000, 90, piece_id="mat"),
        room=ROOM,
        people=(ADA,),
    )
    placed = place_set(there, starter_sets()["strength-first"])
    by_type = {piece.type: piece for piece in placed.pieces}
    assert set(by_type) == {"bar-20", "flat-bench", "iron-plates"}
    assert by_type["bar-20"].carried_by == by_type["flat-bench"].carried_by == "rack"
    assert [(one.name, one.why.worded("metric")) for one in placed.left_out] == [
        ("Mid rack", "the full rack that is already here will do"),
        ("Mat space", "the mat space that is already here will do"),
    ]
    assert placed.says == (
        "Bar 20 kg: goes to the full rack that stands.",
        "Flat bench: goes to the full rack that stands.",
    )
    assert stops(placed.plan) <= stops(there)


def test_a_set_put_in_twice_puts_in_nothing_the_second_time() -> None:
    starter = starter_sets()["strength-more"]
    once = place_set(make_plan(room=make_room(5000, 4500, 2500), people=(ADA,)), starter)
    again = place_set(once.plan, starter)
    assert again.pieces == ()
    every = [kit_types()[key].name for station in starter.stations for key in station.types()]
    assert sorted(one.name for one in again.left_out) == sorted(every)


def test_all_of_a_station_that_finds_no_place_is_named() -> None:
    starter = starter_sets()["strength-first"]
    placed = place_set(make_plan(room=make_room(5000, 4000, 1500)), starter)
    told = {one.name: one.why.worded("metric") for one in placed.left_out}
    bar, bench = kit_types()["bar-20"].name, kit_types()["flat-bench"].name
    assert told[bar] == told[bench] == "it goes with the mid rack, which is left out"
    named = {kit_types()[piece.type].name for piece in placed.pieces} | set(told)
    assert named >= {kit_types()[key].name for one in starter.stations for key in one.types()}


def test_nothing_is_laid_where_a_door_swings() -> None:
    """A room of 2.4 x 2.6 m whose door of 900 opens into the only corner that is otherwise free."""
    door = Opening(
        id="door", wall="front", kind="hinged", offset_mm=0, width_mm=900, height_mm=2000
    )
    room = make_room(2400, 2600, 2500, openings=[door])
    placed = place_set(make_plan(room=room, people=(ADA,)), starter_sets()["heart-first"])
    scene = build_scene(placed.plan)
    (sweep,) = scene.room.openings[0].sweeps
    assert placed.pieces != ()
    assert all(one.footprint.intersection(sweep.polygon).area < 1e4 for one in scene.order)
    left = {one.name for one in placed.left_out}
    assert len(left) + len(placed.pieces) == 3
