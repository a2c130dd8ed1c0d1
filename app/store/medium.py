"""Plans on a medium that may only be read: they are shown, printed and exported all the same."""

from __future__ import annotations

import errno
import os
import shutil
import sqlite3
import tempfile
from contextlib import closing
from pathlib import Path

from app.store.migrations import MIGRATIONS, applied

FILE_NAME = "plans.sqlite3"
_SHUT = {errno.EROFS, errno.EACCES, errno.EPERM}


def may_only_be_read(folder: Path) -> bool:
    """Return whether there are plans in a folder that this process may read, and not write.

    A full disk is another matter: there is room again some time.
    """
    path = folder / FILE_NAME
    if not (path.is_file() and os.access(path, os.R_OK)):
        return False
    try:
        os.close(os.open(path, os.O_RDWR))
    except OSError as error:
        return error.errno in _SHUT
    return not os.access(folder, os.W_OK)


def unchanging(path: Path) -> str:
    """Return the URI by which SQLite reads a file that nobody writes.

    Without saying so it would make a file beside it, even to read.
    """
    return f"{path.absolute().as_uri()}?mode=ro&immutable=1"


def copied_where_needed(path: Path) -> tempfile.TemporaryDirectory[str] | None:
    """Return a folder with a copy of a file of plans; None where it can be read as it stands.

    What a program that was ended hard has kept may still lie beside the file, and a file of an
    older version wants bringing up to date: both are done in a copy. Raises OSError, sqlite3.Error.
    """
    beside = path.with_name(f"{path.name}-wal")
    whole = not (beside.is_file() and beside.stat().st_size)
    if whole:
        with closing(sqlite3.connect(unchanging(path), uri=True)) as db:
            if applied(db) == [name for name, _ in MIGRATIONS]:
                return None
    made = tempfile.TemporaryDirectory(prefix="elbowroom-", ignore_cleanup_errors=True)
    for one in (path, beside):
        if one.is_file():
            shutil.copyfile(one, Path(made.name, one.name))
    return made
