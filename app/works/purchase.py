"""What is to be bought, what can be done with it, and what there is to buy it with."""

from __future__ import annotations

from dataclasses import dataclass
from fractions import Fraction


@dataclass(frozen=True, slots=True)
class Purchase:
    """One thing to buy, in minor units with its tax.

    `worth` is what a month of having it is worth by itself. `after` are the things that have to be
    bought by then too (in the same month will do). It is in use from `on_the_way_months` after the
    month in which it is bought. `month` is where a hand laid it; `earliest` the first month that
    is tried. `must` comes before every wish.
    """

    key: str
    minor: int
    worth: int = 0
    must: bool = False
    after: tuple[str, ...] = ()
    on_the_way_months: int = 0
    earliest: int = 0
    month: int | None = None


@dataclass(frozen=True, slots=True)
class Use:
    """Something that can be done from a month on, worth so much in each month.

    Each of `ways` is a set of things that are all needed; one way is enough.
    """

    key: str
    worth: int
    ways: tuple[frozenset[str], ...]


@dataclass(frozen=True, slots=True)
class Purse:
    """What there is: put by, and added in every month, the first month too, in minor units.

    `kept_back` is the share of all that is bought which stays in the purse for surprises.
    """

    put_by_minor: int
    a_month_minor: int
    months: int
    kept_back: Fraction = Fraction(0)

    def available(self, month: int) -> int:
        """Return what has come in by the end of a month; months count from 0."""
        return self.put_by_minor + self.a_month_minor * (month + 1)


def needed(purse: Purse, spent_minor: int) -> Fraction:
    """Return what a sum takes from the purse, with what is kept back for it."""
    return spent_minor * (1 + purse.kept_back)
