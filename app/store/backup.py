"""One file with all plans: made while the program runs, checked before it replaces anything."""

from __future__ import annotations

import os
import secrets
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from datetime import UTC, datetime
from pathlib import Path

from app.errors import ElbowroomError, StoreError
from app.store.database import FILE_NAME, Database
from app.store.reading import plan_at

MARK = 0x456C6277
"""PRAGMA application_id of a backup ("Elbw"), so that another file is not taken for one."""
BESIDE = ("-wal", "-shm", "-journal")


def back_up(database: Database, target: Path) -> int:
    """Write all plans into one new file and give how many there are, deleted ones included.

    Others may go on reading and writing meanwhile; the backup holds one moment. It appears under
    its name only when it is whole and has been checked. Raises StoreError; also when the file
    is there already, for the last good backup is not a thing to write over.
    """
    if target.exists():
        raise StoreError(f"{target} is there already; give the backup a name of its own.")
    made = target.with_name(f".{target.name}.{secrets.token_hex(4)}.part")
    try:
        with _told(made):
            with (
                closing(database.connected()) as source,
                closing(sqlite3.connect(made, isolation_level=None)) as copy,
            ):
                source.backup(copy)
                copy.execute("PRAGMA journal_mode = DELETE")
                copy.execute("PRAGMA synchronous = FULL")
                copy.execute(f"PRAGMA application_id = {MARK}")
                _see_whole(copy, made)
                (count,) = copy.execute("SELECT count(*) FROM plans").fetchone()
            _sync(made)
            # A hard link fails if the name has been taken meanwhile; not every disk knows them.
            try:
                os.link(made, target)
            except FileExistsError:
                raise
            except OSError:
                os.replace(made, target)
            _sync_folder(target.parent)
    finally:
        _remove(made)
    return int(count)


def restore_backup(backup: Path, folder: Path) -> tuple[int, Path | None]:
    """Put a backup in the place of the plans of a folder that no program has open.

    Gives how many plans it holds, and the file that now keeps the plans that were there before
    (None if there were none). The backup is copied, brought up to today's shape and every plan
    in it is read before anything is replaced. Raises StoreError; then nothing has changed.
    """
    _see_marked(backup)
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise StoreError(f"The folder {folder} cannot be made: {error.strerror}.") from None
    trial = folder / f".restore-{secrets.token_hex(4)}"
    fresh, current = trial / FILE_NAME, folder / FILE_NAME
    try:
        with _told(backup):
            trial.mkdir()
            shutil.copyfile(backup, fresh)
            count = _try(fresh, backup)
            _sync(fresh)
            aside = _put_aside(current)
            os.replace(fresh, current)
            _sync_folder(folder)
    finally:
        shutil.rmtree(trial, ignore_errors=True)
    return count, aside


def _see_marked(backup: Path) -> None:
    """Refuse what is no backup before anything is copied."""
    no_backup = StoreError(f"{backup} is no backup of Elbowroom. Nothing was changed.")
    try:
        with open(backup, "rb") as file:
            head = file.read(100)
    except OSError as error:
        raise StoreError(f"{backup} cannot be read: {error.strerror}.") from None
    # The file format of SQLite: a fixed beginning, the application's mark in bytes 68 to 71.
    if not head.startswith(b"SQLite format 3\0") or head[68:72] != MARK.to_bytes(4, "big"):
        raise no_backup


def _try(fresh: Path, backup: Path) -> int:
    """Read everything there is in a copy of a backup, and give the number of its plans."""
    with closing(sqlite3.connect(fresh, isolation_level=None)) as db:
        _see_whole(db, backup)
        # Nobody's own statements run when a plan is read or changed.
        if db.execute("SELECT 1 FROM sqlite_master WHERE type IN ('trigger', 'view')").fetchone():
            raise StoreError(f"{backup} holds more than plans. Nothing was changed.")
        # The plans in use carry no mark: else a copy of them would pass for a backup.
        db.execute("PRAGMA application_id = 0")
    database = Database(fresh.parent)
    try:
        with database.reading() as db:
            newest = db.execute("SELECT id, revision FROM plans").fetchall()
            for plan_id, number in newest:
                plan_at(db, plan_id, number)
    except ElbowroomError as error:
        raise StoreError(f"{backup} cannot be used: {error.sentence}") from None
    finally:
        database.close()
    with closing(sqlite3.connect(fresh, isolation_level=None)) as db:
        db.execute("PRAGMA journal_mode = DELETE")
    return len(newest)


def _put_aside(current: Path) -> Path | None:
    if not current.exists():
        for ending in BESIDE:
            _remove(current.with_name(current.name + ending))
        return None
    moment = datetime.now(UTC).strftime("%Y-%m-%dT%H-%M-%S")
    aside = current.with_name(f"plans-before-{moment}-{secrets.token_hex(2)}.sqlite3")
    # What lies beside belongs to the file it is named after and must never meet another one.
    with suppress(sqlite3.Error), closing(sqlite3.connect(current, isolation_level=None)) as db:
        db.execute("PRAGMA journal_mode = DELETE")
    for ending in BESIDE:
        with suppress(FileNotFoundError):
            os.replace(current.with_name(current.name + ending), Path(f"{aside}{ending}"))
    try:
        # With a second name for the old plans, the next step changes old for new in one stroke.
        os.link(current, aside)
    except OSError:
        os.replace(current, aside)
    return aside


def _see_whole(db: sqlite3.Connection, path: Path) -> None:
    found = db.execute("PRAGMA integrity_check(1)").fetchone()
    if found != ("ok",):
        raise StoreError(f"{path} is damaged ({found[0]}). Nothing was changed.")
    if db.execute("PRAGMA foreign_key_check").fetchone() is not None:
        raise StoreError(f"{path} is damaged: parts of a plan are missing. Nothing was changed.")


@contextmanager
def _told(path: Path) -> Iterator[None]:
    try:
        yield
    except StoreError:
        raise
    except sqlite3.DatabaseError as error:
        raise StoreError(f"{path} cannot be used: {error}. Nothing was changed.") from None
    except OSError as error:
        raise StoreError(f"{path}: {error.strerror}. Nothing was changed.") from None


def _sync(path: Path) -> None:
    with open(path, "r+b") as file:
        os.fsync(file.fileno())


def _sync_folder(folder: Path) -> None:
    # Windows cannot open a folder, and needs no such thing.
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)


def _remove(path: Path) -> None:
    with suppress(OSError):
        path.unlink()
