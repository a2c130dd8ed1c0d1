"""What contradicts itself in a file of plans, brought in order where nothing is lost by it.

A file that came from elsewhere may say of a plan what its log does not bear out: then the log is
believed. What is beyond what the program itself gives out gets the next that is free.
"""

from __future__ import annotations

import sqlite3

from app.store.families import OPTIONS_LIMIT
from app.store.sharing import FARTHEST_MM, REMARKS_LIMIT

FLAGS_END = 1_000_000
"""Above any number of a flag: each is given once, a verdict has some hundreds of them."""


def mend(db: sqlite3.Connection) -> frozenset[str]:
    """Bring a file of plans in order, inside a transaction.

    Return the ids of plans whose newest revision was missing: they are what they were before it.
    """
    behind = _put_at_the_newest(db)
    _letter_plans(db)
    _letter_remarks(db)
    for place in ("x_mm", "y_mm"):
        db.execute(
            f"UPDATE remarks SET {place} = max(?, min(?, {place}))", (-FARTHEST_MM, FARTHEST_MM)
        )
    # it gets another number when the plan is judged
    db.execute("DELETE FROM flags WHERE number >= ?", (FLAGS_END,))
    return behind


def _put_at_the_newest(db: sqlite3.Connection) -> frozenset[str]:
    behind = set()
    rows = db.execute(
        "SELECT p.id, p.revision, p.changed_at, "
        "(SELECT max(number) FROM revisions WHERE plan_id = p.id), "
        "(SELECT max(number) FROM snapshots WHERE plan_id = p.id) FROM plans p"
    ).fetchall()
    for plan_id, number, at, in_log, kept in rows:
        newest = max(-1 if in_log is None else in_log, -1 if kept is None else kept)
        if newest < 0 or newest == in_log == number:
            continue
        if newest != in_log:
            # the plan is there whole; who made it so is not told any more
            db.execute(
                "INSERT INTO revisions (plan_id, number, kind, author, at) VALUES (?, ?, ?, ?, ?)",
                (plan_id, newest, "do" if newest else "new", "owner", at),
            )
        db.execute("UPDATE plans SET revision = ? WHERE id = ?", (newest, plan_id))
        if newest != in_log or newest < number:
            behind.add(plan_id)
    return frozenset(behind)


def _letter_plans(db: sqlite3.Connection) -> None:
    beyond = db.execute(
        "SELECT id, family FROM plans WHERE letter >= ? ORDER BY letter, id", (OPTIONS_LIMIT,)
    ).fetchall()
    for plan_id, family in beyond:
        given = db.execute("SELECT letter FROM plans WHERE family = ?", (family,))
        free = set(range(OPTIONS_LIMIT)) - {letter for (letter,) in given}
        if family is None or not free:
            db.execute(
                "UPDATE plans SET family = NULL, letter = 0, chosen = 0 WHERE id = ?", (plan_id,)
            )
        else:
            db.execute("UPDATE plans SET letter = ? WHERE id = ?", (min(free), plan_id))


def _letter_remarks(db: sqlite3.Connection) -> None:
    beyond = db.execute(
        "SELECT id, plan_id FROM remarks WHERE letter >= ? ORDER BY letter, id", (REMARKS_LIMIT,)
    ).fetchall()
    for remark_id, plan_id in beyond:
        given = {
            letter
            for (letter,) in db.execute("SELECT letter FROM remarks WHERE plan_id = ?", (plan_id,))
        }
        free = next(number for number in range(len(given) + 1) if number not in given)
        db.execute("UPDATE remarks SET letter = ? WHERE id = ?", (free, remark_id))


def leave_out(db: sqlite3.Connection, plan_id: str) -> None:
    """Take a plan and all that hangs on it out of a file, inside a transaction."""
    db.execute(
        "DELETE FROM remark_lines WHERE remark_id IN (SELECT id FROM remarks WHERE plan_id = ?)",
        (plan_id,),
    )
    for table in ("remarks", "votes", "option_votes", "links", "flags", "milestones"):
        db.execute(f"DELETE FROM {table} WHERE plan_id = ?", (plan_id,))
    for table in ("snapshots", "revisions"):
        db.execute(f"DELETE FROM {table} WHERE plan_id = ?", (plan_id,))
    db.execute("DELETE FROM plans WHERE id = ?", (plan_id,))


def name_as(db: sqlite3.Connection, plan_id: str, name: str) -> None:
    """Let the list call a plan by its own name."""
    db.execute("UPDATE plans SET name = ? WHERE id = ? AND name != ?", (name, plan_id, name))
