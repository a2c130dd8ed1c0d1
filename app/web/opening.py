"""The page of this account that leads the browser on to an address with a word in it.

What a program is started with can be read by every account of the machine, so the browser is not
started with the word, but with the name of a file that only this account can read.
"""

from __future__ import annotations

import os
import secrets
import tempfile
from contextlib import suppress
from pathlib import Path

NAME = "serving-open.html"
PAGE = (
    '<!doctype html><html lang="en"><meta charset="utf-8"><title>Elbowroom</title>'
    '<meta name="referrer" content="no-referrer">'
    '<meta http-equiv="refresh" content="0;url={address}">'
    '<p><a href="{address}">To your plans</a></p></html>\n'
)


def leave_page(data: Path, address: str) -> str:
    """Write the page beside the plans and return its address.

    Where nothing can be written there, it goes into a folder of its own for what is passing; the
    word in it is worth nothing once the program has ended.
    """
    try:
        return _written(data, address).as_uri()
    except OSError:
        return _written(Path(tempfile.mkdtemp(prefix="elbowroom-")), address).as_uri()


def take_page_away(data: Path) -> None:
    """Remove the page at the end."""
    with suppress(OSError):
        (data / NAME).unlink()


def _written(folder: Path, address: str) -> Path:
    fresh = folder / f"{NAME}.{secrets.token_hex(4)}"
    opened = os.open(fresh, os.O_WRONLY | os.O_CREAT | os.O_EXCL, 0o600)
    try:
        with open(opened, "w", encoding="utf-8") as file:
            file.write(PAGE.format(address=address))
        os.replace(fresh, folder / NAME)
    except OSError:
        with suppress(OSError):
            fresh.unlink()
        raise
    return folder / NAME
