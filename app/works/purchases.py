"""Which purchase in which month: most worth times months in use, then least cost, then earliest.

What has a worth is as early as it pays already; "earliest" is for what has none by itself.

A whole-number programme over cumulative variables, "bought by month t": with them money, what has
to be there first and the months in use are each one plain inequality, and its linear bound is
tight (the usual form of multi-period selection under a budget, a multi-period knapsack; Martello
and Toth, Knapsack Problems, 1990, treat the one-period case). The three aims are solved one after
the other, each holding the best of those before. The solver counts in floating point, so its
answer is summed again in whole minor units; where a rounding let a month through that is too
dear, the purse is taken a little smaller and it is solved again.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Generator, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from itertools import accumulate

from app.budget import Budget
from app.works.purchase import Purchase, Purse, Use, needed
from app.works.purchase_model import Model
from app.works.purchase_search import Search

TRIES = 5
"""Times a sum that does not hold in whole minor units is solved again; one has always done."""

STEPS = 5_000
"""Runs of the solver that one search may make: forty things over two years take 30 to 130."""


@dataclass(frozen=True, slots=True)
class Buying:
    """Each thing with its month (None: not within the months there are), and what that gives.

    `missing` are the minor units that a month lacks where a hand laid more into it than there is;
    `unmet` the pairs (thing, what it waits for) that a hand's choice left out of order; `proven`
    tells that no other choice has more worth, nor as much for less, nor as much for as little
    earlier.
    """

    months: Mapping[str, int | None]
    worth: int
    spent_minor: tuple[int, ...]
    missing: Mapping[int, int]
    unmet: tuple[tuple[str, str], ...]
    proven: bool


def buy(things: Sequence[Purchase], uses: Sequence[Use], purse: Purse) -> Buying:
    """Choose the month of every purchase, the best that `choices` come to.

    Raises as they do.
    """
    return deque(choices(things, uses, purse, Budget(STEPS)), maxlen=1)[0]


def choices(
    things: Sequence[Purchase], uses: Sequence[Use], purse: Purse, budget: Budget
) -> Iterator[Buying]:
    """Yield a choice of months as soon as there is one, then better ones; the last is the answer.

    Each of them can be paid. Those before the last are not proven.

    Raises ValueError for a key that stands twice, a thing that waits for an unknown one, or a
    purse without a month; and what the look of the budget raises.
    """
    _look_at(things, purse)
    fixed_by = _fixed_by(things, purse)
    for keep_order in (True, False):
        if (yield from _chosen(things, uses, purse, fixed_by, keep_order, budget)):
            return
    raise ValueError("no choice of months: this cannot be, for nothing bought is one")


def _look_at(things: Sequence[Purchase], purse: Purse) -> None:
    keys = [thing.key for thing in things]
    if len(set(keys)) < len(keys):
        raise ValueError("a thing to buy stands twice")
    for thing in things:
        for first in thing.after:
            if first not in keys:
                raise ValueError(f"{thing.key} waits for {first}, which nobody buys")
    if purse.months < 1:
        raise ValueError("there is no month to buy in")


def _fixed_by(things: Sequence[Purchase], purse: Purse) -> list[int]:
    """Return what a hand has laid into each month and those before."""
    laid = [0] * purse.months
    for thing in things:
        if thing.month is not None and thing.month < purse.months:
            laid[thing.month] += thing.minor
    return list(accumulate(laid))


def _chosen(
    things: Sequence[Purchase],
    uses: Sequence[Use],
    purse: Purse,
    fixed_by: Sequence[int],
    keep_order: bool,
    budget: Budget,
) -> Generator[Buying, None, bool]:
    """Solve; return whether there is a choice. Without `keep_order` a hand outranks it."""
    for less in range(TRIES):
        model = Model(things, uses, purse, fixed_by, keep_order, less)
        any_choice = holds = False
        for months, proven in Search(model, budget).choices():
            buying = _summed(things, uses, purse, months, proven)
            any_choice, holds = True, _holds(purse, buying, fixed_by)
            if holds:
                yield buying
        if holds or not any_choice:
            return holds
    raise ValueError("the sums do not hold in whole minor units")


def _holds(purse: Purse, buying: Buying, fixed_by: Sequence[int]) -> bool:
    spent = accumulate(buying.spent_minor)
    return all(
        needed(purse, by) <= max(Fraction(purse.available(t)), needed(purse, fixed_by[t]))
        for t, by in enumerate(spent)
    )


def _summed(
    things: Sequence[Purchase],
    uses: Sequence[Use],
    purse: Purse,
    months: Mapping[str, int | None],
    proven: bool,
) -> Buying:
    spent = [0] * purse.months
    for thing in things:
        at = months[thing.key]
        if at is not None:
            spent[at] += thing.minor
    missing = {}
    for t, by in enumerate(accumulate(spent)):
        lacks = needed(purse, by) - purse.available(t)
        if lacks > 0:
            missing[t] = -int(-lacks // 1)
    unmet = tuple(
        (thing.key, first)
        for thing in things
        for first in thing.after
        if not _by(months[first], months[thing.key])
    )
    return Buying(
        months, worth_of(things, uses, months, purse.months), tuple(spent), missing, unmet, proven
    )


def _by(first: int | None, then: int | None) -> bool:
    return then is None or (first is not None and first <= then)


def worth_of(
    things: Iterable[Purchase],
    uses: Iterable[Use],
    months: Mapping[str, int | None],
    of_months: int,
) -> int:
    """Return worth times months in use of a choice, by its definition: no solver in it."""
    from_month: dict[str, int] = {}
    total = 0
    for thing in things:
        at = months[thing.key]
        if at is not None:
            from_month[thing.key] = at + thing.on_the_way_months
            total += thing.worth * max(0, of_months - from_month[thing.key])
    for use in uses:
        starts = usable_from(use, from_month)
        if starts is not None:
            total += use.worth * max(0, of_months - starts)
    return total


def usable_from(use: Use, from_month: Mapping[str, int]) -> int | None:
    """Return the month from which something can be done; None where no way is ever whole."""
    whole = [way for way in use.ways if way <= from_month.keys()]
    return min((max((from_month[key] for key in way), default=0) for way in whole), default=None)
