"""The log of one plan inside a transaction: reading it up to now, and adding a revision to it.

Every change is a new revision, an undo too: it holds the inverse of the command it takes back.
Each revision says what an undo would take back next and what a redo would, so both outlive a
restart and opening a plan never walks its whole history.
"""

from __future__ import annotations

import sqlite3
from dataclasses import dataclass
from typing import Literal

from pydantic import ValidationError

from app.changes.commands import Command, inverse
from app.errors import ConflictError, NotFoundError, StoreError
from app.model.plan import Plan
from app.model.versions import dump, see_reads_back
from app.store.entries import State
from app.store.reading import as_far_as_it_reads

SNAPSHOT_EVERY = 50
NUMBERS_END = 1 << 62
"""Above any number of a revision or a remark that the file can hold."""

Kind = Literal["do", "undo", "redo"]


@dataclass(frozen=True, slots=True)
class Head:
    """The newest revision: its number, what an undo takes back, which undo a redo takes back."""

    number: int
    undoable: int | None
    redoable: int | None


@dataclass(frozen=True, slots=True)
class Step:
    """A revision about to be added: its kind, its command, and where undo and redo stand then."""

    kind: Kind
    command: Command
    target: int | None
    undoable: int | None
    redoable: int | None


def newest(db: sqlite3.Connection, plan_id: str) -> tuple[Head, bool]:
    """Return the newest revision of a plan, and whether it is deleted. Raises NotFoundError."""
    row = db.execute(
        "SELECT p.revision, p.deleted_at, r.undoable, r.redoable FROM plans p JOIN revisions r "
        "ON r.plan_id = p.id AND r.number = p.revision WHERE p.id = ?",
        (plan_id,),
    ).fetchone()
    if row is None:
        raise NotFoundError("There is no such plan.")
    number, deleted_at, undoable, redoable = row
    return Head(number, undoable, redoable), deleted_at is not None


def head(db: sqlite3.Connection, plan_id: str) -> Head:
    """Return the newest revision of a plan that is not deleted. Raises NotFoundError."""
    top, deleted = newest(db, plan_id)
    if deleted:
        raise NotFoundError("This plan has been deleted; the list of plans can bring it back.")
    return top


def head_at(db: sqlite3.Connection, plan_id: str, number: int) -> Head:
    """Return an earlier revision as it was when it was the newest. Raises NotFoundError."""
    row = None
    if 0 <= number < NUMBERS_END:
        row = db.execute(
            "SELECT number, undoable, redoable FROM revisions WHERE plan_id = ? AND number = ?",
            (plan_id, number),
        ).fetchone()
    if row is None:
        raise NotFoundError("There is no such revision; it may have been thinned out.")
    return Head(*row)


def state(db: sqlite3.Connection, plan_id: str, top: Head, known: State | None = None) -> State:
    """Return the plan at its newest revision; `known` is one seen before, used if still the newest.

    Where what is kept cannot be read, it is the plan as far as it can be, and says which
    revisions are out of reach. Raises StoreError when nothing of it can be read.
    """
    out_of_reach = None
    if known is not None and known.plan_id == plan_id and known.revision == top.number:
        plan, out_of_reach = known.plan, known.out_of_reach
    else:
        reading = as_far_as_it_reads(db, plan_id, top.number)
        plan = reading.plan
        if reading.number < top.number:
            out_of_reach = (reading.number + 1, top.number)
    if out_of_reach is not None:
        # what the log would take back is not what this plan came from
        return State(plan_id, plan, top.number, None, None, out_of_reach=out_of_reach)
    undoable, undo_says = top.undoable, None
    redoable, redo_says = top.redoable, None
    try:
        if undoable is not None:
            undo_says = words(_command(db, plan_id, undoable))
    except StoreError:
        undoable = None
    try:
        if redoable is not None:
            redo_says = words(_command(db, plan_id, _target(db, plan_id, redoable)))
    except StoreError:
        redoable = None
    return State(
        plan_id,
        plan,
        top.number,
        undo_says,
        redo_says,
        undo_to=_before(undoable),
        redo_to=_before(redoable),
    )


def end_undo_at(db: sqlite3.Connection, plan_id: str, top: Head) -> Head:
    """Let no undo or redo reach back over the newest revision, which cannot be read; give it so.

    What came before stays in the log.
    """
    db.execute(
        "UPDATE revisions SET undoable = NULL, redoable = NULL WHERE plan_id = ? AND number = ?",
        (plan_id, top.number),
    )
    return Head(top.number, None, None)


