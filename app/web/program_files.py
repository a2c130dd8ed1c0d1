"""Scripts, styles and icons lie at addresses that change with them, so browsers fetch each once."""

from __future__ import annotations

import hashlib
import os
import time
from collections.abc import Iterator
from functools import lru_cache
from pathlib import Path
from typing import Any

from flask import Flask, Response

from app.resources import folder

MARK_BEGINS = "v-"
MARK_BYTES = 6
"""Two states of the files meet in one mark once in 10^14: enough for the few a browser sees."""
FOR_GOOD = "max-age=31536000, immutable"
"""RFC 9111, 5.2.2.1 and RFC 8246: fresh for a year, and never asked for again meanwhile."""


def serve_program_files(app: Flask) -> None:
    """Give the files under `static` addresses with a mark, and let browsers keep those.

    A script imports others by relative addresses, so the mark in its own path marks them all.
    """

    def sent(filename: str) -> Response:
        mark, _, rest = filename.partition("/")
        if not mark.startswith(MARK_BEGINS):
            return app.send_static_file(filename)
        response = app.send_static_file(rest)
        # a tab from before the files changed asks by the mark of then, and gets what there is
        if mark == _mark():
            response.headers["Cache-Control"] = FOR_GOOD
        return response

    def marked(endpoint: str, values: dict[str, Any]) -> None:
        if endpoint == "static":
            values["filename"] = f"{_mark()}/{values['filename']}"

    app.view_functions["static"] = sent
    app.url_defaults(marked)


def _mark() -> str:
    """Return what stands for the files as they are, or were less than a second ago."""
    return _mark_in(int(time.monotonic()))


@lru_cache(maxsize=1)
def _mark_in(_second: int) -> str:
    return MARK_BEGINS + state_of(folder("static"))


def state_of(place: Path) -> str:
    """Return hexadecimal digits that change with the name, size or time of any file in a folder.

    The bytes are not looked at: so a hundred files take a millisecond.
    """
    state = repr(sorted(_states(str(place)))).encode()
    return hashlib.blake2b(state, digest_size=MARK_BYTES).hexdigest()


def _states(path: str) -> Iterator[tuple[str, int, int]]:
    for entry in os.scandir(path):
        if entry.is_dir():
            yield from _states(entry.path)
        else:
            seen = entry.stat()
            yield entry.path, seen.st_size, seen.st_mtime_ns
