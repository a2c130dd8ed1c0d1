"""Folders and files that no other account of this machine may read, whatever the umask is."""

from __future__ import annotations

import os
import re
from contextlib import suppress
from pathlib import Path

OWNER_ONLY = 0o600
FOLDER_OWNER_ONLY = 0o700
OWN_NAMES = ("plans", "serving", ".restore-")
"""How everything begins that the program puts into its folder."""
OWN_FILES = re.compile(r"plans(-before-.+)?\.(sqlite3(-wal|-shm|-journal)?|reserve)|serving.*")
"""What those of its files are called that last; a household's own may begin as they do."""


def make_private(folder: Path) -> None:
    """Make a folder, or take one that is there, and let nobody else into it. Raises OSError.

    One that holds other things as well stays as it is: it may be meant for others too. So does one
    that is somebody else's, or on a disk that knows no rights. The program's own files in it are
    shut in any case.
    """
    folder.mkdir(mode=FOLDER_OWNER_ONLY, parents=True, exist_ok=True)
    with suppress(OSError):
        entries = list(folder.iterdir())
        if all(entry.name.startswith(OWN_NAMES) for entry in entries):
            os.chmod(folder, FOLDER_OWNER_ONLY)
        for entry in entries:
            if OWN_FILES.fullmatch(entry.name) and entry.is_file() and not entry.is_symlink():
                with suppress(OSError):
                    os.chmod(entry, OWNER_ONLY)


def make_file_private(path: Path) -> None:
    """Make a file, or take one that is there, and let nobody else read it.

    What SQLite writes beside a file gets the rights of that file.
    """
    with suppress(OSError):
        os.close(os.open(path, os.O_RDWR | os.O_CREAT, OWNER_ONLY))
        os.chmod(path, OWNER_ONLY)
