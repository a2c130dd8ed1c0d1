"""The steps that bring the file of plans to today's shape, each applied once and named."""

from __future__ import annotations

import sqlite3
from contextlib import closing

from app.errors import StoreError

MIGRATIONS: tuple[tuple[str, tuple[str, ...]], ...] = (
    (
        "0001-plans-and-revisions",
        (
            """
            CREATE TABLE plans (
                id TEXT PRIMARY KEY,
                name TEXT NOT NULL,
                revision INTEGER NOT NULL,
                created_at TEXT NOT NULL,
                changed_at TEXT NOT NULL,
                deleted_at TEXT
            )
            """,
            # undoable: the revision that an undo would take back; redoable: the undo that a redo
            # would take back. Keeping both with each revision makes opening a long history short.
            """
            CREATE TABLE revisions (
                plan_id TEXT NOT NULL REFERENCES plans (id),
                number INTEGER NOT NULL,
                kind TEXT NOT NULL CHECK (kind IN ('new', 'do', 'undo', 'redo')),
                target INTEGER,
                command TEXT,
                author TEXT NOT NULL,
                at TEXT NOT NULL,
                undoable INTEGER,
                redoable INTEGER,
                PRIMARY KEY (plan_id, number)
            )
            """,
            """
            CREATE TABLE snapshots (
                plan_id TEXT NOT NULL REFERENCES plans (id),
                number INTEGER NOT NULL,
                plan TEXT NOT NULL,
                PRIMARY KEY (plan_id, number)
            )
            """,
        ),
    ),
    (
        "0002-flag-numbers",
        (
            """
            CREATE TABLE flags (
                plan_id TEXT NOT NULL REFERENCES plans (id),
                key TEXT NOT NULL,
                number INTEGER NOT NULL,
                PRIMARY KEY (plan_id, key)
            )
            """,
        ),
    ),
    (
        "0003-milestones-and-thinning",
        (
            # The reference keeps a milestone's revision from ever being thinned away.
            """
            CREATE TABLE milestones (
                plan_id TEXT NOT NULL,
                number INTEGER NOT NULL,
                name TEXT NOT NULL,
                at TEXT NOT NULL,
                PRIMARY KEY (plan_id, number),
                FOREIGN KEY (plan_id, number) REFERENCES revisions (plan_id, number)
            )
            """,
            # stands_for: how many revisions were folded into this one, itself included.
            "ALTER TABLE revisions ADD COLUMN stands_for INTEGER NOT NULL DEFAULT 1",
            # thinned_to: everything before this revision has been thinned.
            "ALTER TABLE plans ADD COLUMN thinned_to INTEGER NOT NULL DEFAULT 0",
        ),
    ),
    (
        "0004-links-remarks-votes",
        (
            # digest: SHA-256 of the secret in the link, which itself is kept nowhere. Being 192
            # random bits it cannot be guessed: no slow hash is needed as it is for a password.
            """
            CREATE TABLE links (
                id TEXT PRIMARY KEY,
                plan_id TEXT NOT NULL REFERENCES plans (id),
                name TEXT NOT NULL,
                rights TEXT NOT NULL CHECK (rights IN ('look', 'comment', 'edit')),
                digest BLOB NOT NULL UNIQUE,
                made_at TEXT NOT NULL,
                ends_at TEXT NOT NULL,
                withdrawn_at TEXT
            )
            """,
            # letter: the number of the remark's letter, 0 for A; a plan gives each out once.
            """
            CREATE TABLE remarks (
                id INTEGER PRIMARY KEY,
                plan_id TEXT NOT NULL REFERENCES plans (id),
                letter INTEGER NOT NULL,
                x_mm REAL NOT NULL,
                y_mm REAL NOT NULL,
                at TEXT NOT NULL,
                settled_at TEXT,
                settled_by TEXT,
                UNIQUE (plan_id, letter)
            )
            """,
            """
            CREATE TABLE remark_lines (
                remark_id INTEGER NOT NULL REFERENCES remarks (id),
                number INTEGER NOT NULL,
                voice TEXT NOT NULL,
                author TEXT NOT NULL,
                text TEXT NOT NULL,
                at TEXT NOT NULL,
                PRIMARY KEY (remark_id, number)
            )
            """,
            # voice: the id of the link that somebody came by, or 'owner'.
            """
            CREATE TABLE votes (
                plan_id TEXT NOT NULL REFERENCES plans (id),
                voice TEXT NOT NULL,
                author TEXT NOT NULL,
                choice TEXT NOT NULL CHECK (choice IN ('for', 'against')),
                revision INTEGER NOT NULL,
                at TEXT NOT NULL,
                PRIMARY KEY (plan_id, voice)
            )
            """,
        ),
    ),
    (
        "0005-options",
        (
            # family: the options of one plan share it; NULL for a plan without options.
            # letter: 0 is A; a family gives each out once. chosen: the option that is meant.
            "ALTER TABLE plans ADD COLUMN family TEXT",
            "ALTER TABLE plans ADD COLUMN letter INTEGER NOT NULL DEFAULT 0",
            "ALTER TABLE plans ADD COLUMN chosen INTEGER NOT NULL DEFAULT 0",
            "CREATE INDEX plans_by_family ON plans (family, letter)",
        ),
    ),
    (
        "0006-pictures",
        (
            # id: a digest of the picture, so that copies of a plan share it. What a plan no longer
            # shows is kept for its history.
            """
            CREATE TABLE pictures (
                id TEXT PRIMARY KEY,
                data BLOB NOT NULL,
                kept_at TEXT NOT NULL
            )
            """,
        ),
    ),
    (
        "0007-votes-for-options",
        (
            # A voice has one vote in a family. plan_id: the option it is for, as it stood at the
            # revision. voice: the id of the link that somebody came by, or 'owner'.
            """
            CREATE TABLE option_votes (
                family TEXT NOT NULL,
                voice TEXT NOT NULL,
                author TEXT NOT NULL,
                plan_id TEXT NOT NULL REFERENCES plans (id),
                revision INTEGER NOT NULL,
                at TEXT NOT NULL,
                PRIMARY KEY (family, voice)
            )
            """,
        ),
    ),
    (
        "0008-links-that-tick",
        (
            # ticks: whether who comes by it may tick works off, beside what its right allows.
            "ALTER TABLE links ADD COLUMN ticks INTEGER NOT NULL DEFAULT 0",
        ),
    ),
    (
        "0009-links-that-share-prices",
        (
            # money: 1 where a guest who may not change the plan sees what the kit costs.
            "ALTER TABLE links ADD COLUMN money INTEGER NOT NULL DEFAULT 0 CHECK (money IN (0, 1))",
        ),
    ),
)


