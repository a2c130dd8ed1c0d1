"""Pictures under drawings, photos of walls and works, each kept once under its digest.

One that a plan no longer shows stays as long as any revision that is kept shows it, of a deleted
plan too: undo, the history and a plan brought back still have it. Then it goes.
"""

from __future__ import annotations

import re
import sqlite3
from datetime import UTC, datetime, timedelta

from app.errors import NotFoundError
from app.store.database import Database, now

JUST_KEPT = timedelta(days=1)
"""A picture is kept a moment before the revision that shows it; none so young is taken away."""

_ID = re.compile(r'"([0-9a-f]{32})"')
_WHERE_SHOWN = (
    "SELECT plan FROM snapshots",
    "SELECT command FROM revisions WHERE command IS NOT NULL",
)


def drop_unshown(database: Database, at: datetime | None = None) -> int:
    """Take away the pictures that no revision of any plan shows; give how many went.

    What is kept of a plan that cannot be read is looked through as text, so it keeps its own.
    Raises StoreError.
    """
    young = ((at or datetime.now(UTC)) - JUST_KEPT).isoformat(timespec="milliseconds")
    with database.reading() as db:
        old = db.execute("SELECT id FROM pictures WHERE kept_at < ?", (young,)).fetchall()
        if not old:
            return 0
    with database.writing() as db:
        unshown = {picture_id for (picture_id,) in old}
        for texts in _WHERE_SHOWN:
            for (text,) in db.execute(texts):
                if unshown:
                    unshown -= set(_ID.findall(text))
        db.executemany("DELETE FROM pictures WHERE id = ?", [(one,) for one in sorted(unshown)])
    return len(unshown)


def keep_picture(db: sqlite3.Connection, picture_id: str, data: bytes) -> None:
    """Keep a picture within a transaction; one that is there already is left as it is."""
    db.execute(
        "INSERT INTO pictures VALUES (?, ?, ?) ON CONFLICT DO NOTHING", (picture_id, data, now())
    )


class Pictures:
    """The pictures of a file of plans. Every method may raise StoreError."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def keep(self, picture_id: str, data: bytes) -> None:
        """Keep a picture; one that is there already is left as it is."""
        with self._database.writing() as db:
            keep_picture(db, picture_id, data)

    def read(self, picture_id: str) -> bytes:
        """Return a picture. Raises NotFoundError: a plain plan file brings none along."""
        with self._database.reading() as db:
            row = db.execute("SELECT data FROM pictures WHERE id = ?", (picture_id,)).fetchone()
        if row is None:
            raise NotFoundError("The picture of this plan is not kept here.")
        return bytes(row[0])

    def holds(self, picture_id: str) -> bool:
        """Return whether a picture is kept here."""
        with self._database.reading() as db:
            row = db.execute("SELECT 1 FROM pictures WHERE id = ?", (picture_id,)).fetchone()
        return row is not None
