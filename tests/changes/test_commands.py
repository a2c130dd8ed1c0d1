"""The laws of the one history: undo of do is nothing; a stale *before* is a conflict."""

import copy
from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.changes.commands import (
    Change,
    Command,
    adds,
    apply,
    edits,
    inverse,
    moves,
    wishes,
)
from app.errors import CommandError, ConflictError, PlanError
from app.model.base import json_of
from app.model.kit import Piece, Pose
from app.model.plan import Plan, Settled
from app.model.versions import dump, from_data
from tests.commands import removes, settles


def make_plan() -> Plan:
    corners = [("back", 0, 0), ("right", 5000, 0), ("front", 5000, 4000), ("left", 0, 4000)]
    return from_data(
        {
            "format": "elbowroom-plan",
            "version": 1,
            "name": "Room",
            "room": {
                "walls": [{"id": i, "x_mm": x, "y_mm": y} for i, x, y in corners],
                "ceiling": {"planes": [{"id": "ceiling", "height_mm": 2400}]},
            },
            "people": [
                {"id": "ada", "stature_mm": 1750},
                {
                    "id": "bo",
                    "stature_mm": 1640,
                    "wishes": [{"movement": "pull-up", "wish": "want"}],
                },
            ],
            "pieces": [
                {"id": "rack-1", "type": "rack", "pose": {"x_mm": 1000, "y_mm": 900}},
                {
                    "id": "bar-1",
                    "type": "bar",
                    "carried_by": "rack-1",
                    "pose": {"x_mm": 1000, "y_mm": 900},
                },
                {"id": "bag-10", "type": "bag", "pose": {"x_mm": 3000, "y_mm": 900}},
                {"id": "bag-2", "type": "bag", "pose": {"x_mm": 3000, "y_mm": 1900}},
            ],
        }
    )


PLAN = make_plan()
IDS = [piece.id for piece in PLAN.pieces]
MM = st.floats(-90_000, 90_000)
POSES = st.builds(Pose, x_mm=MM, y_mm=MM, angle_deg=st.floats(-720, 720))
WORDS = st.sampled_from([None, "want", "nice", "no"])


@st.composite
def commands(draw: st.DrawFn, plan: Plan) -> Command:
    """Any command that can be given to a plan."""
    ids = [piece.id for piece in plan.pieces]
    kind = draw(st.sampled_from(["move", "add", "remove", "edit", "wish", "settle", "rename"]))
    if kind == "move" and ids:
        return moves(plan, draw(st.dictionaries(st.sampled_from(ids), POSES, min_size=1)))
    if kind == "remove" and ids:
        return removes(plan, draw(st.lists(st.sampled_from(ids), min_size=1, unique=True)))
    if kind == "edit" and ids:
        width = draw(st.none() | st.integers(100, 500_000).map(lambda n: n / 100))
        return edits(plan, draw(st.sampled_from(ids)), pinned=draw(st.booleans()), width_mm=width)
    if kind == "wish":
        word = draw(WORDS)
        return wishes(plan, draw(st.sampled_from(["ada", "bo"])), pull_up=word, run=draw(WORDS))
    if kind == "settle":
        key = draw(st.sampled_from(["a/b", "c"]))
        return settles(plan, Settled(id=key, reason="looked at", on=date(2024, 3, 14)))
    if kind == "rename":
        change = Change(path=("name",), before=plan.name, after=draw(st.text("abc", min_size=1)))
        return Command(name="rename", changes=(change,))
    number = draw(st.integers(100, 120).filter(lambda n: f"new-{n}" not in ids))
    return adds([Piece(id=f"new-{number}", type="bench", pose=draw(POSES))])


@given(st.data())
def test_undo_of_do_is_nothing_and_redo_is_do(data: st.DataObject) -> None:
    command = data.draw(commands(PLAN))
    done = apply(PLAN, command)
    undone = apply(done, inverse(command))
    assert dump(undone) == dump(PLAN)
    assert dump(apply(undone, inverse(inverse(command), "redo"))) == dump(done)


@given(st.data())
def test_a_whole_history_can_be_taken_back(data: st.DataObject) -> None:
    plan, history = PLAN, []
    for _ in range(data.draw(st.integers(1, 6))):
        command = data.draw(commands(plan))
        plan = apply(plan, command)
        history.append(command)
    for command in reversed(history):
        plan = apply(plan, inverse(command))
    assert plan == PLAN


@given(st.data())
def test_a_command_leaves_the_old_plan_alone(data: st.DataObject) -> None:
    before = copy.deepcopy(json_of(PLAN))
    apply(PLAN, data.draw(commands(PLAN)))
    assert json_of(PLAN) == before


@given(POSES, POSES)
def test_a_move_expects_the_piece_where_it_was(first: Pose, second: Pose) -> None:
    stale = moves(PLAN, {"rack-1": second})
    moved = apply(PLAN, moves(PLAN, {"rack-1": first}))
    if first == PLAN.piece("rack-1").pose:
        assert apply(moved, stale).piece("rack-1").pose == second
        return
    with pytest.raises(ConflictError, match="rack-1 / pose has been changed meanwhile"):
        apply(moved, stale)


