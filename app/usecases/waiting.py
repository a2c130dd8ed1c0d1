"""Who waits for a search: it ends when nobody does, and lets a dragging hand go first."""

from __future__ import annotations

import math
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager

from app.errors import EndingError, OutdatedError
from app.model.plan import Plan
from app.store.entries import State
from app.usecases.news import Board

DRAG_REST_S = 0.15
"""How long the hand must rest before a search in the background goes on."""

Gone = Callable[[], bool]
"""What tells whether who asked has left."""


def never_leaves() -> bool:
    """Return that whoever asked is still there."""
    return False


class Waiting:
    """Looks on behalf of the searches in all plans whether anybody still waits for them.

    `newest` gives the last state of a plan that was noted.
    """

    def __init__(self, board: Board, newest: Callable[[str], State | None]) -> None:
        self._board = board
        self._newest = newest
        self._last_try = -math.inf
        self._asking = threading.local()

    def dragged(self) -> None:
        """Note that somebody drags."""
        self._last_try = time.monotonic()

    @property
    def dragging(self) -> bool:
        """Whether somebody drags just now: what looks in processes of its own gives way."""
        return time.monotonic() - self._last_try < DRAG_REST_S

    @contextmanager
    def asking(self, gone: Gone) -> Iterator[None]:
        """Let the searches of this thread be those of one who may leave."""
        # what is sought is kept with the plan for whoever asks next, so it belongs to no asker
        self._asking.gone = gone
        try:
            yield
        finally:
            self._asking.gone = never_leaves

    def pause_for(self, plan_id: str, plan: Plan) -> Callable[[], None]:
        """Return what a search in the background calls before each step; see `look`.

        It waits while somebody drags.
        """

        def pause() -> None:
            self._let_drags_pass()
            self.look(plan_id, plan, getattr(self._asking, "gone", never_leaves))

        return pause

    def look(self, plan_id: str, plan: Plan, gone: Gone) -> None:
        """Look whether anybody still waits for what is sought in a plan.

        Raises OutdatedError once the plan is another, EndingError once the program ends or who
        asked has left.
        """
        if self._board.closed:
            raise EndingError("The program is ending.")
        if gone():
            raise EndingError("Nobody waits for this any more.")
        state = self._newest(plan_id)
        # a change that was undone leaves what was sought before worth having
        if state is not None and state.plan is not plan and state.plan != plan:
            raise OutdatedError("The plan has been changed meanwhile.")

    def _let_drags_pass(self) -> None:
        """Wait while somebody drags: what is in the background must not make the hand stutter."""
        while not self._board.closed:
            since = time.monotonic() - self._last_try
            if since >= DRAG_REST_S:
                return
            time.sleep(DRAG_REST_S - since)
