"""How much work one search may do, who may end it, and what it did not get to.

The steps are the limit that counts: with as many of them a search finds the same on every machine.
A deadline is for who asks for one, and makes what is found hang on the machine. Ending comes from
outside: `look` is called before every piece of work and raises when nobody waits any more.
"""

from __future__ import annotations

import time
from collections.abc import Callable


def _go_on() -> None:
    """Let the search go on."""


class Budget:
    """The work of one search and of all that it asks in its turn.

    `steps` is the most that it may do, `seconds` how long from now, without end where it is None.
    `look` is called before each piece of work: it may wait, and ends the search by raising. One
    budget belongs to one thread.
    """

    __slots__ = ("_end", "_left_out", "_look", "_over", "_spent", "_steps")

    def __init__(
        self, steps: int, look: Callable[[], None] = _go_on, seconds: float | None = None
    ) -> None:
        self._steps = steps
        self._look = look
        self._end = None if seconds is None else time.monotonic() + seconds
        self._spent = 0
        self._over = False
        self._left_out: dict[str, None] = {}

    @property
    def spent(self) -> int:
        """How many steps were done; never more than it may."""
        return self._spent

    @property
    def left(self) -> int:
        """How many steps it may still do, none once it is over."""
        return 0 if self.over else self._steps - self._spent

    @property
    def over(self) -> bool:
        """Whether something was refused or the time is up: nothing more may be done."""
        if self._end is not None and not self._over:
            self._over = time.monotonic() >= self._end
        return self._over

    def allows(self, steps: int = 1) -> bool:
        """Return whether a piece of work of so many steps may be done, and count it if so.

        Once something was refused all is: else the cheap would go on where the dear has ended, and
        what is left out would hang on the order. Raises what `look` raises.
        """
        self._look()
        if self.over or self._spent + steps > self._steps:
            self._over = True
            return False
        self._spent += steps
        return True

    def leave_out(self, what: str) -> None:
        """Note, in words, what was not tried for want of steps or time."""
        self._left_out.setdefault(what)

    @property
    def left_out(self) -> tuple[str, ...]:
        """What was not tried, each once, in the order in which it was given up."""
        return tuple(self._left_out)
