"""A file of plans that came from elsewhere: read with care, accepted only if it is like our own.

What SQLite advises for files that may be hostile (sqlite.org/security.html): no functions run out
of the schema, sizes are checked, limits are small, and the whole file is checked before it is used.
"""

from __future__ import annotations

import re
import sqlite3
from collections.abc import Iterator
from datetime import datetime
from pathlib import Path

from app.errors import StoreError
from app.store.database import as_text
from app.store.history import NUMBERS_END
from app.store.migrations import applied, schema_after

VALUE_BYTES = 64_000_000
"""Longest value of a row: a picture or a plan has at most 41 MB."""
LIMITS = (
    (sqlite3.SQLITE_LIMIT_LENGTH, VALUE_BYTES),
    (sqlite3.SQLITE_LIMIT_SQL_LENGTH, 100_000),
    (sqlite3.SQLITE_LIMIT_ATTACHED, 0),
    (sqlite3.SQLITE_LIMIT_TRIGGER_DEPTH, 1),
    (sqlite3.SQLITE_LIMIT_EXPR_DEPTH, 100),
)
_KINDS = {"INTEGER": ("integer",), "TEXT": ("text",), "REAL": ("real",), "BLOB": ("blob",)}
_ID = re.compile(r"[0-9a-f]{1,64}")
_IDS = frozenset({"id", "plan_id", "family"})


def open_with_care(path: Path) -> sqlite3.Connection:
    """Open a file that may be hostile; the caller closes it."""
    db = sqlite3.connect(path, isolation_level=None)
    db.text_factory = as_text
    db.execute("PRAGMA trusted_schema = OFF")
    db.execute("PRAGMA cell_size_check = ON")
    db.execute("PRAGMA mmap_size = 0")
    for limit, most in LIMITS:
        db.setlimit(limit, most)
    return db


def see_whole(db: sqlite3.Connection, path: Path) -> None:
    """See that nothing of a file is damaged. Raises StoreError."""
    fault = db.execute("PRAGMA integrity_check(1)").fetchone()
    if fault != ("ok",):
        raise StoreError(f"{path} is damaged ({fault[0]}). Nothing was changed.")
    if db.execute("PRAGMA foreign_key_check").fetchone() is not None:
        raise StoreError(f"{path} is damaged: parts of a plan are missing. Nothing was changed.")


def see_like_ours(db: sqlite3.Connection, path: Path) -> None:
    """See that a file has the very tables of its version of the program, and plain values in them.

    Nobody's own statements can then run when a plan is read or changed. Raises StoreError.
    """
    ours = schema_after(applied(db))
    # every row counts, whatever kind it says it is: SQLite goes by the statement alone
    theirs = db.execute("SELECT type, name, tbl_name, sql FROM sqlite_master").fetchall()
    if sorted(map(repr, map(_plain, theirs))) != sorted(map(repr, map(_plain, ours))):
        raise StoreError(f"{path} holds other tables than those of plans. Nothing was changed.")
    for table in sorted(name for kind, name, _, _ in ours if kind == "table"):
        for fault in _strange(db, table):
            raise StoreError(f"{path} cannot be used: {fault}. Nothing was changed.")


def _plain(row: tuple[object, ...]) -> tuple[object, ...]:
    return tuple(" ".join(part.split()) if isinstance(part, str) else part for part in row)


def _strange(db: sqlite3.Connection, table: str) -> Iterator[str]:
    """Give what is wrong with the values of a table: their kinds, numbers, moments and ids."""
    for _, column, kind, not_null, _, in_key in db.execute(
        f"PRAGMA table_info({table})"
    ).fetchall():
        allowed = _KINDS[kind] if not_null or in_key else (*_KINDS[kind], "null")
        marks = ", ".join("?" * len(allowed))
        wrong = f"SELECT 1 FROM {table} WHERE typeof({column}) NOT IN ({marks})"
        if db.execute(wrong, allowed).fetchone() is not None:
            yield f"{column} in {table} is not {kind.lower()} everywhere"
        if kind == "INTEGER":
            beyond = f"SELECT 1 FROM {table} WHERE {column} < 0 OR {column} >= ?"
            if db.execute(beyond, (NUMBERS_END,)).fetchone() is not None:
                yield f"{column} in {table} is beyond what is counted"
        if kind == "TEXT" and (column == "at" or column.endswith("_at")):
            for (moment,) in db.execute(f"SELECT DISTINCT {column} FROM {table}"):
                if moment is not None and not _is_moment(moment):
                    yield f"{moment[:40]!r} in {table} is no moment"
        if kind == "TEXT" and column in _IDS:
            for (name,) in db.execute(f"SELECT DISTINCT {column} FROM {table}"):
                if name is not None and not _ID.fullmatch(name):
                    yield f"{name[:40]!r} in {table} is no id"


def _is_moment(text: str) -> bool:
    try:
        return datetime.fromisoformat(text).tzinfo is not None
    except ValueError:
        return False
