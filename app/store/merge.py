"""A command made on an older revision, brought to the plan as it stands."""

from __future__ import annotations

import sqlite3

from app.changes.commands import Command
from app.changes.merging import ClashError, rebased
from app.errors import ConflictError
from app.model.plan import Plan
from app.store import history
from app.store.reading import plan_at


def beside(
    db: sqlite3.Connection, plan_id: str, now: Plan, command: Command, seen: int
) -> Command | None:
    """Return the command that does on `now` what one made on revision `seen` meant, None if done.

    Raises ClashError with who made the other version, ConflictError when that revision is gone.
    """
    row = db.execute(
        "SELECT 1 FROM revisions WHERE plan_id = ? AND number = ?", (plan_id, seen)
    ).fetchone()
    if row is None:
        raise ConflictError("The plan has been changed too much meanwhile; it must be read anew.")
    try:
        return rebased(plan_at(db, plan_id, seen), now, command)
    except ClashError as clash:
        authors = db.execute(
            "SELECT DISTINCT author FROM revisions WHERE plan_id = ? AND number > ? "
            "ORDER BY author",
            (plan_id, seen),
        ).fetchall()
        clash.authors = tuple(author for (author,) in authors)
        clash.revision = history.head(db, plan_id).number
        raise
