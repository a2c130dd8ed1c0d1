"""A first choice of months: what must be there, then what is worth most for its money, in turn.

Serial generation by a priority list, as for works: each thing falls into the first month in which
what it waits for is there and no later month lacks the money (a greedy rule for knapsacks: most
worth for its price first; Martello and Toth, Knapsack Problems, 1990). Nothing is proven of it.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping

from app.works.purchase import Purchase
from app.works.purchase_model import Model

Priority = tuple[float, tuple[str, ...]]


def first_choice(model: Model) -> dict[str, int]:
    """Return a month for each thing that is bought within those of a model."""
    return _Filling(model).filled()


class _Filling:
    """The months as they are filled."""

    def __init__(self, model: Model) -> None:
        self._model = model
        self._things: Mapping[str, Purchase] = {thing.key: thing for thing in model.things}
        self._left = list(model.most_by)
        self._months: dict[str, int] = {}

    def filled(self) -> dict[str, int]:
        for thing in self._model.things:
            if thing.month is not None and thing.month < self._model.months:
                self._put(thing, thing.month)
        for thing in self._model.things:
            if thing.must:
                self._take((thing.key,))
        # the worthiest for its money first
        for _, keys in sorted(self._wishes(), key=lambda one: -one[0]):
            self._take(keys)
        return self._months

    def _wishes(self) -> Iterator[Priority]:
        """Yield what is worth something, with all that it asks for and its worth for its money."""
        for thing in self._model.things:
            if thing.worth:
                yield self._priority((thing.key,), thing.worth)
        for ways, worth in self._model.merged.items():
            yield from (self._priority(tuple(sorted(way)), worth) for way in ways)

    def _priority(self, keys: tuple[str, ...], worth: int) -> Priority:
        still = [key for key in self._with_firsts(keys) if key not in self._months]
        cost = sum(self._things[key].minor for key in still)
        return worth / max(cost, 1), keys

    def _with_firsts(self, keys: Iterable[str]) -> list[str]:
        """Return things with all that they wait for, what is waited for first."""
        order: dict[str, None] = {}

        def add(key: str, waiting: tuple[str, ...]) -> None:
            for first in self._things[key].after:
                # a ring is passed over here: the programme itself has no choice for it
                if first not in waiting:
                    add(first, (*waiting, first))
            order.setdefault(key)

        for key in keys:
            add(key, (key,))
        return list(order)

    def _take(self, keys: tuple[str, ...]) -> None:
        """Buy things and what they wait for, or none of it where one finds no month."""
        left, months = list(self._left), dict(self._months)
        for key in self._with_firsts(keys):
            if key in self._months:
                continue
            at = self._month_for(self._things[key])
            if at is None:
                self._left, self._months = left, months
                return
            self._put(self._things[key], at)

    def _month_for(self, thing: Purchase) -> int | None:
        """Return the first month from which on there is the money and what it waits for."""
        if thing.month is not None:
            return None
        sooner = max((self._months.get(first, 0) for first in thing.after), default=0)
        at = len(self._left)
        while at > max(thing.earliest, sooner) and self._left[at - 1] >= self._takes(thing):
            at -= 1
        return at if at < len(self._left) else None

    def _takes(self, thing: Purchase) -> int:
        return thing.minor * (1 + self._model.purse.kept_back).numerator

    def _put(self, thing: Purchase, at: int) -> None:
        self._months[thing.key] = at
        for month in range(at, len(self._left)):
            self._left[month] -= self._takes(thing)
