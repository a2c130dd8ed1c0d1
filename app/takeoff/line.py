"""A line of the list of quantities, the working behind it, and what the shop sells for it."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass, field
from typing import Literal

from app.library.finishes import GUIDE_CURRENCIES, Pack, finishes
from app.model.plan import Plan
from app.scales import beside_kg
from app.units import Units
from app.wording import measure_words

_SQUARE = "m2"
_METRE = "m"

PRACTICE = "common practice, no source"

Part = Literal[
    "linings",
    "floor",
    "paint",
    "strip",
    "light",
    "mirrors",
    "fixings",
    "small",
    "tools",
    "protection",
    "projection",
]

PART_NAMES: dict[Part, str] = {
    "linings": "Linings",
    "floor": "Floor covering",
    "paint": "Paint and sealers",
    "light": "Light",
    "strip": "Light strip",
    "mirrors": "Mirrors",
    "fixings": "Fixings",
    "small": "Small things",
    "tools": "Tools",
    "protection": "Eyes, ears, lungs, hands",
    "projection": "Projection",
}


@dataclass(frozen=True, slots=True)
class Step:
    """One number on the way to a quantity; `key` names a published value or a library row."""

    label: str
    value: float
    unit: str = ""
    key: str = ""


@dataclass(frozen=True, slots=True)
class Bought:
    """So many of one pack, or so much of what is measured off. `price_minor` is for one, None
    where nobody knows it.

    `guide` tells that the price is not the household's own.
    """

    key: str
    name: str
    size: float
    count: float
    price_minor: int | None
    guide: bool = False

    @property
    def measured_in(self) -> str:
        """In what a shop measures it off, "m2" or "m"; empty where it hands over packs."""
        first, *_ = self.name.split(",")[0].split() or [""]
        return first if first in (_SQUARE, _METRE) else ""

    @property
    def one(self) -> str:
        """What one price is for: "5 L tin", "1 m2 from the roll"."""
        return f"1 {self.name}" if self.measured_in else self.name

    def worded(self, units: Units) -> str:
        """Say how many as one does in the shop: "2 × 5 L tin", "19 m2 from the roll"."""
        unit = self.measured_in
        if not unit:
            return f"{self.count:g} × {_beside(beside_kg(self.name, units), units)}"
        much, feet = f"{self.count:g} {unit}", ""
        if units == "feet":
            feet = f" ({measure_words(self.count, unit, units, 0)})"
        return f"{much}{feet}{self.name.removeprefix(unit)}"


_METRIC = re.compile(r"\b(\d+(?:\.\d+)?) (m2|mm|m|L)\b(?! \()")
"""A metric size that has none in feet beside it yet."""


def _beside(name: str, units: Units) -> str:
    """Return the name of a metric pack with its size in feet beside it: one with an own price."""
    if units == "metric":
        return name
    return _METRIC.sub(
        lambda one: f"{one[0]} ({measure_words(float(one[1]), one[2], units, 1)})", name
    )


@dataclass(frozen=True, slots=True)
class Line:
    """One thing to buy: `net` is what the plan measures, `waste` what is lost, both in `unit`.

    `rate` says where the rate comes from. `assumed` tells that the plan did not choose it. `was`
    are keys that parts of it had in older plans, whose money still hangs on them.
    """

    key: str
    part: Part
    item: str
    where: str
    net: float
    waste: float
    unit: str
    bought: tuple[Bought, ...] = ()
    mass_kg: float = 0.0
    rate: str = ""
    working: tuple[Step, ...] = ()
    assumed: bool = False
    notes: tuple[str, ...] = ()
    was: tuple[str, ...] = ()

    @property
    def to_buy(self) -> float:
        """What the packs hold together, in the line's unit."""
        return sum(pack.size * pack.count for pack in self.bought)

    @property
    def left_over(self) -> float:
        """What remains when the job is done."""
        return max(0.0, self.to_buy - self.net - self.waste)

    def packs_worded(self, units: Units) -> str:
        """The packs as one reads them to the shop: "2 × 5 L tin + 1 × 1 L tin"."""
        return " + ".join(pack.worded(units) for pack in self.bought)

    @property
    def cost_minor(self) -> int | None:
        """What the packs cost, None while the price of one is not known."""
        if not self.bought and self.net + self.waste > 0:
            return None
        total = 0
        for pack in self.bought:
            if pack.price_minor is None:
                return None
            total += round(pack.price_minor * pack.count)
        return total


