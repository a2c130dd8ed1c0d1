"""What cannot be read of a plan takes nothing else with it: the rest opens and goes on."""

from collections.abc import Iterator
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from app.changes.commands import Command, moves
from app.errors import ConflictError, StoreError
from app.model.kit import Pose
from app.model.plan import Plan
from app.store.plans import Store
from app.store.thinning import thin
from tests.changes.test_commands import PLAN


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    store = Store(tmp_path)
    yield store
    store.close()


def push(store: Store, plan_id: str, x_mm: float) -> Plan:
    state = store.read(plan_id)
    return store.do(plan_id, moves(state.plan, {"rack-1": Pose(x_mm=x_mm, y_mm=900)})).plan


def spoil(store: Store, statement: str, *values: object) -> None:
    with store.database.writing() as db:
        assert db.execute(statement, values).rowcount > 0


LATER = datetime.now(UTC) + timedelta(days=3650)
SPOILT_COMMANDS = (
    "{",
    Command(name="move", changes=moves(PLAN, {"rack-1": Pose(x_mm=77, y_mm=7)}).changes)
    .model_dump_json()
    .replace("rack-1", "rack-99"),
)


@pytest.mark.parametrize("text", SPOILT_COMMANDS, ids=["no JSON", "of a piece that is not there"])
def test_the_newest_change_cannot_be_read(store: Store, text: str) -> None:
    plan_id = store.create(PLAN).plan_id
    for x in range(8):
        before = push(store, plan_id, 2000 + x)
    push(store, plan_id, 3000)
    push(store, plan_id, 3001)
    spoil(store, "UPDATE revisions SET command = ? WHERE number = 9", text)
    state = store.read(plan_id)
    assert state.plan == before
    assert (state.revision, state.out_of_reach) == (10, (9, 10))
    assert state.out_of_reach_says.startswith("Revisions 9 to 10 cannot be read from the file")
    assert (state.can_undo, state.can_redo) == (False, False)
    with pytest.raises(ConflictError, match="Revisions 9 to 10"):
        store.undo(plan_id)
    # the log goes on from here, also for one who reads it anew
    after = push(store, plan_id, 4000)
    again = store.read(plan_id)
    assert (again.plan, again.revision, again.out_of_reach) == (after, 11, None)
    assert store.undo(plan_id).plan == before
    assert not store.read(plan_id).can_undo
    assert store.redo(plan_id).plan == after
    assert [r.number for r in store.log.page(plan_id, None, 50) if r.unreadable] == (
        [9] if text == "{" else []
    )
    with pytest.raises(StoreError, match=r"Revision 10 .* cannot be read .* revision 8 can"):
        store.log.revision(plan_id, 10)
    assert store.log.revision(plan_id, 8)[1] == before


def test_a_snapshot_that_cannot_be_read_loses_nothing(store: Store) -> None:
    plan_id = store.create(PLAN).plan_id
    for x in range(60):
        newest = push(store, plan_id, 2000 + x)
    spoil(store, "UPDATE snapshots SET plan = '{' WHERE number = 50")
    state = store.read(plan_id)
    assert (state.plan, state.out_of_reach) == (newest, None)
    assert state.can_undo


def test_a_plan_of_which_nothing_can_be_read_says_so(store: Store) -> None:
    plan_id, other = store.create(PLAN).plan_id, store.create(PLAN).plan_id
    spoil(store, "UPDATE snapshots SET plan = '{' WHERE plan_id = ?", plan_id)
    with pytest.raises(StoreError, match="cannot be read from the file"):
        store.read(plan_id)
    assert [entry.id for entry in store.entries()] != []
    assert store.read(other).plan == PLAN


def test_what_an_undo_would_take_back_may_be_unreadable(store: Store) -> None:
    plan_id = store.create(PLAN).plan_id
    for x in range(50):
        newest = push(store, plan_id, 2000 + x)
    # revision 50 has a snapshot of its own, so only its undo is lost
    spoil(store, "UPDATE revisions SET command = '{' WHERE number = 50")
    state = store.read(plan_id)
    assert (state.plan, state.out_of_reach, state.can_undo) == (newest, None, False)


def test_thinning_leaves_alone_what_cannot_be_read_and_goes_on(store: Store) -> None:
    spoilt, whole = store.create(PLAN).plan_id, store.create(PLAN).plan_id
    for plan_id in (spoilt, whole):
        for x in range(220):
            push(store, plan_id, 2000 + x)
    spoil(store, "UPDATE revisions SET command = '{' WHERE plan_id = ? AND number = 3", spoilt)
    assert thin(store.database, LATER) > 0
    assert len(store.log.page(spoilt, None, 500)) == 221
    assert len(store.log.page(whole, None, 500)) < 221
