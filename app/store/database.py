"""Connections to the file of plans, and what is said when the disk does not play along."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import TypeVar

from app.errors import DiskFullError, StoreError
from app.store.medium import FILE_NAME as FILE_NAME
from app.store.medium import copied_where_needed, may_only_be_read, unchanging
from app.store.migrations import migrate
from app.store.private import make_file_private, make_private
from app.store.reserve import give_up, lay_by

BUSY_SECONDS = 10.0
IDLE_LIMIT = 8
ONLY_READ = "{path} cannot be written to: the change was not kept."
T = TypeVar("T")


def as_text(data: bytes) -> str:
    """Return a text of the file; what is no UTF-8 in it becomes a mark, and shuts nobody out."""
    return data.decode("utf-8", "replace")


def now() -> str:
    """Return the moment as ISO text in UTC with milliseconds; sorts as time does."""
    return datetime.now(UTC).isoformat(timespec="milliseconds")


class Database:
    """The file in a folder, with connections that are used by one thread at a time.

    Connections are kept for the next caller: closing the last one would make SQLite fold its
    log into the file each time. Where the medium may only be read, `only_read` is true and
    whoever would write is refused. Raises StoreError when the folder or file cannot be used.
    """

    def __init__(self, folder: Path) -> None:
        self.path = folder / FILE_NAME
        self._idle: list[sqlite3.Connection] = []
        self._lock = threading.Lock()
        self._closed = False
        self.only_read = may_only_be_read(folder)
        self._copy: TemporaryDirectory[str] | None = None
        if self.only_read:
            self._copy = self._copied()
        else:
            self._make(folder)
        # what is read as it stands is of today's shape already
        self._unchanging = self.only_read and self._copy is None
        with self._faults_in_words():
            db = self._connect()
            try:
                if not self._unchanging:
                    migrate(db, now())
            except BaseException:
                db.close()
                raise
            self._idle.append(db)
        if not self.only_read:
            lay_by(folder)

    def _make(self, folder: Path) -> None:
        try:
            make_private(folder)
            make_file_private(self.path)
        except OSError as error:
            raise StoreError(
                f"The folder {folder} for the plans cannot be made: {error.strerror}. "
                "Choose another one with --data."
            ) from None

    def _copied(self) -> TemporaryDirectory[str] | None:
        try:
            with self._faults_in_words():
                return copied_where_needed(self.path)
        except OSError as error:
            raise StoreError(f"{self.path} cannot be read: {error.strerror}.") from None

    def close(self) -> None:
        """Close every connection; the database cannot be used afterwards."""
        with self._lock:
            self._closed = True
            idle, self._idle = self._idle, []
        for db in idle:
            db.close()
        if self._copy is not None:
            self._copy.cleanup()

    @contextmanager
    def reading(self) -> Iterator[sqlite3.Connection]:
        """Return a connection whose reads all see the same moment. Raises StoreError."""
        with self._faults_in_words(), self._borrowed() as db, self._transaction(db, "BEGIN"):
            yield db

    @contextmanager
    def writing(self) -> Iterator[sqlite3.Connection]:
        """Return a connection that alone may write; all is kept at the end, or nothing.

        Raises StoreError.
        """
        if self.only_read:
            raise StoreError(ONLY_READ.format(path=self.path))
        with (
            self._faults_in_words(),
            self._borrowed() as db,
            self._transaction(db, "BEGIN IMMEDIATE"),
        ):
            yield db

    def make_fewer(self, write: Callable[[sqlite3.Connection], T]) -> T:
        """Write what makes things fewer, and return what `write` returns; all is kept or nothing.

        On a full disk it uses the room that was laid by. Raises StoreError.
        """
        try:
            with self.writing() as db:
                return write(db)
        except DiskFullError:
            give_up(self.path.parent)
        try:
            with self.writing() as db:
                return write(db)
        finally:
            lay_by(self.path.parent)

    def connected(self) -> sqlite3.Connection:
        """Return a connection of the caller's own, who closes it. Raises StoreError."""
        with self._faults_in_words():
            return self._connect()

    def _connect(self) -> sqlite3.Connection:
        file = self.path if self._copy is None else Path(self._copy.name, FILE_NAME)
        db = sqlite3.connect(
            unchanging(file) if self._unchanging else file,
            timeout=BUSY_SECONDS,
            isolation_level=None,
            check_same_thread=False,
            uri=self._unchanging,
        )
        db.text_factory = as_text
        try:
            if not self._unchanging:
                db.execute("PRAGMA journal_mode = WAL")
                db.execute("PRAGMA synchronous = FULL")
            db.execute("PRAGMA foreign_keys = ON")
            # no statement of the file itself may call a function with effects
            db.execute("PRAGMA trusted_schema = OFF")
        except BaseException:
            db.close()
            raise
        return db

    @contextmanager
    def _borrowed(self) -> Iterator[sqlite3.Connection]:
        with self._lock:
            if self._closed:
                raise StoreError("The plans have been closed; the program is ending.")
            db = self._idle.pop() if self._idle else None
        if db is None:
            db = self._connect()
        try:
            yield db
        finally:
            self._give_back(db)

    def _give_back(self, db: sqlite3.Connection) -> None:
        with self._lock:
            keep = not self._closed and not db.in_transaction and len(self._idle) < IDLE_LIMIT
            if keep:
                self._idle.append(db)
        if not keep:
            db.close()

    @contextmanager
    def _transaction(self, db: sqlite3.Connection, begin: str) -> Iterator[None]:
        db.execute(begin)
        try:
            yield
        except BaseException:
            with suppress(sqlite3.Error):
                db.execute("ROLLBACK")
            raise
        try:
            db.execute("COMMIT")
        except sqlite3.Error:
            with suppress(sqlite3.Error):
                db.execute("ROLLBACK")
            raise

    @contextmanager
    def _faults_in_words(self) -> Iterator[None]:
        try:
            yield
        except sqlite3.Error as error:
            full = _name(error).startswith("SQLITE_FULL")
            fault = DiskFullError if full else StoreError
            raise fault(_sentence(error, self.path)) from error


def _name(error: sqlite3.Error) -> str:
    return getattr(error, "sqlite_errorname", None) or ""


def _sentence(error: sqlite3.Error, path: Path) -> str:
    name = _name(error)
    if name.startswith("SQLITE_FULL"):
        return f"The disk is full: the change was not kept. Make room beside {path} and try again."
    if name.startswith("SQLITE_READONLY"):
        return ONLY_READ.format(path=path)
    if name.startswith("SQLITE_CANTOPEN"):
        return f"{path} cannot be opened; look at the rights of its folder."
    if name.startswith(("SQLITE_CORRUPT", "SQLITE_NOTADB")):
        return (
            f"{path} is damaged or is no file of plans. Nothing was changed in it; "
            "move it aside, or choose another folder with --data."
        )
    if name.startswith(("SQLITE_BUSY", "SQLITE_LOCKED")):
        return f"{path} is in use by another program: the change was not kept. Try again."
    return f"{path} cannot be used: {error}."
