"""What stands beside a sleeve. A disc of 450 (IWF rules) slides 225 all round past what is there.

A bar of 2200 with sleeves of 415 lies on the hooks of a mid rack in the middle: its sleeves reach
from 685 to 1100 off the middle.
"""

from __future__ import annotations

import pytest

from app.checks.sleeves import beside_sleeves
from app.model.kit import Piece
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import column, found, make_plan, make_room, place, rectangle, turned_plan

CODE = "plate-beside-"
X, Y = 3000.0, 2500.0
BAR_Y = Y + 662
RACK = place("mid-rack", X, Y, piece_id="rack")
BAR = place("bar-20", X, BAR_Y, piece_id="bar", carried_by="rack", plate=450)
ROOM = make_room(7000, 6000)


def beside(piece: Piece, bar: Piece = BAR) -> Plan:
    return make_plan(RACK, bar, piece, room=ROOM)


def post(mm: float, along: float = 1050, height: float = 1600) -> Piece:
    """A post of 100 so far before the bar, its middle so far along it."""
    return place("other-thing", X + along, BAR_Y + mm + 50, width=100, depth=100, height=height)


@pytest.mark.parametrize("angle", [0, 37])
@pytest.mark.parametrize(("mm", "said"), [(225, []), (223, [223]), (100, [100])])
def test_a_plate_slides_past_what_is_a_radius_off(
    mm: float, said: list[float], angle: float
) -> None:
    rows = found(turned_plan(beside(post(mm)), angle), CODE)
    assert [row.measured for row in rows] == pytest.approx(said, abs=1)
    assert all((row.severity, row.required) == ("stop", 225) for row in rows)


@pytest.mark.parametrize("mm", [-1, -50])
def test_what_lies_on_the_line_of_the_bar_is_no_way_beside_it(mm: float) -> None:
    # among all rows the one of what the bar crosses tells it
    assert found(beside(post(mm)), CODE) == []
    (row,) = beside_sleeves(build_scene(beside(post(mm))))
    assert row.measured == 0


def test_the_words_name_the_end_and_what_is_there() -> None:
    (row,) = found(beside(post(100)), CODE)
    assert row.sentence == (
        "No plate slides on at its right end: the other thing is 100 mm beside it, and a plate "
        "needs 225 all round."
    )
    assert row.pieces == ("bar", "other-thing")


def test_smaller_plates_pass_nearer() -> None:
    small = place("bar-20", X, BAR_Y, piece_id="bar", carried_by="rack", plate=280)
    assert found(beside(post(140), small), CODE) == []
    assert len(found(beside(post(138), small), CODE)) == 1


@pytest.mark.parametrize(("along", "count"), [(1155, 0), (1145, 1), (825, 1), (630, 0)])
def test_only_beside_the_sleeve_itself(along: float, count: int) -> None:
    # beyond the end another row speaks, and before the collar no plate is
    assert len(found(beside(post(120, along)), CODE)) == count


def test_what_is_lower_than_the_lowest_plate_is_slid_over() -> None:
    # on the lowest hooks at 1000: 775
    assert found(beside(post(100, height=775)), CODE) == []
    assert len(found(beside(post(100, height=778)), CODE)) == 1


def test_what_a_plate_runs_into_as_it_is_drawn_is_told_as_that() -> None:
    plan = beside(post(100, 733))
    assert len(found(plan, "clash")) == 1
    assert found(plan, CODE) == []


def test_two_bars_over_the_ends_of_one_another() -> None:
    other = place("mid-rack", X + 1720, Y + 340, piece_id="other")
    bar = place("bar-20", X + 1720, BAR_Y + 340, piece_id="two", carried_by="other", plate=450)
    plan = make_plan(RACK, BAR, other, bar, room=make_room(9000, 6000))
    rows = found(plan, CODE)
    # their plates are 340 apart at most, less the half thickness of the other's plate: both ends
    assert {row.pieces for row in rows} == {("bar", "two"), ("two", "bar")}
    assert {row.severity for row in rows} == {"stop"}


def test_a_column_is_named_and_a_bar_on_the_floor_is_none_of_its_business() -> None:
    room = make_room(7000, 6000, columns=[column(rectangle(4000, 3300, 4100, 3400))])
    (row,) = found(make_plan(RACK, BAR, room=room), CODE)
    assert (row.pieces, row.meets) == (("bar",), None)
    assert "the column is 138 mm beside it" in row.sentence
    lying = place("bar-20", X, BAR_Y, piece_id="bar", on_floor=True)
    assert found(make_plan(lying, post(100), room=ROOM), CODE) == []


@pytest.mark.parametrize("turn", [0.0, 37.0])
@pytest.mark.parametrize(
    ("right_mm", "measured"),
    # the bar ends 1100 from its middle, the plate drawn on it 735 to 685; a heater is 750 wide
    [(1050, 275), (1200, 475), (1473, 475), (1476, None)],
)
def test_nothing_that_burns_hangs_on_any_part_of_a_sleeve_before_a_heater(
    right_mm: float, measured: float | None, turn: float
) -> None:
    """Where a second plate goes on later. By heater.front-mm; common practice, no source."""
    rack = place("half-rack", 2500, 2500, piece_id="rack")
    bar = place("bar-20", 2500, 3000, piece_id="bar", carried_by="rack")
    heater = place("heater", 2500 + right_mm, 2400, piece_id="heater")
    snags = found(turned_plan(make_plan(rack, bar, heater), turn), "room-in-front-nothing-that")
    assert [(s.severity, s.measured) for s in snags] == [("care", measured)] * bool(measured)