def test_two_people_moving_two_pieces_do_not_meet() -> None:
    one = moves(PLAN, {"rack-1": Pose(x_mm=1, y_mm=2)})
    other = moves(PLAN, {"bag-2": Pose(x_mm=3, y_mm=4)})
    assert apply(apply(PLAN, one), other) == apply(apply(PLAN, other), one)


def test_removing_a_carrier_sets_free_what_it_carried() -> None:
    plan = apply(PLAN, removes(PLAN, ["rack-1"]))
    assert plan.piece("bar-1").carried_by is None
    back = apply(plan, inverse(removes(PLAN, ["rack-1"])))
    assert back.piece("bar-1").carried_by == "rack-1"


def test_what_is_removed_and_put_back_lies_where_it_was() -> None:
    command = removes(PLAN, ["bag-2"])
    back = apply(apply(PLAN, command), inverse(command))
    assert [p.id for p in back.pieces] == ["bag-2", "bag-10", "bar-1", "rack-1"]


def test_wishes_are_set_changed_and_taken_back() -> None:
    plan = apply(PLAN, wishes(PLAN, "ada", pull_up="no", standing_press="want"))
    ada = plan.people[0]
    assert (ada.wish_for("pull-up"), ada.wish_for("standing-press")) == ("no", "want")
    plan = apply(plan, wishes(plan, "ada", pull_up=None))
    assert plan.people[0].wish_for("pull-up") is None


def test_either_all_changes_are_made_or_none() -> None:
    good = Change(path=("name",), before="Room", after="Shed")
    stale = Change(path=("drawn_for",), before="somebody", after="us")
    with pytest.raises(ConflictError):
        apply(PLAN, Command(name="rename", changes=(good, stale)))
    assert PLAN.name == "Room"


def change(*path: str, before: Any = None, after: Any = None) -> Command:
    return Command(name="edit", changes=(Change(path=path, before=before, after=after),))


@pytest.mark.parametrize(
    ("command", "fault", "words"),
    [
        (change("colour", after="red"), CommandError, "colour: there is no such place"),
        (change("room", "roof", after=1), CommandError, "room / roof: there is no such place"),
        (change("name", "x", after=1), CommandError, "no such place"),
        (change("pieces", "sled", "pose", after=1), ConflictError, "'sled' is no longer"),
        (change("pieces", "sled", after={"id": "cart"}), CommandError, "must carry the id 'sled'"),
        (change("pieces", "sled", before={"id": "sled"}), ConflictError, "changed meanwhile"),
        (change("name", before="Room", after=""), PlanError, "must not be empty"),
        (change("name", before="Room", after=None), PlanError, "must be a text"),
        (change("pieces", "sled", after={"id": "sled"}), PlanError, "this field is missing"),
        (
            change("pieces", "rack-1", "carried_by", after="bar-1"),
            PlanError,
            "carry one another",
        ),
        (
            change("pieces", "rack-1", before=json_of(PLAN.piece("rack-1"))),
            PlanError,
            "carried by 'rack-1', which is not in the plan",
        ),
    ],
)
def test_a_command_that_cannot_be_carried_out(
    command: Command, fault: type[Exception], words: str
) -> None:
    with pytest.raises(fault, match=words):
        apply(PLAN, command)


def test_true_is_not_one() -> None:
    with pytest.raises(ConflictError):
        apply(PLAN, change("pieces", "rack-1", "pinned", before=0, after=True))


def test_an_empty_command_is_refused() -> None:
    with pytest.raises(ValueError, match="at least 1 item"):
        Command(name="edit", changes=())


@pytest.mark.parametrize(
    ("path", "newer", "field", "otherwise"),
    [
        (("room", "walls"), "photos", "outside", False),
        (("room", "fabric"), "whose", "heard_by", "neighbours"),
        (("works",), "first_time", "store_outside", True),
        (("fit_out",), "nothing_assumed", "measured_by", "over-1-m2"),
        (("people", "ada"), "trains_alone", "stature_mm", 1760.0),
    ],
)
def test_a_command_from_before_a_field_was_known_still_applies(
    path: tuple[str, ...], newer: str, field: str, otherwise: Any
) -> None:
    older: Any = json_of(PLAN)
    for step in path:
        older = (
            older[step] if isinstance(older, dict) else next(t for t in older if t["id"] == step)
        )
    for thing in older if isinstance(older, list) else [older]:
        del thing[newer]
    command = Command(name="edit", changes=(Change(path=path, before=older, after=older),))
    assert apply(PLAN, command) == PLAN
    # what was really otherwise then is a conflict as ever
    other = copy.deepcopy(older)
    (other[0] if isinstance(other, list) else other)[field] = otherwise
    clash = Command(name="edit", changes=(Change(path=path, before=other, after=older),))
    with pytest.raises(ConflictError):
        apply(PLAN, clash)
