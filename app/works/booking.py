"""What is taken of the free hours: finding the earliest room for a task and taking it.

The free hours of each session are stretches with so many people free. A copy shares the
stretches that it does not change, so a trial costs little.
"""

from __future__ import annotations

from bisect import bisect_right
from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

from app.works.lives import Lives

LEAST_STRETCH_MIN = 30
"""A task that can be broken off is not begun for less than half an hour, unless that ends it."""

Stretch = tuple[int, int, int, bool]
"""Start, end, people free, and whether it may be loud."""


Closed = Sequence[tuple[int, int]]
"""Times in which a task may not be done, in minutes: the floor is wet, or must be free for it."""


@dataclass(frozen=True, slots=True)
class Ask:
    """What a task asks for: people at once, minutes of each piece, and when it may be done."""

    people: int
    pieces: tuple[int, ...]
    unbroken: bool
    loud: bool
    warm: bool
    paint: bool = False
    tip: bool = False


class Span(NamedTuple):
    """A stretch of work: in which session, from when to when, by how many, at which piece.

    A tuple, for a search makes tens of thousands: a frozen dataclass takes several times as long.
    """

    session: int
    start: int
    end: int
    people: int
    piece: int = 0


class Booking:
    """The free hours of one calendar while tasks are put into them."""

    def __init__(self, lives: Lives, endless: bool = False) -> None:
        self.lives = lives
        self._taken: dict[int, tuple[Stretch, ...]] = {}
        self._full: set[int] = set()
        """Sessions in which nobody is free any more."""
        self.too_cold: frozenset[int] = frozenset()
        """Sessions in which nobody paints, for a frost that no heater holds out."""
        self._endless = endless
        """Nothing is ever taken: what would be if there were hands without end."""

    def copy(self) -> Booking:
        """Return another one that stands as this one does."""
        made = Booking(self.lives, self._endless)
        made._taken = dict(self._taken)
        made._full = set(self._full)
        made.too_cold = self.too_cold
        return made

    def block(self, session: int) -> None:
        """Take a whole session, as when an evening is missed."""
        self._taken[session] = ()
        self._full.add(session)

    def find(self, asked: Ask, earliest: int, closed: Closed = ()) -> list[Span] | None:
        """Return the earliest spans for all pieces, one after the other; None without end.

        None of them lies in what is `closed`.
        """
        if asked.unbroken and len(asked.pieces) > 1:
            return self._find_each(asked, earliest, closed)
        spans: list[Span] = []
        at = earliest
        sessions, full = self.lives.sessions, self._full
        number = bisect_right(self.lives.ends, earliest)
        left = sum(asked.pieces)
        while left > 0:
            while number in full:
                number += 1
            if number >= len(sessions) and not self._laid_out(number):
                return None
            got = self._in_session(number, asked, at, left, closed)
            if got is None:
                number += 1
                continue
            spans.append(Span(number, got[0], got[1], asked.people))
            left -= got[1] - got[0]
            at = got[1]
        return spans

    def _find_each(self, asked: Ask, earliest: int, closed: Closed) -> list[Span] | None:
        """Return spans for pieces in any order: in each session the largest that still goes in."""
        spans: list[Span] = []
        at = earliest
        number = bisect_right(self.lives.ends, earliest)
        left = sorted(((length, -i) for i, length in enumerate(asked.pieces)), reverse=True)
        while left:
            if not self._laid_out(number):
                return None
            for piece in left:
                got = self._in_session(number, asked, at, piece[0], closed)
                if got is not None:
                    spans.append(Span(number, got[0], got[1], asked.people, -piece[1]))
                    left.remove(piece)
                    at = got[1]
                    break
            else:
                number += 1
        return spans

    def _laid_out(self, number: int) -> bool:
        """Return whether there is a session of a number, laying out further days for it."""
        while number >= len(self.lives.sessions):
            if not self.lives.more():
                return False
        return True

    def _in_session(
        self, number: int, asked: Ask, at: int, left: int, closed: Closed
    ) -> tuple[int, int] | None:
        session = self.lives.sessions[number]
        if (asked.warm and session.cold) or (asked.paint and number in self.too_cold):
            return None
        if asked.tip and not session.tip:
            return None
        stretches = self._taken.get(number, session.segments)
        for low, high in closed:
            if low < session.end and high > session.start:
                stretches = _without(stretches, low, high)
        wanted, loud_only, unbroken = asked.people, asked.loud, asked.unbroken
        least = left if unbroken or left < LEAST_STRETCH_MIN else LEAST_STRETCH_MIN
        begin = end = -1
        for start, stop, people, loud in stretches:
            if stop <= at or people < wanted or (loud_only and not loud):
                if begin >= 0 and not unbroken and end - begin >= least:
                    return begin, end
                begin = -1
                continue
            if begin < 0 or start > end:
                if begin >= 0 and not unbroken and end - begin >= least:
                    return begin, end
                begin = start if start > at else at
            end = stop
            if end - begin >= left:
                return begin, begin + left
        if begin >= 0 and not unbroken and end - begin >= least:
            return begin, end
        return None

    def take(self, spans: list[Span]) -> None:
        """Take what was found."""
        if self._endless:
            return
        for span in spans:
            session = self.lives.sessions[span.session]
            stretches = self._taken.get(span.session, session.segments)
            made: list[Stretch] = []
            for start, end, people, loud in stretches:
                if end <= span.start or start >= span.end:
                    made.append((start, end, people, loud))
                    continue
                if start < span.start:
                    made.append((start, span.start, people, loud))
                if people > span.people:
                    middle = (max(start, span.start), min(end, span.end))
                    made.append((*middle, people - span.people, loud))
                if end > span.end:
                    made.append((span.end, end, people, loud))
            self._taken[span.session] = tuple(made)
            if not made:
                self._full.add(span.session)


def _without(stretches: tuple[Stretch, ...], low: int, high: int) -> tuple[Stretch, ...]:
    """Return what is left of some stretches without the time between two minutes."""
    made: list[Stretch] = []
    for start, end, people, loud in stretches:
        if high <= start or low >= end:
            made.append((start, end, people, loud))
            continue
        if start < low:
            made.append((start, low, people, loud))
        if high < end:
            made.append((high, end, people, loud))
    return tuple(made)
