"""Options: plans of one family, each with a letter; at most one of them is the chosen one."""

from __future__ import annotations

import secrets
import sqlite3
from collections.abc import Callable, Mapping
from dataclasses import dataclass

from app.errors import CommandError
from app.model.plan import Plan
from app.store import history
from app.store.database import Database, now
from app.store.entries import State

OPTIONS_LIMIT = 26


@dataclass(frozen=True, slots=True)
class Option:
    """One option of a plan: the plan that it is, its letter, whether it is the chosen one."""

    plan_id: str
    name: str
    letter: str
    chosen: bool


@dataclass(frozen=True, slots=True)
class OptionVote:
    """Whom somebody is for: the letter of the option, as it stood at `revision` of it."""

    voice: str
    author: str
    letter: str
    revision: int


class Families:
    """The families of a file of plans. Every method may raise StoreError."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def options(self, plan_id: str) -> tuple[Option, ...]:
        """Return a plan's options that are not deleted, by letter; the plan alone is A.

        Raises NotFoundError.
        """
        with self._database.reading() as db:
            history.head(db, plan_id)
            return _options(db, plan_id)

    def all(self) -> Mapping[str, tuple[str, Option]]:
        """Return the family and the option of each plan that has options and is not deleted."""
        with self._database.reading() as db:
            rows = db.execute(
                "SELECT id, name, letter, chosen, family FROM plans "
                "WHERE family IS NOT NULL AND deleted_at IS NULL ORDER BY family, letter"
            ).fetchall()
        return {row[0]: (row[4], _option(*row[:4])) for row in rows}

    def add(self, plan_id: str, make: Callable[[str], Plan], author: str) -> State:
        """Keep a new option beside a plan; `make` gives it for its letter.

        The first one makes the family, with the plan that was there as its A. Raises
        NotFoundError, CommandError.
        """
        new_id = secrets.token_hex(6)
        with self._database.writing() as db:
            history.head(db, plan_id)
            (family,) = db.execute("SELECT family FROM plans WHERE id = ?", (plan_id,)).fetchone()
            if family is None:
                family = plan_id
                db.execute("UPDATE plans SET family = ? WHERE id = ?", (family, plan_id))
            (letter,) = db.execute(
                "SELECT max(letter) + 1 FROM plans WHERE family = ?", (family,)
            ).fetchone()
            if letter >= OPTIONS_LIMIT:
                raise CommandError("The letters are used up: a plan has at most 26 options.")
            plan = make(_lettered(letter))
            history.begin(db, new_id, plan, author, now())
            db.execute(
                "UPDATE plans SET family = ?, letter = ? WHERE id = ?", (family, letter, new_id)
            )
        return State(new_id, plan, 0, None, None)

    def choose(self, plan_id: str) -> None:
        """Make a plan the chosen one of its options, and no other. Raises NotFoundError."""
        with self._database.writing() as db:
            history.head(db, plan_id)
            db.execute(
                "UPDATE plans SET chosen = (id = ?) "
                "WHERE family = (SELECT family FROM plans WHERE id = ?)",
                (plan_id, plan_id),
            )

    def vote(self, plan_id: str, letter: str, voice: str, author: str) -> None:
        """Vote for an option of a plan's family; an earlier vote of that voice is replaced.

        Raises NotFoundError, CommandError where there is no such option or no choice.
        """
        with self._database.writing() as db:
            history.head(db, plan_id)
            options = _options(db, plan_id)
            meant = next((option for option in options if option.letter == letter), None)
            if meant is None or len(options) < 2:
                raise CommandError("There is no such option to vote for.")
            db.execute(
                "INSERT INTO option_votes VALUES "
                "((SELECT family FROM plans WHERE id = ?), ?, ?, ?, ?, ?) "
                "ON CONFLICT (family, voice) DO UPDATE SET author = excluded.author, "
                "plan_id = excluded.plan_id, revision = excluded.revision, at = excluded.at",
                (
                    plan_id,
                    voice,
                    author,
                    meant.plan_id,
                    history.head(db, meant.plan_id).number,
                    now(),
                ),
            )

    def votes(self, plan_id: str) -> tuple[OptionVote, ...]:
        """List the votes for the options of a plan that are not deleted, the first one first.

        Raises NotFoundError.
        """
        with self._database.reading() as db:
            history.head(db, plan_id)
            rows = db.execute(
                "SELECT v.voice, v.author, p.letter, v.revision FROM option_votes v "
                "JOIN plans p ON p.id = v.plan_id WHERE p.deleted_at IS NULL AND "
                "v.family = (SELECT family FROM plans WHERE id = ?) ORDER BY v.at, v.voice",
                (plan_id,),
            ).fetchall()
        return tuple(
            OptionVote(voice, author, _lettered(letter), revision)
            for voice, author, letter, revision in rows
        )


def _options(db: sqlite3.Connection, plan_id: str) -> tuple[Option, ...]:
    rows = db.execute(
        "SELECT id, name, letter, chosen FROM plans WHERE deleted_at IS NULL AND "
        "(id = ? OR family = (SELECT family FROM plans WHERE id = ?)) ORDER BY letter",
        (plan_id, plan_id),
    ).fetchall()
    return tuple(_option(*row) for row in rows)


def _option(plan_id: str, name: str, letter: int, chosen: int) -> Option:
    return Option(plan_id, name, _lettered(letter), bool(chosen))


def _lettered(number: int) -> str:
    """Return the letter of an option, "?" for a number that the program never gives."""
    return chr(ord("A") + number) if number < OPTIONS_LIMIT else "?"
