"""What left out mends a budget: the fewest things, and of equally many those worth the least."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

SETS_AT_MOST = 60_000
"""Sets that are weighed: about a second; beyond them a good one is given, and said to be so."""


@dataclass(frozen=True, slots=True)
class Spare:
    """One thing that may be left out: what that saves, and what it is worth by itself.

    `takes` are the keys of what cannot be there without it.
    """

    key: str
    name: str
    minor: int
    worth: int = 0
    takes: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Wanted:
    """Something that can be done while all of one of its `ways` are there, and what it is worth."""

    name: str
    worth: int
    ways: tuple[frozenset[str], ...]


@dataclass(frozen=True, slots=True)
class LeftOut:
    """A set that mends the budget, what it saves, and the names of what then cannot be done.

    `least` tells that no smaller set does, and none of its size that is worth less.
    """

    spares: tuple[Spare, ...]
    minor: int
    lost: tuple[str, ...]
    least: bool


def least_set(
    spares: Sequence[Spare], over_minor: float, wanted: Sequence[Wanted] = ()
) -> LeftOut | None:
    """Return the smallest set that saves enough, of those the one worth least, then the cheapest.

    None where all of it together is not enough.
    """
    order = sorted(spares, key=lambda spare: -spare.minor)
    sums = [sum(spare.minor for spare in order[:n]) for n in range(len(order) + 1)]
    fewest = next((n for n, total in enumerate(sums) if total >= over_minor), None)
    if fewest is None:
        return None
    for size in range(max(fewest, 1), len(order) + 1):
        if math.comb(len(order), size) > SETS_AT_MOST:
            break
        fit = [some for some in _closed(order, size) if _saved(some) >= over_minor]
        if fit:
            best = min(fit, key=lambda some: (_worth(some, wanted), _saved(some)))
            return _left_out(best, wanted, least=True)
    return _left_out(_greedy(order, over_minor), wanted, least=False)


def _closed(order: Sequence[Spare], size: int) -> Iterator[tuple[Spare, ...]]:
    """Yield the sets of a size with which goes all that cannot be there without them."""
    for some in combinations(order, size):
        keys = {spare.key for spare in some}
        if all(keys.issuperset(spare.takes) for spare in some):
            yield some


def _greedy(order: Sequence[Spare], over_minor: float) -> tuple[Spare, ...]:
    """Return a set by taking what saves most for what it is worth, with all that hangs on it."""
    by_key = {spare.key: spare for spare in order}
    some: dict[str, Spare] = {}
    for spare in sorted(order, key=lambda one: (one.worth, -one.minor)):
        if _saved(some.values()) >= over_minor:
            break
        some[spare.key] = spare
        some |= {key: by_key[key] for key in spare.takes if key in by_key}
    return tuple(some.values())


def _saved(some: Iterable[Spare]) -> int:
    return sum(spare.minor for spare in some)


def _worth(some: Sequence[Spare], wanted: Sequence[Wanted]) -> int:
    lost = _lost(some, wanted)
    return sum(spare.worth for spare in some) + sum(use.worth for use in lost)


def _lost(some: Sequence[Spare], wanted: Sequence[Wanted]) -> list[Wanted]:
    gone = {spare.key for spare in some}
    return [use for use in wanted if all(way & gone for way in use.ways)]


def _left_out(some: Sequence[Spare], wanted: Sequence[Wanted], least: bool) -> LeftOut:
    names = tuple(dict.fromkeys(use.name for use in _lost(some, wanted)))
    return LeftOut(tuple(some), _saved(some), names, least)
