"""Doors and garage doors: common practice, no source."""

import math

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.model.kit import Piece
from app.model.plan import Plan
from app.model.room import Opening, OpeningKind
from app.placing.core import Core
from app.scene.build import build_scene
from tests.builders import found, make_plan, make_room, place, severities, turned_plan

TURNS = st.integers(0, 359_999).map(lambda thousandths: thousandths / 1000)


def door(hinge: str = "left", **fields: object) -> Opening:
    """A door of 800 in the back wall, its left end at x = 2000 as seen from inside."""
    return Opening.model_validate(
        {"id": "door", "wall": "back", "kind": "hinged", "offset_mm": 2000, "width_mm": 800}
        | {"height_mm": 2000, "hinge": hinge}
        | fields
    )


def before(distance: float, **fields: object) -> Plan:
    """A wide box with its near side `distance` mm in front of the door."""
    opening = door(**fields)  # type: ignore[arg-type]
    box = place("jump-box", 2400, distance + 300, width=2000)
    return make_plan(box, room=make_room(openings=[opening]))


@pytest.mark.parametrize("hinge", ["left", "right"])
@given(turn=TURNS)
def test_a_box_beyond_the_leaf_is_not_met(hinge: str, turn: float) -> None:
    assert found(turned_plan(before(800, hinge=hinge), turn), "door-opens") == []


@pytest.mark.parametrize("hinge", ["left", "right"])
@pytest.mark.parametrize(("angle", "severity"), [(30, "stop"), (41, "stop"), (75, "care")])
def test_the_angle_at_which_the_leaf_meets_a_box(hinge: str, angle: float, severity: str) -> None:
    # the tip of an 800 leaf is 800 sin a off the wall
    (snag,) = found(before(800 * math.sin(math.radians(angle)), hinge=hinge), "door-opens")
    assert (snag.severity, snag.unit) == (severity, "degree")
    assert snag.measured == pytest.approx(angle, abs=1)


def test_below_sixty_degrees_you_cannot_leave() -> None:
    (snag,) = found(before(800 * math.sin(math.radians(41))), "door-opens")
    assert "cannot get out" in snag.sentence
    assert (snag.required, snag.need) == (60, 90)
    inner = before(800 * math.sin(math.radians(41)), way_out=False)
    assert severities(inner, "door-opens") == ["care"]


@given(turn=TURNS)
def test_of_two_things_that_a_leaf_meets_shut_the_first_is_named(turn: float) -> None:
    boxes = (place("jump-box", x, 100, piece_id=name) for name, x in (("one", 2650), ("two", 2150)))
    plan = make_plan(*boxes, room=make_room(openings=[door()]))
    (snag,) = found(turned_plan(plan, turn), "door-opens")
    assert (snag.pieces, snag.measured) == (("one",), 0)


def test_a_door_that_opens_outwards_meets_nothing() -> None:
    assert found(before(100, swing="out"), "door-opens") == []


def test_each_leaf_of_a_pair_reaches_half_as_far() -> None:
    assert found(before(402, kind="pair"), "door-opens") == []
    assert severities(before(200, kind="pair"), "door-opens")[0] == "stop"


def test_a_mat_before_a_door_is_no_obstacle() -> None:
    mat = place("mat-space", 2400, 1150)
    assert found(make_plan(mat, room=make_room(openings=[door()])), "door-o") == []


@pytest.mark.parametrize(("thick", "severity"), [(10, []), (12, ["care"]), (40, ["care"])])
@pytest.mark.parametrize("covering", [0, 15])
def test_a_mat_that_is_higher_than_the_gap_under_the_leaf_is_told(
    thick: float, severity: list[str], covering: float
) -> None:
    """10 mm is usual under a leaf, above the covering: common practice, no source."""
    mat = place("mat-space", 2400, 1150, height=thick)
    plan = make_plan(mat, room=make_room(openings=[door()], covering=covering))
    assert severities(plan, "door-over-mat") == severity
    assert found(plan, "door-opens") == []
    for snag in found(plan, "door-over-mat"):
        assert (snag.measured, snag.required) == (thick, 10)
        assert "and it is a way out: 10 mm is usual under a leaf" in snag.sentence
    outside = make_plan(mat, room=make_room(openings=[door(swing="out")], covering=covering))
    assert found(outside, "door-over-mat") == []


def test_a_mat_beside_the_swing_is_nothing_to_the_door() -> None:
    # the leaf of 800 comes 800 off the wall; the mat is 2300 long
    mat = place("mat-space", 2400, 800 + 1150, height=40)
    assert found(make_plan(mat, room=make_room(openings=[door()])), "door") == []


def garage(kind: OpeningKind, *pieces: Piece) -> Plan:
    """A garage door of 2400 x 2100 in the back wall of a room 2600 high."""
    opening = Opening(
        id="garage", wall="back", kind=kind, offset_mm=1300, width_mm=2400, height_mm=2100
    )
    return make_plan(*pieces, room=make_room(openings=[opening]))


