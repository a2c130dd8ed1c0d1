"""Plans outlive the program, undo outlives it too, and nothing half done is ever kept."""

import sqlite3
from collections.abc import Iterator
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from app.changes.commands import Change, Command, edits, moves
from app.errors import CommandError, ConflictError, NotFoundError, PlanError
from app.model.kit import Pose
from app.model.plan import Plan
from app.store.entries import State
from app.store.history import SNAPSHOT_EVERY
from app.store.pictures import drop_unshown
from app.store.plans import Store
from tests.changes.test_commands import PLAN, commands
from tests.thinned import drawn


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    store = Store(tmp_path)
    yield store
    store.close()


def push(store: Store, state: State, x_mm: float, says: str = "") -> State:
    """Move the rack along x."""
    rack = state.plan.piece("rack-1").pose
    pose = Pose(x_mm=x_mm, y_mm=rack.y_mm, angle_deg=rack.angle_deg)
    return store.do(state.plan_id, moves(state.plan, {"rack-1": pose}, says=says), known=state)


def rows(folder: Path, query: str) -> list[tuple[object, ...]]:
    """Ask the file itself, past the store."""
    db = sqlite3.connect(folder / "plans.sqlite3")
    try:
        return db.execute(query).fetchall()
    finally:
        db.close()


def test_a_plan_is_there_after_a_restart(tmp_path: Path) -> None:
    first = Store(tmp_path)
    made = first.create(PLAN)
    moved = push(first, made, 2345.67)
    first.close()
    second = Store(tmp_path)
    assert second.read(made.plan_id) == moved
    assert second.read(made.plan_id).plan.piece("rack-1").pose.x_mm == 2345.67
    second.close()


def test_undo_and_redo_work_over_a_restart(tmp_path: Path) -> None:
    store = Store(tmp_path)
    made = store.create(PLAN)
    push(store, push(store, made, 2000, "one"), 3000, "two")
    store.close()
    for expected_x, undo_says, redo_says in [
        (2000, "one", "two"),
        (1000, None, "one"),
    ]:
        store = Store(tmp_path)
        state = store.undo(made.plan_id)
        assert state.plan.piece("rack-1").pose.x_mm == expected_x
        assert (state.undo_says, state.redo_says) == (undo_says, redo_says)
        store.close()
    store = Store(tmp_path)
    assert store.redo(made.plan_id).redo_says == "two"
    last = store.redo(made.plan_id)
    assert last.plan.piece("rack-1").pose.x_mm == 3000
    assert (last.revision, last.can_undo, last.can_redo) == (6, True, False)
    with pytest.raises(ConflictError, match="nothing to redo"):
        store.redo(made.plan_id)
    store.close()


@drawn(12, 40)
@given(st.lists(st.sampled_from(["do", "do", "undo", "redo"]), max_size=14))
def test_undo_leads_to_what_a_revision_held(
    tmp_path_factory: pytest.TempPathFactory, ways: list[str]
) -> None:
    store = Store(tmp_path_factory.mktemp("plans"))
    state = store.create(PLAN)
    held = [state.plan]
    for x, way in enumerate(ways):
        to = {"do": None, "undo": state.undo_to, "redo": state.redo_to}[way]
        if way == "do":
            state = push(store, state, 1500 + x)
        elif to is None:
            with pytest.raises(ConflictError):
                (store.undo if way == "undo" else store.redo)(state.plan_id)
            continue
        else:
            state = (store.undo if way == "undo" else store.redo)(state.plan_id)
            assert state.plan == held[to]
            assert state.same_as == to
        held.append(state.plan)
        assert (state.undo_to is None, state.redo_to is None) == (
            not state.can_undo,
            not state.can_redo,
        )
        assert replace(store.at(state.plan_id, state.revision), same_as=state.same_as) == state
    store.close()


def test_an_undo_is_a_revision_of_its_own(store: Store, tmp_path: Path) -> None:
    made = store.create(PLAN)
    push(store, made, 2000)
    assert store.undo(made.plan_id).revision == 2
    kinds = rows(tmp_path, "SELECT number, kind, target FROM revisions ORDER BY number")
    assert kinds == [(0, "new", None), (1, "do", None), (2, "undo", 1)]