def _before(number: int | None) -> int | None:
    """Return the revision that held what taking this one back leads to.

    All that came after it has been taken back by then, so it is the one just before.
    """
    return None if number is None else number - 1


def done(command: Command, top: Head) -> Step:
    """Make the step of an ordinary command: what was undone before can no longer be redone."""
    return Step("do", command, None, top.number + 1, None)


def undone(db: sqlite3.Connection, plan_id: str, top: Head) -> Step:
    """Make the step that takes back the last command. Raises ConflictError if there is none."""
    if top.undoable is None:
        raise ConflictError("There is nothing to undo.")
    command = inverse(_command(db, plan_id, top.undoable))
    below = _kept(db, plan_id, top.undoable - 1, "undoable")
    return Step("undo", command, top.undoable, below, top.number + 1)


def redone(db: sqlite3.Connection, plan_id: str, top: Head) -> Step:
    """Make the step that does the last undone command again. Raises ConflictError."""
    if top.redoable is None:
        raise ConflictError("There is nothing to redo.")
    target = _target(db, plan_id, top.redoable)
    command = _command(db, plan_id, target)
    again = Command(name="redo", says=command.says, changes=command.changes)
    above = _kept(db, plan_id, top.redoable - 1, "redoable")
    return Step("redo", again, target, target, above)


def begin(db: sqlite3.Connection, plan_id: str, plan: Plan, author: str, at: str) -> None:
    """Put a new plan into the file as its revision 0. Raises PlanError if it would not be read."""
    see_reads_back(plan)
    db.execute(
        "INSERT INTO plans (id, name, revision, created_at, changed_at) VALUES (?, ?, 0, ?, ?)",
        (plan_id, plan.name, at, at),
    )
    db.execute(
        "INSERT INTO revisions (plan_id, number, kind, author, at) VALUES (?, 0, 'new', ?, ?)",
        (plan_id, author, at),
    )
    snapshot(db, plan_id, 0, plan)


def add(
    db: sqlite3.Connection, plan_id: str, top: Head, step: Step, plan: Plan, author: str, at: str
) -> Head:
    """Write a step as the next revision, with the plan that it leads to; give the new head."""
    number = top.number + 1
    db.execute(
        "INSERT INTO revisions (plan_id, number, kind, target, command, author, at, undoable, "
        "redoable) VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?)",
        (
            plan_id,
            number,
            step.kind,
            step.target,
            step.command.model_dump_json(),
            author,
            at,
            step.undoable,
            step.redoable,
        ),
    )
    db.execute(
        "UPDATE plans SET name = ?, revision = ?, changed_at = ? WHERE id = ?",
        (plan.name, number, at, plan_id),
    )
    if number % SNAPSHOT_EVERY == 0:
        snapshot(db, plan_id, number, plan)
    return Head(number, step.undoable, step.redoable)


def snapshot(db: sqlite3.Connection, plan_id: str, number: int, plan: Plan) -> None:
    """Keep the whole plan at a revision, so that later ones need not be replayed from before."""
    db.execute("INSERT OR IGNORE INTO snapshots VALUES (?, ?, ?)", (plan_id, number, dump(plan)))


def _command(db: sqlite3.Connection, plan_id: str, number: int) -> Command:
    """Return the command of a revision. Raises StoreError where there is none to be read."""
    row = db.execute(
        "SELECT CAST(command AS BLOB) FROM revisions WHERE plan_id = ? AND number = ?",
        (plan_id, number),
    ).fetchone()
    try:
        if row is not None and row[0] is not None:
            return Command.model_validate_json(row[0])
    except ValidationError:
        pass
    raise StoreError(f"Revision {number} cannot be read from the file, so it stays as it is.")


def _target(db: sqlite3.Connection, plan_id: str, number: int) -> int:
    """Return the revision that an undo took back. Raises StoreError where it names none."""
    target = _kept(db, plan_id, number, "target")
    if target is None:
        raise StoreError(f"Revision {number} does not say what it took back.")
    return target


def _kept(
    db: sqlite3.Connection,
    plan_id: str,
    number: int,
    which: Literal["target", "undoable", "redoable"],
) -> int | None:
    """Return the revision that another one names, None where it names none or is not there."""
    row = db.execute(
        f"SELECT {which} FROM revisions WHERE plan_id = ? AND number = ?", (plan_id, number)
    ).fetchone()
    return None if row is None or row[0] is None else int(row[0])


def words(command: Command) -> str:
    """Return what an undo or redo of a command is called."""
    return command.says or command.name
