"""Headroom of what is wanted, on open floor and at kit.

The facts of the trade are common practice, no source: an adult of 1.75 m on mats of 20 with
plates of 450.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.arrange.ways_out import remedies
from app.checks.open_floor import card
from app.checks.snag import Snag
from app.drawing.section_bay import open_bay, snag_bay
from app.library.movements import movements
from app.model.kit import Piece
from app.model.people import Person
from app.model.plan import Plan
from app.model.room import Joists, Opening, Plane
from app.scene.build import build_scene
from tests.builders import (
    judge,
    low_thing,
    make_person,
    make_plan,
    make_room,
    place,
    rectangle,
    severities,
    turned_plan,
)

TURNS = st.integers(0, 359_999).map(lambda thousandths: thousandths / 1000)
OTHERS = sorted(movements())


def station(rack: str = "mid-rack", bench: bool = False, plate: float = 450) -> tuple[Piece, ...]:
    """A rack with its bar on the hooks inside, and a bench in it if asked for."""
    pieces = (
        place(rack, 2500, 1500, piece_id="rack"),
        place("bar-20", 2500, 1500 + 625 - 112, carried_by="rack", plate=plate),
    )
    return (*pieces, place("flat-bench", 2500, 1500, carried_by="rack")) if bench else pieces


def wanted(
    movement: str,
    height: float,
    *pieces: Piece,
    stature: float = 1750,
    reach: float | None = None,
) -> list[Snag]:
    """The headroom snags where one person on 20 of rubber wants one movement and nothing else."""
    others = [m for m in OTHERS if m != movement]
    person = make_person(stature, reach=reach, want=[movement], no=others)
    room = make_room(6000, 6000, height, covering=20)
    plan = make_plan(*pieces, room=room, people=[person])
    return [snag for snag in judge(plan) if snag.code == "headroom"]


def severity(snags: list[Snag]) -> str | None:
    """The worst of them."""
    return snags[0].severity if snags else None


PLACES = {"open floor": (), "at a rack": station()}


@pytest.mark.parametrize("kit", PLACES.values(), ids=PLACES)
def test_a_standing_press_under_2200_is_a_stop(kit: tuple[Piece, ...]) -> None:
    assert severity(wanted("standing-press", 2200, *kit)) == "stop"


@pytest.mark.parametrize("kit", PLACES.values(), ids=PLACES)
@pytest.mark.parametrize("height", [2400, 2500])
def test_a_standing_press_under_2400_is_no_stop(kit: tuple[Piece, ...], height: float) -> None:
    assert severity(wanted("standing-press", height, *kit)) in (None, "care")


@pytest.mark.parametrize("kit", PLACES.values(), ids=PLACES)
def test_with_a_measured_reach_of_2100_it_passes_under_2500(kit: tuple[Piece, ...]) -> None:
    assert wanted("standing-press", 2500, *kit, reach=2100) == []


def test_a_rack_of_1830_leaves_room_for_tucked_pull_ups_under_2200() -> None:
    rack = place("short-rack", 2500, 1500)
    plan = make_plan(
        rack,
        room=make_room(6000, 6000, 2200, covering=20),
        people=[make_person(1750, want=["pull-up"])],
    )
    snags = judge(plan)
    assert [s for s in snags if s.severity == "stop"] == []
    assert [s for s in snags if s.code == "hang"] == []


def test_pull_ups_on_a_rack_of_2140_are_a_stop_there_though_the_rack_fits() -> None:
    plan = make_plan(
        place("full-rack", 2500, 1500),
        room=make_room(6000, 6000, 2200, covering=20),
        people=[make_person(1750, want=["pull-up"], no=[m for m in OTHERS if m != "pull-up"])],
    )
    stops = [s for s in judge(plan) if s.severity == "stop"]
    assert [(s.code, s.movement) for s in stops] == [("headroom", "pull-up")]


@given(turn=TURNS)
def test_on_the_limit_passes_and_two_less_do_not(turn: float) -> None:
    # 20 of rubber + a measured reach of 2100 + half of 450 = 2345; shoe 25 and margin 100: 2470

    def under(height: float) -> list[str]:
        person = make_person(
            1750, reach=2100, want=["standing-press"], no=[m for m in OTHERS if m[:8] != "standing"]
        )
        room = make_room(6000, 6000, height, covering=20)
        plan = turned_plan(make_plan(*station(), room=room, people=[person]), turn)
        return [s.severity for s in judge(plan) if s.code == "headroom"]

    assert under(2470) == []
    assert under(2468) == ["care"]
    assert under(2345) == ["care"]
    assert under(2343) == ["stop"]


def test_the_snag_shows_clear_least_and_need() -> None:
    (snag,) = wanted("standing-press", 2300, *station(), reach=2100)
    assert (snag.measured, snag.required, snag.need) == (2300, 2345, 2470)
    assert sum(mm for _, mm in snag.working) == pytest.approx(2345)
    assert (snag.person, snag.movement) == ("one", "standing-press")


@pytest.mark.parametrize(("wish", "expected"), [("want", "stop"), ("nice", "note"), ("no", None)])
def test_only_what_is_wanted_is_a_stop(wish: str, expected: str | None) -> None:
    said: dict[str, list[str]] = {wish: ["standing-press"]}
    person = make_person(1750, **said)  # type: ignore[arg-type]
    plan = make_plan(*station(), room=make_room(height=2200), people=[person])
    found = [s for s in judge(plan) if s.movement == "standing-press"]
    assert severity(found) == expected


def test_smaller_plates_need_less() -> None:
    # 450 across stand 225 above the grip, 280 across 140
    (large,) = wanted("standing-press", 2300, *station(plate=450), reach=2100)
    (small,) = wanted("standing-press", 2300, *station(plate=280), reach=2100)
    assert (large.required, small.required) == (2345, 2260)
    assert (large.severity, small.severity) == ("stop", "care")


def test_standing_in_a_rack_the_head_stays_under_its_crossmember() -> None:
    # rack of 1830, top rails 75 deep, on 20: 1775; 1.88 m on 20 stands 1900 high
    (snag,) = wanted("squat", 2600, *station("short-rack"), stature=1880)
    assert (snag.severity, snag.measured, snag.required) == ("stop", 1775, 1900)
    assert "hit the crossmember of the short rack, 125 mm too low" in snag.sentence
    assert severity(wanted("squat", 2600, *station("tall-rack"), stature=1880)) is None


def test_sitting_in_a_rack_the_bar_stays_under_its_rails() -> None:
    # seat 440 on 20, then 0.745 of 1880 to the grip: 1861; under the short rack's rails 1775
    (snag,) = wanted("seated-press", 2600, *station("short-rack", bench=True), stature=1880)
    assert (snag.severity, snag.measured) == ("stop", 1775)
    assert 86 <= (snag.required or 0) - 1775 <= 100
    assert severity(wanted("seated-press", 2600, *station("mid-rack", bench=True))) is None


def test_a_guided_bar_is_no_rail_over_its_lifter() -> None:
    # its shaft hangs at 1186 and goes up with the lifter; rails 60 deep under a top of 2150, on 20
    machine = place("guided-bar", 2500, 2500)
    assert wanted("squat", 2600, machine) == []
    (snag,) = wanted("squat", 2600, machine, stature=2080)
    assert snag.measured == 2150 + 20 - 80
    assert "the crossmember of the guided-bar machine" in snag.sentence


def test_a_bar_between_joists_gets_no_credit_for_the_gap() -> None:
    # joists every 400 and hands and plates that stray by 150 never stay in one gap
    person = make_person(
        1750, reach=2100, want=["standing-press"], no=[m for m in OTHERS if m[:8] != "standing"]
    )
    room = make_room(6000, 6000, 2500, covering=20, joists=Joists(depth_mm=150, spacing_mm=400))
    plan = make_plan(*station(), room=room, people=[person])
    (snag,) = [s for s in judge(plan) if s.code == "headroom"]
    assert (snag.measured, snag.severity) == (2350, "care")


def test_a_thing_overhead_is_named_as_within_a_sentence() -> None:
    named = {"label": "Beam"}
    beam = low_thing(rectangle(2000, 0, 4000, 6000), 1900).model_copy(update=named)
    person = make_person(1750, want=["run"], no=[m for m in OTHERS if m != "run"])
    machine = place("running-machine", 3000, 1500, deck=180, grade=0)
    room = make_room(6000, 6000, 2600, low_things=[beam])
    plan = make_plan(machine, room=room, people=[person])
    (snag,) = [snag for snag in judge(plan) if snag.code == "headroom"]
    assert snag.sentence.startswith("Head and shoulders hit the beam, ")


def test_a_beam_over_the_head_counts_and_one_beside_does_not() -> None:
    person = make_person(1750, want=["run"], no=[m for m in OTHERS if m != "run"])
    machine = place("running-machine", 3000, 1500, deck=180, grade=0)

    def under(x: float) -> list[str]:
        beam = low_thing(rectangle(x, 0, x + 200, 6000), 2000)
        room = make_room(6000, 6000, 2600, low_things=[beam])
        plan = make_plan(machine, room=room, people=[person])
        return [s.severity for s in judge(plan) if s.code == "headroom"]

    # 180 of deck + 1750 + 100 while running = 2030
    assert under(2900) == ["stop"]
    assert under(3410) == []


def test_deck_and_grade_raise_the_runner() -> None:
    # 1.88 m on 20, deck 180, 100 while running: 2180; a grade of 10 % lifts 99.5 more
    flat = wanted("run", 2210, place("running-machine", deck=180, grade=0), stature=1880)
    steep = wanted("run", 2210, place("running-machine", deck=180, grade=10), stature=1880)
    assert (severity(flat), severity(steep)) == ("care", "stop")
    assert flat[0].required == 2180
    assert steep[0].required == pytest.approx(2279.5, abs=1)


@pytest.mark.parametrize(("grade", "required"), [(0.1, 2279.5), (0.0, 2180), (-1.0, 2180)])
def test_a_household_assumes_another_grade_but_none_downhill(grade: float, required: float) -> None:
    """As with a grade of 10 % typed; what is no grade is passed over, and once was a fault."""
    machine = place("running-machine", deck=180)
    person = make_person(1880, want=["run"], no=[m for m in OTHERS if m != "run"])
    plan = make_plan(machine, room=make_room(6000, 6000, 2150, covering=20), people=[person])
    own = [{"id": "run.grade-assumed", "value": grade, "reason": "ours"}]
    (snag,) = [
        snag
        for snag in judge(Plan.model_validate({**plan.model_dump(), "overrides": own}))
        if snag.code == "headroom"
    ]
    assert snag.required == pytest.approx(required, abs=1)


def test_skipping_and_stepping_up() -> None:
    # skipping: head 1750 + 100 on 20; step-ups: 1750 on a box of 500 on 20
    assert severity(wanted("skip", 1868, place("skipping-space"))) == "stop"
    assert severity(wanted("skip", 1872, place("skipping-space"))) == "care"
    assert severity(wanted("step-up", 2268, place("jump-box"))) == "stop"
    assert severity(wanted("step-up", 2270, place("jump-box"))) == "care"


def test_kneeling_needs_less_than_standing() -> None:
    assert severity(wanted("standing-press", 2250, *station())) == "stop"
    assert severity(wanted("kneeling-press", 2250, *station())) is None
    # 20 + 0.93 of 1750 + 225 = 1872
    assert severity(wanted("kneeling-press", 1880, *station())) == "care"
    assert severity(wanted("kneeling-press", 1865, *station())) == "stop"


@given(turn=TURNS)
def test_under_a_slope_the_low_side_counts_at_any_angle(turn: float) -> None:
    # roof 2000 at x = 0, 200 more each metre; box in the middle, its area 600 + 2 x 100 wide
    person = make_person(1750, want=["step-up"], no=[m for m in OTHERS if m != "step-up"])
    slope = Plane(id="roof", height_mm=2000, rise_x=200)
    room = make_room(6000, 6000, planes=[slope])
    plan = make_plan(place("jump-box", 2000, 3000), room=room, people=[person])
    (snag,) = [s for s in judge(turned_plan(plan, turn)) if s.code == "headroom"]
    # head 250 wide or the whole area 800 wide: over x from 1600 at the lowest
    assert 2320 <= (snag.measured or 0) <= 2375


def test_of_two_places_the_better_counts() -> None:
    low = place("short-rack", 1500, 1500, piece_id="low")
    high = place("full-rack", 4500, 1500, piece_id="high")
    assert severity(wanted("pull-up", 2200, high)) == "stop"
    assert severity(wanted("pull-up", 2200, high, low)) != "stop"


@pytest.mark.parametrize("turn", [0.0, 37.0])
@pytest.mark.parametrize(("height", "worst"), [(2200, "stop"), (2600, None)])
def test_beyond_a_wall_is_as_high_as_at_the_wall(
    height: float, worst: str | None, turn: float
) -> None:
    """A rack faces the wall at 6000 so near that where one presses lies beyond it.

    1.20 of 1750 + half a plate of 450: 2325.
    """
    others = [m for m in OTHERS if m != "standing-press"]
    person = make_person(1750, want=["standing-press"], no=others)
    slope = Plane(id="roof", height_mm=height, at=(0, 6000), rise_y=-200)
    rack = place("full-rack", 2500, 5300)
    bar = place("bar-20", 2500, 5300 + 625 - 112, carried_by="full-rack", plate=450)
    plan = make_plan(rack, bar, room=make_room(6000, 6000, planes=[slope]), people=[person])
    found = [s for s in judge(turned_plan(plan, turn)) if s.code == "headroom"]
    assert severity(found) == worst
    if found:
        # at the wall itself or up to half the depth of what rises before it
        assert height <= (found[0].measured or 0) <= height + 100


def test_a_place_beyond_a_wall_is_none_while_there_is_another() -> None:
    """Under a beam that is too low stands a rack; that which is high enough faces a wall."""
    person = make_person(1750, want=["standing-press"])
    beam = low_thing(rectangle(0, 0, 5000, 3000), 2200)
    racks = [
        place("mid-rack", 2500, y, piece_id=name) for name, y in (("low", 1000), ("facing", 5300))
    ]
    held = [
        place("bar-20", 2500, rack.pose.y_mm + 513, piece_id=f"bar-{rack.id}", carried_by=rack.id)
        for rack in racks
    ]
    low, facing = zip(racks, held, strict=True)
    room = make_room(6000, 6000, 2700, low_things=[beam])

    def stops(*pieces: Piece) -> list[str]:
        verdict = judge(make_plan(*pieces, room=room, people=[person]))
        return [s.pieces[0] for s in verdict if s.code == "headroom" and s.severity == "stop"]

    assert stops(*facing) == []
    assert stops(*low, *facing) == ["low"]


def under_a_leaf(
    height: float,
    *,
    said: str = "unknown",
    kind: str = "tracks",
    y: float = 1200,
    wish: str = "want",
    turn: float = 0,
) -> list[Snag]:
    """Rows of step-ups on a box of 500 by one of 1750 under a door of this height.

    The leaf of the up-and-over kinds hangs 100 below the opening (common practice, no source), a
    sectional one at its top.
    """
    opening = Opening.model_validate(
        {"id": "g", "wall": "back", "kind": kind, "offset_mm": 1000, "width_mm": 4000}
        | {"height_mm": height, "open_while_training": said}
    )
    room = make_room(6000, 6000, 2600, openings=[opening])
    others = [m for m in OTHERS if m != "step-up"]
    person = make_person(
        1750,
        want=["step-up"] if wish == "want" else [],
        nice=["step-up"] if wish == "nice" else [],
        no=others,
    )
    plan = make_plan(place("jump-box", 3000, y), room=room, people=[person])
    return [s for s in judge(turned_plan(plan, turn)) if "headroom" in s.code]


@pytest.mark.parametrize("turn", [0, 37])
@pytest.mark.parametrize("kind", ["tracks", "canopy"])
def test_what_fits_only_under_the_shut_door_is_a_care_unasked(kind: str, turn: float) -> None:
    (snag,) = under_a_leaf(2191, kind=kind, y=700, turn=turn)
    assert (snag.severity, snag.code) == ("care", "door-open-headroom")
    assert (snag.measured, snag.required) == (2091, 2250)
    said = "159 mm too low under the open door: 2091 of 2250; fits with it shut."
    assert snag.sentence == said


def test_under_a_sectional_door_too() -> None:
    (snag,) = under_a_leaf(2100, kind="sectional")
    assert (snag.severity, snag.measured) == ("care", 2100)


def test_a_roller_hangs_nothing_over_the_room() -> None:
    assert under_a_leaf(2100, kind="roller") == []


@pytest.mark.parametrize(("height", "count"), [(2350, 0), (2347, 1)])
def test_the_least_counts_under_the_open_leaf(height: float, count: int) -> None:
    said = under_a_leaf(height)
    assert len([snag for snag in said if snag.severity == "care"]) == count
    # above the least what is missing is the margin, which is there with the door shut: a note
    assert [snag.severity for snag in said] == ["care" if count else "note"]


def test_of_a_margin_that_a_shut_door_leaves_nothing_is_said() -> None:
    # under the leaf 2250, the least but not its margin; with the door shut, as it is, 2600
    assert [snag.severity for snag in under_a_leaf(2350, said="unknown")] == ["note"]
    assert under_a_leaf(2350, said="no") == []


def test_beyond_the_leaf_nothing_is_said() -> None:
    assert under_a_leaf(2100, y=4500) == []


def test_it_is_a_stop_where_the_door_is_open_while_training() -> None:
    (snag,) = under_a_leaf(2191, said="yes")
    assert (snag.severity, snag.code, snag.situation) == ("stop", "headroom", "garage door open")
    assert snag.sentence.startswith("159 mm too low under the open door")
    # 50 above the least, without the margin of 125
    (close,) = under_a_leaf(2400, said="yes")
    assert (close.severity, close.measured) == ("care", 2300)
    assert "open garage door" in close.sentence


@pytest.mark.parametrize(("said", "wish"), [("no", "want"), ("unknown", "nice")])
def test_what_is_shut_or_only_nice_is_a_note(said: str, wish: str) -> None:
    (snag,) = under_a_leaf(2100, said=said, wish=wish)
    assert snag.severity == "note"
    assert snag.sentence == "Shut the garage door for: step-ups (1.75 m), 2000 mm clear under it."


def test_the_one_question_of_the_door_is_asked_where_it_matters() -> None:
    def asked(**door: str) -> bool:
        opening = Opening.model_validate(
            {"id": "g", "wall": "back", "kind": "tracks", "offset_mm": 1000, "width_mm": 4000}
            | {"height_mm": 2100, **door}
        )
        person = make_person(1750, want=["step-up"], no=[m for m in OTHERS if m != "step-up"])
        room = make_room(6000, 6000, 2600, openings=[opening])
        plan = make_plan(place("jump-box", 3000, 1200), room=room, people=[person])
        return any("the garage door is open" in snag.sentence for snag in judge(plan))

    assert asked()
    assert not asked(open_while_training="yes")
    assert not asked(open_while_training="no")
    assert not asked(kind="roller")


def test_of_two_doors_the_one_that_stays_shut_does_not_count() -> None:
    doors = [
        Opening.model_validate(
            {"id": side, "wall": side, "kind": "tracks", "offset_mm": 1000, "width_mm": 4000}
            | {"height_mm": 2100, "open_while_training": said}
        )
        for side, said in (("back", "yes"), ("front", "no"))
    ]
    person = make_person(1750, want=["step-up"], no=[m for m in OTHERS if m != "step-up"])
    room = make_room(6000, 6000, 2600, openings=doors)
    for y, severe in ((1200, ["stop"]), (4800, [])):
        plan = make_plan(place("jump-box", 3000, y), room=room, people=[person])
        assert [s.severity for s in judge(plan) if s.code == "headroom"] == severe


@pytest.mark.parametrize(
    ("height", "said"),
    # 1750 running flat on a deck of 180: need 1750 + 180 + 25 + 100 + 100 = 2155, by addition;
    # a height from the tape is good to about 15 (common practice, from memory)
    [(2160, "running (1.75 m) passes by 5 mm under 2160"), (2171, None)],
)
def test_what_passes_within_the_measuring_error_is_to_be_measured_again(
    height: float, said: str | None
) -> None:
    person = make_person(1750, want=["run"], no=[m for m in OTHERS if m != "run"])
    runner = place("running-machine", 3000, 2000, grade=0)
    plan = make_plan(runner, room=make_room(6000, 6000, height), people=[person])
    found = [s for s in judge(plan) if s.code == "measure-again"]
    assert [s.severity for s in found] == (["note"] if said else [])
    if said:
        assert said in found[0].sentence


def test_with_nobody_named_there_is_no_headroom_to_judge() -> None:
    plan: Plan = make_plan(*station(), room=make_room(height=1900))
    assert [s for s in judge(plan) if s.code.startswith("headroom")] == []


def test_the_section_of_what_is_too_low_under_the_leaf_shows_the_leaf() -> None:
    opening = Opening(
        id="g", wall="back", kind="tracks", offset_mm=1000, width_mm=4000, height_mm=2100
    )
    person = make_person(1750, want=["step-up"], no=[m for m in OTHERS if m != "step-up"])
    room = make_room(6000, 6000, 2600, openings=[opening])
    plan = make_plan(place("jump-box", 3000, 1200), room=room, people=[person])
    (snag,) = [s for s in judge(plan) if s.code == "door-open-headroom"]
    bay = snag_bay(build_scene(plan), snag)
    assert bay is not None
    assert (bay.clear_mm, bay.cause) == (2000, "open garage door")
    # a plan with situations, of which none has the door open, is judged open all the same
    data = {**plan.model_dump(mode="json"), "situations": [{"id": "winter"}]}
    (same,) = [s for s in judge(Plan.model_validate(data)) if s.code == "door-open-headroom"]
    assert (same.severity, same.measured) == ("care", 2000)
    data["situations"].append({"id": "summer", "door_open": True})
    told = [s for s in judge(Plan.model_validate(data)) if "headroom" in s.code]
    assert [(s.severity, s.code) for s in told] == [("stop", "headroom")]


@pytest.mark.parametrize(
    ("box", "clear", "expected"),
    [
        # 1.88 m on a box: 2180, 2380 and 2630 at the least, 125 more with shoe and margin
        (300, 2178, ["stop"]),
        (300, 2181, ["care"]),
        (300, 2306, []),
        (500, 2378, ["stop"]),
        (500, 2381, ["care"]),
        (750, 2628, ["stop"]),
        (750, 2631, ["care"]),
        (750, 2756, []),
        # no height typed: on its side of 500
        (None, 2378, ["stop"]),
        (None, 2381, ["care"]),
    ],
)
@pytest.mark.parametrize("angle", [0, 27])
def test_a_box_counts_with_the_height_typed(
    box: float | None, clear: float, expected: list[str], angle: float
) -> None:
    # common practice, no source: stature + box
    person = make_person(1880, want=("step-up",), no=("box-jump",))
    piece = place("jump-box", 2500, 2500, height=box)
    plan = make_plan(piece, room=make_room(height=clear), people=[person])
    assert severities(turned_plan(plan, angle), "headroom") == expected


@pytest.mark.parametrize("angle", [0, 41])
@pytest.mark.parametrize(
    # 1.88 m on a deck of 180, 100 while running: 2160; 10 % lifts 99.5 more; no motor, no grade
    ("kit", "deck", "grade", "least"),
    [
        ("running-machine", 180, None, 2160),
        ("running-machine", 180, 0, 2160),
        ("running-machine", 180, 10, 2260),
        ("curved-runner", 300, 10, 2280),
    ],
)
def test_a_belt_is_flat_until_its_grade_is_said_and_without_a_motor_it_has_none(
    kit: str, deck: float, grade: float | None, least: float, angle: float
) -> None:
    person = make_person(1880, want=("run",), no=("walk",))
    for clear, expected in ((least - 2, "stop"), (least + 2, "care")):
        plan = make_plan(
            place(kit, 2500, 1500, grade=grade), room=make_room(height=clear), people=[person]
        )
        (snag,) = [s for s in judge(turned_plan(plan, angle)) if s.code == "headroom"]
        assert (snag.severity, snag.required) == (expected, least)
        steep = bool(grade) and kit == "running-machine"
        assert f"on a deck of {deck} mm, {'at 10%' if steep else 'flat'}" in snag.sentence


def test_the_card_the_row_and_the_section_give_one_figure_for_a_belt() -> None:
    person = make_person(1880, want=("run",), no=("walk",))
    plan = make_plan(
        place("running-machine", 2500, 1500, grade=10), room=make_room(height=2200), people=[person]
    )
    scene = build_scene(plan)
    (snag,) = [s for s in judge(plan) if s.code == "headroom"]
    (one,) = card(scene)
    (line,) = (line for line in one.lines if line.movement == "run")
    bare = open_bay(scene, person, movements()["run"])
    at_it = snag_bay(scene, snag)
    assert bare is not None
    assert at_it is not None
    assert round(bare.demand.least_mm) == round(at_it.demand.least_mm) == line.least_mm
    assert line.least_mm == snag.required == 2260
    assert "on a deck of 180 mm, at 10%" in line.sentence


def test_the_incline_is_asked_of_a_machine_that_has_one_and_staying_flat_is_offered() -> None:
    person = make_person(1880, want=("run",), no=("walk",))

    def asked(kit: str, grade: float | None, who: Person = person) -> bool:
        plan = make_plan(place(kit, 2500, 1500, grade=grade), people=[who])
        return any("incline" in snag.sentence for snag in judge(plan))

    assert asked("running-machine", None)
    assert not asked("running-machine", 0)
    assert not asked("curved-runner", None)
    assert not asked("running-machine", None, make_person(no=("run",)))
    # 2259.5 on 10 % and 125 of margin more, 2160 and 2285 flat
    for clear, mends in ((2300, True), (2150, False)):
        plan = make_plan(
            place("running-machine", 2500, 1500, grade=10),
            room=make_room(height=clear),
            people=[person],
        )
        snags = [s for s in judge(plan) if s.code == "headroom"]
        (way,) = remedies(build_scene(plan), snags).values()
        assert way.sentence.startswith("Stay flat")
        assert way.clears == mends


@pytest.mark.parametrize("angle", [0, 19])
@pytest.mark.parametrize(
    ("kit", "movement", "least", "need"),
    [
        # sitting height 0.526 H (ANSUR 2012): 1880 has 989; seats of 470, 560 and 960
        ("rower", "machine-row", 1459, 1559),
        ("bike-lying", "bike", 1549, 1649),
        # upright one also stands on the pedals: H + 200, shoe 25, margin 100
        ("bike", "bike", 1949, 2205),
    ],
)
def test_a_rower_and_a_bike_are_judged_by_who_sits_there(
    kit: str, movement: str, least: float, need: float, angle: float
) -> None:
    person = make_person(1880, want=(movement,))
    for clear, expected in (
        (least - 2, ["stop"]),
        (least + 2, ["care"]),
        (need - 2, ["care"]),
        (need + 2, []),
    ):
        beam = low_thing(rectangle(0, 0, 5000, 5000), clear)
        room = make_room(low_things=[beam])
        plan = make_plan(place(kit, 2500, 2500), room=room, people=[person])
        assert severities(turned_plan(plan, angle), "headroom") == expected


@pytest.mark.parametrize(
    ("movement", "height", "pieces", "sentence", "working"),
    [
        # 20 of covering, hands at 1.2040 H and half a plate; the tall end of reaches is 1.2369 H
        (
            "standing-press",
            2200,
            station(),
            "The plates hit the ceiling, 152 mm too low: 2200 of the 2352 needed.",
            (20.0, 2107.0, 225.0),
        ),
        (
            "standing-press",
            2400,
            station(),
            "The plates pass under the ceiling, 135 mm short of the margin: 2400 of 2535. "
            "Measure your reach: it may be enough.",
            (20.0, 25.0, 2164.6, 225.0, 100.0),
        ),
        # the rope 1.25 H high
        (
            "skip",
            2100,
            (place("skipping-space"),),
            "The rope comes too near the ceiling, 232 mm short: 2100 of 2332.",
            (20.0, 25.0, 2187.5, 100.0),
        ),
        # the chin is 0.13 H under the crown (Winter, fig. 4.1)
        (
            "pull-up",
            2300,
            (place("mid-rack"),),
            "Head and shoulders pass under the ceiling, 90 mm short of the margin: 2300 of 2390.",
            (2013.0, 227.5, 50.0, 100.0),
        ),
        (
            "run",
            2000,
            (place("running-machine"),),
            "Head and shoulders hit the ceiling, 50 mm too low: 2000 of the 2050 needed; on a deck "
            "of 180 mm, flat.",
            (20.0, 180.0, 1750.0, 100.0),
        ),
    ],
)
def test_what_meets_the_ceiling_is_told_with_its_sum(
    movement: str,
    height: float,
    pieces: tuple[Piece, ...],
    sentence: str,
    working: tuple[float, ...],
) -> None:
    (snag,) = wanted(movement, height, *pieces)
    assert snag.sentence == sentence
    assert tuple(mm for _, mm in snag.working) == working
    asked = snag.required if snag.severity == "stop" else snag.need
    assert sum(working) == pytest.approx(asked, abs=0.5)


def test_of_the_margin_of_what_is_only_nice_nothing_is_said() -> None:
    # the least, 2250, and not its margin under the leaf; both with the door shut
    assert [snag.severity for snag in under_a_leaf(2350, wish="want")] == ["note"]
    assert under_a_leaf(2350, wish="nice") == []


@pytest.mark.parametrize("angle", [0.0, 37.0])
@pytest.mark.parametrize(
    ("rise", "where"), [(100, "the ceiling on its low side"), (0, "the ceiling")]
)
def test_under_a_slope_it_is_said_that_the_low_side_is_met(
    rise: float, where: str, angle: float
) -> None:
    """Only one end of a long bar meets a slope: the figure is that of the lowest over it."""
    slope = Plane(id="roof", height_mm=2000, rise_x=rise)
    plan = make_plan(
        *station(), room=make_room(6000, 6000, planes=(slope,)),
        people=[make_person(1750, want=["standing-press"])],
    )  # fmt: skip
    (stop,) = (s for s in judge(turned_plan(plan, angle)) if s.movement and s.severity == "stop")
    assert stop.sentence.startswith(f"The plates hit {where}, ")
