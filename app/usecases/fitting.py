"""What fits into the room of a plan, found piece by piece while somebody waits for it."""

from __future__ import annotations

import threading
import time
from collections.abc import Callable, Iterator
from contextlib import suppress
from functools import partial
from typing import Generic, TypeVar

from app.arranging.new_places import Spot
from app.arranging.whatfits import AtSpot, Fits, at_spot_in_turn, fits_in_turn
from app.errors import OutdatedError
from app.recent import Recent
from app.usecases.plans import Elbowroom
from app.usecases.waiting import Gone, never_leaves

T = TypeVar("T")

ANSWERS_AT_MOST = 16
"""Answers that are remembered: one a plan, for as long as it stays as it is."""
ANSWERS_BYTES = 2_000_000
BYTES_OF_AN_ANSWER = 30_000
"""What one answer holds: a pose and some names for each kit type."""


class Found(Generic[T]):
    """An answer that grows while somebody asks for it, and stays where it is once nobody does.

    `begin` returns what yields more of it each time.
    """

    def __init__(self, begin: Callable[[], Iterator[T]]) -> None:
        self._begin = begin
        self._parts: Iterator[T] | None = None
        self._lock = threading.Lock()
        self.so_far: T | None = None
        self.whole = False

    def seek(self, look: Callable[[], None], seconds: float | None = None) -> None:
        """Look for more of it, for so many seconds and one part at least; to the end without.

        Raises what `look` raises, which is asked before each part; what is found stays.
        """
        with self._lock:
            begun = time.monotonic()
            while not self.whole:
                look()
                part = self._next()
                if part is None:
                    self.whole = True
                else:
                    self.so_far = part
                if seconds is not None and time.monotonic() - begun >= seconds:
                    return

    def _next(self) -> T | None:
        """Return the next part; where finding it fails all begins anew for who asks next."""
        parts, self._parts = self._parts or self._begin(), None
        part = next(parts, None)
        if part is not None:
            self._parts = parts
        return part


def fitting(
    house: Elbowroom, plan_id: str, gone: Gone = never_leaves, seconds: float | None = None
) -> Found[Fits]:
    """Return what fits into a plan as it stands, all that is found in so many seconds more.

    Without any it is the whole answer. Raises NotFoundError; it ends with EndingError when who
    asked has left, and goes on from there when somebody asks again.
    """
    return _sought(house, plan_id, None, _answers(house), fits_in_turn, gone, seconds)


def fitting_at(
    house: Elbowroom,
    plan_id: str,
    spot: Spot,
    gone: Gone = never_leaves,
    seconds: float | None = None,
) -> Found[AtSpot]:
    """Return what fits over a spot of a plan as it stands, as `fitting` does for the room."""
    parts = partial(at_spot_in_turn, spot=spot)
    return _sought(house, plan_id, spot, _at_spots(house), parts, gone, seconds)


def fitting_known(house: Elbowroom, plan_id: str) -> Found[Fits] | None:
    """Return what was found of what fits, None where nobody asked. Raises NotFoundError."""
    return _answers(house).get((plan_id, house.open(plan_id).revision, None))


def fitting_at_known(house: Elbowroom, plan_id: str, spot: Spot) -> Found[AtSpot] | None:
    """Return what was found of what fits over a spot, None where nobody asked, as above."""
    return _at_spots(house).get((plan_id, house.open(plan_id).revision, spot))


Key = tuple[str, int, Spot | None]


def _sought(
    house: Elbowroom,
    plan_id: str,
    spot: Spot | None,
    answers: Recent[Key, Found[T]],
    parts: Callable[..., Iterator[T]],
    gone: Gone,
    seconds: float | None,
) -> Found[T]:
    while True:
        state = house.open(plan_id)
        begin = partial(parts, state.plan)
        found = answers.made((plan_id, state.revision, spot), partial(Found, begin))
        with suppress(OutdatedError):
            found.seek(partial(house.waiting.look, plan_id, state.plan, gone), seconds)
            return found


def _answers(house: Elbowroom) -> Recent[Key, Found[Fits]]:
    return house.memory("what fits", ANSWERS_AT_MOST, ANSWERS_BYTES, lambda _: BYTES_OF_AN_ANSWER)


def _at_spots(house: Elbowroom) -> Recent[Key, Found[AtSpot]]:
    return house.memory(
        "what fits at spots", ANSWERS_AT_MOST, ANSWERS_BYTES, lambda _: BYTES_OF_AN_ANSWER
    )
