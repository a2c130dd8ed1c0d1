"""The file itself: durable settings, named steps, and plain words when the disk fails."""

import sqlite3
import threading
from pathlib import Path

import pytest

from app.changes.commands import moves
from app.errors import StoreError
from app.model.kit import Pose
from app.store.database import FILE_NAME, Database
from app.store.migrations import MIGRATIONS
from app.store.plans import Store
from tests.changes.test_commands import PLAN

FULL = 2  # PRAGMA synchronous, SQLite's own numbering


def test_every_connection_is_durable(tmp_path: Path) -> None:
    database = Database(tmp_path)
    with database.writing() as one, database.reading() as other:
        assert one is not other
        for db in (one, other):
            assert db.execute("PRAGMA synchronous").fetchone() == (FULL,)
            assert db.execute("PRAGMA journal_mode").fetchone() == ("wal",)
            assert db.execute("PRAGMA foreign_keys").fetchone() == (1,)
            # a file from elsewhere calls nothing that has effects (SQLite's own advice)
            assert db.execute("PRAGMA trusted_schema").fetchone() == (0,)
    database.close()


def test_connections_are_kept_for_the_next_caller_and_closed_at_the_end(tmp_path: Path) -> None:
    database = Database(tmp_path)
    with database.reading() as one, database.reading() as other:
        pass
    for _ in range(2):
        # both were given back, and nobody is handed one that is out
        with database.reading() as again, database.writing() as beside:
            assert {id(again), id(beside)} == {id(one), id(other)}
    with database.reading() as late:
        database.close()
        assert late.execute("SELECT count(*) FROM plans").fetchone() == (0,)
    for db in (one, other):
        with pytest.raises(sqlite3.ProgrammingError, match="closed"):
            db.execute("SELECT 1")


def test_what_is_wrong_with_the_file_is_said(tmp_path: Path) -> None:
    database = Database(tmp_path)
    file = str(database.path)

    def write() -> None:
        with database.writing() as db:
            db.execute("SELECT 1")

    with database.writing() as one:
        # whoever waits does so ten seconds; these two at once
        with database.reading() as other:
            other.execute("PRAGMA busy_timeout = 0")
        with pytest.raises(StoreError) as busy:
            write()
        one.execute("SELECT 1")
    assert busy.value.sentence.startswith(f"{file} is in use by another program")
    for path in tmp_path.iterdir():
        path.unlink()
    tmp_path.rmdir()
    with pytest.raises(StoreError) as gone:
        database.connected()
    assert gone.value.sentence == f"{file} cannot be opened; look at the rights of its folder."
    database.close()


def test_a_connection_of_ones_own_is_set_up_alike(tmp_path: Path) -> None:
    database = Database(tmp_path)
    own = database.connected()
    assert own.execute("PRAGMA foreign_keys").fetchone() == (1,)
    database.close()
    # closed by who asked for it, and by nobody else
    assert own.execute("SELECT count(*) FROM plans").fetchone() == (0,)
    own.close()


def test_the_steps_are_named_and_done_once(tmp_path: Path) -> None:
    Database(tmp_path).close()
    database = Database(tmp_path)
    with database.reading() as db:
        names = db.execute("SELECT name FROM migrations ORDER BY name").fetchall()
    # A step that has once been taken somewhere keeps its name and its place for ever.
    assert names[:3] == [
        ("0001-plans-and-revisions",),
        ("0002-flag-numbers",),
        ("0003-milestones-and-thinning",),
    ]
    assert names == [(name,) for name, _ in MIGRATIONS]
    database.close()


def test_a_file_of_a_newer_program_is_left_alone(tmp_path: Path) -> None:
    database = Database(tmp_path)
    with database.writing() as db:
        db.execute("INSERT INTO migrations VALUES ('0099-of-tomorrow', '2099-01-01')")
    database.close()
    before = (tmp_path / FILE_NAME).read_bytes()
    with pytest.raises(StoreError, match="newer version of Elbowroom"):
        Database(tmp_path)
    assert (tmp_path / FILE_NAME).read_bytes() == before


