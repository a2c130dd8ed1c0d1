"""Thinning: of what is long past one revision a day remains, and every milestone.

Kept whole are the last 200 revisions and all of the last 30 days. Of what is older remain the
first revision, the last of each day (UTC) and the milestones; what lay between two of them is
folded into the later one, whose command then leads from the one to the other. Undo reaches back
as far as the log is whole.
"""

from __future__ import annotations

import sqlite3
from contextlib import suppress
from datetime import UTC, datetime, timedelta

from pydantic import ValidationError

from app.changes.difference import difference
from app.model.plan import Plan
from app.store import history
from app.store.database import Database
from app.store.reading import UnreadableError, plan_at

WHOLE_COUNT = 200
WHOLE_DAYS = 30


def thin(database: Database, at: datetime | None = None) -> int:
    """Thin every plan's log as of a moment (None: this one); give how many revisions went.

    Each plan is thinned in one transaction: all of it or none. Raises StoreError.
    """
    before = (at or datetime.now(UTC)) - timedelta(days=WHOLE_DAYS)
    cut = before.astimezone(UTC).isoformat(timespec="milliseconds")
    with database.reading() as db:
        plans = [
            plan_id
            for plan_id, revision, done in db.execute(
                "SELECT id, revision, thinned_to FROM plans"
            ).fetchall()
            if _line(db, plan_id, revision, cut) > done
        ]
    gone = 0
    for plan_id in plans:
        # one that cannot be read keeps all of its log, and the others do not wait for it
        with suppress(UnreadableError), database.writing() as db:
            gone += _thin(db, plan_id, cut)
    return gone


def _line(db: sqlite3.Connection, plan_id: str, newest: int, cut: str) -> int:
    """Return the revision from which on the log stays whole."""
    (last_old,) = db.execute(
        "SELECT max(number) FROM revisions WHERE plan_id = ? AND number <= ? AND at < ?",
        (plan_id, newest - WHOLE_COUNT, cut),
    ).fetchone()
    return 0 if last_old is None else int(last_old)


def _thin(db: sqlite3.Connection, plan_id: str, cut: str) -> int:
    newest, done = db.execute(
        "SELECT revision, thinned_to FROM plans WHERE id = ?", (plan_id,)
    ).fetchone()
    line = _line(db, plan_id, newest, cut)
    # The last one thinned to may have been in the middle of a day: begin at the one before it.
    (begin,) = db.execute(
        "SELECT coalesce(max(number), 0) FROM revisions WHERE plan_id = ? AND number < ?",
        (plan_id, done),
    ).fetchone()
    rows = db.execute(
        "SELECT number, substr(at, 1, 10) FROM revisions "
        "WHERE plan_id = ? AND number BETWEEN ? AND ? ORDER BY number",
        (plan_id, begin, line),
    ).fetchall()
    named = {
        number
        for (number,) in db.execute(
            "SELECT number FROM milestones WHERE plan_id = ?", (plan_id,)
        ).fetchall()
    }
    last_of_day = {day: number for number, day in rows}
    keep = {line} | named | set(last_of_day.values())
    gone = _fold(db, plan_id, [number for number, _ in rows], keep)
    # What was done before the line can no longer be taken back, nor done again.
    db.execute(
        "UPDATE revisions SET undoable = NULL WHERE plan_id = ? AND undoable <= ?", (plan_id, line)
    )
    db.execute(
        "UPDATE revisions SET redoable = NULL WHERE plan_id = ?1 AND (redoable <= ?2 OR redoable IN"
        " (SELECT number FROM revisions WHERE plan_id = ?1 AND kind = 'undo' AND target <= ?2))",
        (plan_id, line),
    )
    db.execute("UPDATE plans SET thinned_to = ? WHERE id = ?", (line, plan_id))
    return gone


def _fold(db: sqlite3.Connection, plan_id: str, numbers: list[int], keep: set[int]) -> int:
    start, gone, since_snapshot = numbers[0], 0, 0
    between: list[int] = []
    for number in numbers[1:]:
        if number not in keep:
            between.append(number)
            continue
        reached = None
        if between:
            reached = plan_at(db, plan_id, number)
            before = plan_at(db, plan_id, start)
            gone += _folded(db, plan_id, before, reached, between, number)
        since_snapshot += 1
        if since_snapshot >= history.SNAPSHOT_EVERY or number == numbers[-1]:
            reached = reached or plan_at(db, plan_id, number)
            history.snapshot(db, plan_id, number, reached)
            since_snapshot = 0
        start, between = number, []
    return gone


def _folded(
    db: sqlite3.Connection, plan_id: str, before: Plan, after: Plan, between: list[int], into: int
) -> int:
    """Fold revisions into the one after them and give how many went.

    A change too large for one command is left as it is.
    """
    try:
        command = difference(before, after, "edit")
    except ValidationError:
        return 0
    first, last = between[0], between[-1]
    here = (plan_id, first, last)
    (count,) = db.execute(
        "SELECT sum(stands_for) FROM revisions WHERE plan_id = ? AND number BETWEEN ? AND ?",
        (plan_id, first, into),
    ).fetchone()
    authors = [
        author
        for (author,) in db.execute(
            "SELECT DISTINCT author FROM revisions WHERE plan_id = ? AND number BETWEEN ? AND ? "
            "ORDER BY author",
            (plan_id, first, into),
        )
    ]
    db.execute("DELETE FROM snapshots WHERE plan_id = ? AND number BETWEEN ? AND ?", here)
    db.execute("DELETE FROM revisions WHERE plan_id = ? AND number BETWEEN ? AND ?", here)
    db.execute(
        "UPDATE revisions SET kind = 'do', target = NULL, command = ?, author = ?, stands_for = ?, "
        "undoable = NULL, redoable = NULL WHERE plan_id = ? AND number = ?",
        (
            None if command is None else command.model_dump_json(),
            ", ".join(authors),
            count,
            plan_id,
            into,
        ),
    )
    return len(between)
