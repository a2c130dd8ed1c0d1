"""The whole-number programme of buying by months: its variables, its rows and its bounds."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from app.works.purchase import Purchase, Purse, Use, needed

Floats = NDArray[np.float64]


def _months_that_differ(things: Sequence[Purchase], purse: Purse) -> int:
    """Return how many months a purchase may fall into: up to the one with enough for all."""
    all_of_it = needed(purse, sum(thing.minor for thing in things))
    laid = [thing.month for thing in things if thing.month is not None]
    at_least = max([0, *laid, *(thing.earliest for thing in things)])
    for t in range(min(at_least, purse.months - 1), purse.months):
        if purse.available(t) >= all_of_it:
            return t + 1
    return purse.months


@dataclass
class Model:
    """The programme: variables bought-by (thing, month), then way and use (each, month)."""

    things: Sequence[Purchase]
    uses: Sequence[Use]
    purse: Purse
    fixed_by: Sequence[int]
    keep_order: bool
    less: int
    rows: list[tuple[dict[int, float], float]] = field(default_factory=list)

    def __post_init__(self) -> None:
        # Once there is enough for all that is left, nothing is gained by waiting: the months
        # after that are one.
        self.months = _months_that_differ(self.things, self.purse)
        self.at = {thing.key: i * self.months for i, thing in enumerate(self.things)}
        self.bought = len(self.things) * self.months
        self.size = self.bought
        self.month_of = [v % self.months for v in range(self.bought)]
        self.worth: dict[int, float] = {}
        self.wholes: dict[tuple[int, ...], int] = {}
        for thing in self.things:
            self._rises(thing)
            self._waits(thing)
        self.merged = self._merged()
        self.most_by: list[int] = []
        for ways, worth in self.merged.items():
            self._use(ways, worth)
        self._money()

    def var(self, key: str, month: int) -> int:
        """Return the variable that is 1 where a thing is bought by a month."""
        return self.at[key] + min(month, self.months - 1)

    def at_most(self, terms: dict[int, float], most: float) -> None:
        """Add a row: what the terms add up to is no more than this."""
        self.rows.append((terms, most))

    def _rises(self, thing: Purchase) -> None:
        for t in range(1, self.months):
            self.at_most({self.var(thing.key, t - 1): 1, self.var(thing.key, t): -1}, 0)
        for t in range(self.purse.months - thing.on_the_way_months):
            at = self.var(thing.key, t)
            self.worth[at] = self.worth.get(at, 0) + thing.worth

    def _waits(self, thing: Purchase) -> None:
        if thing.month is not None and not self.keep_order:
            return
        for first in thing.after:
            for t in range(self.months):
                self.at_most({self.var(thing.key, t): 1, self.var(first, t): -1}, 0)

    def _merged(self) -> dict[tuple[frozenset[str], ...], int]:
        """Return the worth of a month of each choice of ways: who can do what by the same things.

        A way that asks for all that another one asks for is none: that one is there sooner.
        """
        merged: dict[tuple[frozenset[str], ...], int] = {}
        for use in self.uses:
            ways = {way for way in use.ways if way <= self.at.keys()}
            least = {way for way in ways if not any(other < way for other in ways)}
            if least:
                key = tuple(sorted(least, key=sorted))
                merged[key] = merged.get(key, 0) + use.worth
        return merged

    def _use(self, ways: tuple[frozenset[str], ...], worth: int) -> None:
        """Add what is done in a month by one of its ways, and a way is whole with all it needs."""
        on_the_way = {thing.key: thing.on_the_way_months for thing in self.things}
        last: tuple[tuple[int, ...], ...] = ()
        at = -1
        for month in range(self.purse.months):
            there = tuple(
                tuple(sorted({self.var(key, month - on_the_way[key]) for key in way}))
                for way in ways
                if all(month >= on_the_way[key] for key in way)
            )
            if not there:
                continue
            if there != last:
                at, last = self._done_in_a_month(there), there
            self.worth[at] = self.worth.get(at, 0) + worth

    def _done_in_a_month(self, ways: tuple[tuple[int, ...], ...]) -> int:
        """Return the variable that is 1 where one of the ways is whole."""
        wholes = [self._whole(way) for way in ways]
        if len(wholes) == 1:
            return wholes[0]
        done = self._more(max(self.month_of[one] for one in wholes))
        self.at_most({done: 1, **dict.fromkeys(wholes, -1.0)}, 0)
        return done

    def _whole(self, way: tuple[int, ...]) -> int:
        """Return the variable that is 1 where all of some things are there."""
        if len(way) == 1:
            return way[0]
        if way not in self.wholes:
            self.wholes[way] = self._more(max(self.month_of[there] for there in way))
            for there in way:
                self.at_most({self.wholes[way]: 1, there: -1}, 0)
        return self.wholes[way]

    def _more(self, month: int) -> int:
        self.month_of.append(month)
        self.size += 1
        return self.size - 1

    def _money(self) -> None:
        # whole numbers: the share kept back is a fraction, and its denominator is multiplied out
        share = 1 + self.purse.kept_back
        for t in range(self.months):
            terms = {
                self.var(thing.key, t): float(thing.minor * share.numerator)
                for thing in self.things
            }
            most = max(
                (self.purse.available(t) - self.less) * share.denominator,
                self.fixed_by[t] * share.numerator,
            )
            self.most_by.append(most)
            self.at_most(terms, float(most))

    def bounds(self) -> tuple[Floats, Floats]:
        """Return the least and the most of each variable: what a hand laid, what comes later."""
        low, high = np.zeros(self.size), np.ones(self.size)
        months = self.months
        for thing in self.things:
            start = self.at[thing.key]
            if thing.month is not None:
                at = min(thing.month, months)
                low[start + at : start + months] = 1
                high[start : start + at] = 0
            else:
                high[start : start + min(thing.earliest, months)] = 0
        return low, high
