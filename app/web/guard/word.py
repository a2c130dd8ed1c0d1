"""The word of a start with ``--only-me``: how it is made, and where in an address it stands.

It is another one at every start, because a port that a program has left can be taken by another
account's, to which pages still open would bring the word.
"""

from __future__ import annotations

import secrets
from urllib.parse import urlsplit

ROOT = "/o/"
"""Not the beginning of guests' links, by which pages know a guest."""
BYTES = 24
"""192 bits, as many as the secret of a link has."""


def fresh_word() -> str:
    """Return a word that nobody guesses, of letters that may stand in an address."""
    return secrets.token_urlsafe(BYTES)


def root_of(word: str | None) -> str:
    """Return what every path begins with, without a slash at its end: nothing without a word."""
    return "" if word is None else f"{ROOT}{word}"


def has_word(address: str) -> bool:
    """Return whether an address begins with a word."""
    return urlsplit(address).path.startswith(ROOT)
