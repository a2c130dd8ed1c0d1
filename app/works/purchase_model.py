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

ENDS_S = 10.0
"""When the solver is stopped though it has branches left, so that nothing waits without end."""

TOGETHER = (1, 2)
"""Of how many months in a row the best is sought first: what that costs it saves many times."""

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
        self.month_of = [v % self.months for v in range(self.bought)]
        self.worth: dict[int, float] = {}
        self.wholes: dict[tuple[int, ...], int] = {}
        for thing in self.things:
            self._rises(thing)
            self._waits(thing)
        for ways, worth in self._merged().items():
            self._use(ways, worth)
        self._money()
        self._bounded_by_month()

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
                tuple(sorted({self._var(key, month - on_the_way[key]) for key in way}))
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
        self._at_most({done: 1, **dict.fromkeys(wholes, -1.0)}, 0)
        return done

    def _whole(self, way: tuple[int, ...]) -> int:
        """Return the variable that is 1 where all of some things are there."""
        if len(way) == 1:
            return way[0]
        if way not in self.wholes:
            self.wholes[way] = self._more(max(self.month_of[there] for there in way))
            for there in way:
                self._at_most({self.wholes[way]: 1, there: -1}, 0)
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
                self._var(thing.key, t): float(thing.minor * share.numerator)
                for thing in self.things
            }
            most = max(
                (self.purse.available(t) - self.less) * share.denominator,
                self.fixed_by[t] * share.numerator,
            )
            self._at_most(terms, float(most))

    def _bounded_by_month(self) -> None:
        """Bound what a few months can be worth by the best choice for those months alone.

        With fractions of things a month looks worth more than any whole choice makes it; the best
        whole choice of one month, whatever the others are, is a small programme of its own, and so
        is that of a few months in a row. What belongs to earlier months is asked for in the first
        of them, which is no stricter: what was bought stays bought.
        """
        low, high = self._bounds()
        for count in TOGETHER:
            for first in range(0, self.months - count + 1, max(count // 2, 1)):
                part = _Part(self, first, first + count - 1)
                worth = {v: self.worth[v] for v in part.mine if self.worth.get(v)}
                best = part.best(low, high) if worth else None
                if best is not None:
                    self._at_most(worth, float(best))

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
        c = np.zeros(self.size)
        for v, worth in aim.items():
            c[v] = -worth
        whole = np.zeros(self.size)
        whole[: self.bought] = 1
        return _solved(c, self.rows, whole, self._bounds())


class _Part:
    """The programme of a few months alone: what is there by then, what can be done with it."""

    def __init__(self, model: Model, first: int, last: int) -> None:
        self.model = model
        self._first, self._last = first, last
        self.mine = [v for v in range(model.size) if first <= model.month_of[v] <= last]
        self._number = {v: i for i, v in enumerate(self.mine)}
        self.rows = [row for row in map(self._in_these, model.rows) if row is not None]

    def _in_these(
        self, row: tuple[dict[int, float], float]
    ) -> tuple[dict[int, float], float] | None:
        """Return a row with its variables as they are in these months; None for one of others."""
        terms, most = row
        months = [self.model.month_of[v] for v in terms]
        if max(months) > self._last or max(months) < self._first:
            return None
        early = [v for v, month in zip(terms, months, strict=True) if month < self._first]
        if early and not (len(terms) == 2 and max(terms) >= self.model.bought > max(early)):
            # only "a way is whole when a thing is there" may be asked of a later month
            return None
        here: dict[int, float] = {}
        for v, x in terms.items():
            late = max(self._first - self.model.month_of[v], 0)
            number = self._number[v + late]
            here[number] = here.get(number, 0.0) + x
        return here, most

    def best(self, low: NDArray[np.float64], high: NDArray[np.float64]) -> int | None:
        """Return the most that the months can be worth; None where that is not settled."""
        c = np.array([-self.model.worth.get(v, 0.0) for v in self.mine])
        whole = np.array([float(v < self.model.bought) for v in self.mine])
        values, settled = _solved(c, self.rows, whole, (low[self.mine], high[self.mine]))
        return round(-float(c @ values)) if settled and values is not None else None


def _solved(
    c: NDArray[np.float64],
    rows: Sequence[tuple[dict[int, float], float]],
    whole: NDArray[np.float64],
    bounds: tuple[NDArray[np.float64], NDArray[np.float64]],
) -> tuple[NDArray[np.float64] | None, bool]:
    """Return the values that make `c` least, None without any, and whether that is proven."""
    from scipy.optimize import Bounds, LinearConstraint, milp
    from scipy.sparse import csr_array

    row = np.repeat(np.arange(len(rows)), [len(terms) for terms, _ in rows])
    col = np.array([v for terms, _ in rows for v in terms], dtype=np.intp)
    data = np.array([x for terms, _ in rows for x in terms.values()])
    result = milp(
        c,
        integrality=whole,
        bounds=Bounds(*bounds),
        constraints=LinearConstraint(
            csr_array((data, (row, col)), shape=(len(rows), len(c))),
            ub=np.array([most for _, most in rows]),
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
