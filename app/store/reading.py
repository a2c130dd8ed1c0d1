"""Reading a plan from its snapshots and log; what cannot be read is gone round, never passed over.

A snapshot that cannot be read loses nothing as long as an older one and the log between them can
be. Where the log itself breaks off, the plan is read as far as it goes.
"""

from __future__ import annotations

import sqlite3
from collections.abc import Iterator
from dataclasses import dataclass

from pydantic import ValidationError

from app.changes.commands import Command
from app.errors import ElbowroomError, StoreError
from app.model.plan import Plan
from app.model.versions import load
from app.store.record import replay

Step = tuple[int, bytes | None]
"""The number of a revision, and the text of its command as it is in the file if it has one."""


class UnreadableError(StoreError):
    """A revision of a plan, or all of it, cannot be read from the file."""


@dataclass(frozen=True, slots=True)
class Reading:
    """A plan as it was at revision `number`: the one asked for, or the last that can be read."""

    plan: Plan
    number: int


def plan_at(db: sqlite3.Connection, plan_id: str, number: int) -> Plan:
    """Return a plan as it was at a revision that is kept. Raises UnreadableError."""
    reading = as_far_as_it_reads(db, plan_id, number)
    if reading.number != number:
        raise UnreadableError(
            f"Revision {number} of the plan {plan_id} cannot be read from the file; "
            f"revision {reading.number} can."
        )
    return reading.plan


def as_far_as_it_reads(db: sqlite3.Connection, plan_id: str, number: int) -> Reading:
    """Return the plan at a revision, or at the last one before it that can be read.

    Raises UnreadableError when nothing of it can be.
    """
    fault: Exception | None = None
    for at, text in _snapshots(db, plan_id, number):
        try:
            plan = load(text.decode())
        except UnicodeDecodeError:
            fault = fault or StoreError("it is no text.")
            continue
        except ElbowroomError as error:
            fault = fault or error
            continue
        steps = _steps(db, plan_id, at, number)
        try:
            commands = [Command.model_validate_json(text) for _, text in steps if text is not None]
            return Reading(replay(plan, commands), number)
        except (ElbowroomError, ValidationError):
            return _one_by_one(plan, at, steps)
    if fault is None:
        raise UnreadableError(f"The plan {plan_id} has lost its snapshot and cannot be opened.")
    raise UnreadableError(f"The plan {plan_id} cannot be read from the file: {fault}") from fault


def _snapshots(db: sqlite3.Connection, plan_id: str, number: int) -> Iterator[tuple[int, bytes]]:
    below = number
    while True:
        row = db.execute(
            "SELECT number, CAST(plan AS BLOB) FROM snapshots WHERE plan_id = ? AND number <= ? "
            "ORDER BY number DESC LIMIT 1",
            (plan_id, below),
        ).fetchone()
        if row is None:
            return
        yield row
        below = row[0] - 1


def _steps(db: sqlite3.Connection, plan_id: str, after: int, until: int) -> list[Step]:
    return db.execute(
        "SELECT number, CAST(command AS BLOB) FROM revisions "
        "WHERE plan_id = ? AND number > ? AND number <= ? ORDER BY number",
        (plan_id, after, until),
    ).fetchall()


def _one_by_one(plan: Plan, at: int, steps: list[Step]) -> Reading:
    for number, text in steps:
        try:
            if text is not None:
                plan = replay(plan, [Command.model_validate_json(text)])
        except (ElbowroomError, ValidationError):
            break
        at = number
    return Reading(plan, at)
