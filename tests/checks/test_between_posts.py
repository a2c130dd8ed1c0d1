"""What stands between the posts of a rack. Common practice, no source.

A mid rack is 1220 x 1250 with posts of 75 (its own row); the middles of its posts, 37.5 in from
its outline, end the place where somebody lifts.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.checks.between_posts import between_posts
from app.checks.crowding import ROWS_AT_LEAST
from app.library.kit import kit_types
from app.model.kit import Piece
from app.model.plan import Plan
from app.model.room import Opening
from app.scene.build import build_scene
from tests.builders import (
    column,
    found,
    make_person,
    make_plan,
    make_room,
    place,
    rectangle,
    turned_plan,
)

CODE = "between-posts"
IN_FRONT_MM = 587.5
"""From the middle of a mid rack to the line through the middles of its front posts."""
TURNS = st.integers(0, 359_999).map(lambda thousandths: thousandths / 1000)


def around(piece: Piece, rack: str = "mid-rack") -> Plan:
    """A rack in the middle of the room with one more piece."""
    return make_plan(place(rack), piece)


def box_before(mm: float) -> Plan:
    """A fan of 500 x 250 whose back is so far before the line of the front posts."""
    fan = kit_types()["fan"]
    return around(place("fan", 2500, 2500 + IN_FRONT_MM + mm + fan.depth_mm / 2))


def test_a_rower_goes_through_a_rack_and_meets_no_solid() -> None:
    plan = around(place("rower"), "short-rack")
    (snag,) = found(plan, CODE)
    assert (snag.severity, snag.pieces) == ("stop", ("rower", "short-rack"))
    assert snag.sentence == "Rower is between the posts of the short rack, where somebody lifts."
    assert found(plan, "clash") == []
    # one fault, one row: that no room is left between the two follows from it
    assert [s.code for s in found(plan, "room-") if {*s.pieces} == {*snag.pieces}] == []


@given(turn=TURNS)
def test_half_a_post_deep_it_is_in_nobodys_way_at_any_angle(turn: float) -> None:
    assert found(turned_plan(box_before(0), turn), CODE) == []
    (snag,) = found(turned_plan(box_before(-2), turn), CODE)
    assert snag.severity == "stop"


@pytest.mark.parametrize(
    "kit", ["flat-bench", "adjustable-bench", "jump-box", "step", "rubber-plates", "platform"]
)
def test_what_is_used_in_a_rack_or_put_down_there_may_stand_in_it(kit: str) -> None:
    assert found(around(place(kit), "full-rack"), CODE) == []


@pytest.mark.parametrize("kit", ["plate-tree", "fan", "kettlebell-shelf", "bike"])
def test_what_has_no_business_there_is_a_stop(kit: str) -> None:
    plan = around(place(kit), "full-rack")
    assert [*found(plan, CODE), *found(plan, "clash")] != []


def test_to_what_is_put_down_in_a_rack_no_way_of_its_own_leads() -> None:
    door = Opening(
        id="door",
        wall="front",
        kind="hinged",
        offset_mm=300,
        width_mm=838,
        height_mm=1981,
        way_out=True,
        swing="out",
    )
    people, room = [make_person(want=["step-up"])], make_room(openings=[door])
    box = place("jump-box", 2500, 2300)
    # the bar on the hooks shuts the front, the rails on the floor shut the sides
    in_rack = place("full-rack"), place("bar-20", 2500, 3162, carried_by="full-rack"), box
    assert found(make_plan(*in_rack, room=room, people=people), "no-way") == []
    walls = [
        place("other-thing", x, y, width=w, depth=d, height=2000, piece_id=f"{x}-{y}")
        for x, w, y, d in (
            (1600, 100, 2300, 1800),
            (3400, 100, 2300, 1800),
            (2500, 1900, 1400, 100),
            (2500, 1900, 3300, 100),
        )
    ]
    (snag,) = found(make_plan(*walls, box, room=room, people=people), "no-way")
    assert snag.pieces[0] == "jump-box"


def test_what_belongs_to_the_rack_and_what_hangs_over_it_are_no_strangers() -> None:
    carried = place("plate-tree", carried_by="full-rack")
    assert found(around(carried, "full-rack"), CODE) == []
    above = place("radiant-panel", height=2500)
    assert found(around(above, "short-rack"), CODE) == []


def test_two_posts_alone_have_a_line_between_them() -> None:
    # the posts of squat stands are in the middle, front to back
    through = place("rower", 2500, 2600)
    assert len(found(around(through, "squat-stands"), CODE)) == 1
    depth = kit_types()["fan"].depth_mm
    before = place("fan", 2500, 2500 + 40 + depth / 2)
    assert found(around(before, "squat-stands"), CODE) == []


def test_a_lifter_before_a_half_rack_stands_between_its_arms() -> None:
    # arms from 505 to 1105 of 1350: 430 before the middle
    depth = kit_types()["fan"].depth_mm
    assert len(found(around(place("fan", 2500, 2800), "half-rack"), CODE)) == 1
    before = place("fan", 2500, 2500 + 430 + depth / 2)
    assert found(around(before, "half-rack"), CODE) == []


def test_a_folded_rack_has_nobody_between_its_posts() -> None:
    rack = place("folding-wall-rack")
    plan = make_plan(rack, place("fan", 2500, 2500 + 275))
    assert len(found(plan, CODE)) == 1
    folded = Piece.model_validate({**rack.model_dump(), "state": "folded"})
    assert found(make_plan(folded, place("fan", 2500, 2500 + 275)), CODE) == []


def test_a_column_between_the_posts_is_named() -> None:
    room = make_room(columns=[column(rectangle(2400, 2400, 2600, 2600))])
    (snag,) = found(make_plan(place("mid-rack"), room=room), CODE)
    assert (snag.severity, snag.pieces, snag.meets) == ("stop", ("mid-rack",), "column")
    assert "column is between the posts" in snag.sentence


def test_what_runs_into_a_post_is_told_as_that_alone() -> None:
    plan = around(place("plate-tree", 2950, 2500 + 500), "mid-rack")
    assert len(found(plan, "clash")) == 1
    assert found(plan, CODE) == []


def test_many_things_in_one_rack_are_told_in_part() -> None:
    fans = [place("fan", 2500, 2500, piece_id=f"f{i:03}") for i in range(300)]
    *rows, rest = between_posts(
        build_scene(make_plan(*(place("mid-rack", piece_id=f"r{i:02}") for i in range(60)), *fans))
    )
    assert len(rows) >= ROWS_AT_LEAST
    assert (rest.code, rest.severity) == ("between-posts-unseen", "stop")
