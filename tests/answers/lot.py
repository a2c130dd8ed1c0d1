"""What is drawn by lot for a plan: the same for the same name, whatever rows are added since."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from random import Random
from typing import TypeVar
from zlib import crc32

One = TypeVar("One")


class Lot:
    """Draws from one name. Only `Random.random` is asked: it alone is the same in every Python."""

    def __init__(self, name: str) -> None:
        self._random = Random(name)

    def share(self, of_all: float) -> bool:
        """Return true in such a share of all draws."""
        return self._random.random() < of_all

    def count(self, low: int, high: int) -> int:
        """Return a whole number from low to high, both among them."""
        return low + int(self._random.random() * (high - low + 1))

    def mm(self, low: float, high: float, step: float = 1) -> float:
        """Return a length of whole steps from low to high."""
        return low + step * self.count(0, int((high - low) / step))

    def one(self, of: Sequence[One]) -> One:
        """Return one of a list that stays as it is."""
        return of[self.count(0, len(of) - 1)]

    def row(self, keys: Iterable[str]) -> str:
        """Return one of some keys; a key that is added takes a place now and then, moves no other.

        Each key has a number that hangs on itself and this draw alone, and the highest wins.
        """
        draw = self._random.random()
        return max(sorted(keys), key=lambda key: crc32(f"{draw} {key}".encode()))

    def rows(self, keys: Iterable[str], count: int) -> list[str]:
        """Return so many different keys, drawn likewise, in an order of the lot's own."""
        draw = self._random.random()
        return sorted(sorted(keys), key=lambda key: crc32(f"{draw} {key}".encode()))[-count:]

    def shuffled(self, things: Sequence[One]) -> list[One]:
        """Return all of them in an order of the lot's own."""
        return sorted(things, key=lambda _: self._random.random())
