"""The board where open pages learn what is new: revisions, remarks, and who is looking."""

from __future__ import annotations

import threading
import time
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field


@dataclass(frozen=True, slots=True)
class News:
    """How a plan stands for those who follow it; `revision` is None until it first changes.

    `remark_count` counts what was said or voted since the program started. `who` are the names of
    who look, each once.
    """

    revision: int | None
    remark_count: int
    who: tuple[str, ...]


@dataclass
class _Plan:
    revision: int | None = None
    remark_count: int = 0
    lookers: dict[object, str] = field(default_factory=dict)

    def news(self) -> News:
        return News(self.revision, self.remark_count, tuple(sorted(set(self.lookers.values()))))


class Board:
    """One board for all plans, used by many threads. Nothing of it is kept on the disk."""

    def __init__(self) -> None:
        self._plans: dict[str, _Plan] = {}
        self._changed = threading.Condition()
        self._closed = False

    @property
    def closed(self) -> bool:
        """Return whether the program is ending: nobody should wait any more."""
        return self._closed

    def close(self) -> None:
        """Wake everybody for good."""
        with self._changed:
            self._closed = True
            self._changed.notify_all()

    def changed(self, plan_id: str, revision: int) -> None:
        """Tell that a plan has a revision; an older one than is known changes nothing."""
        with self._changed:
            plan = self._plans.get(plan_id)
            # What nobody follows need not be remembered.
            if plan is not None and (plan.revision is None or plan.revision < revision):
                plan.revision = revision
                self._changed.notify_all()

    def remarked(self, plan_id: str) -> None:
        """Tell that something was said or voted on a plan."""
        with self._changed:
            plan = self._plans.get(plan_id)
            if plan is not None:
                plan.remark_count += 1
                self._changed.notify_all()

    @contextmanager
    def looking(self, plan_id: str, name: str) -> Iterator[None]:
        """Be seen by the others that follow the plan."""
        me = object()
        with self._changed:
            self._plans.setdefault(plan_id, _Plan()).lookers[me] = name
            self._changed.notify_all()
        try:
            yield
        finally:
            with self._changed:
                plan = self._plans[plan_id]
                del plan.lookers[me]
                if not plan.lookers:
                    del self._plans[plan_id]
                self._changed.notify_all()

    def now(self, plan_id: str) -> News:
        """Return the news of a plan as it stands."""
        with self._changed:
            return self._plans.get(plan_id, _Plan()).news()

    def wait(self, plan_id: str, known: News | None, seconds: float) -> News | None:
        """Wait for other news than `known`; None when `seconds` went by, or at the end."""
        end = time.monotonic() + seconds
        with self._changed:
            while not self._closed:
                news = self._plans.get(plan_id, _Plan()).news()
                if news != known:
                    return news
                left = end - time.monotonic()
                if left <= 0:
                    return None
                self._changed.wait(left)
        return None
