"""Starter sets: what is placed meets nothing, is used where it stands, and adds no stop."""

import pytest

from app.arrange.starter import place_set
from app.checks.run import run
from app.library.kit import kit_types
from app.library.starters import StarterSet, starter_sets
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import make_person, make_plan, make_room, place

ROOM = make_room(4000, 3500, 2500)
ADA = make_person(1700)


def stops(plan: Plan) -> set[str]:
    return {snag.code for snag in run(build_scene(plan)) if snag.severity == "stop"}


def set_of(*stations: dict[str, object]) -> StarterSet:
    return StarterSet.model_validate(
        {"key": "one", "name": "One", "purpose": "heart", "words": "", "stations": stations}
    )


@pytest.mark.parametrize("key", sorted(starter_sets()))
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
    assert (none.pieces, none.left_out) == ((), ("Mid rack",))


def test_a_room_that_is_full_takes_nothing_more() -> None:
    full = make_plan(place("car", 1500, 2500, piece_id="car"), room=make_room(3000, 5000))
    placed = place_set(full, set_of({"type": "running-machine"}, {"type": "rower"}))
    assert placed.pieces == ()
    assert placed.left_out == ("Running machine", "Rower")
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
    there = make_plan(place("bike", 3500, 3000, piece_id="bike-1"), room=ROOM)
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
