"""A backup that contradicts itself: what can be opened comes back, and all that comes back opens.

Each harm was done to a file by hand; SQLite takes every one of them, and so did a restore once.
"""

import math
import sqlite3
from collections.abc import Iterator
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from app.changes.commands import moves
from app.errors import ConflictError, StoreError
from app.model.kit import Pose
from app.store.backup import Copied, back_up, restore_backup
from app.store.entries import State
from app.store.mending import _letter_plans
from app.store.plans import Store
from tests.changes.test_commands import PLAN
from tests.store.test_disk import step

SPOILT = "Spoilt"
UP_TO = 2**62 - 1
BAD = "CAST(x'fffe' AS TEXT)"


@pytest.fixture
def ids() -> list[str]:
    return []


@pytest.fixture
def store(tmp_path: Path, ids: list[str]) -> Store:
    """A plan with a history, a guest and an option, and another one that nothing is done to."""
    store = Store(tmp_path / "here")
    state = store.create(PLAN)
    for _ in range(3):
        state = step(store, state)
    store.undo(state.plan_id)
    store.keep_flags(state.plan_id, {"a": 1, "b": 2})
    store.sharing.make_link(state.plan_id, "Bo", "edit", datetime.now(UTC) + timedelta(days=3))
    store.sharing.add_remark(state.plan_id, 1, 2, "Here?", "owner", "owner")
    store.sharing.add_remark(state.plan_id, 3, 4, "There?", "owner", "owner")
    store.log.name_milestone(state.plan_id, 1, "first")
    other = store.create(PLAN)
    ids += [state.plan_id, other.plan_id]
    return store


def harmed(store: Store, tmp_path: Path, statements: str) -> Path:
    """Back the plans up, and do something to the backup past the program."""
    file = tmp_path / "b"
    back_up(store.database, file)
    store.close()
    with closing(sqlite3.connect(file, isolation_level=None)) as db:
        db.executescript(statements)
    return file


def told(store: Store, plan_id: str) -> Iterator[str]:
    """Undo and redo; where there is nothing, or it cannot be read, give what people are told."""
    for turn in (store.undo, store.redo):
        try:
            turn(plan_id)
        except (ConflictError, StoreError) as refused:
            yield refused.sentence


def opened(store: Store, plan_id: str) -> State:
    """Ask for all that pages show of a plan, change it and take that back."""
    state = store.read(plan_id)
    for remark in store.sharing.remarks(plan_id):
        assert math.isfinite(remark.x_mm)
        assert 0 <= remark.letter < 500
    assert store.sharing.links(plan_id) is not None
    assert store.log.page(plan_id, None, 50)
    assert store.log.milestones(plan_id) is not None
    assert all("A" <= option.letter <= "Z" for option in store.families.options(plan_id))
    assert all(number < 1_000_000 for number in store.flags(plan_id).values())
    assert len({entry.name for entry in store.entries()}) == 1
    assert [sentence for sentence in told(store, plan_id) if "validation" in sentence] == []
    now = store.read(plan_id)
    pose = Pose(x_mm=now.revision + 77, y_mm=0)
    changed = store.do(plan_id, moves(now.plan, {"rack-1": pose}))
    assert changed.plan.piece("rack-1").pose.x_mm == now.revision + 77
    assert store.undo(plan_id).plan == now.plan
    return state


HARMS = {
    "undo to nowhere": "UPDATE revisions SET undoable = 99 WHERE undoable IS NOT NULL",
    "undo to the start": "UPDATE revisions SET undoable = 0",
    "redo to nowhere": "UPDATE revisions SET redoable = 77",
    "redo to the start": "UPDATE revisions SET redoable = 0",
    "an undo of nothing": "UPDATE revisions SET target = NULL",
    "an undo of what is not there": "UPDATE revisions SET target = 500 WHERE target IS NOT NULL",
    "behind its log": "UPDATE plans SET revision = revision - 1 WHERE revision > 0",
    "an author in no letters": f"UPDATE revisions SET author = {BAD}",
    "a milestone in no letters": f"UPDATE milestones SET name = {BAD}",
    "a guest in no letters": f"UPDATE links SET name = {BAD}",
    "a remark in no letters": f"UPDATE remark_lines SET text = {BAD}",
    "a flag in no letters": f"UPDATE flags SET key = {BAD} || rowid",
    "a name in no letters": f"UPDATE plans SET name = {BAD}",
    "no name": "UPDATE plans SET name = ''",
    "a letter far beyond Z": f"UPDATE plans SET letter = {UP_TO}",
    "options far beyond Z": f"UPDATE plans SET family = 'abc', letter = {UP_TO}",
    "a remark far beyond Z": f"UPDATE remarks SET letter = {UP_TO} - id",
    "a remark nowhere": "UPDATE remarks SET x_mm = 9e999, y_mm = -9e999",
    "a flag beyond counting": f"UPDATE flags SET number = {UP_TO}",
}


