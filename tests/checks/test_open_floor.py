"""The card of a person before there is any kit. Figures: common practice, no source."""

import pytest

from app.checks.open_floor import (
    CardLine,
    PersonCard,
    card,
    directions,
    open_floor,
    wanted_without_kit,
)
from app.library.movements import movements
from app.model.base import json_of
from app.model.kit import Piece
from app.model.plan import Plan
from app.model.room import Joists, LowThing, Plane, Room
from app.scene.build import Scene, build_scene
from app.units import format_short
from tests.builders import found, make_person, make_plan, make_room, place, rectangle, turned_plan


def lines(height: float, stature: float = 1750, reach: float | None = None) -> dict[str, CardLine]:
    person = make_person(stature, reach=reach)
    plan = make_plan(room=make_room(6000, 6000, height, covering=20), people=[person])
    (one,) = card(build_scene(plan))
    return {line.movement: line for line in one.lines}


def test_the_card_holds_what_is_asked_of_everybody() -> None:
    assert set(lines(2500)) == {key for key, row in movements().items() if row.on_card}


@pytest.mark.parametrize(
    ("height", "reach", "expected"),
    [
        (2200, None, "does-not"),
        (2400, None, "tight"),
        (2500, None, "tight"),
        (2500, 2100, "fits"),
        # 20 + 2100 + 225, and 25 + 100 more
        (2345, 2100, "tight"),
        (2343, 2100, "does-not"),
        (2470, 2100, "fits"),
        (2468, 2100, "tight"),
    ],
)
def test_a_standing_press_by_height(height: float, reach: float | None, expected: str) -> None:
    assert lines(height, reach=reach)["standing-press"].verdict == expected


def test_the_sentence_says_how_much() -> None:
    line = lines(2300, reach=2100)["standing-press"]
    assert (line.clear_mm, line.least_mm, line.need_mm) == (2300, 2345, 2470)
    assert line.sentence == "45 mm too low: 2300 of the 2345 mm needed"
    # 2345 at the least and 2470 with its margin
    tight, fits = (lines(high, reach=2100)["standing-press"].sentence for high in (2400, 2500))
    assert tight == "passes, 70 mm short of the margin: 2400 of 2470"
    assert fits == "fits with 30 mm to spare: 2470 of 2500"


def test_a_room_too_small_is_said() -> None:
    person = make_person(1750)
    plan = make_plan(room=make_room(1800, 1800, 2600), people=[person])
    (one,) = card(build_scene(plan))
    skip = next(line for line in one.lines if line.movement == "skip")
    assert (skip.verdict, skip.clear_mm) == ("does-not", None)
    assert "too small" in skip.sentence


def test_under_a_slope_it_may_fit_in_part_of_the_room_only() -> None:
    slope = Plane(id="roof", height_mm=1800, rise_x=200)
    plan = make_plan(room=make_room(6000, 6000, planes=[slope]), people=[make_person(1750)])
    (one,) = card(build_scene(plan))
    skip = next(line for line in one.lines if line.movement == "skip")
    assert (skip.verdict, skip.everywhere) == ("fits", False)
    # the areas of skipping reach nearly to the wall where the roof is 1800 high
    assert skip.sentence.split(". Not everywhere: at its lowest the room has ")[1].startswith("18")


def test_what_hangs_lowest_is_named_and_said_once_for_the_card() -> None:
    beam = LowThing(
        id="beam", kind="beam", label="Steel beam", outline=rectangle(0, 0, 1500, 6000),
        bottom_mm=2050,
    )  # fmt: skip
    plan = make_plan(
        room=make_room(6000, 6000, 3000, low_things=[beam]), people=[make_person(1750)]
    )
    (one,) = card(build_scene(plan))
    press = next(line for line in one.lines if line.movement == "standing-press")
    assert "Not everywhere: under the steel beam the room has 2050 mm clear" in press.sentence
    assert one.lowest_words == "under the steel beam the room has 2050 mm clear"
    assert press.beside(one.lowest).endswith("; not everywhere")
    assert "steel beam" not in press.beside(one.lowest)
    everywhere = next(line for line in one.lines if line.everywhere)
    assert everywhere.beside(one.lowest) == everywhere.sentence


def test_what_is_wanted_without_kit_is_judged_on_the_bare_floor() -> None:
    def snags(height: float, **said: list[str]) -> list[str]:
        person = make_person(1750, **said)  # type: ignore[arg-type]
        plan = make_plan(room=make_room(6000, 6000, height, covering=20), people=[person])
        return [snag.severity for snag in found(plan, "headroom")]

    assert snags(2200, want=["standing-press"]) == ["stop"]
    assert snags(2400, want=["standing-press"]) == ["care"]
    assert snags(2700, want=["standing-press"]) == []
    assert snags(2200, no=["standing-press"]) == []
    assert snags(2200, nice=["standing-press"]) == []