def test_a_new_command_clears_redo(store: Store) -> None:
    made = store.create(PLAN)
    push(store, made, 2000)
    state = push(store, store.undo(made.plan_id), 3000)
    assert not state.can_redo
    with pytest.raises(ConflictError, match="nothing to redo"):
        store.redo(made.plan_id)
    assert store.undo(made.plan_id).plan == PLAN
    with pytest.raises(ConflictError, match="nothing to undo"):
        store.undo(made.plan_id)


@drawn(10, 30)
@given(st.data())
def test_undo_of_do_is_nothing_whatever_was_done(
    tmp_path_factory: pytest.TempPathFactory, data: st.DataObject
) -> None:
    folder = tmp_path_factory.mktemp("plans")
    store = Store(folder)
    state = store.create(PLAN)
    seen = [state.plan]
    for _ in range(data.draw(st.integers(1, 6))):
        before = state.revision
        state = store.do(state.plan_id, data.draw(commands(state.plan)), known=state)
        if state.revision > before:
            seen.append(state.plan)
    store.close()
    store = Store(folder)
    for plan in reversed(seen[:-1]):
        assert store.undo(state.plan_id).plan == plan
    assert not store.read(state.plan_id).can_undo
    for plan in seen[1:]:
        assert store.redo(state.plan_id).plan == plan
    assert store.read(state.plan_id).plan == seen[-1]
    store.close()


@settings(max_examples=20)
@given(st.lists(st.sampled_from(["do", "undo", "redo"]), max_size=25))
def test_history_agrees_with_two_stacks(
    tmp_path_factory: pytest.TempPathFactory, steps: list[str]
) -> None:
    store = Store(tmp_path_factory.mktemp("plans"))
    state = store.create(PLAN)
    past: list[Plan] = []
    future: list[Plan] = []
    for number, step in enumerate(steps):
        now = state.plan
        if step == "do":
            state = push(store, state, 1500 + number)
            past, future = [*past, now], []
        elif step == "undo" and past:
            state = store.undo(state.plan_id)
            assert state.plan == past.pop()
            future.append(now)
        elif step == "redo" and future:
            state = store.redo(state.plan_id)
            assert state.plan == future.pop()
            past.append(now)
        assert (state.can_undo, state.can_redo) == (bool(past), bool(future))
    store.close()


def test_an_undo_fits_though_the_plan_rounded_what_was_asked(store: Store) -> None:
    made = store.create(PLAN)
    command = edits(PLAN, "bag-2", width_mm=333.3333333)
    state = store.do(made.plan_id, command)
    assert state.plan.piece("bag-2").width_mm == 333.33
    assert store.undo(made.plan_id).plan == PLAN


def test_a_place_touched_twice_in_one_command_can_be_taken_back(store: Store) -> None:
    bag = PLAN.piece("bag-2").model_dump(mode="json")
    command = Command(
        name="edit",
        changes=(
            Change(path=("pieces", "bag-2", "label"), before="", after="Old bag"),
            Change(path=("pieces", "bag-2"), before={**bag, "label": "Old bag"}, after=None),
        ),
    )
    made = store.create(PLAN)
    assert len(store.do(made.plan_id, command).plan.pieces) == 3
    assert store.undo(made.plan_id).plan == PLAN


def test_a_wall_taken_out_of_the_walk_comes_back_to_its_place(store: Store) -> None:
    made = store.create(PLAN)
    wall = PLAN.room.walls[1].model_dump(mode="json")
    command = Command(
        name="room",
        changes=(Change(path=("room", "walls", "right"), before=wall, after=None),),
    )
    assert [w.id for w in store.do(made.plan_id, command).plan.room.walls] == [
        "back",
        "front",
        "left",
    ]
    assert store.undo(made.plan_id).plan == PLAN


def test_a_passage_taken_out_of_the_way_in_comes_back_to_its_place(store: Store) -> None:
    ways = [{"id": i, "kind": "door", "width_mm": 800} for i in ("gate", "door", "cellar-door")]
    plan = Plan.model_validate({**PLAN.model_dump(mode="json"), "way_in": ways})
    made = store.create(plan)
    gone = plan.way_in[1].model_dump(mode="json")
    change = Change(path=("way_in", "door"), before=gone, after=None)
    state = store.do(made.plan_id, Command(name="room", changes=(change,)))
    assert [passage.id for passage in state.plan.way_in] == ["gate", "cellar-door"]
    assert store.undo(made.plan_id).plan == plan