@pytest.mark.parametrize("harm", HARMS.values(), ids=HARMS.keys())
def test_where_nothing_is_lost_by_it_everything_comes_back(
    store: Store, ids: list[str], tmp_path: Path, harm: str
) -> None:
    before = [store.read(plan_id).plan for plan_id in ids]
    file = harmed(store, tmp_path, harm)
    assert restore_backup(file, tmp_path / "there") == Copied(2)
    with closing(Store(tmp_path / "there")) as there:
        assert [opened(there, plan_id).plan for plan_id in ids] == before


MISSING = {
    "the newest revision": "DELETE FROM revisions WHERE number = 4",
    "a revision it never had": "UPDATE plans SET revision = 9 WHERE revision = 4",
    "all revisions": "DELETE FROM milestones; DELETE FROM revisions WHERE plan_id = '{}'",
}


@pytest.mark.parametrize("harm", MISSING.values(), ids=MISSING.keys())
def test_a_plan_without_its_newest_revision_is_named_and_comes_back_as_it_was_before(
    store: Store, ids: list[str], tmp_path: Path, harm: str
) -> None:
    store.database.make_fewer(
        lambda db: db.execute("UPDATE plans SET name = ? WHERE id = ?", (SPOILT, ids[0]))
    )
    file = harmed(store, tmp_path, harm.format(ids[0]))
    restored = restore_backup(file, tmp_path / "there")
    assert restored == Copied(2, unread=(SPOILT,))
    with closing(Store(tmp_path / "there")) as there:
        assert there.read(ids[1]).plan == PLAN
        assert there.read(ids[0]).out_of_reach is None
        # the name of the list is old until the plan is changed, and nothing is out of reach then
        with there.database.writing() as db:
            db.execute("UPDATE plans SET name = ?", (PLAN.name,))
        for plan_id in ids:
            opened(there, plan_id)
        back_up(there.database, tmp_path / "again")
    # what is here now is whole: a second backup names nothing
    assert restore_backup(tmp_path / "again", tmp_path / "third") == Copied(2)


UNREADABLE = {
    "a snapshot": "UPDATE snapshots SET plan = {bad} WHERE plan_id = '{id}'",
    "all of it": "DELETE FROM milestones; DELETE FROM revisions WHERE plan_id = '{id}';"
    "DELETE FROM snapshots WHERE plan_id = '{id}'",
}


@pytest.mark.parametrize("harm", UNREADABLE.values(), ids=UNREADABLE.keys())
def test_a_plan_that_would_not_open_is_named_and_left_out_and_the_rest_comes_back(
    store: Store, ids: list[str], tmp_path: Path, harm: str
) -> None:
    store.database.make_fewer(
        lambda db: db.execute("UPDATE plans SET name = ? WHERE id = ?", (SPOILT, ids[0]))
    )
    file = harmed(store, tmp_path, harm.format(bad=BAD, id=ids[0]))
    assert restore_backup(file, tmp_path / "there") == Copied(1, left_out=(SPOILT,))
    with closing(Store(tmp_path / "there")) as there:
        assert [entry.id for entry in there.entries()] == [ids[1]]
        assert opened(there, ids[1]).plan == PLAN


def test_a_command_in_no_letters_is_named_and_the_plan_comes_back_without_it(
    store: Store, ids: list[str], tmp_path: Path
) -> None:
    file = harmed(store, tmp_path, f"UPDATE revisions SET command = {BAD} WHERE number = 3")
    assert restore_backup(file, tmp_path / "there") == Copied(2, unread=(PLAN.name,))
    with closing(Store(tmp_path / "there")) as there:
        assert there.read(ids[0]).out_of_reach == (3, 4)


@pytest.mark.parametrize(
    "harm",
    [
        *MISSING.values(),
        "UPDATE plans SET revision = 2 WHERE revision = 4",
        f"UPDATE revisions SET command = {BAD} WHERE number = 3",
        f"UPDATE snapshots SET plan = {BAD} WHERE plan_id = '{{}}'",
    ],
)
def test_a_backup_names_what_does_not_open_or_cannot_be_changed(
    store: Store, ids: list[str], tmp_path: Path, harm: str
) -> None:
    with closing(sqlite3.connect(store.database.path, isolation_level=None)) as db:
        db.execute("UPDATE plans SET name = ? WHERE id = ?", (SPOILT, ids[0]))
        db.executescript(harm.format(ids[0]))
    assert back_up(store.database, tmp_path / "b") == Copied(2, unread=(SPOILT,))
    store.close()


def test_a_plan_of_no_family_with_a_letter_beyond_all_is_chosen_by_nobody() -> None:
    with closing(sqlite3.connect(":memory:")) as db:
        db.execute("CREATE TABLE plans (id TEXT, family TEXT, letter INTEGER, chosen INTEGER)")
        rows = [("a", None, 900, 1), ("b", "f", 900, 1), ("c", "f", 0, 0)]
        db.executemany("INSERT INTO plans VALUES (?, ?, ?, ?)", rows)
        _letter_plans(db)
        kept = db.execute("SELECT * FROM plans ORDER BY id").fetchall()
    # an option gets the first free letter of its family and stays what it was
    assert kept == [("a", None, 0, 0), ("b", "f", 1, 1), ("c", "f", 0, 0)]
