"""Room on the disk laid by for what makes things fewer: it goes through on a full disk too.

To delete a plan or to shut a link is a line in the log of the file first, so it wants room like
anything else. A file of nothing beside the plans keeps a little of it.
"""

from __future__ import annotations

import os
from contextlib import suppress
from pathlib import Path

from app.store.private import OWNER_ONLY

NAME = "plans.reserve"
BYTES = 131_072
"""32 pages of the log. A plan deleted or a link shut writes three or four; and the log is folded
into the file, and gives its room back, when the program ends."""
AT_A_TIME = 4096
"""A page of the log: what it grows by."""


def lay_by(folder: Path) -> None:
    """Take what is lacking of the reserve, as far as there is room."""
    path = folder / NAME
    with suppress(OSError):
        opened = os.open(path, os.O_WRONLY | os.O_CREAT | os.O_APPEND, OWNER_ONLY)
        with open(opened, "ab", buffering=0) as file:
            # of chance: a disk that packs what is written would keep no room for zeros
            for _ in range(file.tell(), BYTES, AT_A_TIME):
                file.write(os.urandom(AT_A_TIME))


def give_up(folder: Path) -> None:
    """Give the room that was laid by back to the disk."""
    with suppress(OSError):
        (folder / NAME).unlink()
