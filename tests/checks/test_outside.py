"""Pieces inside the walls and under what hangs overhead."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.arrange.ways_out import remedies
from app.checks.outside import ask_hung_height, under_ceiling
from app.checks.run import run
from app.model.plan import Plan
from app.model.room import Joists, Plane
from app.scene.build import build_scene
from tests.builders import (
    found,
    judge,
    low_thing,
    make_plan,
    make_room,
    place,
    rectangle,
    severities,
    turned_plan,
)

TURNS = st.integers(0, 359_999).map(lambda thousandths: thousandths / 1000)
L_SHAPE = ((0, 0), (5000, 0), (5000, 2000), (2000, 2000), (2000, 5000), (0, 5000))


def at_wall(gap: float) -> Plan:
    """A box of 500 x 600 with its left side `gap` mm off the left wall."""
    return make_plan(place("jump-box", 250 + gap, 2500))


def test_a_box_in_the_wall_is_a_stop_with_the_depth() -> None:
    (snag,) = found(at_wall(-118), "outside")
    assert (snag.severity, snag.measured, snag.required) == ("stop", -118, 0)
    assert "left wall" in snag.sentence


@given(turn=TURNS)
def test_against_the_wall_passes_at_any_angle(turn: float) -> None:
    assert found(turned_plan(at_wall(0), turn), "outside") == []


@given(turn=TURNS)
def test_two_millimetres_in_the_wall_do_not_pass_at_any_angle(turn: float) -> None:
    (snag,) = found(turned_plan(at_wall(-2), turn), "outside")
    assert snag.measured == pytest.approx(-2, abs=1)


def test_the_lining_counts_as_wall() -> None:
    plan = make_plan(place("jump-box", 250, 2500), room=make_room(lining=50))
    (snag,) = found(plan, "outside")
    assert snag.measured == -50


@given(turn=TURNS)
def test_a_mat_in_the_wall_is_one_row(turn: float) -> None:
    plan = turned_plan(make_plan(place("mat-space", 500, 2500, width=1200, depth=2000)), turn)
    (snag,) = [s for s in run(build_scene(plan)) if s.severity == "stop"]
    assert snag.code == "outside"


def test_a_corner_of_the_room_that_cuts_into_a_piece_is_found() -> None:
    plan = make_plan(place("jump-box", 2200, 1900), room=make_room(corners=L_SHAPE))
    assert severities(plan, "outside") == ["stop"]
    plan = make_plan(place("jump-box", 1700, 1650), room=make_room(corners=L_SHAPE))
    assert found(plan, "outside") == []


def test_a_piece_beyond_the_room_is_found() -> None:
    plan = make_plan(place("jump-box", 4000, 4000), room=make_room(corners=L_SHAPE))
    assert severities(plan, "outside") == ["stop"]


@given(turn=TURNS, height=st.sampled_from([2190, 2300, 2600]))
def test_a_rack_with_fifty_above_it_passes(turn: float, height: float) -> None:
    plan = make_plan(place("full-rack"), room=make_room(height=height))
    turned = turned_plan(plan, turn)
    assert found(turned, "too-tall") == found(turned, "stand-up") == []


@pytest.mark.parametrize("height", [2140, 2188])
def test_a_rack_with_less_above_it_is_a_care(height: float) -> None:
    plan = make_plan(place("full-rack"), room=make_room(height=height))
    assert severities(plan, "stand-up") == ["care"]
    assert found(plan, "too-tall") == []


def test_a_rack_higher_than_the_room_is_a_stop() -> None:
    (snag,) = found(make_plan(place("full-rack"), room=make_room(height=2138)), "too-tall")
    assert (snag.severity, snag.measured, snag.required) == ("stop", 2138, 2140)


def test_the_tallest_rack_that_can_be_built_is_said() -> None:
    # 2310 to the joists, 20 of rubber: 2290 stands there, 50 of air to build it, 2240 is left
    plan = make_plan(place("tall-rack"), room=make_room(height=2310, covering=20))
    (snag,) = found(plan, "too-tall")
    assert "10 mm higher" in snag.sentence
    assert "2240" in snag.sentence


def test_other_pieces_need_no_air_to_be_built() -> None:
    plan = make_plan(place("cable-column"), room=make_room(height=2150))
    assert found(plan, "too-tall") == found(plan, "stand-up") == []
    plan = make_plan(place("cable-column"), room=make_room(height=2148))
    assert severities(plan, "too-tall") == ["stop"]


def test_a_beam_counts_only_where_it_is() -> None:
    room = make_room(low_things=[low_thing(rectangle(3000, 0, 3200, 5000), 2000)])
    under = make_plan(place("cable-column", 3100, 2500), room=room)
    beside = make_plan(place("cable-column", 2000, 2500), room=room)
    assert severities(under, "too-tall") == ["stop"]
    assert found(beside, "too-tall") == []


def test_joists_count_from_their_underside() -> None:
    room = make_room(height=2290, joists=Joists(depth_mm=150))
    (snag,) = found(make_plan(place("full-rack"), room=room), "stand-up")
    assert snag.measured == 2140


@given(turn=TURNS)
def test_under_a_slope_the_lowest_place_over_the_piece_counts(turn: float) -> None:
    # a roof of 2050 at x = 0 that rises 260 a metre: over the box's left side at 400 it is 2154
    slope = Plane(id="roof", height_mm=2050, rise_x=260)

    def at(height: float) -> Plan:
        piece = place("jump-box", 650, 2500, height=height)
        return turned_plan(make_plan(piece, room=make_room(planes=[slope])), turn)

    assert found(at(2154), "too-tall") == []
    assert severities(at(2156), "too-tall") == ["stop"]


def test_after_a_bar_that_hits_nothing_the_next_piece_is_still_looked_at() -> None:
    # a bar is judged with its station; the rack of 2450 under 2400 stands after it in the plan
    bar, rack = place("bar-20", 1000, 4000), place("mid-rack", 2500, 2000, height=2450)
    plan = make_plan(bar, rack, room=make_room(height=2400))
    assert severities(plan, "too-tall") == ["stop"]
    both = make_plan(
        place("mid-rack", 1200, 2000, height=2450, piece_id="one"),
        place("bar-20", 1200, 2000),
        place("mid-rack", 3800, 2000, height=2450, piece_id="two"),
        room=make_room(height=2400),
    )
    assert [snag.pieces for snag in found(both, "too-tall")] == [("one",), ("two",)]


@pytest.mark.parametrize("kind", ["swing-space", "skipping-space", "mat-space"])
@pytest.mark.parametrize("angle", [0, 23])
@pytest.mark.parametrize("out", [0, 2, 150])
def test_floor_to_swing_skip_or_lie_on_is_inside_the_room(
    kind: str, angle: float, out: float
) -> None:
    wide = {"swing-space": 1500, "skipping-space": 1500, "mat-space": 1000}[kind]
    plan = make_plan(place(kind, wide / 2 - out, 2500))
    rows = [snag for snag in judge(turned_plan(plan, angle)) if snag.severity != "note"]
    assert [(snag.code, snag.severity) for snag in rows] == ([("outside", "stop")] if out else [])
    for snag in rows:
        assert -(snag.measured or 0) == pytest.approx(out, abs=1)
        assert "inside the left wall" in snag.sentence


@pytest.mark.parametrize("angle", [0, 23])
def test_an_inward_corner_that_cuts_into_a_side_tells_its_depth(angle: float) -> None:
    # a box of 500 x 600 turned by 45 degrees: its long side is 250 off its middle, the corner at
    # 2000 | 2000 lies 190 off; half a millimetre is the tolerance of each
    off = 190 / 2**0.5
    box = place("jump-box", 2000 - off, 2000 - off, 45)
    plan = make_plan(box, room=make_room(corners=L_SHAPE))
    (snag,) = found(turned_plan(plan, angle), "outside")
    assert snag.measured == pytest.approx(-60, abs=1)


def test_what_is_bolted_to_joists_goes_through_the_boards_under_them() -> None:
    room = make_room(height=2720)
    room = room.model_copy(update={"ceiling": room.ceiling.model_copy(update={"finish_mm": 40})})
    for top, asked in ((2720, []), (2722, ["note"])):
        bar = place("pull-up-bar-ceiling", height=top)
        scene = build_scene(make_plan(bar, room=room))
        # it hangs from what is over it, so that a top beyond the joists is a height still to set
        assert not list(under_ceiling(scene))
        assert [snag.severity for snag in ask_hung_height(scene)] == asked


def test_a_bar_that_does_not_reach_its_joists_is_asked_about() -> None:
    # an error of 15 in the height is expected: no question for that
    for top, expected in ((2290, ["note"]), (2583, ["note"]), (2585, [])):
        bar = place("pull-up-bar-ceiling", height=top)
        asked = list(ask_hung_height(build_scene(make_plan(bar))))
        assert [snag.severity for snag in asked] == expected
        assert all(snag.question for snag in asked)
    (snag,) = found(make_plan(place("pull-up-bar-ceiling")), "find-out")
    assert "2290, 310 mm under" in snag.sentence


def test_what_is_told_of_a_height_says_what_is_made_and_how_it_stands() -> None:
    (low,) = found(make_plan(place("cable-column"), room=make_room(height=2000)), "too-tall")
    assert low.sentence.endswith("The tallest that fits here is 2000; usual ones are 2050 or more.")
    (made,) = found(make_plan(place("cable-column"), room=make_room(height=2100)), "too-tall")
    assert made.sentence.endswith("The tallest that fits here is 2100.")
    rower = place("rower").model_copy(update={"state": "stood"})
    plan = make_plan(rower, room=make_room(height=2130, covering=20))
    (stood,) = found(plan, "too-tall")
    assert stood.sentence.startswith("Rower stood up on its end is 40 mm higher")
    assert "2170 with the covering" in stood.sentence
    assert remedies(build_scene(plan), [stood])[stood.key].sentence == (
        "Leave the rower as it is used, not stood up on its end."
    )


@pytest.mark.parametrize(
    ("x", "y", "angle", "end"),
    [
        # a bar of 2200 with 100 of one end in a wall, seen by one who comes in at the front
        (1000, 2500, 0, "left"),
        (4000, 2500, 0, "right"),
        (2500, 1000, 90, "back"),
        (2500, 4000, 90, "front"),
    ],
)
def test_of_a_bar_in_a_wall_the_end_is_named(x: float, y: float, angle: float, end: str) -> None:
    (snag,) = found(make_plan(place("bar-20", x, y, angle)), "outside")
    assert snag.sentence.startswith(f"The {end} end of the ")


def test_what_is_not_hung_hides_no_bar_that_is_asked_about() -> None:
    # 310 under what holds it, whatever stands before it in the plan
    bar = place("pull-up-bar-ceiling", height=2290)
    others = (place("plate-tree", 500, 500), place("hung-bag", 4000, 4000))
    for pieces in ((*others, bar), (bar, *others)):
        asked = list(ask_hung_height(build_scene(make_plan(*pieces))))
        assert [snag.pieces for snag in asked] == [("pull-up-bar-ceiling",)]


@pytest.mark.parametrize(("x", "words"), [(-3000, " is outside the room, "), (400, " inside ")])
def test_what_lies_wholly_outside_is_not_within_a_wall(x: float, words: str) -> None:
    plan = make_plan(place("mat-space", x, 2500), room=make_room(6000, 6000))
    (snag,) = (one for one in judge(plan) if one.code == "outside")
    assert words in snag.sentence
    assert ("inside" in snag.sentence) == (x > 0)


def test_a_bar_that_is_near_the_ceiling_hides_no_rack_that_is_too_tall() -> None:
    # plates of 450 on hooks up to 1500 come to 1725, the rack is 2140 high
    rack = place("full-rack", 2500, 2500, piece_id="z")
    bar = place("bar-20", 2500, 3162, piece_id="a", carried_by="z", plate=450)
    (snag,) = found(make_plan(bar, rack, room=make_room(height=1740)), "too-tall")
    assert snag.pieces == ("z",)


def test_what_hangs_into_a_duct_hides_none_that_is_asked_about() -> None:
    # the first hangs through a duct, which holds nothing; of the second the height is asked
    duct = low_thing(rectangle(0, 0, 2000, 2000), 2000)
    room = make_room(height=2200, low_things=[duct.model_copy(update={"kind": "duct"})])
    bars = [
        place("pull-up-bar-ceiling", x, y, piece_id=key)
        for key, x, y in (("one", 1000, 1000), ("two", 3500, 3500))
    ]
    for pieces in (bars, bars[::-1]):
        asked = list(ask_hung_height(build_scene(make_plan(*pieces, room=room))))
        assert "two" in {snag.pieces[0] for snag in asked}


@pytest.mark.parametrize(("x0", "x1", "part"), [(1300, 3700, "plates"), (1300, 1500, "ends")])
def test_of_a_bar_at_rest_what_meets_the_duct_is_named(x0: float, x1: float, part: str) -> None:
    # on the lowest hooks at 1000 plates of 450 reach 1225, the bare ends some 1025
    duct = low_thing(rectangle(x0, 0, x1, 3000), 1010)
    pieces = (
        place("bike", 4500, 4300),
        place("half-rack", 2500, 1500, piece_id="rack"),
        place("bar-20", 2500, 1500 - 725 + 542, piece_id="bar", carried_by="rack", plate=450),
    )
    rows = found(make_plan(*pieces, room=make_room(low_things=[duct])), "too-tall")
    told = [row.sentence for row in rows if row.pieces == ("bar",)]
    assert len(told) == 1, [row.sentence for row in rows]
    assert f"its {part} reach" in told[0]