def test_what_changes_nothing_adds_no_revision(store: Store) -> None:
    made = store.create(PLAN)
    assert push(store, made, 1000).revision == 0
    assert not store.read(made.plan_id).can_undo


def test_a_stale_command_is_a_conflict_and_keeps_nothing(store: Store) -> None:
    made = store.create(PLAN)
    stale = moves(PLAN, {"rack-1": Pose(x_mm=1, y_mm=1)})
    now = push(store, made, 2000)
    with pytest.raises(ConflictError, match="changed meanwhile"):
        store.do(made.plan_id, stale)
    assert store.read(made.plan_id) == now


@pytest.mark.parametrize(
    ("change", "fault"),
    [
        (Change(path=("pieces", "rack-1", "wings"), after=2), CommandError),
        (Change(path=("pieces", "rack-1", "width_mm"), after=-5), PlanError),
        (Change(path=("pieces", "bar-1", "carried_by"), before="rack-1", after="x"), PlanError),
    ],
    ids=["no such place", "negative width", "carried by nothing"],
)
def test_a_bad_command_keeps_nothing(
    store: Store, tmp_path: Path, change: Change, fault: type[Exception]
) -> None:
    made = store.create(PLAN)
    with pytest.raises(fault):
        store.do(made.plan_id, Command(name="edit", changes=(change,)))
    assert store.read(made.plan_id) == made
    assert rows(tmp_path, "SELECT count(*) FROM revisions") == [(1,)]


def test_what_the_check_refuses_is_not_kept(tmp_path: Path) -> None:
    def no_bags(plan: Plan, before: Plan | None) -> None:
        if any(piece.label == "Bag" for piece in plan.pieces):
            raise CommandError("no bags here")

    store = Store(tmp_path, no_bags)
    made = store.create(PLAN)
    with pytest.raises(CommandError, match="no bags"):
        store.do(made.plan_id, edits(PLAN, "bag-2", label="Bag"))
    assert store.read(made.plan_id) == made
    store.close()


def test_a_deleted_plan_is_out_of_reach_until_it_is_restored(store: Store) -> None:
    made = store.create(PLAN)
    push(store, made, 2000)
    store.delete(made.plan_id)
    assert store.entries() == ()
    assert [entry.id for entry in store.entries(deleted=True)] == [made.plan_id]
    for act in (store.read, store.undo, store.delete, store.revision):
        with pytest.raises(NotFoundError, match="deleted"):
            act(made.plan_id)
    store.restore(made.plan_id)
    assert store.entries(deleted=True) == ()
    assert store.undo(made.plan_id).plan == PLAN


def test_an_unknown_plan_is_not_found(store: Store) -> None:
    for act in (store.read, store.undo, store.redo, store.delete, store.restore):
        with pytest.raises(NotFoundError, match="no such plan"):
            act("nothing")


def test_the_list_shows_the_last_changed_first(store: Store) -> None:
    one, other = store.create(PLAN), store.create(PLAN)
    change = Change(path=("name",), before="Room", after="Cellar")
    store.do(one.plan_id, Command(name="rename", changes=(change,)))
    assert [(e.id, e.name, e.revision) for e in store.entries()] == [
        (one.plan_id, "Cellar", 1),
        (other.plan_id, "Room", 0),
    ]


def test_opening_replays_from_the_nearest_snapshot(tmp_path: Path) -> None:
    store = Store(tmp_path)
    state = store.create(PLAN)
    for number in range(2 * SNAPSHOT_EVERY + 7):
        state = push(store, state, 1000.5 + number)
    store.close()
    kept = rows(tmp_path, "SELECT number FROM snapshots ORDER BY number")
    assert kept == [(0,), (50,), (100,)]
    store = Store(tmp_path)
    assert store.read(state.plan_id).plan == state.plan
    for _ in range(2 * SNAPSHOT_EVERY + 7):
        state = store.undo(state.plan_id, known=state)
    assert state.plan == PLAN
    store.close()


