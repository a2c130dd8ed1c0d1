"""What was made lately, for many threads: bounded; what nobody asked for longest goes first."""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable, Hashable, Iterable, Sequence
from typing import Generic, TypeVar

Key = TypeVar("Key", bound=Hashable)
Value = TypeVar("Value")


class Recent(Generic[Key, Value]):
    """Values by key, at most `most` of them and at most `most_bytes` by what `size` says of each.

    The value that came last stays even where it alone is larger than the bound. A method gives
    back what it was given or made, never what it would have to look up a second time: another
    thread may have pushed it out by then.
    """

    def __init__(
        self,
        most: int,
        most_bytes: int | None = None,
        size: Callable[[Value], int] | None = None,
    ) -> None:
        if most < 1 or (most_bytes is None) != (size is None):
            raise ValueError("a bound is at least one value; bytes need a measure of size")
        self._most = most
        self._most_bytes = most_bytes
        self._size = size
        self._values: OrderedDict[Key, Value] = OrderedDict()
        self._sizes: dict[Key, int] = {}
        self._bytes = 0
        self._lock = threading.Lock()

    def __len__(self) -> int:
        return len(self._values)

    @property
    def held_bytes(self) -> int:
        """How much is held by what `size` said of each; nought where there is no measure."""
        return self._bytes

    def get(self, key: Key) -> Value | None:
        """Return a value, which now counts as the newest; None where there is none."""
        with self._lock:
            return self._touched(key)

    def get_all(self, keys: Iterable[Key]) -> list[Value | None]:
        """Return a value or None for each key, as `get` does, in their order."""
        with self._lock:
            return [self._touched(key) for key in keys]

    def values(self) -> list[Value]:
        """Return all values, what nobody asked for longest first; none counts as asked for."""
        with self._lock:
            return list(self._values.values())

    def put(self, key: Key, value: Value) -> None:
        """Take a value in place of any older one of its key."""
        with self._lock:
            self._put(key, value)

    def put_all(self, keys: Sequence[Key], values: Sequence[Value]) -> None:
        """Take several values, one for each key."""
        with self._lock:
            for key, value in zip(keys, values, strict=True):
                self._put(key, value)

    def made(self, key: Key, make: Callable[[], Value]) -> Value:
        """Return the value of a key, made where there is none.

        `make` runs outside the lock, for it may ask for other values here: two threads may make
        the same at once, and both then get what the first of them put down.
        """
        with self._lock:
            # keys are long, and each look for one takes its hash: no more looks than there must be
            try:
                known = self._values[key]
            except KeyError:
                pass
            else:
                self._values.move_to_end(key)
                return known
        value = make()
        with self._lock:
            if key in self._values:
                return self._values[key]
            self._put_new(key, value)
        return value

    def forget(self, key: Key) -> None:
        """Let go of a value, if there is one."""
        with self._lock:
            self._drop(key)

    def clear(self) -> None:
        """Let go of everything."""
        with self._lock:
            self._values.clear()
            self._sizes.clear()
            self._bytes = 0

    def _touched(self, key: Key) -> Value | None:
        if key not in self._values:
            return None
        self._values.move_to_end(key)
        return self._values[key]

    def _put(self, key: Key, value: Value) -> None:
        self._drop(key)
        self._put_new(key, value)

    def _put_new(self, key: Key, value: Value) -> None:
        self._values[key] = value
        if self._size is not None:
            size = self._sizes[key] = self._size(value)
            self._bytes += size
        while len(self._values) > self._most or self._too_heavy():
            self._drop(next(iter(self._values)))

    def _too_heavy(self) -> bool:
        too_much = self._most_bytes is not None and self._bytes > self._most_bytes
        return too_much and len(self._values) > 1

    def _drop(self, key: Key) -> None:
        if key in self._values:
            del self._values[key]
            self._bytes -= self._sizes.pop(key, 0)