def test_a_file_that_is_none_of_ours_is_left_alone(tmp_path: Path) -> None:
    (tmp_path / FILE_NAME).write_bytes(b"my tax papers " * 1000)
    with pytest.raises(StoreError, match="damaged or is no file of plans"):
        Database(tmp_path)
    assert (tmp_path / FILE_NAME).read_bytes() == b"my tax papers " * 1000


def test_a_folder_that_cannot_be_made_is_named(tmp_path: Path) -> None:
    (tmp_path / "file").write_text("in the way")
    with pytest.raises(StoreError, match=r"The folder .*file/plans .* cannot be made"):
        Database(tmp_path / "file" / "plans")


def test_a_full_disk_says_so_and_loses_nothing(tmp_path: Path) -> None:
    store = Store(tmp_path)
    state = store.create(PLAN)
    with store.database.writing() as db:
        # The same fault as that of a full disk, on a file that may grow no more.
        (pages,) = db.execute("PRAGMA page_count").fetchone()
        db.execute(f"PRAGMA max_page_count = {pages}")
    kept = [state]

    def drag_for_ever() -> None:
        for x in range(10_000):
            move = moves(kept[-1].plan, {"rack-1": Pose(x_mm=x, y_mm=0)})
            kept.append(store.do(state.plan_id, move))

    with pytest.raises(StoreError, match="disk is full: the change was not kept"):
        drag_for_ever()
    assert store.read(state.plan_id) == kept[-1]
    store.close()
    store = Store(tmp_path)
    assert store.read(state.plan_id) == kept[-1]
    store.close()


def test_a_write_that_fails_midway_leaves_nothing(tmp_path: Path) -> None:
    database = Database(tmp_path)

    def half_a_plan() -> None:
        with database.writing() as db:
            db.execute(
                "INSERT INTO plans (id, name, revision, created_at, changed_at) "
                "VALUES ('a', 'b', 0, '', '')"
            )
            raise KeyError("halfway")

    with pytest.raises(KeyError):
        half_a_plan()
    with database.reading() as db:
        assert db.execute("SELECT count(*) FROM plans").fetchone() == (0,)
    database.close()


def test_revisions_belong_to_a_plan(tmp_path: Path) -> None:
    database = Database(tmp_path)

    def an_orphan() -> None:
        with database.writing() as db:
            db.execute("INSERT INTO snapshots VALUES ('nobody', 0, '{}')")

    with pytest.raises(StoreError, match="FOREIGN KEY"):
        an_orphan()
    database.close()


def test_many_threads_write_without_losing_a_word(tmp_path: Path) -> None:
    store = Store(tmp_path)
    made = store.create(PLAN)
    ids = ["rack-1", "bag-10", "bag-2"]

    def drag(piece_id: str) -> None:
        plan = PLAN
        for x in range(20):
            plan = store.do(made.plan_id, moves(plan, {piece_id: Pose(x_mm=x + 0.5, y_mm=7)})).plan

    threads = [threading.Thread(target=drag, args=(piece_id,)) for piece_id in ids]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    state = store.read(made.plan_id)
    assert state.revision == 60
    assert [state.plan.piece(i).pose.x_mm for i in ids] == [19.5, 19.5, 19.5]
    store.close()


def test_a_closed_store_says_so(tmp_path: Path) -> None:
    store = Store(tmp_path)
    store.close()
    with pytest.raises(StoreError, match="closed"):
        store.entries()


def test_damaged_contents_are_named(tmp_path: Path) -> None:
    store = Store(tmp_path)
    plan_id = store.create(PLAN).plan_id
    store.close()
    db = sqlite3.connect(tmp_path / FILE_NAME)
    db.execute("UPDATE snapshots SET plan = '{'")
    db.commit()
    db.close()
    store = Store(tmp_path)
    with pytest.raises(StoreError, match=f"{plan_id} cannot be read"):
        store.read(plan_id)
    store.close()
