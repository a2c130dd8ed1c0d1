"""Whether anybody still looks at what is sought in the background: a page that asks again."""

from __future__ import annotations

import time
from collections.abc import Callable

from app.errors import EndingError, OutdatedError

SEEN_S = 15.0
"""How long after it was last asked for a search goes on: a page that is open asks each second, also
behind another tab for as long as a search takes."""


class Onlooker:
    """The page that looks at one search. `look` raises what ends the search besides.

    `clock` gives seconds that only grow.
    """

    def __init__(
        self, look: Callable[[], None], clock: Callable[[], float] = time.monotonic
    ) -> None:
        self._look = look
        self._clock = clock
        self._last = clock()

    def seen(self) -> None:
        """Note that it was asked just now how the search stands."""
        self._last = self._clock()

    @property
    def gone(self) -> bool:
        """Whether nobody waits any more, the plan is another or the program ends."""
        if self._clock() - self._last > SEEN_S:
            return True
        try:
            self._look()
        except (EndingError, OutdatedError):
            return True
        return False
