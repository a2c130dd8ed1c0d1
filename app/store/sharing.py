"""Links for guests, their remarks on the plan and their votes."""

from __future__ import annotations

import hashlib
import secrets
import sqlite3
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta
from typing import Literal, get_args

from app.errors import Fault, NotFoundError, PlanError
from app.store import history
from app.store.database import Database, now

Rights = Literal["look", "comment", "edit"]
Choice = Literal["for", "against"]

SECRET_BYTES = 24
"""192 random bits, 32 letters of a link."""
NAME_LIMIT = 60
TEXT_LIMIT = 1000
LINKS_LIMIT = 100
REMARKS_LIMIT = 500
LINES_LIMIT = 100
LONGEST = timedelta(days=366)
FARTHEST_MM = 1_000_000.0
TAKEN_NAMES = frozenset({"owner", "you"})


@dataclass(frozen=True, slots=True)
class Link:
    """Who may come by a link, to which plan, with which right and until when.

    `ticks` tells whether they may tick works off besides, `money` that they see what the kit
    costs, though they may not change the plan.
    """

    id: str
    plan_id: str
    name: str
    rights: Rights
    made: datetime
    ends: datetime
    withdrawn: datetime | None
    ticks: bool
    money: bool

    def lives(self, at: datetime | None = None) -> bool:
        """Return whether the link still opens at a moment (None: this one)."""
        return self.withdrawn is None and (at or datetime.now(UTC)) < self.ends


@dataclass(frozen=True, slots=True)
class Line:
    """One thing said. `voice` is the id of the speaker's link, or of the owner."""

    voice: str
    author: str
    text: str
    at: datetime


@dataclass(frozen=True, slots=True)
class Remark:
    """A letter on the plan: its number (0 is A), its place in mm, what was said, replies last."""

    id: int
    letter: int
    x_mm: float
    y_mm: float
    lines: tuple[Line, ...]
    settled: datetime | None
    settled_by: str | None


@dataclass(frozen=True, slots=True)
class Vote:
    """What somebody thinks of the plan as it stood at a revision."""

    voice: str
    author: str
    choice: Choice
    revision: int
    at: datetime


def digest_of(secret: str) -> bytes:
    """Return what is kept of a secret."""
    return hashlib.sha256(secret.encode("utf-8", "replace")).digest()


