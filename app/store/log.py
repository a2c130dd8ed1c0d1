"""Looking back: the revisions of a plan in pages, the plan at any of them, named milestones."""

from __future__ import annotations

import sqlite3
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import datetime

from pydantic import ValidationError

from app.changes.commands import Command, named_as_now
from app.errors import Fault, NotFoundError, PlanError
from app.model.base import LABEL_LIMIT
from app.model.plan import Plan
from app.store import history
from app.store.database import Database, now
from app.store.reading import plan_at

MILESTONE_LIMIT = 500


@dataclass(frozen=True, slots=True)
class Revision:
    """One revision of the log.

    `kind` is new, do, undo or redo. `command` is None for the first one, for one whose changes
    came to nothing, and for one that cannot be read, which `unreadable` tells. `folded` is how
    many revisions were folded into it, 1 for one that is whole. `milestone` is its name, if it has
    been given one.
    """

    number: int
    kind: str
    command: Command | None
    author: str
    at: datetime
    folded: int
    milestone: str | None
    unreadable: bool = False


@dataclass(frozen=True, slots=True)
class Milestone:
    """A revision with a name. `at` is when it was named, `made` when the revision was made."""

    number: int
    name: str
    at: datetime
    made: datetime


_COLUMNS = (
    "SELECT r.number, r.kind, CAST(r.command AS BLOB), r.author, r.at, r.stands_for, m.name "
    "FROM revisions r "
    "LEFT JOIN milestones m ON m.plan_id = r.plan_id AND m.number = r.number "
    "WHERE r.plan_id = ? "
)


class Log:
    """The log of every plan of a file. Every method may raise StoreError."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def page(self, plan_id: str, below: int | None, count: int) -> tuple[Revision, ...]:
        """Return the newest `count` revisions with a number under `below`, the newest first.

        `below` None starts at the newest. Raises NotFoundError.
        """
        with self._database.reading() as db:
            top = history.head(db, plan_id).number
            rows = db.execute(
                _COLUMNS + "AND r.number < ? ORDER BY r.number DESC LIMIT ?",
                (plan_id, top + 1 if below is None else below, count),
            ).fetchall()
        return tuple(_revision(row) for row in rows)

    def revision(self, plan_id: str, number: int) -> tuple[Revision, Plan]:
        """Return one revision and the plan as it was then. Raises NotFoundError."""
        with self._database.reading() as db:
            history.head(db, plan_id)
            entry = _one(db, plan_id, number)
            return entry, plan_at(db, plan_id, number)

    def milestones(self, plan_id: str) -> tuple[Milestone, ...]:
        """List the milestones, the newest revision first. Raises NotFoundError."""
        with self._database.reading() as db:
            history.head(db, plan_id)
            rows = db.execute(
                "SELECT m.number, m.name, m.at, r.at FROM milestones m JOIN revisions r "
                "ON r.plan_id = m.plan_id AND r.number = m.number "
                "WHERE m.plan_id = ? ORDER BY m.number DESC",
                (plan_id,),
            ).fetchall()
        return tuple(
            Milestone(number, name, datetime.fromisoformat(at), datetime.fromisoformat(made))
            for number, name, at, made in rows
        )

    def name_milestone(self, plan_id: str, number: int, name: str) -> None:
        """Name a revision; an earlier name of it is replaced.

        Raises NotFoundError, and PlanError for an empty or overlong name or one too many.
        """
        name = " ".join(name.split())
        if not name or len(name) > LABEL_LIMIT:
            raise PlanError(
                Fault("name", f"must have 1 to {LABEL_LIMIT} letters, not {len(name):,}")
            )
        try:
            name.encode()
        except UnicodeEncodeError:
            raise PlanError(Fault("name", "holds half a letter")) from None
        with self._database.writing() as db:
            history.head(db, plan_id)
            _one(db, plan_id, number)
            (count,) = db.execute(
                "SELECT count(*) FROM milestones WHERE plan_id = ? AND number != ?",
                (plan_id, number),
            ).fetchone()
            if count >= MILESTONE_LIMIT:
                raise PlanError(Fault("name", f"a plan has at most {MILESTONE_LIMIT} milestones"))
            db.execute(
                "INSERT INTO milestones VALUES (?, ?, ?, ?) "
                "ON CONFLICT (plan_id, number) DO UPDATE SET name = excluded.name",
                (plan_id, number, name, now()),
            )

    def drop_milestone(self, plan_id: str, number: int) -> None:
        """Take the name of a revision away; the revision stays. Raises NotFoundError."""
        with self._database.writing() as db:
            history.head(db, plan_id)
            gone = db.execute(
                "DELETE FROM milestones WHERE plan_id = ? AND number = ?", (plan_id, number)
            )
            if gone.rowcount == 0:
                raise NotFoundError("This revision has no name.")


def _one(db: sqlite3.Connection, plan_id: str, number: int) -> Revision:
    row = None
    if 0 <= number < history.NUMBERS_END:
        row = db.execute(_COLUMNS + "AND r.number = ?", (plan_id, number)).fetchone()
    if row is None:
        raise NotFoundError("There is no such revision; it may have been thinned out.")
    return _revision(row)


def _revision(row: Iterable[object]) -> Revision:
    number, kind, text, author, at, folded, milestone = row
    command = None
    if isinstance(text, bytes):
        try:
            command = named_as_now(Command.model_validate_json(text))
        except ValidationError:
            command = None
    return Revision(
        int(str(number)),
        str(kind),
        command,
        str(author),
        datetime.fromisoformat(str(at)),
        int(str(folded)),
        None if milestone is None else str(milestone),
        unreadable=text is not None and command is None,
    )
