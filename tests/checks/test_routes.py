"""Walking about. Widths are common practice, no source: 450 sideways, 600, 760 carrying."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.changes.commands import apply
from app.checks import routes
from app.checks.run import AFTER_DROP, CHECKS, run
from app.checks.snag import Snag
from app.errors import PlanError
from app.forms.room_edits import edit
from app.model.kit import Piece
from app.model.plan import Plan
from app.model.room import Opening, Room
from app.scene.build import build_scene
from tests.builders import (
    found,
    judge,
    low_thing,
    make_person,
    make_plan,
    make_room,
    place,
    rectangle,
    turned_plan,
)
from tests.layouts import good_layout

WALKING = {
    "no-way",
    "no-way-out",
    "way-out-blocked",
    "way-narrow",
    "ways-not-easy",
    "plates-way",
    "low-over-way",
    "main-switch-blocked",
    "gas-tap-blocked",
    "stopcock-blocked",
}


def door(wall: str = "front", offset: float = 2000, **more: object) -> Opening:
    return Opening.model_validate(
        {
            "id": f"{wall}-door",
            "wall": wall,
            "kind": "hinged",
            "offset_mm": offset,
            "width_mm": 900,
            "height_mm": 2000,
            "swing": "out",
        }
        | more
    )


def barred(gap: float, *kit: Piece, room: Room | None = None) -> Plan:
    """Shelves across the room that leave one gap at the right wall; the kit lies behind them."""
    shelves = [place("shelving", 450 + i * 900, 2500, piece_id=f"s{i}") for i in range(4)]
    width = 1400 - gap
    last = place("shelving", 3600 + width / 2, 2500, piece_id="s4", width=width)
    kit = kit or (place("bike", 2500, 1000),)
    return make_plan(*shelves, last, *kit, room=room or make_room(openings=[door()]))


def walking(plan: Plan) -> list[Snag]:
    scene = build_scene(plan)
    return [*routes.walking(scene), *routes.ways_not_easy(scene)]


@pytest.mark.parametrize(
    ("gap", "code", "severity"),
    [
        (448, "no-way", "stop"),
        (450, "way-narrow", "care"),
        (598, "way-narrow", "care"),
        (600, "ways-not-easy", "note"),
        (758, "ways-not-easy", "note"),
        (760, None, None),
    ],
)
@pytest.mark.parametrize("angle", [0, 33.3])
def test_how_wide_a_way_is(
    gap: float, code: str | None, severity: str | None, angle: float
) -> None:
    snags = walking(turned_plan(barred(gap), angle))
    assert [(s.code, s.severity) for s in snags] == ([(code, severity)] if code else [])
    for snag in snags:
        assert snag.measured == pytest.approx(gap, abs=1)


@pytest.mark.parametrize(("gap", "severities"), [(913, ["stop"]), (915, [])])
def test_a_clear_width_wanted_on_the_ways_is_judged_for_that_plan(
    gap: float, severities: list[str]
) -> None:
    # 915 mm is the width of an accessible route in the 2010 ADA Standards, 403.5.1
    command = edit(barred(gap), "ways", {"way": "915 mm"})
    assert command is not None
    wide = apply(barred(gap), command)
    snags = [s for s in run(build_scene(wide)) if s.code in WALKING]
    assert [s.severity for s in snags] == severities
    back = edit(wide, "ways", {"way": ""})
    assert back is not None
    assert apply(wide, back) == barred(gap)


def test_a_width_wanted_keeps_the_order_of_least_wanted_and_easy() -> None:
    command = edit(barred(700), "ways", {"way": "700 mm"})
    assert command is not None
    wide = apply(barred(700), command)
    assert {own.id: own.value for own in wide.overrides} == {
        "route.least-mm": 700, "route.recommended-mm": 700, "route.easy-mm": 760,
    }  # fmt: skip
    with pytest.raises(PlanError, match="450 mm"):
        edit(barred(700), "ways", {"way": "300 mm"})


def test_the_neck_is_named_and_its_piece_can_be_moved() -> None:
    (snag,) = walking(barred(380))
    assert snag.sentence == (
        "No way on foot to the upright bike: 380 mm is the widest, "
        "between the shelving and the right wall. A person needs 450 mm."
    )
    assert snag.pieces == ("s4",)
    assert snag.where is not None
    assert snag.where == pytest.approx((4810, 2500), abs=300)


def test_all_that_lies_behind_one_neck_is_one_snag() -> None:
    kit = (place("bike", 1500, 800), place("rower", 3000, 800, 90), place("dip-station", 4300, 900))
    (snag,) = [s for s in walking(barred(500, *kit)) if s.code == "way-narrow"]
    assert snag.sentence == (
        "The way to the upright bike, the dip station and the rower is 500 mm wide "
        "between the shelving and the right wall. Allow 600."
    )


def test_closed_off_altogether() -> None:
    (snag,) = [s for s in walking(barred(0.0)) if s.code == "no-way"]
    assert (snag.severity, snag.measured) == ("stop", 0)
    assert "everything is closed off" in snag.sentence


def test_a_low_platform_is_stepped_over() -> None:
    # 40 high: under the 50 that are stepped over
    plan = make_plan(
        *(place("platform", x, 3000, piece_id=f"f{x}") for x in (1250, 3750)),
        place("bike", 2500, 800),
        room=make_room(openings=[door()]),
    )
    assert [s for s in walking(plan) if s.severity != "note"] == []


def test_working_spaces_are_walked_through() -> None:
    plan = make_plan(
        place("mat-space", 2500, 3800, 90),
        place("bike", 2500, 800),
        room=make_room(openings=[door()]),
    )
    assert walking(plan) == []


def test_the_only_way_out_blocked_is_said_once() -> None:
    plan = make_plan(
        place("shelving", 2450, 4700, width=2000, depth=560, piece_id="wardrobe"),
        place("bike", 1500, 1000),
        place("rower", 3500, 1000),
        room=make_room(openings=[door()]),
    )
    (snag,) = walking(plan)
    assert (snag.code, snag.severity) == ("way-out-blocked", "stop")
    assert snag.sentence.startswith("The door, the only way out, is blocked")
    assert (snag.pieces, snag.where) == (("wardrobe",), None)
    assert (snag.required, snag.need) == (450, 600)


def test_the_widest_gap_of_a_blocked_way_out_is_said_with_what_makes_it() -> None:
    # 560 deep before the door, its back 300 off the front wall
    plan = make_plan(
        place("shelving", 2450, 4420, width=2000, depth=560, piece_id="wardrobe"),
        place("bike", 1500, 1000),
        place("rower", 3500, 1000),
        room=make_room(openings=[door()]),
    )
    (snag,) = walking(plan)
    # its shelves, which close it between the posts, lie 10 inside
    assert (snag.code, snag.measured) == ("way-out-blocked", 310)
    assert "The widest gap is 310 mm, between " in snag.sentence
    assert snag.pieces == ("wardrobe",)
    assert snag.where is not None


def test_several_ways_out_that_are_all_blocked_are_one_snag() -> None:
    plan = make_plan(
        place("shelving", 2450, 4700, width=2000, depth=560, piece_id="front"),
        place("shelving", 2450, 300, width=2000, depth=560, piece_id="back"),
        place("bike", 1500, 2500),
        place("rower", 3500, 2500),
        room=make_room(openings=[door(), door("back", 2000)]),
    )
    (snag,) = walking(plan)
    assert (snag.code, snag.severity) == ("way-out-blocked", "stop")
    assert snag.sentence.startswith(
        "Every way out is blocked: two sets of shelving stand before them."
    )


def test_a_door_cut_off_is_a_care_where_only_a_garage_door_is_left_to_leave_by() -> None:
    block = place("shelving", 2450, 4700, width=2000, depth=560, piece_id="wardrobe")
    kit = (place("bike", 1500, 1000), place("rower", 3500, 1800))
    for kind, other, severity in (
        ("hinged", "roller", "care"),
        ("hinged", "hinged", "note"),
        ("roller", "hinged", "note"),
    ):
        openings = [door(kind=kind), door("back", 3500, kind=other)]
        plan = make_plan(block, *kit, room=make_room(openings=openings))
        (snag,) = (snag for snag in walking(plan) if "door-cut-off" in snag.code)
        assert (snag.code, snag.severity) == ("door-cut-off-front-door", severity)
        assert snag.pieces == ("wardrobe",)
        assert "the shelving stands before it" in snag.sentence


def test_of_one_gap_and_one_way_out_the_station_is_told_once() -> None:
    shelf = place("shelving", 2450, 2000, width=4400, depth=560, piece_id="shelf")
    plan = make_plan(shelf, place("bike", 2500, 700), room=make_room(openings=[door()]))
    assert [snag.code for snag in run(build_scene(plan)) if "door-cut-off" in snag.code] == []
    assert [snag.code for snag in walking(plan)] == ["no-way"]


def test_a_window_and_a_door_that_is_no_way_out_do_not_count() -> None:
    openings = [door(kind="window", sill_mm=900), door("back", 300, way_out=False)]
    plan = make_plan(place("bike"), room=make_room(openings=openings))
    (snag,) = walking(plan)
    assert (snag.code, snag.severity) == ("no-way-out", "note")


def test_an_empty_room_and_one_without_stations_say_nothing() -> None:
    assert walking(make_plan()) == []
    assert walking(make_plan(room=make_room(openings=[door()]))) == []
    assert walking(make_plan(place("mirror", 2500, 15), room=make_room(openings=[door()]))) == []


@pytest.mark.parametrize(
    ("kind", "code"),
    [
        ("consumer-unit", "main-switch-blocked"),
        ("gas-tap", "gas-tap-blocked"),
        ("water-stopcock", "stopcock-blocked"),
    ],
)
def test_what_shuts_off_must_be_reached(kind: str, code: str) -> None:
    unit = place(kind, 2500, 130, stays=True)
    room = make_room(openings=[door()])
    assert found(make_plan(unit, place("bike", 1000, 3000), room=room), code) == []
    (snag,) = found(barred(400, unit, place("bike", 1000, 4000)), code)
    assert (snag.severity, snag.pieces[0], snag.measured) == ("stop", kind, 400)
    # what stands right before it is told once, with the depth that is left
    freezer = place("chest-freezer", 2500, 700, width=1400)
    plan = make_plan(unit, freezer, place("bike", 1000, 3000), room=room)
    assert found(plan, code) == []
    (snag,) = [s for s in judge(plan) if s.code.startswith("room-to-reach")]
    assert (snag.severity, snag.pieces[0]) == ("stop", kind)


def test_during_a_drag_the_space_before_the_switch_is_still_told() -> None:
    unit = place("consumer-unit", 2500, 130)
    freezer = place("chest-freezer", 2500, 700, width=1400)
    plan = make_plan(unit, freezer, room=make_room(openings=[door()]))
    codes = [s.code for s in run(build_scene(plan), full=False)]
    assert "room-to-reach-the-main-switch" in codes
    assert not WALKING & set(codes)
    assert not set(AFTER_DROP) & set(CHECKS)


@pytest.mark.parametrize(("gap", "severity"), [(580, "care"), (700, "note")])
def test_plates_are_carried_to_the_bar(gap: float, severity: str) -> None:
    kit = (
        place("full-rack", 1700, 800, piece_id="rack"),
        place("bar-20", 1700, 1313, piece_id="bar", carried_by="rack"),
    )
    plan = barred(gap, *kit, place("plate-tree", 2500, 4000))
    # the rack's own way is as narrow: said once
    snags = [s for s in walking(plan) if s.severity == severity]
    assert len(snags) == 1


def carrying(gap: float) -> Plan:
    """A plate tree in its own half of the room, a bar in the other, a gap in the wall between.

    Each half has a door of its own.
    """
    return barred(
        gap,
        place("full-rack", 1700, 700, piece_id="rack"),
        place("bar-20", 1700, 1213, piece_id="bar", carried_by="rack"),
        place("plate-tree", 3500, 4000),
        room=make_room(openings=[door(), door("back", 3500)]),
    )


def test_narrow_only_with_plates() -> None:
    (snag,) = walking(carrying(500))
    assert (snag.code, snag.severity, snag.measured) == ("plates-way", "care", 500)
    assert snag.sentence == (
        "From the plate tree to the bar plates are carried through 500 mm, "
        "between the shelving and the right wall; 760 is easy."
    )
    (snag,) = walking(carrying(700))
    assert (snag.code, snag.measured) == ("ways-not-easy", 700)
    assert "700 mm with plates to the bar" in snag.sentence
    assert walking(carrying(760)) == []


@pytest.mark.parametrize(
    ("bottom", "code", "severity"),
    [
        (1850, "low-over-way", "care"),
        (1898, "low-over-way", "care"),
        (1900, "ways-not-easy", "note"),
        (2028, "ways-not-easy", "note"),
        (2030, None, None),
    ],
)
def test_what_hangs_low_over_the_only_way(
    bottom: float, code: str | None, severity: str | None
) -> None:
    # 1825 of tallest person, 25 of shoe, 50 to spare: 1900; ADA 307.4: 2030
    room = make_room(
        openings=[door()], low_things=[low_thing(rectangle(0, 2400, 5000, 2600), bottom)]
    )
    plan = make_plan(place("bike", 2500, 900), room=room, people=[make_person(1825)])
    snags = walking(plan)
    assert [(s.code, s.severity) for s in snags] == ([(code, severity)] if code else [])


@pytest.mark.parametrize(
    ("height", "code", "severity"),
    [
        (1998, "low-over-way", "care"),
        (2000, "ways-not-easy", "note"),
        (2128, "ways-not-easy", "note"),
        (2130, None, None),
    ],
)
def test_who_can_only_leave_by_the_garage_door_walks_under_it_open(
    height: float, code: str | None, severity: str | None
) -> None:
    # an open up-and-over leaf hangs 100 under the lintel (practice); 1900 and 2030 as above
    garage = door(kind="canopy", height_mm=height)
    bike, people = place("bike", 2500, 900), [make_person(1825)]
    only = make_plan(bike, room=make_room(openings=[garage]), people=people)
    snags = walking(only)
    assert [(s.code, s.severity) for s in snags] == ([(code, severity)] if code else [])
    if code:
        assert "open garage door" in snags[0].sentence
        assert f"{height - 100:.0f}" in snags[0].sentence
    both = make_room(openings=[garage, door("left")])
    assert walking(make_plan(bike, room=both, people=people)) == []


def test_what_hangs_low_beside_the_way_is_not_said() -> None:
    room = make_room(
        openings=[door()], low_things=[low_thing(rectangle(0, 2400, 3000, 2600), 1800)]
    )
    plan = make_plan(place("bike", 2500, 900), room=room, people=[make_person(1880)])
    assert walking(plan) == []


@given(shift=st.integers(0, 300))
def test_taking_a_shelf_away_never_narrows_the_way(shift: int) -> None:
    plan = barred(440 + shift)
    rest = [p for p in plan.pieces if p.id != "s4"]
    assert walking(make_plan(*rest, room=plan.room)) == []


def test_a_good_layout_of_a_double_garage_has_neither_stop_nor_care() -> None:
    (snag,) = walking(good_layout())
    assert (snag.code, snag.severity, snag.measured) == ("ways-not-easy", "note", 600)


@pytest.mark.parametrize(
    ("gap", "codes"), [(500, set()), (450, set()), (448, {"no-way"}), (445, {"no-way"})]
)
def test_what_stands_before_an_open_doorway_is_come_to_through_the_room(
    gap: float, codes: set[str]
) -> None:
    # before a doorway of 1600 the free circle about the place has its middle outdoors
    wide = Opening(
        id="glass", wall="front", kind="hinged", offset_mm=1700, width_mm=1600, height_mm=2000
    )
    plan = make_plan(
        place("plate-tree", 2500, 4700 - gap),
        place("bike", 1000, 1000),
        room=make_room(openings=[door("left"), wide]),
    )
    assert {snag.code for snag in walking(plan)} & {"no-way"} == codes


def test_a_low_thing_elsewhere_opens_no_way_to_a_shut_off() -> None:
    # a gap of 380 of 450; without the box of 200 the bike alone is reached
    unit = place("consumer-unit", 2500, 60, stays=True)
    low = place("other-thing", 1000, 4000, width=400, depth=400, height=200)
    plan = barred(380, unit, low, place("bike", 2800, 4000))
    assert "main-switch-blocked" in {snag.code for snag in walking(plan)}