def test_under_the_open_leaf_a_tall_piece_keeps_it_from_opening() -> None:
    # an open up-and-over leaf hangs up to 100 below the opening's height: 2000 here
    tall = place("jump-box", 2500, 1500, height=2002)
    (snag,) = found(garage("tracks", tall), "door-overhead")
    assert (snag.severity, snag.measured, snag.required) == ("stop", 2000, 2002)
    low = place("jump-box", 2500, 1500, height=2000)
    assert found(garage("tracks", low), "door-overhead") == []
    beside = place("jump-box", 600, 1500, height=2300)
    assert found(garage("tracks", beside), "door-overhead") == []


def test_a_canopy_leaf_comes_in_two_thirds() -> None:
    inside = place("jump-box", 2500, 1000, height=2200)
    beyond = place("jump-box", 2500, 1400 + 302, height=2200)
    assert severities(garage("canopy", inside), "door-overhead") == ["stop"]
    assert found(garage("canopy", beyond), "door-overhead") == []


def test_close_behind_a_leaf_on_tracks_only_low_things_stand() -> None:
    # 600 behind it nothing above 1200, 100 behind it nothing at all; never more than a care
    near = place("jump-box", 2500, 300 + 300, height=1300)
    low = place("jump-box", 2500, 300 + 300, height=1200)
    off = place("jump-box", 2500, 600 + 300, height=1300)
    close = place("jump-box", 2500, 90 + 300, height=500)
    assert severities(garage("tracks", near), "door") == ["care"]
    assert found(garage("tracks", low), "door") == []
    assert found(garage("tracks", off), "door") == []
    assert severities(garage("tracks", close), "door") == ["care"]


def test_a_sectional_door_lets_kit_stand_a_hand_behind_it() -> None:
    assert found(garage("sectional", place("jump-box", 2500, 100 + 300)), "door") == []
    near = garage("sectional", place("jump-box", 2500, 90 + 300))
    assert severities(near, "door") == ["care"]


def test_a_roller_takes_no_floor() -> None:
    assert found(garage("roller", place("jump-box", 2500, 300)), "door") == []


def test_a_side_sliding_door_takes_a_strip_of_a_side_wall() -> None:
    # 120 to 150 deep along the wall it slides to
    on_left = place("jump-box", 250 + 100, 1000)
    off = place("jump-box", 250 + 150, 1000)
    assert severities(garage("side-sliding", on_left), "door") == ["stop"]
    assert found(garage("side-sliding", off), "door") == []


def wide_pair(*boxes: Piece) -> Plan:
    """Boxes before a pair of doors, each leaf 1000 wide, that opens in from x 1500 to 3500."""
    opening = Opening(
        id="pair",
        wall="back",
        kind="pair",
        offset_mm=1500,
        width_mm=2000,
        height_mm=2000,
        swing="in",
        label="Garage doors",
    )
    return make_plan(*boxes, room=make_room(openings=[opening]))


@given(turn=TURNS)
def test_one_leaf_that_is_stopped_shuts_nobody_in_while_the_other_opens(turn: float) -> None:
    # the leaf on the left meets the corner of a box 500 off the wall and 800 along it
    left, right = (
        place("other-thing", x, 800, piece_id=str(x), width=600, label="Chest")
        for x in (2000, 3000)
    )
    (care,) = found(turned_plan(wide_pair(left), turn), "door-opens")
    assert (care.severity, care.measured, care.required) == ("care", 32, 90)
    assert care.sentence == (
        "One leaf of the garage doors opens to 32 degrees, then meets the chest."
    )
    both = found(turned_plan(wide_pair(left, right), turn), "door-opens")
    assert [snag.severity for snag in both] == ["stop", "stop"]


@pytest.mark.parametrize("turn", [0, 37])
@pytest.mark.parametrize(
    ("hinge_at", "height", "opens_to"),
    [
        # the struts of a wall bar of 2150 rise from 1750 at the wall to 2030 half a metre out: a
        # leaf that comes near the wall meets one, one that comes 267 near passes under it
        (850, 1950, 22),
        (1000, 1950, None),
        (1000, 2010, 24),
        # and one that is lower than they are there meets none of them
        (850, 1810, None),
        (850, 1900, 22),
    ],
)
def test_a_leaf_meets_a_strut_only_where_it_is_as_high(
    hinge_at: float, height: float, opens_to: float | None, turn: float
) -> None:
    leaf = door("right", offset_mm=hinge_at - 800, height_mm=height, way_out=True)
    bar = place("pull-up-bar-wall", 300, 700, 270, piece_id="bar")
    plan = make_plan(bar, room=make_room(openings=[leaf]))
    there = found(turned_plan(plan, turn), "door-opens")
    assert [s.severity for s in there] == ([] if opens_to is None else ["stop"])
    if opens_to is not None:
        assert there[0].measured == pytest.approx(opens_to, abs=3)
    scene = build_scene(turned_plan(plan, turn))
    core, at = Core.of(scene), scene.placed["bar"]
    free = core.admits("bar", at.pose.angle_deg, np.array([at.at]), core.layout())
    assert free.tolist() == [opens_to is None]


def test_a_leaf_over_a_high_threshold_passes_over_what_is_lower() -> None:
    """A door 300 up, its leaf 10 above the threshold (common practice): over 310 it is met."""
    for high, count in ((309, 0), (312, 1)):
        leaf = door(sill_mm=300)
        box = place("other-thing", 2400, 400, width=400, depth=400, height=high)
        snags = found(make_plan(box, room=make_room(openings=[leaf])), "door-opens")
        assert len(snags) == count