class Sharing:
    """Links, remarks and votes of all plans. Every method may raise StoreError."""

    def __init__(self, database: Database) -> None:
        self._database = database

    def make_link(
        self,
        plan_id: str,
        name: str,
        rights: str,
        ends: datetime,
        ticks: bool = False,
        money: bool = False,
    ) -> tuple[Link, str]:
        """Make a link and give it with its secret, which is kept nowhere.

        Raises NotFoundError, and PlanError for a name, right or end that does not do.
        """
        name = _checked_text(name, "name", NAME_LIMIT)
        faults = []
        if name.casefold() in TAKEN_NAMES:
            faults.append(Fault("name", f"must be another word than {name}"))
        if rights not in get_args(Rights):
            faults.append(Fault("rights", "must be look, comment or edit"))
        moment = datetime.now(UTC)
        if not moment < ends <= moment + LONGEST:
            faults.append(Fault("ends", "must lie ahead, and at most a year"))
        if faults:
            raise PlanError(*faults)
        secret, link_id = secrets.token_urlsafe(SECRET_BYTES), secrets.token_hex(6)
        with self._database.writing() as db:
            history.head(db, plan_id)
            (count,) = db.execute(
                "SELECT count(*) FROM links WHERE plan_id = ? AND withdrawn_at IS NULL "
                "AND ends_at > ?",
                (plan_id, now()),
            ).fetchone()
            if count >= LINKS_LIMIT:
                raise PlanError(Fault("name", f"a plan has at most {LINKS_LIMIT} links at a time"))
            db.execute(
                "INSERT INTO links VALUES (?, ?, ?, ?, ?, ?, ?, NULL, ?, ?)",
                (
                    link_id,
                    plan_id,
                    name,
                    rights,
                    digest_of(secret),
                    now(),
                    _text(ends),
                    ticks,
                    money,
                ),
            )
            return _link_of(db, link_id), secret

    def links(self, plan_id: str) -> tuple[Link, ...]:
        """List the links of a plan, the newest first. Raises NotFoundError."""
        with self._database.reading() as db:
            history.head(db, plan_id)
            rows = db.execute(
                _LINK + "WHERE plan_id = ? ORDER BY made_at DESC, id", (plan_id,)
            ).fetchall()
        return tuple(_link(*row) for row in rows)

    def link(self, link_id: str) -> Link:
        """Return a link as it stands. Raises NotFoundError."""
        with self._database.reading() as db:
            return _link_of(db, link_id)

    def opened_by(self, secret: str) -> Link | None:
        """Return the link that a secret opens now; None for any other secret."""
        with self._database.reading() as db:
            row = db.execute(_LINK + "WHERE digest = ?", (digest_of(secret),)).fetchone()
        if row is None:
            return None
        link = _link(*row)
        return link if link.lives() else None

    def renew(self, plan_id: str, link_id: str) -> tuple[Link, str]:
        """Give a link that opens still another secret; what it said and voted stays its own.

        The old secret opens nothing from now on. Raises NotFoundError.
        """
        secret = secrets.token_urlsafe(SECRET_BYTES)
        with self._database.writing() as db:
            renewed = db.execute(
                "UPDATE links SET digest = ? WHERE plan_id = ? AND id = ? "
                "AND withdrawn_at IS NULL AND ends_at > ?",
                (digest_of(secret), plan_id, link_id, now()),
            )
            if renewed.rowcount == 0:
                raise NotFoundError("There is no such link, or it opens no more.")
            return _link_of(db, link_id), secret

    def withdraw(self, plan_id: str, link_id: str) -> None:
        """Make a link open nothing from now on, on a full disk too. Raises NotFoundError."""

        def shut(db: sqlite3.Connection) -> None:
            withdrawn = db.execute(
                "UPDATE links SET withdrawn_at = coalesce(withdrawn_at, ?) "
                "WHERE plan_id = ? AND id = ?",
                (now(), plan_id, link_id),
            )
            if withdrawn.rowcount == 0:
                raise NotFoundError("There is no such link.")

        self._database.make_fewer(shut)

    def remarks(self, plan_id: str) -> tuple[Remark, ...]:
        """List the remarks on a plan in the order of their letters. Raises NotFoundError."""
        with self._database.reading() as db:
            history.head(db, plan_id)
            rows = db.execute(
                "SELECT id, letter, x_mm, y_mm, settled_at, settled_by FROM remarks "
                "WHERE plan_id = ? ORDER BY letter",
                (plan_id,),
            ).fetchall()
            lines = db.execute(
                "SELECT l.remark_id, l.voice, l.author, l.text, l.at FROM remark_lines l "
                "JOIN remarks r ON r.id = l.remark_id WHERE r.plan_id = ? "
                "ORDER BY l.remark_id, l.number",
                (plan_id,),
            ).fetchall()
        replies: dict[int, list[Line]] = {}
        for remark_id, voice, author, text, at in lines:
            line = Line(voice, author, text, datetime.fromisoformat(at))
            replies.setdefault(remark_id, []).append(line)
        return tuple(
            Remark(
                remark_id,
                letter,
                x_mm,
                y_mm,
                tuple(replies.get(remark_id, ())),
                datetime.fromisoformat(settled) if settled else None,
                settled_by,
            )
            for remark_id, letter, x_mm, y_mm, settled, settled_by in rows
        )

    def add_remark(
        self, plan_id: str, x_mm: float, y_mm: float, text: str, voice: str, author: str
    ) -> int:
        """Pencil a letter on the plan and give the remark's id. Raises NotFoundError, PlanError."""
        text = _checked_text(text, "text", TEXT_LIMIT)
        if not (abs(x_mm) <= FARTHEST_MM and abs(y_mm) <= FARTHEST_MM):
            raise PlanError(Fault("x_mm", "lies far outside the plan"))
        with self._database.writing() as db:
            history.head(db, plan_id)
            (count,) = db.execute(
                "SELECT count(*) FROM remarks WHERE plan_id = ?", (plan_id,)
            ).fetchone()
            if count >= REMARKS_LIMIT:
                raise PlanError(Fault("text", f"a plan has at most {REMARKS_LIMIT} remarks"))
            made = db.execute(
                "INSERT INTO remarks (plan_id, letter, x_mm, y_mm, at) VALUES (?, "
                "(SELECT coalesce(max(letter) + 1, 0) FROM remarks WHERE plan_id = ?), ?, ?, ?)",
                (plan_id, plan_id, x_mm, y_mm, now()),
            )
            remark_id = int(made.lastrowid or 0)
            _add_line(db, remark_id, voice, author, text)
            return remark_id

    def reply(self, plan_id: str, remark_id: int, text: str, voice: str, author: str) -> None:
        """Add a line to a remark. Raises NotFoundError, PlanError."""
        text = _checked_text(text, "text", TEXT_LIMIT)
        with self._database.writing() as db:
            _see_remark(db, plan_id, remark_id)
            _add_line(db, remark_id, voice, author, text)

    def settle_remark(self, plan_id: str, remark_id: int, settled: bool, author: str) -> None:
        """Settle a remark, or open it again. Raises NotFoundError."""
        with self._database.writing() as db:
            _see_remark(db, plan_id, remark_id)
            db.execute(
                "UPDATE remarks SET settled_at = ?, settled_by = ? WHERE id = ?",
                (now() if settled else None, author if settled else None, remark_id),
            )

    def votes(self, plan_id: str) -> tuple[Vote, ...]:
        """List the votes on a plan in the order in which they were given. Raises NotFoundError."""
        with self._database.reading() as db:
            history.head(db, plan_id)
            rows = db.execute(
                "SELECT voice, author, choice, revision, at FROM votes WHERE plan_id = ? "
                "ORDER BY at, voice",
                (plan_id,),
            ).fetchall()
        return tuple(
            Vote(voice, author, choice, revision, datetime.fromisoformat(at))
            for voice, author, choice, revision, at in rows
        )

    def vote(self, plan_id: str, voice: str, author: str, choice: str) -> None:
        """Vote on the plan as it stands; an earlier vote of that voice is replaced.

        Raises NotFoundError, PlanError.
        """
        if choice not in get_args(Choice):
            raise PlanError(Fault("choice", "must be for or against"))
        with self._database.writing() as db:
            revision = history.head(db, plan_id).number
            db.execute(
                "INSERT INTO votes VALUES (?, ?, ?, ?, ?, ?) ON CONFLICT (plan_id, voice) DO "
                "UPDATE SET author = excluded.author, choice = excluded.choice, "
                "revision = excluded.revision, at = excluded.at",
                (plan_id, voice, author, choice, revision, now()),
            )


