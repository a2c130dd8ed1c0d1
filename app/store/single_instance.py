"""One program for one folder of plans: the first start keeps a lock, later ones find it."""

from __future__ import annotations

import errno
import hashlib
import json
import os
import secrets
import sys
import urllib.request
from contextlib import suppress
from pathlib import Path
from typing import IO

from app.errors import StoreError
from app.store.private import make_file_private, make_private

LOCK_NAME = "serving.lock"
NOTE_NAME = "serving.json"
ASK_SECONDS = 2.0
_HELD = {errno.EACCES, errno.EAGAIN, errno.EDEADLK}


def take_lock(data: Path) -> IO[bytes] | None:
    """Lock the folder for this process until it ends; None when another process has it.

    The operating system lets go of the lock whatever way a process ends. Raises StoreError when
    the folder cannot be written to.
    """
    try:
        make_private(data)
        make_file_private(data / LOCK_NAME)
        file = open(data / LOCK_NAME, "ab")  # noqa: SIM115 - it stays open as long as the lock
    except OSError as error:
        raise StoreError(
            f"The folder {data} cannot be written to: {error.strerror}. "
            "Choose another one with --data."
        ) from None
    try:
        _lock(file)
    except OSError as error:
        if error.errno in _HELD:
            file.close()
            return None
        # Some network disks know no locks; the note beside it still finds the first start.
    return file


if sys.platform == "win32":
    import msvcrt

    def _lock(file: IO[bytes]) -> None:
        msvcrt.locking(file.fileno(), msvcrt.LK_NBLCK, 1)

else:
    import fcntl

    def _lock(file: IO[bytes]) -> None:
        fcntl.flock(file, fcntl.LOCK_EX | fcntl.LOCK_NB)


def leave_note(data: Path, address: str, secret: str) -> None:
    """Write down where the program answers. Raises StoreError."""
    note = data / NOTE_NAME
    fresh = note.with_name(f"{NOTE_NAME}.{secrets.token_hex(4)}")
    try:
        with open(os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600), "w") as file:
            json.dump({"address": address, "secret": secret}, file)
        os.replace(fresh, note)
    except OSError as error:
        with suppress(OSError):
            fresh.unlink()
        raise StoreError(f"{note} cannot be written: {error.strerror}.") from None


def take_note_away(data: Path) -> None:
    """Remove the note at the end."""
    with suppress(OSError):
        (data / NOTE_NAME).unlink()


def mark_of(secret: str) -> str:
    """Return what a program answers that knows the secret, without telling it."""
    return hashlib.sha256(secret.encode()).hexdigest()


def first_address(data: Path) -> str | None:
    """Return the address of the program that serves this folder, None if none answers there."""
    try:
        note = json.loads((data / NOTE_NAME).read_text(encoding="utf-8"))
        address, secret = note["address"], note["secret"]
        if not (isinstance(secret, str) and str(address).startswith("http://127.0.0.1:")):
            return None
        # A proxy of the environment has no business between the two.
        opener = urllib.request.build_opener(urllib.request.ProxyHandler({}))
        with opener.open(f"{address}api/hello", timeout=ASK_SECONDS) as reply:
            answer = json.loads(reply.read(10_000))
        return str(address) if answer["mark"] == mark_of(secret) else None
    except (OSError, ValueError, KeyError, TypeError):
        return None
