"""The store: makes, lists, changes and deletes plans; what is answered has been kept."""

from __future__ import annotations

import secrets
import sqlite3
from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import datetime
from pathlib import Path

from app.changes.commands import Command, apply
from app.errors import ConflictError, NotFoundError
from app.model.plan import Plan
from app.store import history
from app.store.database import Database, now
from app.store.entries import Entry, State
from app.store.families import Families
from app.store.log import Log
from app.store.merge import beside
from app.store.pictures import Pictures, keep_picture
from app.store.record import as_carried_out
from app.store.sharing import Sharing

OWNER = "owner"

Check = Callable[[Plan, Plan | None], None]
"""Looks at a plan that is to be kept, and the one that it was made of, None for a new one."""


def anything(plan: Plan, before: Plan | None) -> None:
    """Accept every plan."""


class Store:
    """All plans in one folder. Usable from many threads; every method may raise StoreError.

    `check` looks at each plan before it is written and raises what is wrong with it.
    """

    def __init__(self, folder: Path, check: Check = anything) -> None:
        self.database = Database(folder)
        self.log = Log(self.database)
        self.sharing = Sharing(self.database)
        self.families = Families(self.database)
        self.pictures = Pictures(self.database)
        self._check = check

    def close(self) -> None:
        """Close the file."""
        self.database.close()

    def entries(self, deleted: bool = False) -> tuple[Entry, ...]:
        """List the plans, or the deleted ones; the last changed first."""
        which = "IS NOT NULL" if deleted else "IS NULL"
        with self.database.reading() as db:
            rows = db.execute(
                "SELECT id, name, revision, created_at, changed_at, deleted_at FROM plans "
                f"WHERE deleted_at {which} ORDER BY changed_at DESC, id"
            ).fetchall()
        return tuple(
            Entry(
                plan_id,
                name,
                revision,
                datetime.fromisoformat(created),
                datetime.fromisoformat(changed),
                datetime.fromisoformat(gone) if gone else None,
            )
            for plan_id, name, revision, created, changed, gone in rows
        )

    def create(
        self, plan: Plan, author: str = OWNER, pictures: Mapping[str, bytes] | None = None
    ) -> State:
        """Keep a new plan and give it an id, with `pictures` by their ids: all or nothing.

        Raises what the check finds.
        """
        self._check(plan, None)
        plan_id = secrets.token_hex(6)
        with self.database.writing() as db:
            history.begin(db, plan_id, plan, author, now())
            for picture_id, data in (pictures or {}).items():
                keep_picture(db, picture_id, data)
        return State(plan_id, plan, 0, None, None)

    def revision(self, plan_id: str) -> int:
        """Return the number of the newest revision. Raises NotFoundError."""
        with self.database.reading() as db:
            return history.head(db, plan_id).number

    def read(self, plan_id: str, known: State | None = None) -> State:
        """Return a plan as it stands; `known` saves reading it anew. Raises NotFoundError."""
        with self.database.reading() as db:
            top = history.head(db, plan_id)
            if known is not None and known.plan_id == plan_id and known.revision == top.number:
                return known
            return history.state(db, plan_id, top)

    def at(self, plan_id: str, number: int) -> State:
        """Return a plan as it was at a revision that is kept. Raises NotFoundError."""
        with self.database.reading() as db:
            history.head(db, plan_id)
            return history.state(db, plan_id, history.head_at(db, plan_id, number))

    def do(
        self,
        plan_id: str,
        command: Command,
        author: str = OWNER,
        known: State | None = None,
        seen: int | None = None,
        also: Check = anything,
    ) -> State:
        """Carry a command out and keep it as a revision; one that changes nothing adds none.

        `seen` is the revision that the command was made on: what others have changed since is
        then merged with it. Raises NotFoundError, ConflictError (a ClashError with both versions
        if `seen` is given), CommandError, PlanError, and what `also` refuses besides the check of
        every plan; then nothing is kept.
        """
        with self.database.writing() as db:
            top = history.head(db, plan_id)
            at = history.state(db, plan_id, top, known)
            try:
                plan = apply(at.plan, command)
            except ConflictError:
                if seen is None:
                    raise
                again = beside(db, plan_id, at.plan, command, seen)
                if again is None:
                    return at
                command, plan = again, apply(at.plan, again)
            carried = as_carried_out(command, at.plan, plan)
            if carried is None:
                return at
            self._check(plan, at.plan)
            also(plan, at.plan)
            if at.out_of_reach is not None:
                top = history.end_undo_at(db, plan_id, top)
            top = history.add(db, plan_id, top, history.done(carried, top), plan, author, now())
            if at.out_of_reach is not None:
                # the log goes on from here: nobody has to read what lies before
                history.snapshot(db, plan_id, top.number, plan)
            says = history.words(carried)
            return State(plan_id, plan, top.number, says, None, undo_to=top.number - 1)

    def undo(
        self,
        plan_id: str,
        author: str = OWNER,
        known: State | None = None,
        also: Check = anything,
    ) -> State:
        """Take the last command back by a new revision; as `redo`."""
        return self._step_by(history.undone, plan_id, author, known, also)

    def redo(
        self,
        plan_id: str,
        author: str = OWNER,
        known: State | None = None,
        also: Check = anything,
    ) -> State:
        """Do the last undone command again. Raises ConflictError if there is none.

        And what `also` refuses of the plan as it would be and as it is; then nothing is kept.
        """
        return self._step_by(history.redone, plan_id, author, known, also)

    def delete(self, plan_id: str) -> None:
        """Put a plan aside, on a full disk too; `restore` brings it back. Raises NotFoundError."""

        def put_aside(db: sqlite3.Connection) -> None:
            history.head(db, plan_id)
            db.execute("UPDATE plans SET deleted_at = ? WHERE id = ?", (now(), plan_id))

        self.database.make_fewer(put_aside)

    def restore(self, plan_id: str) -> None:
        """Bring a deleted plan back; one that lives is left alone. Raises NotFoundError."""
        with self.database.writing() as db:
            restored = db.execute("UPDATE plans SET deleted_at = NULL WHERE id = ?", (plan_id,))
            if restored.rowcount == 0:
                raise NotFoundError("There is no such plan.")

    def flags(self, plan_id: str) -> dict[str, int]:
        """Return the flag number of each snag's key."""
        with self.database.reading() as db:
            rows = db.execute("SELECT key, number FROM flags WHERE plan_id = ?", (plan_id,))
            return {key: int(number) for key, number in rows}

    def keep_flags(self, plan_id: str, numbers: Mapping[str, int]) -> None:
        """Keep these flag numbers, and no others, for a plan. Raises NotFoundError."""
        with self.database.writing() as db:
            history.head(db, plan_id)
            rows = db.execute("SELECT key, number FROM flags WHERE plan_id = ?", (plan_id,))
            before = {key: int(number) for key, number in rows}
            db.executemany(
                "DELETE FROM flags WHERE plan_id = ? AND key = ?",
                [(plan_id, key) for key in before.keys() - numbers.keys()],
            )
            db.executemany(
                "INSERT INTO flags VALUES (?, ?, ?) "
                "ON CONFLICT (plan_id, key) DO UPDATE SET number = excluded.number",
                [(plan_id, key, n) for key, n in numbers.items() if before.get(key) != n],
            )

    def _step_by(
        self,
        make: Callable[..., history.Step],
        plan_id: str,
        author: str,
        known: State | None,
        also: Check,
    ) -> State:
        with self.database.writing() as db:
            top = history.head(db, plan_id)
            at = history.state(db, plan_id, top, known)
            if at.out_of_reach is not None:
                raise ConflictError(at.out_of_reach_says)
            step = make(db, plan_id, top)
            same_as = at.undo_to if step.kind == "undo" else at.redo_to
            plan = apply(at.plan, step.command)
            also(plan, at.plan)
            top = history.add(db, plan_id, top, step, plan, author, now())
            known = State(plan_id, plan, top.number, None, None)
            return replace(history.state(db, plan_id, top, known), same_as=same_as)