SLOPE = Plane(id="roof", height_mm=1800, rise_x=200)


def one_person(room: Room, *pieces: Piece, want: tuple[str, ...] = ()) -> Scene:
    return build_scene(make_plan(*pieces, room=room, people=[make_person(1750, want=want)]))


def the_card(scene: Scene) -> PersonCard:
    (one,) = card(scene)
    return one


def told(scene: Scene, movement: str) -> CardLine:
    return next(line for line in the_card(scene).lines if line.movement == movement)


def test_the_best_place_is_the_highest_and_the_lowest_is_told() -> None:
    # A roof that rises by 200 a metre over 6000 x 6000, places every 750 along each side. Skipping
    # takes 1900 x 2800 (common practice, no source), of which 200 each way may lie in the wall: at
    # 5250 its lower edge is at 4300, 1800 + 860; at 750 it lies in the wall, under 1800.
    scene = one_person(make_room(6000, 6000, planes=[SLOPE]))
    skip = told(scene, "skip")
    assert skip.clear_mm == 2660
    assert skip.lowest is not None
    assert skip.lowest[0] == "ceiling"
    assert skip.lowest[1] == pytest.approx(1800, abs=1)
    # The bar of a bench press is 2340 long, with 2050 the area. Across the slope its plates, 650
    # deep, reach to 4500 - 325: 1800 + 835. Everywhere more than its 1598 is clear.
    press = told(scene, "bench-press")
    assert (press.clear_mm, press.everywhere, press.lowest) == (2635, True, None)
    floor = open_floor(scene, "skip")
    best = floor.at[floor.over_mm.argmax()]
    assert best[0] == pytest.approx(5250)
    assert floor.over_mm.max() == pytest.approx(2660, abs=1)
    # seven places each way, along and across: 750 from the wall there is room for half of 1500 but
    # not of 2400, so seven by five and five by seven
    assert len(floor.at) == 2 * 7 * 5
    assert floor.held_mm is None
    assert open_floor(scene, "bench-press").held_mm == 225


@pytest.mark.parametrize("angle", [30, 90, 200])
def test_a_room_turned_round_allows_the_same(angle: float) -> None:
    plan = make_plan(room=make_room(6000, 5000, planes=[SLOPE]), people=[make_person(1750)])
    straight, turned = (the_card(build_scene(one)) for one in (plan, turned_plan(plan, angle)))
    for one, other in zip(straight.lines, turned.lines, strict=True):
        assert (one.verdict, one.everywhere) == (other.verdict, other.everywhere)
        assert one.clear_mm == pytest.approx(other.clear_mm, abs=1)


def test_along_and_across_the_longest_wall() -> None:
    deep = build_scene(make_plan(room=make_room(4000, 6000))).room
    wide = build_scene(make_plan(room=make_room(6000, 4000))).room
    assert directions(deep) == pytest.approx((90, 180))
    assert directions(wide) == pytest.approx((0, 90))
    # alike to the millimetre: the first
    alike = build_scene(make_plan(room=make_room(5000, 5000.3))).room
    assert directions(alike) == pytest.approx((0, 90))


def test_a_movement_fits_where_its_own_area_just_lies_in_the_room() -> None:
    # floor of 1900 x 2800 of which 200 each way are wander: 1500 x 2400 must lie in the room, at
    # the middle of either side
    for width, depth, fits in ((1502, 2402, True), (2402, 1502, True), (1490, 2402, False)):
        skip = told(one_person(make_room(width, depth, 3000)), "skip")
        assert (skip.clear_mm is not None) is fits
    assert skip.sentence == "takes 1900 x 2800 mm of floor: the room is too small"


def test_what_hangs_lowest_is_told_once_where_more_than_two_lines_would_tell_it() -> None:
    whole = the_card(one_person(make_room(6000, 6000, planes=[SLOPE])))
    low = tuple(line for line in whole.lines if line.lowest)
    for count, name in ((2, None), (3, "ceiling")):
        short = PersonCard("one", "One", 1750, low[:count])
        assert short.lowest == name
        assert bool(short.lowest_words) is (name is not None)
    # the lowest of them: skipping comes nearest to the wall
    assert whole.lowest_words == "at its lowest the room has 1800 mm clear"
    assert PersonCard("one", "One", 1750, ()).lowest is None


def test_joists_are_named() -> None:
    joists = Joists(direction_deg=0, spacing_mm=400, width_mm=45, depth_mm=150, first_mm=200)
    skip = told(one_person(make_room(6000, 6000, planes=[SLOPE], joists=joists)), "skip")
    assert "Not everywhere: under the joists the room has" in skip.sentence


