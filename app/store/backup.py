"""One file with all plans: made while the program runs, checked before it replaces anything."""

from __future__ import annotations

import os
import secrets
import shutil
import sqlite3
from collections.abc import Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import dataclass, replace
from datetime import UTC, datetime
from pathlib import Path

from app.errors import ElbowroomError, StoreError
from app.store import history
from app.store.database import FILE_NAME, Database, as_text, now
from app.store.entries import State
from app.store.foreign import open_with_care, see_like_ours, see_whole
from app.store.mending import leave_out, mend, name_as
from app.store.private import OWNER_ONLY, make_private

MARK = 0x456C6277
"""PRAGMA application_id of a backup ("Elbw"), so that another file is not taken for one."""
BESIDE = ("-wal", "-shm", "-journal")


@dataclass(frozen=True, slots=True)
class Copied:
    """How many plans were copied, deleted ones included; `unread` names those not read whole.

    `left_out` names those that a restore did not bring back, for they would not open. `aside`
    keeps the plans that were there before a restore, None if there were none.
    """

    count: int
    unread: tuple[str, ...] = ()
    left_out: tuple[str, ...] = ()
    aside: Path | None = None


def back_up(database: Database, target: Path) -> Copied:
    """Write all plans into one new file, also those that cannot be read, which are named.

    Others may go on reading and writing meanwhile; the backup holds one moment. It appears under
    its name only when it is whole and has been checked. Raises StoreError; also when the file
    is there already, for the last good backup is not a thing to write over.
    """
    if target.exists():
        raise StoreError(f"{target} is there already; give the backup a name of its own.")
    made = target.with_name(f".{target.name}.{secrets.token_hex(4)}.part")
    try:
        with _faults_of(made):
            with (
                closing(database.connected()) as source,
                closing(sqlite3.connect(made, isolation_level=None)) as copy,
            ):
                source.backup(copy)
                copy.text_factory = as_text
                copy.execute("PRAGMA journal_mode = DELETE")
                copy.execute("PRAGMA synchronous = FULL")
                copy.execute(f"PRAGMA application_id = {MARK}")
                see_whole(copy, made)
                plans = _plans(copy)
                unread = tuple(name for plan_id, name in plans if not _is_whole(copy, plan_id))
                copied = Copied(len(plans), unread)
            os.chmod(made, OWNER_ONLY)
            _sync(made)
            # A hard link fails if the name has been taken meanwhile; not every disk knows them.
            try:
                os.link(made, target)
            except FileExistsError:
                raise
            except OSError:
                os.replace(made, target)
            # the file itself is on the disk by now
            _sync_folder(target.parent)
    finally:
        _remove(made)
    return copied


def restore_backup(backup: Path, folder: Path) -> Copied:
    """Put a backup in the place of the plans of a folder that no program has open.

    The backup is copied, brought up to today's shape and in order, and every plan in it is read
    before anything is replaced; one that reads in part comes along and is named, one that would
    not open is named and left out. Links for guests are shut, all of them. Raises StoreError, also
    when no plan at all would open; then nothing has changed.
    """
    _see_marked(backup)
    try:
        make_private(folder)
    except OSError as error:
        raise StoreError(f"The folder {folder} cannot be made: {error.strerror}.") from None
    trial = folder / f".restore-{secrets.token_hex(4)}"
    fresh, current = trial / FILE_NAME, folder / FILE_NAME
    try:
        with _faults_of(backup):
            trial.mkdir(mode=0o700)
            shutil.copyfile(backup, fresh)
            os.chmod(fresh, OWNER_ONLY)
            copied = _try(fresh, backup)
            _sync(fresh)
            aside = _put_aside(current)
            os.replace(fresh, current)
            _sync_folder(folder)
    finally:
        shutil.rmtree(trial, ignore_errors=True)
    return replace(copied, aside=aside)


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


def _try(fresh: Path, backup: Path) -> Copied:
    """Read everything there is in a copy of a backup, and shut its links."""
    with closing(open_with_care(fresh)) as db:
        see_whole(db, backup)
        see_like_ours(db, backup)
        # The plans in use carry no mark: else a copy of them would pass for a backup.
        db.execute("PRAGMA application_id = 0")
    try:
        copied = _in_order(fresh.parent)
    except StoreError as error:
        # nobody knows the copy by its name; what hinders it now lies where the plans would be
        current = fresh.parent.parent / FILE_NAME
        raise StoreError(error.sentence.replace(str(fresh), str(current))) from error
    if copied.left_out and not copied.count:
        raise StoreError(
            f"{backup} holds no plan that can be read ({', '.join(copied.left_out)}). "
            "Nothing was changed."
        )
    with closing(sqlite3.connect(fresh, isolation_level=None)) as db:
        db.execute("PRAGMA journal_mode = DELETE")
    return copied


def _in_order(folder: Path) -> Copied:
    """Leave only plans that open in the file of a folder, each with what can be read of it."""
    database = Database(folder)
    try:
        with database.writing() as db:
            behind = mend(db)
            plans = _plans(db)
            unread, left_out = [], []
            for plan_id, name in plans:
                state = _opened(db, plan_id)
                if state is None:
                    left_out.append(name)
                    leave_out(db, plan_id)
                    continue
                if state.out_of_reach is not None or plan_id in behind:
                    unread.append(name)
                else:
                    # of the two names the plan's own is the one that was given
                    name_as(db, plan_id, state.plan.name)
            db.execute("UPDATE links SET withdrawn_at = ? WHERE withdrawn_at IS NULL", (now(),))
            return Copied(len(plans) - len(left_out), tuple(unread), tuple(left_out))
    finally:
        database.close()


def _plans(db: sqlite3.Connection) -> list[tuple[str, str]]:
    """Return id and name of every plan, deleted ones included."""
    return db.execute("SELECT id, name FROM plans ORDER BY name, id").fetchall()


def _opened(db: sqlite3.Connection, plan_id: str) -> State | None:
    """Return a plan as the program opens it, deleted or not; None where it does not open."""
    try:
        top, _ = history.newest(db, plan_id)
        return history.state(db, plan_id, top)
    except ElbowroomError:
        return None


def _is_whole(db: sqlite3.Connection, plan_id: str) -> bool:
    """Return whether a plan opens as it stands last, and can be changed then."""
    state = _opened(db, plan_id)
    if state is None or state.out_of_reach is not None:
        return False
    later = "SELECT 1 FROM revisions WHERE plan_id = ? AND number > ?"
    return db.execute(later, (plan_id, state.revision)).fetchone() is None


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


@contextmanager
def _faults_of(path: Path) -> Iterator[None]:
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
            # else the new name of a file may be forgotten where the power fails
            os.fsync(handle)
        finally:
            os.close(handle)


def _remove(path: Path) -> None:
    with suppress(OSError):
        path.unlink()
