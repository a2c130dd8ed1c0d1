"""Getting out: a door that something stands before is told, whatever else is in the room.

A way of 450 at the least and 600 as recommended: see the rows ``route.least-mm`` and
``route.recommended-mm`` of the register. That only the one who cannot leave is told so, and always:
common practice, no source.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.checks.run import run
from app.checks.snag import Snag
from app.model.kit import Piece
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place, turned_plan
from tests.checks.test_routes import door

KIT = (
    place("bike", 1500, 900, piece_id="bike"),
    place("mat-space", 3500, 1200, piece_id="mat"),
    place("rower", 1000, 2600, piece_id="rower"),
)


def _blocked(plan: Plan) -> list[Snag]:
    return [
        one
        for one in run(build_scene(plan))
        if one.code == "way-out-blocked" or one.code.startswith("door-opens")
    ]


def _before_the_door(gap_mm: float, width_mm: float = 1400) -> Piece:
    # the room is 5000 deep, the door in its front wall
    return place(
        "other-thing",
        2450,
        5000 - gap_mm - 200,
        width=width_mm,
        depth=400,
        height=1800,
        piece_id="chest",
    )


@pytest.mark.parametrize("count", [0, 1, 2, 3])
@pytest.mark.parametrize("gap_mm", [0, 1, 30, 49, 51, 100, 149, 300, 448])
@pytest.mark.parametrize("angle_deg", [0, 31])
def test_nobody_leaves_by_a_door_that_a_chest_stands_before(
    gap_mm: float, count: int, angle_deg: float
) -> None:
    room = make_room(openings=[door(swing="out")])
    plan = make_plan(_before_the_door(gap_mm), *KIT[:count], room=room)
    rows = _blocked(turned_plan(plan, angle_deg))
    stops = [one for one in run(build_scene(plan)) if one.severity == "stop"]
    if count != 1 or gap_mm < 100:
        assert [one.code for one in rows] == ["way-out-blocked"], (gap_mm, count)
        assert rows[0].pieces == ("chest",)
    else:
        # one station alone: the narrow place is told as the way to it
        assert rows or any(one.code == "no-way" for one in stops), stops


@pytest.mark.parametrize("count", [0, 1, 2, 3])
def test_one_leaves_by_a_door_with_a_way_before_it(count: int) -> None:
    room = make_room(openings=[door(swing="out")])
    plan = make_plan(_before_the_door(600), *KIT[:count], room=room)
    assert _blocked(plan) == []
    assert not [one for one in run(build_scene(plan)) if one.code == "no-way"]


def test_what_is_stepped_over_blocks_no_door() -> None:
    room = make_room(openings=[door(swing="out")])
    mat = place("other-thing", 2450, 4800, width=1400, depth=400, height=40, piece_id="low")
    assert _blocked(make_plan(mat, *KIT, room=room)) == []


def test_a_door_hung_outwards_lets_nobody_past_what_stands_before_it() -> None:
    # a freezer before the only door: hung inwards it opens a hand's width, outwards nobody passes
    for swing in ("in", "out"):
        room = make_room(openings=[door(swing=swing)])
        rows = _blocked(make_plan(_before_the_door(60), *KIT, room=room))
        assert [one.severity for one in rows] == ["stop"], swing


@given(
    gap_mm=st.integers(0, 90),
    width_mm=st.integers(1000, 2000),
    which=st.sets(st.integers(0, 2), min_size=1),
)
def test_whatever_else_is_in_the_room_a_shut_door_is_told(
    gap_mm: int, width_mm: int, which: set[int]
) -> None:
    room = make_room(openings=[door(swing="out")])
    kit = [KIT[number] for number in sorted(which)]
    rows = _blocked(make_plan(_before_the_door(gap_mm, width_mm), *kit, room=room))
    assert [one.code for one in rows] == ["way-out-blocked"]


def test_of_two_leaves_that_meet_one_thing_one_is_told() -> None:
    pair = door(kind="pair", swing="in", offset=1400, width_mm=1800)
    plan = make_plan(
        place("mid-rack", 2300, 4000, piece_id="rack"), room=make_room(openings=[pair])
    )
    rows = [one for one in run(build_scene(plan)) if one.code.startswith("door-opens")]
    assert len(rows) == 1
    assert len({one.key for one in run(build_scene(plan))}) == len(run(build_scene(plan)))
