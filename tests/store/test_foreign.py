"""A backup from elsewhere: accepted only if it is like our own, and read before it counts."""

import sqlite3
from collections.abc import Callable
from contextlib import closing
from datetime import UTC, datetime, timedelta
from pathlib import Path

import pytest

from app.errors import StoreError
from app.store.backup import Copied, back_up, restore_backup
from app.store.database import FILE_NAME, Database
from app.store.foreign import LIMITS, open_with_care, see_like_ours
from app.store.migrations import MIGRATIONS
from app.store.plans import Store
from tests.changes.test_commands import PLAN


@pytest.fixture
def file(tmp_path: Path) -> Path:
    """A backup of two plans, one with a link and a remark."""
    store = Store(tmp_path / "here")
    plan_id = store.create(PLAN).plan_id
    store.create(PLAN)
    store.sharing.make_link(plan_id, "Bo", "edit", datetime.now(UTC) + timedelta(days=3))
    store.sharing.add_remark(plan_id, 1, 2, "Here?", "owner", "owner")
    back_up(store.database, tmp_path / "b")
    store.close()
    return tmp_path / "b"


def run_in(file: Path, *statements: str) -> None:
    with closing(sqlite3.connect(file, isolation_level=None)) as db:
        for statement in statements:
            db.execute(statement)


def written_into_schema(statement: str, kind: str) -> Callable[[Path], None]:
    """Put a statement into the schema under the name of another kind."""

    def harm(file: Path) -> None:
        run_in(
            file,
            "PRAGMA writable_schema = ON",
            "INSERT INTO sqlite_master (type, name, tbl_name, rootpage, sql) "
            f"VALUES ('{kind}', 't', 'plans', 0, '{statement}')",
        )

    return harm


def ran(*statements: str) -> Callable[[Path], None]:
    return lambda file: run_in(file, *statements)


TRIGGER = "CREATE TRIGGER t AFTER UPDATE ON links BEGIN DELETE FROM plans; END"
HARMS: dict[str, Callable[[Path], None]] = {
    "a trigger": ran(TRIGGER),
    "a trigger under another spelling": written_into_schema(TRIGGER, "Trigger"),
    "a trigger that calls itself a table": written_into_schema(TRIGGER, "table"),
    "a view": ran("CREATE VIEW v AS SELECT 1"),
    "another table": ran("CREATE TABLE more (a)"),
    "another column": ran("ALTER TABLE plans ADD COLUMN more TEXT"),
    "a computed column": ran(
        "ALTER TABLE plans ADD COLUMN more TEXT GENERATED ALWAYS AS (upper(name)) VIRTUAL"
    ),
    "an index over a function": ran("CREATE INDEX i ON plans (upper(name))"),
    "a check less": ran(
        "PRAGMA writable_schema = ON",
        "UPDATE sqlite_master SET sql = replace(sql, 'CHECK (kind IN', 'CHECK (1 OR kind IN')",
    ),
    "no moment": ran("UPDATE plans SET changed_at = 'yesterday'"),
    "a moment without a zone": ran("UPDATE revisions SET at = '2024-01-01T00:00:00'"),
    "a link without an end": ran("UPDATE links SET ends_at = ''"),
    "a number that is a text": ran("UPDATE plans SET revision = 'many'"),
    "a number below nothing": ran("UPDATE plans SET letter = -3"),
    "a number beyond counting": ran(f"UPDATE remarks SET letter = {2**62}"),
    "a name that is a number of bytes": ran("UPDATE plans SET name = x'00ff'"),
    "an id that leads elsewhere": ran(
        "PRAGMA foreign_keys = OFF", "INSERT INTO pictures VALUES ('../../x', x'00', '2024-01-01')"
    ),
}