def test_terms_of_a_belt_are_those_of_the_lowest_one() -> None:
    def running(*pieces: Piece) -> CardLine:
        return told(one_person(make_room(6000, 6000, 2600), *pieces), "run")

    bare = running()
    assert bare.sentence.endswith("; on a deck of 200 mm, flat")
    low = place("running-machine", 2000, 3000, deck=130, grade=0, piece_id="low")
    high = place("running-machine", 4000, 3000, deck=250, grade=10, piece_id="high")
    for pieces in ((low, high), (high, low)):
        asked = running(*pieces)
        assert asked.sentence.endswith("; on a deck of 130 mm, flat")
        # 70 lower than what is assumed where there is none
        assert (asked.least_mm, asked.need_mm) == (bare.least_mm - 70, bare.need_mm - 70)
    assert running(high).sentence.endswith("; on a deck of 250 mm, at 10%")
    assert running(high).least_mm > bare.least_mm + 50
    # a belt is no matter of a squat
    squats = [told(one_person(make_room(6000, 6000, 2600), *p), "squat") for p in ((), (high,))]
    assert squats[0].least_mm == squats[1].least_mm


def test_a_wish_that_nothing_serves_is_told_with_its_best_place() -> None:
    # a roof 400 lower: 2260 at the best place, 1850 are the least and 2312 are wanted
    low = Plane(id="roof", height_mm=1400, rise_x=200)
    scene = one_person(make_room(6000, 6000, planes=[low]), want=("skip",))
    (snag,) = wanted_without_kit(scene, frozenset())
    assert (snag.severity, snag.measured, snag.required, snag.need) == ("care", 2260, 1850, 2312)
    assert snag.where is not None
    assert snag.where[0] == pytest.approx(5250)
    assert sum(mm for _, mm in snag.working) == pytest.approx(2312, abs=1)
    assert list(wanted_without_kit(scene, frozenset({"skip"}))) == []
    lower = Plane(id="roof", height_mm=900, rise_x=200)
    (snag,) = wanted_without_kit(
        one_person(make_room(6000, 6000, planes=[lower]), want=("skip",)), frozenset()
    )
    assert (snag.severity, snag.measured) == ("stop", 1760)
    assert sum(mm for _, mm in snag.working) == pytest.approx(1850, abs=1)
    (snag,) = wanted_without_kit(one_person(make_room(1400, 1400), want=("skip",)), frozenset())
    assert (snag.severity, snag.measured, snag.where) == ("stop", None, None)


def test_what_nobody_wants_hides_no_wish_that_the_room_forbids() -> None:
    wishes = ("floor-work", "plank", "skip", "standing-press")
    known = [wish for wish in wishes if wish in movements()]
    for want in (known, known[::-1]):
        person = make_person(1900, want=want)
        plan = make_plan(room=make_room(6000, 6000, 2000), people=[person])
        hit = {
            snag.movement
            for snag in wanted_without_kit(build_scene(plan), frozenset())
            if snag.severity == "stop"
        }
        assert "standing-press" in hit
        assert "floor-work" not in hit


@pytest.mark.parametrize("movement", ["skip", "bench-press", "standing-press"])
def test_what_is_held_is_the_same_where_there_is_no_room_for_it(movement: str) -> None:
    large, small = (
        open_floor(build_scene(make_plan(room=make_room(side, side))), movement)
        for side in (6000, 500)
    )
    assert len(large.at)
    assert len(small.at) == len(small.over_mm) == 0
    assert small.held_mm == large.held_mm


@pytest.mark.parametrize("stature", [1731.0, 1800.0, 1863.5])
def test_in_feet_a_card_tells_what_a_sheet_tells_and_metric_sums_add_up(stature: float) -> None:
    plan = make_plan(
        room=make_room(6000, 6000, 2543.24, covering=20), people=[make_person(stature)]
    )
    for units in ("feet", "metric"):
        scene = build_scene(Plan.model_validate({**json_of(plan), "units": units}))
        (one,) = card(scene)
        for line in one.lines:
            # sections and walls tell these as they are: never rounded twice
            exact = line.demand.least_mm, line.demand.need_mm
            told = line.least_mm, line.need_mm
            assert [format_short(mm, units) for mm in told] == [
                format_short(mm, units) for mm in exact
            ]
            asked = told[0] if line.verdict == "does-not" else told[1]
            assert format_short(asked, units) in line.sentence
            if units == "metric" and line.clear_mm is not None:
                by = round(abs(line.clear_mm - asked))
                assert f" {by} mm " in f" {line.sentence}", line.sentence
