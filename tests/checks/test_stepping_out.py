"""Stepping out of a rack with the bar: the height before the posts, on both sides of the limit.

H and the covering decide for the head, 0.818 H (Drillis and Contini 1966) and half a plate for the
plates; that one steps out 700 is common practice, no source.
"""

import pytest

from app.checks.stepping_out import stepping_out
from app.model.kit import Piece
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import (
    low_thing,
    make_person,
    make_plan,
    make_room,
    place,
    rectangle,
    turned_plan,
)

OUTER_MM, INNER_MM = 1437, 1288


def before_the_posts(
    bottom_mm: float,
    left_mm: float = 2300,
    right_mm: float = 2700,
    bar_mm: float = OUTER_MM,
    wish: str = "want",
) -> Plan:
    """A mid rack whose posts end at 1400, and a duct from 1850 on."""
    who = {"want": make_person(1800, want=("squat",)), "nice": make_person(1800, nice=("squat",))}
    duct = low_thing(rectangle(left_mm, 1850, right_mm, 2700), bottom_mm, "duct")
    return make_plan(
        place("mid-rack", 2500, 775, bolted=True),
        place("bar-20", 2500, bar_mm, carried_by="mid-rack", plate=450),
        room=make_room(low_things=(duct,)),
        people=(who[wish],) if wish in who else (make_person(1800, no=("squat",)),),
    )


@pytest.mark.parametrize("turn", [0, 33])
@pytest.mark.parametrize(("over", "count"), [(-2.0, 1), (0.0, 0)])
def test_the_head_counts_to_the_millimetre(turn: float, over: float, count: int) -> None:
    plan = turned_plan(before_the_posts(1800 + over), turn)
    assert [snag.severity for snag in stepping_out(build_scene(plan))] == ["care"] * count


def test_over_the_ends_of_the_bar_its_plates_count() -> None:
    least = 0.818 * 1800 + 225
    low = list(stepping_out(build_scene(before_the_posts(least - 3, 3300, 3700))))
    assert [snag.severity for snag in low] == ["care"]
    assert "plates" in low[0].sentence
    assert not list(stepping_out(build_scene(before_the_posts(least + 1, 3300, 3700))))


def test_from_hooks_inside_nobody_steps_out_and_a_mere_wish_is_a_note() -> None:
    assert not list(stepping_out(build_scene(before_the_posts(1700, bar_mm=INNER_MM))))
    assert [s.severity for s in stepping_out(build_scene(before_the_posts(1700, wish="nice")))] == [
        "note"
    ]
    assert not list(stepping_out(build_scene(before_the_posts(1700, wish="no"))))


def test_what_hits_between_the_posts_as_well_is_said_there() -> None:
    plan = make_plan(
        place("mid-rack", 2500, 775, bolted=True),
        place("bar-20", 2500, OUTER_MM, carried_by="mid-rack", plate=450),
        room=make_room(height=1700),
        people=(make_person(1800, want=("squat",)),),
    )
    assert not list(stepping_out(build_scene(plan)))


@pytest.mark.parametrize("turn", [0, 33])
@pytest.mark.parametrize(("over", "count"), [(-2.0, 1), (2.0, 0)])
def test_what_hangs_where_one_steps_out_to_is_met_however_low(
    turn: float, over: float, count: int
) -> None:
    # 1800 on a bare floor; a panel 30 thick hangs 1800 and so much over it
    open_room = before_the_posts(2500)
    panel = place("radiant-panel", 2500, 2200, piece_id="over", height=1830 + over)
    plan = make_plan(*open_room.pieces, panel, room=make_room(), people=open_room.people)
    found = list(stepping_out(build_scene(turned_plan(plan, turn))))
    assert [snag.severity for snag in found] == ["care"] * count
    assert all("radiant panel" in snag.sentence for snag in found)


@pytest.mark.parametrize("turn", [0, 33])
@pytest.mark.parametrize(("typed", "count"), [(1814, 1), (1816, 0)])
def test_a_bar_that_hangs_there_is_typed_to_its_middle(
    turn: float, typed: float, count: int
) -> None:
    # the row of the library: a tube of 32, met at its underside by who is 1800
    open_room = before_the_posts(2500)
    hung = place("pull-up-bar-ceiling", 2500, 2200, piece_id="over").model_dump(mode="json")
    over = Piece.model_validate({**hung, "bar_height_mm": typed})
    plan = make_plan(*open_room.pieces, over, room=make_room(), people=open_room.people)
    found = list(stepping_out(build_scene(turned_plan(plan, turn))))
    assert len(found) == count
    for snag in found:
        assert "1798 of the 1800 needed; the middle of its bar is 16 higher." in snag.sentence