@pytest.mark.parametrize("harm", HARMS.values(), ids=HARMS.keys())
def test_what_is_not_like_ours_is_refused_and_changes_nothing(
    file: Path, tmp_path: Path, harm: Callable[[Path], None]
) -> None:
    harm(file)
    before = (tmp_path / "here" / FILE_NAME).read_bytes()
    with pytest.raises(StoreError, match="Nothing was changed"):
        restore_backup(file, tmp_path / "here")
    assert (tmp_path / "here" / FILE_NAME).read_bytes() == before


@pytest.mark.parametrize("count", range(1, len(MIGRATIONS) + 1))
def test_a_backup_of_each_older_program_is_like_ours(tmp_path: Path, count: int) -> None:
    with closing(sqlite3.connect(tmp_path / "old", isolation_level=None)) as db:
        db.execute("CREATE TABLE migrations (name TEXT PRIMARY KEY, applied_at TEXT NOT NULL)")
        for name, statements in MIGRATIONS[:count]:
            for statement in statements:
                db.execute(statement)
            db.execute("INSERT INTO migrations VALUES (?, '2024-01-01T00:00:00+00:00')", (name,))
    with closing(open_with_care(tmp_path / "old")) as db:
        see_like_ours(db, tmp_path / "old")


def test_restored_links_are_shut(file: Path, tmp_path: Path) -> None:
    restore_backup(file, tmp_path / "there")
    store = Store(tmp_path / "there")
    links = [link for entry in store.entries() for link in store.sharing.links(entry.id)]
    assert [link.lives() for link in links] == [False]
    store.close()


def test_a_plan_that_cannot_be_read_is_named_and_the_rest_comes_back(
    tmp_path: Path,
) -> None:
    store = Store(tmp_path / "here")
    spoilt = store.create(PLAN.model_copy(update={"name": "Spoilt"})).plan_id
    whole = store.create(PLAN).plan_id
    with store.database.writing() as db:
        db.execute("UPDATE snapshots SET plan = '{' WHERE plan_id = ?", (spoilt,))
    assert back_up(store.database, tmp_path / "b") == Copied(2, ("Spoilt",))
    store.close()
    assert restore_backup(tmp_path / "b", tmp_path / "there") == Copied(1, left_out=("Spoilt",))
    other = Store(tmp_path / "there")
    assert other.read(whole).plan == PLAN
    other.close()


def test_a_hostile_file_is_opened_with_care(file: Path) -> None:
    with closing(open_with_care(file)) as db:
        assert db.execute("PRAGMA trusted_schema").fetchone() == (0,)
        assert db.execute("PRAGMA cell_size_check").fetchone() == (1,)
        assert db.execute("PRAGMA mmap_size").fetchone() in ((0,), None)
        with pytest.raises(sqlite3.Error, match="too many attached"):
            db.execute("ATTACH ':memory:' AS other")
        with pytest.raises(sqlite3.Error, match=r"too large|too big"):
            db.execute(f"SELECT length(zeroblob({200_000_000}))")
        with pytest.raises(sqlite3.Error):
            db.execute("SELECT " + "(" * 200 + "1" + ")" * 200 + "+1" * 200)


def test_the_file_in_use_trusts_no_schema(tmp_path: Path) -> None:
    database = Database(tmp_path)
    with database.reading() as db:
        assert db.execute("PRAGMA trusted_schema").fetchone() == (0,)
    database.close()


def test_a_hostile_file_is_held_to_what_our_own_statements_need(file: Path) -> None:
    # a picture or a plan has at most 41 MB; our longest statement has under 1,000 letters
    db = open_with_care(file)
    assert {kind: db.getlimit(kind) for kind, _ in LIMITS} == {
        sqlite3.SQLITE_LIMIT_LENGTH: 64_000_000,
        sqlite3.SQLITE_LIMIT_SQL_LENGTH: 100_000,
        sqlite3.SQLITE_LIMIT_ATTACHED: 0,
        sqlite3.SQLITE_LIMIT_TRIGGER_DEPTH: 1,
        sqlite3.SQLITE_LIMIT_EXPR_DEPTH: 100,
    }
    db.close()
