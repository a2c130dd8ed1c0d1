"""How much one guest may ask for: a bucket of requests that fills again as time goes by."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable

from app.recent import Recent
from app.web.api.following import CrowdedError

BUCKETS_AT_MOST = 4096
"""A bucket that was not touched for long is full again and need not be remembered."""


class Buckets:
    """One bucket for each key; `burst` requests at once, `per_second` in the long run."""

    def __init__(
        self, burst: float, per_second: float, clock: Callable[[], float] = time.monotonic
    ) -> None:
        self.burst = burst
        self.per_second = per_second
        self._clock = clock
        self._levels = Recent[str, tuple[float, float]](BUCKETS_AT_MOST)
        self._lock = threading.Lock()

    def take(self, key: str) -> None:
        """Take one request out of a bucket. Raises CrowdedError when it is empty."""
        with self._lock:
            now = self._clock()
            level, at = self._levels.get(key) or (self.burst, now)
            level = min(self.burst, level + (now - at) * self.per_second)
            refused = level < 1
            self._levels.put(key, (level if refused else level - 1, now))
        if refused:
            raise CrowdedError("That was too much at once; wait a moment and try again.")