READY_NAME = "What you likely have: have it ready"


@dataclass(frozen=True, slots=True)
class Ready:
    """One thing that a household likely has: to have ready, one of it, and not to buy."""

    key: str
    item: str
    where: str


@dataclass(frozen=True, slots=True)
class TakeOff:
    """The list, the sentences about what could not be counted, and what is worth saying.

    `ready` is what a household likely has: on the list, and without a price.
    """

    lines: tuple[Line, ...]
    problems: tuple[str, ...] = ()
    says: tuple[str, ...] = ()
    ready: tuple[Ready, ...] = ()

    def line(self, key: str) -> Line:
        """Return a line by its key, or by one it had. Raises KeyError for an unknown one."""
        for line in self.lines:
            if key == line.key or key in line.was:
                return line
        raise KeyError(key)

    def keys_now(self) -> dict[str, str]:
        """Return the present key of each line by its own and by every one that it had."""
        now = {old: line.key for line in self.lines for old in line.was}
        return now | {line.key: line.key for line in self.lines}


@dataclass(slots=True)
class Gathered:
    """What one part of the take-off finds while it is being made."""

    lines: list[Line] = field(default_factory=list)
    problems: list[str] = field(default_factory=list)
    says: list[str] = field(default_factory=list)

    def take(self, other: Gathered) -> None:
        """Add what another part found."""
        self.lines += other.lines
        self.problems += other.problems
        self.says += other.says


class PackError(ValueError):
    """What is sold cannot be counted; the sentence names the pack."""


@dataclass(frozen=True, slots=True)
class Offer:
    """One pack as this household finds it: how much is in it and what it costs."""

    key: str
    name: str
    size: float
    price_minor: int | None
    guide: bool

    def times(self, count: int) -> Bought:
        """Return so many of it."""
        return Bought(self.key, self.name, self.size, count, self.price_minor, self.guide)


def offer(plan: Plan, key: str) -> Offer:
    """Return a pack at the household's own price, else at the guide price of the library.

    Raises PackError for a pack of nothing, a price in another currency, or an unknown pack.
    """
    pack: Pack | None = finishes().packs.get(key)
    if pack is None:
        raise PackError(f"{key}: there is no such pack in the stock list")
    own = next((price for price in plan.money.prices if price.id == key), None)
    if own is None:
        known = plan.currency in GUIDE_CURRENCIES
        return Offer(key, pack.name, pack.size, pack.price_minor if known else None, True)
    if own.currency is not None and own.currency != plan.currency:
        raise PackError(
            f"{key}: its price is in {own.currency}, the plan's money is {plan.currency}; "
            f"give it in {plan.currency}"
        )
    if own.pack is not None and own.pack <= 0:
        raise PackError(f"{key}: a pack holds {own.pack:g}; say how much is really in it")
    size = pack.size if own.pack is None else own.pack
    name = pack.name if own.pack is None else f"pack of {own.pack:g}"
    return Offer(key, name, size, own.minor, False)


def offers(plan: Plan, keys: Iterable[str], problems: list[str]) -> list[Offer]:
    """Return the packs that can be had; what is wrong with the others goes to the problems.

    What is sold where people measure otherwise is left out, unless the household has a price of it.
    """
    packs, known = [], finishes().packs
    priced = {price.id for price in plan.money.prices}
    asked = [*keys]
    asked += [pack.key for pack in known.values() if pack.of in asked]
    for key in asked:
        units = known[key].units if key in known else None
        if units not in (None, plan.units) and key not in priced:
            continue
        try:
            packs.append(offer(plan, key))
        except PackError as error:
            problems.append(str(error))
    return packs
