"""What was answered about a scene: bounded by the bytes it holds, which grow with its pieces.

A bound that did not grow would push out in a hall what is asked again at once: then everything is
made anew for every check.

Answers by themselves share one half, and what nobody asked for longest goes first: a search makes
some dozen for each place that it tries, so within one search all of them are pushed out. Whatever
is asked for once in a search and is dear must not lie among them. It has a table of its own with a
bound of its own, which is never pushed out whole: pairs of things and clear heights a quarter
each, and what the room forbids to a station a fixed number of turns. A table is asked by its owner
many times without a look into the memory, so by age alone it would be the first to go.
"""

from __future__ import annotations

import threading
from collections.abc import Callable
from typing import TypeVar

from app.recent import Recent
from app.scene.weight import weight

Key = tuple[object, ...]
Answer = TypeVar("Answer")

ANSWERS_AT_MOST = 4096
"""Answers of one kind that are remembered, at the least: some dozens a piece for a hall of a
hundred pieces, and still only megabytes."""

ANSWERS_A_PIECE = 40
"""The same for each piece of a larger plan."""

MEMO_BYTES = 2_000_000
"""What the answers on one scene hold together, at the least, by `weight`."""

MEMO_BYTES_A_PIECE = 18_000
"""The same for each piece of a larger plan: with less, clear heights in a hall of 300 pieces under
beams are pushed out before the drop that asks for them again, which then takes twice as long."""

OWN_SHARE = 2
"""What part of all the answers by themselves take."""

NESTED_SHARE = 4
"""What part of all each of the two tables within takes, of pairs of things and of clear heights."""

BYTES_A_KEY = 300
"""What a key of a name, a piece and a pose holds with its place in the memory."""


class Memo(Recent[Key, object]):
    """Answers by key, the oldest pushed out, and tables that stay as long as the memory."""

    def __init__(self, most: int, most_bytes: int, size: Callable[[object], int]) -> None:
        super().__init__(most, most_bytes, size)
        self._tables: dict[Key, object] = {}
        self._tables_lock = threading.Lock()

    def table(self, key: Key, make: Callable[[], object]) -> object:
        """Return the table of a key, made where there is none; two threads get the same."""
        with self._tables_lock:
            if key in self._tables:
                return self._tables[key]
        made = make()
        with self._tables_lock:
            return self._tables.setdefault(key, made)


def memo_bytes(pieces: int) -> int:
    """Return how many bytes the answers on a scene of so many pieces hold at the most."""
    return max(MEMO_BYTES, MEMO_BYTES_A_PIECE * pieces)


def new_memo(pieces: int) -> Memo:
    """Return a memory with nothing in it for a scene of so many pieces."""
    most = memo_bytes(pieces) // OWN_SHARE
    return Memo(_answers(pieces), most, lambda answer: weight(answer) + BYTES_A_KEY)


def new_table(pieces: int, bytes_each: int) -> Recent[Key, Answer]:
    """Return a table within such a memory, of answers that all hold about as many bytes."""
    most = memo_bytes(pieces) // NESTED_SHARE
    return Recent(_answers(pieces), most, lambda _: bytes_each + BYTES_A_KEY)


def _answers(pieces: int) -> int:
    return max(ANSWERS_AT_MOST, ANSWERS_A_PIECE * pieces)
