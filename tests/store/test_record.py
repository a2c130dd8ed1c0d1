"""The log keeps exactly what changed: each outermost place once, with what stood there."""

from __future__ import annotations

from typing import Any

from app.changes.commands import Change, Command, apply, inverse
from app.model.base import json_of
from app.model.plan import Plan
from app.store.record import as_carried_out, replay
from tests.builders import make_plan, make_room, place

PLAN = make_plan(place("bike", 1000, 1000, piece_id="a"), place("bike", 3000, 1000, piece_id="b"))
AT_A = ("pieces", "a", "pose", "x_mm")


def command(*paths: tuple[str, ...], says: str = "moved") -> Command:
    changes = tuple(Change(path=path, before=None, after=1) for path in paths)
    return Command(name="edit", says=says, changes=changes)


def changed(plan: Plan = PLAN, **fields: Any) -> Plan:
    return Plan.model_validate({**json_of(plan), **fields})


def with_pieces(*pieces: Any) -> Plan:
    return make_plan(*pieces)


def test_what_stands_as_before_is_no_change() -> None:
    assert as_carried_out(command(AT_A), PLAN, PLAN) is None


def test_a_place_is_kept_with_what_stood_and_stands_there() -> None:
    after = with_pieces(
        place("bike", 1200, 1000, piece_id="a"), place("bike", 3000, 1000, piece_id="b")
    )
    carried = as_carried_out(command(AT_A, ("pieces", "b", "pose", "x_mm")), PLAN, after)
    assert carried is not None
    assert (carried.name, carried.says) == ("edit", "moved")
    (change,) = carried.changes
    assert (change.path, change.before, change.after) == (AT_A, 1000, 1200)
    assert apply(PLAN, carried) == after
    assert apply(after, inverse(carried)) == PLAN


def test_of_places_within_one_another_the_outermost_is_kept_once() -> None:
    after = with_pieces(
        place("bike", 1200, 1000, piece_id="a"), place("bike", 3000, 1000, piece_id="b")
    )
    both = command(AT_A, ("pieces", "a", "pose"), ("pieces", "a", "pose", "y_mm"), AT_A)
    carried = as_carried_out(both, PLAN, after)
    assert carried is not None
    assert [change.path for change in carried.changes] == [("pieces", "a", "pose")]


def test_a_piece_that_comes_or_goes_is_kept_whole() -> None:
    after = with_pieces(place("bike", 1000, 1000, piece_id="a"))
    gone = as_carried_out(command(("pieces", "b", "pose", "x_mm")), PLAN, after)
    assert gone is not None
    (change,) = gone.changes
    assert change.path == ("pieces", "b")
    assert change.after is None
    assert isinstance(change.before, dict)
    assert change.before["id"] == "b"
    back = as_carried_out(command(("pieces", "b", "pose", "x_mm")), after, PLAN)
    assert back is not None
    assert [each.path for each in back.changes] == [("pieces", "b")]
    assert apply(after, back) == PLAN


def test_where_the_order_has_a_meaning_the_whole_list_is_kept() -> None:
    corners = ((0, 0), (4000, 0), (4000, 3000), (2000, 3500), (0, 3000))
    before, after = (
        make_plan(room=make_room(4000, 3000)),
        make_plan(room=make_room(corners=corners)),
    )
    wall = after.room.walls[3].id
    carried = as_carried_out(command(("room", "walls", wall, "x_mm")), before, after)
    assert carried is not None
    assert [change.path for change in carried.changes] == [("room", "walls")]
    # a wall that stays is told by its own place
    wide = make_plan(room=make_room(4500, 3000))
    moved = as_carried_out(
        command(("room", "walls", before.room.walls[1].id, "x_mm")), before, wide
    )
    assert moved is not None
    assert [change.path for change in moved.changes] == [
        ("room", "walls", before.room.walls[1].id, "x_mm")
    ]


def test_commands_of_the_log_are_carried_out_in_their_order() -> None:
    to = [
        Command(name="edit", changes=(Change(path=AT_A, before=x, after=x + 100),))
        for x in range(1000, 1500, 100)
    ]
    assert replay(PLAN, to).piece("a").pose.x_mm == 1500
    assert replay(PLAN, []) == PLAN
