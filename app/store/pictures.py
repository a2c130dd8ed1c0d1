"""Pictures that lie under drawings, each kept once under the digest of what it holds."""

from __future__ import annotations

import sqlite3

from app.errors import NotFoundError
from app.store.database import Database, now


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
