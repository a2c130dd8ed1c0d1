"""All plans in one file, made while they are in use; nothing is replaced by what cannot be read."""

import os
import sqlite3
import threading
from collections.abc import Iterator
from contextlib import closing
from pathlib import Path

import pytest

from app.changes.commands import moves
from app.errors import StoreError
from app.model.kit import Pose
from app.store.backup import Copied, back_up, restore_backup
from app.store.database import FILE_NAME
from app.store.plans import Store
from tests.changes.test_commands import PLAN


@pytest.fixture
def store(tmp_path: Path) -> Iterator[Store]:
    store = Store(tmp_path / "here")
    yield store
    store.close()


def push(store: Store, plan_id: str, x_mm: float) -> None:
    state = store.read(plan_id)
    store.do(plan_id, moves(state.plan, {"rack-1": Pose(x_mm=x_mm, y_mm=1)}), known=state)


def names(folder: Path) -> list[str]:
    return sorted(path.name for path in folder.iterdir())


def test_a_backup_comes_back_with_history_milestones_and_flags(
    store: Store, tmp_path: Path
) -> None:
    plan_id = store.create(PLAN).plan_id
    push(store, plan_id, 2000)
    store.log.name_milestone(plan_id, 0, "First")
    store.keep_flags(plan_id, {"a": 7})
    gone = store.create(PLAN).plan_id
    store.delete(gone)
    file = tmp_path / "all.backup"
    assert back_up(store.database, file) == Copied(2)
    assert restore_backup(file, tmp_path / "there") == Copied(2)
    other = Store(tmp_path / "there")
    assert other.read(plan_id) == store.read(plan_id)
    assert other.undo(plan_id).plan == PLAN
    assert other.log.milestones(plan_id)[0].name == "First"
    assert other.flags(plan_id) == {"a": 7}
    assert [entry.id for entry in other.entries(deleted=True)] == [gone]
    other.close()
    assert [n for n in names(tmp_path / "there") if n.startswith(".")] == []


def test_a_backup_is_one_whole_file_and_holds_one_moment(store: Store, tmp_path: Path) -> None:
    plan_id = store.create(PLAN).plan_id
    stop = threading.Event()

    def drag() -> None:
        x = 0
        while not stop.is_set():
            x += 1
            push(store, plan_id, 1000 + x)

    thread = threading.Thread(target=drag)
    thread.start()
    try:
        for number in range(5):
            back_up(store.database, tmp_path / f"{number}.backup")
    finally:
        stop.set()
        thread.join()
    assert names(tmp_path) == [*(f"{n}.backup" for n in range(5)), "here"]
    for number in range(5):
        db = sqlite3.connect(tmp_path / f"{number}.backup")
        assert db.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert db.execute("PRAGMA journal_mode").fetchone() == ("delete",)
        newest = db.execute("SELECT revision FROM plans").fetchone()
        assert db.execute("SELECT max(number) FROM revisions").fetchone() == newest
        db.close()


def test_a_backup_is_never_written_over(store: Store, tmp_path: Path) -> None:
    file = tmp_path / "last good one"
    file.write_bytes(b"precious")
    with pytest.raises(StoreError, match="is there already"):
        back_up(store.database, file)
    assert file.read_bytes() == b"precious"


def test_a_backup_into_nowhere_says_so(store: Store, tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="nowhere"):
        back_up(store.database, tmp_path / "nowhere" / "file")


def test_the_plans_from_before_are_kept_aside(store: Store, tmp_path: Path) -> None:
    plan_id = store.create(PLAN).plan_id
    back_up(store.database, tmp_path / "b")
    push(store, plan_id, 4321)
    store.close()
    restored = restore_backup(tmp_path / "b", tmp_path / "here")
    count, aside = restored.count, restored.aside
    assert count == 1
    assert aside is not None
    now = Store(tmp_path / "here")
    assert now.read(plan_id).plan == PLAN
    now.close()
    (tmp_path / "old").mkdir()
    aside.rename(tmp_path / "old" / FILE_NAME)
    old = Store(tmp_path / "old")
    assert old.read(plan_id).plan.piece("rack-1").pose.x_mm == 4321
    old.close()


def test_a_damaged_store_is_kept_aside_too(tmp_path: Path) -> None:
    whole = Store(tmp_path / "here")
    whole.create(PLAN)
    back_up(whole.database, tmp_path / "b")
    whole.close()
    (tmp_path / "here" / FILE_NAME).write_bytes(b"rubbish " * 1000)
    restored = restore_backup(tmp_path / "b", tmp_path / "here")
    count, aside = restored.count, restored.aside
    assert count == 1
    assert aside is not None
    assert aside.read_bytes() == b"rubbish " * 1000