_OWN_TABLE = (
    "CREATE TABLE IF NOT EXISTS migrations (name TEXT PRIMARY KEY, applied_at TEXT NOT NULL)"
)


def migrate(db: sqlite3.Connection, now: str) -> None:
    """Apply the steps that are missing, all or none.

    Raises StoreError when the file holds a step of a newer program, sqlite3.Error as it comes.
    """
    known = [name for name, _ in MIGRATIONS]
    if applied(db) == known:
        return
    db.execute("BEGIN IMMEDIATE")
    try:
        db.execute(_OWN_TABLE)
        done = applied(db)
        _see_known(done)
        for name, statements in MIGRATIONS:
            if name in done:
                continue
            for statement in statements:
                db.execute(statement)
            db.execute("INSERT INTO migrations VALUES (?, ?)", (name, now))
    except BaseException:
        db.execute("ROLLBACK")
        raise
    db.execute("COMMIT")


def schema_after(done: list[str]) -> list[tuple[str, str, str, str | None]]:
    """Return the schema of a new file after some of the steps, as SQLite keeps it.

    Raises StoreError for a step of a newer program.
    """
    _see_known(done)
    with closing(sqlite3.connect(":memory:", isolation_level=None)) as db:
        db.execute(_OWN_TABLE)
        for name, statements in MIGRATIONS:
            for statement in statements if name in done else ():
                db.execute(statement)
        return db.execute("SELECT type, name, tbl_name, sql FROM sqlite_master").fetchall()


def _see_known(done: list[str]) -> None:
    known = [name for name, _ in MIGRATIONS]
    strange = [name for name in done if name not in known]
    if strange:
        raise StoreError(
            f"The plans were kept by a newer version of Elbowroom (it knows {strange[0]!r}); "
            "this one leaves them alone."
        )


def applied(db: sqlite3.Connection) -> list[str]:
    """Return the names of the steps that a file has been through."""
    there = db.execute("SELECT 1 FROM sqlite_master WHERE type = 'table' AND name = 'migrations'")
    if there.fetchone() is None:
        return []
    return [name for (name,) in db.execute("SELECT name FROM migrations ORDER BY name")]
