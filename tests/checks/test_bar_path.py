"""Where a bar is carried to: 2200 long, plates of 450, pressed 700 before the posts of a rack.

At the shoulder of 1.75 m (0.818 H, Winter, fig. 4.1) it is at 1432, its plates come down to 1207.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.checks.bar_path import bar_paths
from app.checks.snag import Snag
from app.model.kit import Piece
from app.model.people import Person
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import found, make_person, make_plan, make_room, place, turned_plan

TURNS = st.integers(0, 359_999).map(lambda thousandths: thousandths / 1000)
PRESSES = make_person(1750, want=["standing-press"], no=["squat"])
RACK = (
    place("mid-rack", 2500, 800, piece_id="rack"),
    place("bar-20", 2500, 1462, piece_id="bar", carried_by="rack", plate=450),
)
"""The bar is pressed at 800 + 625 + 700 = 2125, its ends at 1400 and 3600."""


def cupboard(x: float = 3850, y: float = 2125, height: float = 1800) -> Piece:
    """A thing of 500 x 500 with its left side 250 less than its middle."""
    return place("other-thing", x, y, piece_id="z", width=500, depth=500, height=height)


def plan_of(*more: Piece, people: tuple[Person, ...] = (PRESSES,)) -> Plan:
    return make_plan(*RACK, *more, room=make_room(6000, 6000, 3000), people=people)


def told(*more: Piece, people: tuple[Person, ...] = (PRESSES,)) -> list[Snag]:
    return found(plan_of(*more, people=people), "bar-path")


@pytest.mark.parametrize(("x", "count"), [(3853, 0), (3850, 0), (3849, 0), (3847.5, 1), (3600, 1)])
@given(turn=TURNS)
def test_what_an_end_comes_to_is_in_its_way_at_any_angle(x: float, count: int, turn: float) -> None:
    snags = found(turned_plan(plan_of(cupboard(x)), turn), "bar-path")
    assert [(snag.severity, snag.pieces) for snag in snags] == [("care", ("rack", "z"))] * count


@pytest.mark.parametrize("turn", [0, 180])
@pytest.mark.parametrize("x", [3845, 1155])
@pytest.mark.parametrize(("y", "count"), [(2505, 1), (2605, 0)])
def test_the_far_corners_of_its_plates_are_in_the_way_too(
    x: float, y: float, count: int, turn: float
) -> None:
    # 5 past an end; plates of 450 about 2125 reach to 2350, the thing begins at 2255 or 2355.
    # Either end of the bar may lie to the left: it is alike
    rack, bar = RACK
    laid = bar.model_copy(update={"pose": bar.pose.model_copy(update={"angle_deg": turn})})
    room = make_room(6000, 6000, 3000)
    plan = make_plan(rack, laid, cupboard(x, y), room=room, people=(PRESSES,))
    assert len(found(plan, "bar-path")) == count


@pytest.mark.parametrize(("height", "count"), [(1205, 0), (1209, 1)])
def test_plates_pass_over_what_is_low(height: float, count: int) -> None:
    assert len(told(cupboard(3600, height=height))) == count
    # plates of 280 come down to 1292
    small = (RACK[0], RACK[1].model_copy(update={"plate_mm": 280.0}), cupboard(3600, height=1290))
    plan = make_plan(*small, room=make_room(6000, 6000, 3000), people=(PRESSES,))
    assert found(plan, "bar-path") == []


@pytest.mark.parametrize(("over", "count"), [(-2.0, 1), (2.0, 0)])
@given(turn=TURNS)
def test_it_is_carried_under_what_hangs_over_its_plates(
    over: float, count: int, turn: float
) -> None:
    # on the shoulders at 0.818 H, half of a plate over that; a panel is 30 thick
    top = 0.818 * 1750 + 225 + 30 + over
    panel = place("radiant-panel", 3600, 2125, piece_id="z", height=top)
    snags = found(turned_plan(plan_of(panel), turn), "bar-path")
    assert [snag.pieces for snag in snags] == [("rack", "z")] * count


def test_of_several_things_what_takes_most_of_its_way_is_named_once() -> None:
    # 200 and 60 of one end's way, and the order in which they stand on the list does not matter
    deep = cupboard(3650)
    less = cupboard(1210).model_copy(update={"id": "y"})
    for more in ((deep, less), (less, deep)):
        (snag,) = told(*more)
        assert snag.pieces == ("rack", "z")


def test_its_end_is_named_as_seen_from_the_door() -> None:
    (right,), (left,) = told(cupboard(3600)), told(cupboard(1400))
    assert "right end meets the other thing" in right.sentence
    assert "left end meets the other thing" in left.sentence


def test_it_matters_to_who_lifts_there() -> None:
    nice = make_person(1750, nice=["standing-press"], no=["squat"])
    no = make_person(1750, no=["standing-press", "squat"])
    unsaid = make_person(1750)
    for person, severities in ((nice, ["note"]), (no, []), (unsaid, [])):
        assert [s.severity for s in told(cupboard(3600), people=(person,))] == severities
    # a squat is done between the posts of this rack
    squats = make_person(1750, want=["squat"], no=["standing-press"])
    assert told(cupboard(3600), people=(squats,)) == []


def test_a_bar_that_lies_on_the_floor_or_meets_it_on_its_hooks_goes_nowhere() -> None:
    assert told(cupboard(3600, 1462)) == []
    floor = tuple(
        one.model_copy(update={"on_floor": True}) if one.id == "bar" else one for one in RACK
    )
    plan = make_plan(*floor, cupboard(3600), room=make_room(6000, 6000, 3000), people=(PRESSES,))
    assert found(plan, "bar-path") == []


def test_another_rack_to_press_at_is_enough() -> None:
    other = [
        place("squat-stands", 2500, 4300, piece_id="y-stands"),
        place("bar-15", 2500, 4374, piece_id="y-bar", carried_by="y-stands", plate=450),
    ]
    assert told(cupboard(3600), *other) == []


def test_a_scene_that_is_moved_says_what_a_new_one_says() -> None:
    scene = build_scene(plan_of(cupboard(4500)))
    there = scene.moved({"z": cupboard(3600).pose})
    assert list(bar_paths(scene)) == []
    assert len(list(bar_paths(there))) == 1


def test_it_is_a_care_as_soon_as_one_of_them_wants_to_lift_there() -> None:
    wants = make_person(1750, person_id="a", want=["standing-press"], no=["squat"])
    nice = make_person(1750, person_id="b", nice=["standing-press"], no=["squat"])
    for people in ((wants, nice), (nice, wants)):
        assert [snag.severity for snag in told(cupboard(3600), people=people)] == ["care"]