_LINK = "SELECT id, plan_id, name, rights, made_at, ends_at, withdrawn_at, ticks, money FROM links "


def _link_of(db: sqlite3.Connection, link_id: str) -> Link:
    row = db.execute(_LINK + "WHERE id = ?", (link_id,)).fetchone()
    if row is None:
        raise NotFoundError("There is no such link.")
    return _link(*row)


def _link(
    link_id: str,
    plan_id: str,
    name: str,
    rights: Rights,
    made: str,
    ends: str,
    gone: str | None,
    ticks: int,
    money: int,
) -> Link:
    return Link(
        link_id,
        plan_id,
        name,
        rights,
        datetime.fromisoformat(made),
        datetime.fromisoformat(ends),
        datetime.fromisoformat(gone) if gone else None,
        bool(ticks),
        bool(money),
    )


def _see_remark(db: sqlite3.Connection, plan_id: str, remark_id: int) -> None:
    history.head(db, plan_id)
    row = None
    if 0 <= remark_id < history.NUMBERS_END:
        row = db.execute(
            "SELECT 1 FROM remarks WHERE plan_id = ? AND id = ?", (plan_id, remark_id)
        ).fetchone()
    if row is None:
        raise NotFoundError("There is no such remark.")


def _add_line(db: sqlite3.Connection, remark_id: int, voice: str, author: str, text: str) -> None:
    (count,) = db.execute(
        "SELECT count(*) FROM remark_lines WHERE remark_id = ?", (remark_id,)
    ).fetchone()
    if count >= LINES_LIMIT:
        raise PlanError(Fault("text", f"a remark has at most {LINES_LIMIT} lines"))
    db.execute(
        "INSERT INTO remark_lines VALUES (?, ?, ?, ?, ?, ?)",
        (remark_id, count, voice, author, text, now()),
    )


def _checked_text(text: str, field: str, limit: int) -> str:
    """Return a text without needless spaces. Raises PlanError when it is empty or overlong."""
    text = " ".join(text.split())
    if not text or len(text) > limit:
        raise PlanError(Fault(field, f"must have 1 to {limit} letters, not {len(text):,}"))
    try:
        text.encode()
    except UnicodeEncodeError:
        raise PlanError(Fault(field, "holds half a letter")) from None
    return text


def _text(moment: datetime) -> str:
    return moment.astimezone(UTC).isoformat(timespec="milliseconds")