def test_flag_numbers_are_kept(tmp_path: Path) -> None:
    store = Store(tmp_path)
    plan_id = store.create(PLAN).plan_id
    store.keep_flags(plan_id, {"a|rack-1": 1, "b": 2, "c": 3})
    store.keep_flags(plan_id, {"a|rack-1": 1, "c": 3, "d": 2})
    store.close()
    store = Store(tmp_path)
    assert store.flags(plan_id) == {"a|rack-1": 1, "c": 3, "d": 2}
    assert store.flags("other") == {}
    store.close()


def test_flag_numbers_of_no_plan_are_refused_in_a_sentence(store: Store) -> None:
    with pytest.raises(NotFoundError, match="There is no such plan"):
        store.keep_flags("nobody", {"a": 1})
    plan_id = store.create(PLAN).plan_id
    store.keep_flags(plan_id, {"a": 1})
    store.delete(plan_id)
    with pytest.raises(NotFoundError, match="has been deleted"):
        store.keep_flags(plan_id, {"a": 2})
    store.restore(plan_id)
    assert store.flags(plan_id) == {"a": 1}
    assert store.flags("nobody") == {}


def test_what_somebody_may_not_do_is_refused_and_nothing_kept(store: Store) -> None:
    made = store.create(PLAN)
    asked: list[tuple[Plan, Plan | None]] = []

    def refuse(after: Plan, before: Plan | None) -> None:
        asked.append((after, before))
        raise CommandError("Not by this link.")

    pose = Pose(x_mm=2345, y_mm=1000)
    command = moves(made.plan, {"rack-1": pose})
    with pytest.raises(CommandError, match="Not by this link"):
        store.do(made.plan_id, command, also=refuse)
    ((after, before),) = asked
    assert (after.piece("rack-1").pose.x_mm, before) == (2345, made.plan)
    assert store.read(made.plan_id) == made


def test_a_state_seen_before_is_taken_only_while_it_is_the_newest(store: Store) -> None:
    made = store.create(PLAN)
    other = store.create(PLAN.model_copy(update={"name": "Other"}))
    assert store.read(made.plan_id, made) is made
    assert store.read(made.plan_id, other).plan == PLAN
    moved = push(store, made, 2000)
    assert store.read(made.plan_id, made) == moved


def test_what_somebody_else_did_alike_meanwhile_adds_no_revision(store: Store) -> None:
    made = store.create(PLAN)
    command = moves(PLAN, {"rack-1": Pose(x_mm=2000, y_mm=900)})
    moved = store.do(made.plan_id, command, author="ada", known=made)
    again = store.do(made.plan_id, command, author="bo", seen=made.revision)
    assert (again.revision, again.plan) == (moved.revision, moved.plan)
    with pytest.raises(ConflictError):
        store.do(made.plan_id, command, author="bo")


def test_pictures_are_kept_with_the_plan_that_shows_them(store: Store) -> None:
    store.create(PLAN, pictures={"a" * 32: b"one", "b" * 32: b"two"})
    assert store.pictures.read("a" * 32) == b"one"
    assert store.pictures.holds("b" * 32)
    # the same digest is the same picture
    store.create(PLAN, pictures={"a" * 32: b"other"})
    store.pictures.keep("b" * 32, b"other")
    assert (store.pictures.read("a" * 32), store.pictures.read("b" * 32)) == (b"one", b"two")
    assert not store.pictures.holds("c" * 32)
    with pytest.raises(NotFoundError, match="not kept here"):
        store.pictures.read("c" * 32)
    # nothing is old enough to go
    assert drop_unshown(store.database) == 0
    # what was kept a day ago and is shown by nothing goes, what was kept since does not
    store.pictures.keep("d" * 32, b"three")
    store.pictures.keep("e" * 32, b"four")
    at = datetime(2026, 6, 30, 12, tzinfo=UTC)
    with store.database.writing() as db:
        for letter, hours in (("d", 24.01), ("e", 23.99)):
            kept = (at - timedelta(hours=hours)).isoformat(timespec="milliseconds")
            db.execute("UPDATE pictures SET kept_at = ? WHERE id = ?", (kept, letter * 32))
    assert drop_unshown(store.database, at) == 1
    assert (store.pictures.holds("d" * 32), store.pictures.holds("e" * 32)) == (False, True)
