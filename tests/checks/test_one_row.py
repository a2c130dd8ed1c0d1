"""One fault is one row: what stands beside a piece is named once, whatever it narrows."""

import pytest

from app.checks.run import run
from app.checks.snag import Snag
from app.library.kit import kit_types
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place, turned_plan

WIDE = 8000


def said(key: str, x: float, y: float) -> list[Snag]:
    """Return the stops and cares of one piece alone in a room of 8 x 8 m."""
    piece = place(key, x, y, piece_id="it")
    plan = make_plan(piece, room=make_room(width=WIDE, depth=WIDE))
    return [snag for snag in run(build_scene(plan)) if snag.severity != "note"]


@pytest.mark.parametrize("key", sorted(kit_types()))
def test_a_wall_beside_any_kit_is_named_once(key: str) -> None:
    kit = kit_types()[key]
    middle, half = WIDE / 2, kit.width_mm / 2
    for gap in (0, 40, -100):
        for x in (half + gap, WIDE - half - gap):
            rows = said(key, x, middle)
            walls = [
                row.against for row in rows if row.against in ("the left wall", "the right wall")
            ]
            assert len(walls) == len(set(walls)), [row.sentence for row in rows]


def test_of_a_machine_against_a_wall_the_side_is_told_and_the_floor_behind_it_is_there() -> None:
    # 850 wide in a lane of 1000 (EN 957-6): what is behind the machine itself is free
    rows = {row.code: row for row in said("running-machine", 425, 4000)}
    assert {row.severity for row in rows.values()} == {"care"}
    assert rows["room-beside-the-belt-left"].measured == 0
    assert "room-behind-the-belt" not in rows


def test_what_stands_behind_the_belt_itself_is_no_flank() -> None:
    belt = place("running-machine", 4000, 4000, piece_id="it")
    for x, code in ((4000 + 425 + 250 - 10, "stop"), (4000 + 425 + 250 + 5, "care")):
        box = place("other-thing", x, 5200, width=500, depth=500, piece_id="box")
        plan = make_plan(belt, box, room=make_room(width=WIDE, depth=WIDE))
        (row,) = (s for s in run(build_scene(plan)) if s.code == "room-behind-the-belt")
        assert row.severity == code
    # 5 beside the machine of 850: 500 and 430 are left of the lane of 1000
    assert row.sentence == "930 mm of its width is left beside the other thing. Allow 1000."


def test_plates_that_come_off_nowhere_are_told_as_room_beyond_the_end_alone() -> None:
    for gap, codes in ((0, ["room-beyond-the-left-end"]), (149, ["room-beyond-the-left-end"])):
        rack = place("mid-rack", 1100 + gap, 775, piece_id="rack")
        bar = place("bar-20", 1100 + gap, 1437, piece_id="bar", carried_by="rack")
        rows = run(build_scene(make_plan(rack, bar, room=make_room(width=WIDE, depth=WIDE))))
        assert [r.code for r in rows if r.pieces[:1] == ("bar",) and r.severity == "stop"] == codes
        assert not any(row.code == "room-to-load" for row in rows)


def test_a_gap_that_two_pieces_ask_for_is_told_once_by_the_one_that_asks_for_more() -> None:
    # a boxer wants 1500, who bends before dumbbells 1000: common practice, no source
    for angle in (0.0, 37.0):
        bag = place("standing-bag", 3000, 3000, piece_id="bag")
        rack = place("dumbbell-rack-2", 3000, 3000 + 280 + 610 + 275, 180, piece_id="rack")
        plan = turned_plan(make_plan(bag, rack, room=make_room(width=WIDE, depth=WIDE)), angle)
        rows = [s for s in run(build_scene(plan)) if {"bag", "rack"} == set(s.pieces) and s.space]
        assert [(row.code, row.measured, row.need) for row in rows] == [
            ("room-for-the-boxer", 610, 1500)
        ]


def test_two_gaps_of_two_pieces_are_two_rows() -> None:
    # before the rack 800 and beside the bag, across a corner, another distance
    bag = place("standing-bag", 3000, 3000, piece_id="bag")
    rack = place("dumbbell-rack-2", 3000 + 280 + 300 + 275, 3000, 90, piece_id="rack")
    box = place("kettlebell-shelf", 3000, 3000 + 280 + 500 + 200, 180, piece_id="shelf")
    plan = make_plan(bag, rack, box, room=make_room(width=WIDE, depth=WIDE))
    owners = {tuple(sorted(s.pieces)) for s in run(build_scene(plan)) if s.space}
    assert {("bag", "rack"), ("bag", "shelf")} <= owners


def test_a_heater_and_a_bag_have_one_gap_and_what_else_stands_in_the_ring_is_told() -> None:
    # the heater asks for 1000 to what burns, the bag for 600 all round: one row, that asks for most
    heater = place("heater", 4000, 200, piece_id="heater")
    bag = place("standing-bag", 4000, 900, piece_id="bag")
    rows = run(build_scene(make_plan(heater, bag, room=make_room(8000, 8000))))
    between = [row for row in rows if {"heater", "bag"} <= set(row.pieces)]
    assert [(row.code, row.measured, row.required) for row in between] == [
        ("room-in-front-nothing-that-burns", 320, 1000)
    ]
    box = place("other-thing", 4000 + 280 + 400 + 250, 900, width=500, depth=500, piece_id="box")
    plan = make_plan(heater, bag, box, room=make_room(8000, 8000))
    ring = [row for row in run(build_scene(plan)) if row.code == "room-round-it"]
    assert [(row.against, row.measured) for row in ring] == [("box", 400)]
