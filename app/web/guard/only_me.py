"""With ``--only-me``: who brings the word of this start gets in, nobody else on this machine.

There are no cookies here: the word is the beginning of every address, as the secret of a link is
for guests.
"""

from __future__ import annotations

import hashlib
import hmac
from collections.abc import Callable, Iterable
from typing import Any

from flask import Flask, request

from app.web.guard.guard import RefusedError
from app.web.guard.requester import STRANGER
from app.web.guard.word import ROOT

BROUGHT = "elbowroom.word-brought"
SHUT = (
    "This program was started for one person only. "
    "Open it by the address that it printed, or start it once more: that opens the browser."
)


def only_with(app: Flask, word: str) -> None:
    """Let an application answer only who brings a word, and answer all others alike."""
    digest = _digest(word)
    app.wsgi_app = _Door(app.wsgi_app, digest)  # type: ignore[method-assign]
    app.before_request(_admit)


class _Door:
    """Takes the word off an address, before the application sees the rest."""

    def __init__(self, inside: Callable[..., Iterable[bytes]], digest: bytes) -> None:
        self._inside = inside
        self._digest = digest

    def __call__(self, environ: dict[str, Any], start_response: Any) -> Iterable[bytes]:
        environ.pop(BROUGHT, None)
        path = environ.get("PATH_INFO", "")
        if path.startswith(ROOT):
            word, _, rest = path.removeprefix(ROOT).partition("/")
            # of digests, so that the time it takes says nothing of how much of it was right
            if hmac.compare_digest(_digest(word), self._digest):
                environ[BROUGHT] = True
                environ["SCRIPT_NAME"] = f"{environ.get('SCRIPT_NAME', '')}{ROOT}{word}"
                environ["PATH_INFO"] = f"/{rest}"
        return self._inside(environ, start_response)


def _admit() -> None:
    """Answer 403 whatever was asked for: what is there and what is not is told apart by nobody."""
    if BROUGHT not in request.environ:
        request.environ[STRANGER] = True
        raise RefusedError(SHUT)


def _digest(word: str) -> bytes:
    return hashlib.sha256(word.encode("utf-8", "surrogateescape")).digest()