def harmed(file: Path, what: str) -> None:
    if what == "not a database":
        file.write_bytes(b"my tax papers " * 1000)
    elif what == "cut short":
        file.write_bytes(file.read_bytes()[:-8192])
    elif what == "a page of zeros":
        data = bytearray(file.read_bytes())
        data[8192:12288] = bytes(4096)
        file.write_bytes(data)
    elif what == "empty":
        file.write_bytes(b"")
    else:
        db = sqlite3.connect(file)
        db.execute(
            {
                "no mark": "PRAGMA application_id = 1",
                "a plan that cannot be read": "UPDATE snapshots SET plan = '{'",
                "a revision is missing": "DELETE FROM snapshots",
                "a trigger": "CREATE TRIGGER t AFTER INSERT ON plans BEGIN SELECT 1; END",
                "of a newer program": "INSERT INTO migrations VALUES ('0099-x', '2099')",
                "an orphan": "INSERT INTO flags VALUES ('nobody', 'a', 1)",
            }[what]
        )
        db.commit()
        db.close()


@pytest.mark.parametrize(
    "what",
    [
        "not a database",
        "cut short",
        "a page of zeros",
        "empty",
        "no mark",
        "a plan that cannot be read",
        "a revision is missing",
        "a trigger",
        "of a newer program",
        "an orphan",
    ],
)
def test_a_bad_backup_replaces_nothing(store: Store, tmp_path: Path, what: str) -> None:
    plan_id = store.create(PLAN).plan_id
    for x in range(30):
        push(store, plan_id, 2000 + x)
    back_up(store.database, tmp_path / "b")
    before = store.read(plan_id)
    store.close()
    bytes_before = (tmp_path / "here" / FILE_NAME).read_bytes()
    files = names(tmp_path / "here")
    harmed(tmp_path / "b", what)
    with pytest.raises(StoreError):
        restore_backup(tmp_path / "b", tmp_path / "here")
    assert (tmp_path / "here" / FILE_NAME).read_bytes() == bytes_before
    assert names(tmp_path / "here") == files
    again = Store(tmp_path / "here")
    assert again.read(plan_id) == before
    again.close()


def test_the_plans_in_use_are_no_backup(store: Store, tmp_path: Path) -> None:
    # A copy of the file alone may lack what still lies in the log beside it.
    store.create(PLAN)
    with pytest.raises(StoreError, match="no backup"):
        restore_backup(tmp_path / "here" / FILE_NAME, tmp_path / "there")
    back_up(store.database, tmp_path / "b")
    restore_backup(tmp_path / "b", tmp_path / "there")
    with pytest.raises(StoreError, match="no backup"):
        restore_backup(tmp_path / "there" / FILE_NAME, tmp_path / "third")


def test_a_backup_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(StoreError, match="cannot be read: No such file"):
        restore_backup(tmp_path / "none", tmp_path / "here")
    assert not (tmp_path / "here").exists()


def test_a_backup_is_marked_and_for_its_owner_alone(store: Store, tmp_path: Path) -> None:
    store.create(PLAN)
    file = tmp_path / "b"
    before = os.umask(0)
    try:
        back_up(store.database, file)
        assert file.stat().st_mode & 0o777 == 0o600
        file.chmod(0o644)
        restored = restore_backup(file, tmp_path / "there")
    finally:
        os.umask(before)
    assert restored.aside is None
    with closing(sqlite3.connect(file)) as db:
        # "Elbw": files of every version are told by it
        assert db.execute("PRAGMA application_id").fetchone() == (0x456C6277,)
    assert (tmp_path / "there" / FILE_NAME).stat().st_mode & 0o777 == 0o600


def test_what_is_put_back_is_one_whole_file_and_so_is_what_was_there(
    store: Store, tmp_path: Path
) -> None:
    # the format of SQLite: bytes 18 and 19 are 1 for a file that needs none beside it, 2 with a log
    plan_id = store.create(PLAN).plan_id
    file = tmp_path / "all.backup"
    back_up(store.database, file)
    folder = tmp_path / "there"
    restore_backup(file, folder)
    assert (folder / "plans.sqlite3").read_bytes()[18:20] == b"\x01\x01"
    assert names(folder) == ["plans.sqlite3"]
    second = Store(folder)
    push(second, plan_id, 3000)
    second.close()
    aside = restore_backup(file, folder).aside
    assert aside is not None
    assert aside.read_bytes()[18:20] == b"\x01\x01"
    beside = [name for name in names(folder) if name.endswith(("-wal", "-shm", "-journal"))]
    assert beside == []


@pytest.mark.skipif(not Path("/proc/self/fd").exists(), reason="only Linux tells what is open")
def test_no_backup_leaves_a_file_or_folder_open(store: Store, tmp_path: Path) -> None:
    store.create(PLAN)
    back_up(store.database, tmp_path / "first")
    restore_backup(tmp_path / "first", tmp_path / "here-first")
    before = len(os.listdir("/proc/self/fd"))
    for number in range(3):
        back_up(store.database, tmp_path / f"b{number}")
        restore_backup(tmp_path / f"b{number}", tmp_path / f"there{number}")
    assert len(os.listdir("/proc/self/fd")) == before
