"""The whole-number programme of buying by months, as the integer solver takes it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from app.works.purchase import Purchase, Purse, Use, needed

NODES_AT_MOST = 20_000
"""Branches that the integer solver may open for one aim before its answer counts as not proven.

Counted in branches, so that a busy machine proves what an idle one proves; purchases of a house
(40 things over two years) are settled within a few dozen.
"""

ENDS_S = 20.0
"""When the solver is stopped though it has branches left, so that nothing waits without end."""

WITHIN_ONE = 0.99
"""What two different whole numbers differ by at least, with room for the solver's rounding."""


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
        self.worth: dict[int, float] = {}
        for thing in self.things:
            self._rises(thing)
            self._waits(thing)
        for use in self.uses:
            self._use(use)
        self._money()

    def _var(self, key: str, month: int) -> int:
        return self.at[key] + min(month, self.months - 1)

    def _at_most(self, terms: dict[int, float], most: float) -> None:
        self.rows.append((terms, most))

    def _rises(self, thing: Purchase) -> None:
        for t in range(1, self.months):
            self._at_most({self._var(thing.key, t - 1): 1, self._var(thing.key, t): -1}, 0)
        for t in range(self.purse.months - thing.on_the_way_months):
            at = self._var(thing.key, t)
            self.worth[at] = self.worth.get(at, 0) + thing.worth

    def _waits(self, thing: Purchase) -> None:
        if thing.month is not None and not self.keep_order:
            return
        for first in thing.after:
            for t in range(self.months):
                self._at_most({self._var(thing.key, t): 1, self._var(first, t): -1}, 0)

    def _use(self, use: Use) -> None:
        """Add a use: done in a month by one of its ways, and a way is whole with all it needs."""
        ways = [way for way in use.ways if way <= self.at.keys()]
        on_the_way = {thing.key: thing.on_the_way_months for thing in self.things}
        last: tuple[tuple[int, ...], ...] = ()
        for month in range(self.purse.months):
            there = tuple(
                tuple(self._var(key, month - on_the_way[key]) for key in sorted(way))
                for way in ways
                if all(month >= on_the_way[key] for key in way)
            )
            if there and there == last:
                self.worth[self.size - 1] += use.worth
            elif there:
                self._use_in_a_month(use.worth, there)
            last = there

    def _use_in_a_month(self, worth: int, ways: tuple[tuple[int, ...], ...]) -> None:
        lots: dict[int, float] = {}
        for way in ways:
            for there in way:
                self._at_most({self.size: 1, there: -1}, 0)
            lots[self.size] = -1
            self.size += 1
        self._at_most({self.size: 1, **lots}, 0)
        self.worth[self.size] = worth
        self.size += 1

    def _money(self) -> None:
        # whole numbers: the share kept back is a fraction, and its denominator is multiplied out
        share = 1 + self.purse.kept_back
        for t in range(self.months):
            terms = {
                self._var(thing.key, t): float(thing.minor * share.numerator)
                for thing in self.things
            }
            most = max(
                (self.purse.available(t) - self.less) * share.denominator,
                self.fixed_by[t] * share.numerator,
            )
            self._at_most(terms, float(most))

    def _bounds(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
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

    def solved(self) -> tuple[dict[str, int | None] | None, bool]:
        """Return each thing's month and whether that is proven best; None: no choice at all."""
        last = self.months - 1
        musts = {self._var(thing.key, last): 1.0 for thing in self.things if thing.must}
        cost = {self._var(thing.key, last): -float(thing.minor) for thing in self.things}
        early = {
            self._var(thing.key, t): 1.0
            for thing in self.things
            if not thing.worth
            for t in range(self.months)
        }
        proven, values = True, None
        for aim in (musts, self.worth, cost, early):
            # an aim that no variable changes is not worth a run of the solver
            if not any(aim.values()):
                continue
            better, settled = self._run(aim)
            proven = proven and settled
            if better is None:
                if values is None:
                    return None, settled
                break
            values = better
            # aims count whole things: what the rounded answer comes to is what the next must hold
            best = sum(worth * float(values[v]) for v, worth in aim.items())
            self._at_most({v: -c for v, c in aim.items()}, -best)
        if values is None:
            values = np.zeros(self.size)
        months: dict[str, int | None] = {}
        for thing in self.things:
            start = self.at[thing.key]
            there = np.flatnonzero(values[start : start + self.months])
            months[thing.key] = int(there[0]) if len(there) else None
        return months, proven

    def _run(self, aim: dict[int, float]) -> tuple[NDArray[np.float64] | None, bool]:
        from scipy.optimize import Bounds, LinearConstraint, milp
        from scipy.sparse import csr_array

        c = np.zeros(self.size)
        for v, worth in aim.items():
            c[v] = -worth
        counts = [len(terms) for terms, _ in self.rows]
        row = np.repeat(np.arange(len(self.rows)), counts)
        col = np.array([v for terms, _ in self.rows for v in terms], dtype=np.intp)
        data = np.array([x for terms, _ in self.rows for x in terms.values()])
        most = np.array([m for _, m in self.rows])
        whole = np.zeros(self.size)
        whole[: self.bought] = 1
        result = milp(
            c,
            integrality=whole,
            bounds=Bounds(*self._bounds()),
            constraints=LinearConstraint(
                csr_array((data, (row, col)), shape=(len(self.rows), self.size)), ub=most
            ),
            options={
                "node_limit": NODES_AT_MOST,
                "time_limit": ENDS_S,
                # every aim counts in whole numbers: nearer than one is the best there is
                "mip_rel_gap": WITHIN_ONE / max(float(np.abs(c).sum()), 1.0),
            },
        )
        # scipy: 0 is solved, 1 a limit was reached, 2 there is no such choice
        settled = result.status in (0, 2)
        return (None if result.x is None else np.round(result.x)), settled
