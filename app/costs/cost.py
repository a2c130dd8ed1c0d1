"""What everything costs: every line of the list and every piece of kit, then the sums."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from fractions import Fraction
from typing import Literal

from app.costs.tax import half_up, rate_of, rounded, tax_on
from app.library.finishes import GUIDE_CURRENCIES
from app.model.base import json_of
from app.model.kit import Piece
from app.model.money import Entry, Money, Standing, TaxRounding
from app.model.plan import owned_pieces
from app.published.register import published
from app.scene.build import Placed, Scene
from app.takeoff.line import PART_NAMES, Line, TakeOff
from app.takeoff.surfaces import MM2_A_M2, floor_area

Group = Literal["fit-out", "kit"]
PIECE = "piece."


@dataclass(frozen=True, slots=True)
class CostLine:
    """One line or piece: `asked_minor` is what is asked for it with its delivery, as priced.

    None where nobody knows a price. What is owned asks nothing. `guide` tells that a guide price
    of the library was used.
    """

    key: str
    group: Group
    part: str
    item: str
    where: str
    asked_minor: int | None
    delivery_minor: int
    standing: Standing
    second_hand: bool
    later: bool
    guide: bool
    tax: Fraction = Fraction(0)

    @property
    def sum_minor(self) -> int:
        """What it adds to the sums."""
        return self.asked_minor or 0

    @property
    def is_bought_now(self) -> bool:
        """Whether it is still paid for, and not left for later."""
        return self.standing != "owned" and not self.later


@dataclass(frozen=True, slots=True)
class Costs:
    """All lines and what they come to, in minor units of one currency.

    `net`, `tax` and `gross` are of everything that is not owned, contingency within. Sums by
    group, phase, part and standing are as priced (`with_tax` tells whether tax is in them).
    """

    currency: str
    with_tax: bool
    tax_percent: float | None
    tax_rounding: TaxRounding
    contingency_percent: float
    lines: tuple[CostLine, ...]
    contingency_minor: int
    net_minor: int
    tax_minor: int
    gross_minor: int
    area_m2: float
    budget_minor: int | None
    problems: tuple[str, ...]

    def sum_of(
        self,
        group: Group | None = None,
        later: bool | None = None,
        part: str | None = None,
        standing: Standing | None = None,
    ) -> int:
        """Add up what is asked for the lines that fit; None means any."""
        return sum(
            line.sum_minor
            for line in self.lines
            if group in (None, line.group)
            and later in (None, line.later)
            and part in (None, line.part)
            and standing in (None, line.standing)
        )

    @property
    def per_m2_minor(self) -> int:
        """The whole for each square metre of floor."""
        return half_up(Fraction(self.gross_minor) / Fraction(self.area_m2)) if self.area_m2 else 0

    @property
    def over_minor(self) -> int:
        """By how much the budget is broken; nothing where it holds or there is none."""
        return max(0, self.gross_minor - self.budget_minor) if self.budget_minor is not None else 0


def costs(scene: Scene, take_off: TakeOff) -> Costs:
    """Price the list and the kit of a plan; what has no price is named and left out of the sums."""
    plan, money = scene.plan, scene.plan.money
    problems = list(take_off.problems)
    entries = entries_now(money, take_off)
    lines = [*_lines(take_off, money, entries, problems, plan.currency)]
    lines += _pieces(scene, entries, problems)
    known = {line.key for line in lines}
    problems += [f"{key}: nothing on the list has this key" for key in entries if key not in known]
    area = float(floor_area(scene).area / MM2_A_M2)
    return _summed(lines, money, plan.currency, area, tuple(dict.fromkeys(problems)))


def entries_now(money: Money, take_off: TakeOff) -> dict[str, Entry]:
    """Return what is said of each line by its present key.

    What was said of several that are one line by now holds where it was the same for all of them
    that were said anything of; sums for the whole are added. What is said of the line itself wins.
    """
    now = take_off.keys_now()
    by_key: dict[str, list[Entry]] = {}
    for entry in money.entries:
        by_key.setdefault(now.get(entry.id, entry.id), []).append(entry)
    return {key: _as_one(key, some) for key, some in by_key.items()}


def _as_one(key: str, some: Sequence[Entry]) -> Entry:
    own = next((entry for entry in some if entry.id == key), None)
    if own is not None or len(some) == 1:
        return own or some[0]
    sums = [entry.minor for entry in some if entry.minor is not None]
    standings = {entry.standing for entry in some}
    return Entry.model_validate(
        {
            **json_of(some[0]),
            "id": key,
            "standing": some[0].standing if len(standings) == 1 else "to-come",
            "minor": sum(sums) if len(sums) == len(some) else None,
            "delivery_minor": sum(entry.delivery_minor for entry in some),
        }
    )


def _lines(
    take_off: TakeOff,
    money: Money,
    entries: dict[str, Entry],
    problems: list[str],
    currency: str,
) -> Iterator[CostLine]:
    prices = {price.id: price for price in money.prices}
    delivered: set[str] = set()
    for line in take_off.lines:
        entry = _entry(entries, line.key, currency, problems)
        delivery = entry.delivery_minor
        for pack in line.bought:
            if pack.key in prices and pack.key not in delivered:
                delivered.add(pack.key)
                delivery += prices[pack.key].delivery_minor
        asked = line.cost_minor if entry.minor is None else entry.minor
        if asked is None and entry.standing != "owned":
            problems.append(_unpriced(line))
        yield CostLine(
            line.key,
            "fit-out",
            PART_NAMES[line.part],
            line.item,
            line.where,
            _asked(asked, delivery, entry),
            delivery,
            entry.standing,
            entry.second_hand,
            bool(entry.later),
            entry.minor is None and any(pack.guide for pack in line.bought),
        )


def _unpriced(line: Line) -> str:
    missing = [pack.one for pack in line.bought if pack.price_minor is None]
    what = f"no price for {', '.join(missing)}" if missing else "nothing to buy it in is known"
    return f"{line.key}: {what}; {line.item} is left out of the sums"


def _asked(minor: int | None, delivery: int, entry: Entry) -> int | None:
    if entry.standing == "owned":
        return 0
    return None if minor is None else minor + delivery


def _entry(entries: dict[str, Entry], key: str, currency: str, problems: list[str]) -> Entry:
    entry = entries.get(key)
    if entry is None:
        return Entry(id=key)
    if entry.currency is not None and entry.currency != currency:
        problems.append(
            f"{key}: its sum is in {entry.currency}, the plan's money is {currency}; "
            f"give it in {currency}"
        )
        return Entry(id=entry.id, standing=entry.standing, second_hand=entry.second_hand)
    return entry


def _pieces(scene: Scene, entries: dict[str, Entry], problems: list[str]) -> Iterator[CostLine]:
    currency, mine = scene.plan.currency, owned_pieces(scene.plan)
    for placed in scene.order:
        piece = placed.piece
        key = f"{PIECE}{piece.id}"
        entry = _entry(entries, key, currency, problems)
        standing: Standing = "owned" if piece.id in mine else entry.standing
        asked, guide = _price(placed, piece, entry, currency)
        if asked is None and standing != "owned" and placed.kit.price_minor == 0:
            asked = 0
        if asked is None and standing != "owned":
            problems.append(f"{key}: {placed.name} has no price and is left out of the sums")
        owned = Entry(id=entry.id, standing=standing)
        yield CostLine(
            key,
            "kit",
            placed.kit.group,
            placed.name,
            "later" if piece.later else "now",
            _asked(asked, entry.delivery_minor, owned),
            entry.delivery_minor,
            standing,
            entry.second_hand,
            piece.later if entry.later is None else entry.later,
            guide and standing != "owned",
        )


def _price(placed: Placed, piece: Piece, entry: Entry, currency: str) -> tuple[int | None, bool]:
    if entry.minor is not None:
        return entry.minor, False
    if piece.price_minor is not None:
        return piece.price_minor, False
    if placed.kit.own is not None:
        return placed.kit.price_minor, False
    return (placed.kit.price_minor, True) if currency in GUIDE_CURRENCIES else (None, False)


def _summed(
    untaxed: Iterable[CostLine],
    money: Money,
    currency: str,
    area_m2: float,
    problems: tuple[str, ...],
) -> Costs:
    rate = rate_of(money.tax_percent or 0)
    with_tax = money.prices_with_tax or money.tax_percent is None
    lines = [_taxed(line, rate, with_tax) for line in untaxed]
    percent = money.contingency_percent
    if percent is None:
        percent = published("money.contingency-percent")
    share = rate_of(percent)
    to_come = [line for line in lines if line.standing == "to-come"]
    set_aside = half_up(share * sum(line.sum_minor for line in to_come))
    taxes = [line.tax for line in lines] + [share * line.tax for line in to_come]
    tax = rounded(taxes, money.tax_rounding)
    asked = sum(line.sum_minor for line in lines) + set_aside
    return Costs(
        currency,
        with_tax,
        money.tax_percent,
        money.tax_rounding,
        percent,
        tuple(lines),
        set_aside,
        asked - tax if with_tax else asked,
        tax,
        asked if with_tax else asked + tax,
        area_m2,
        money.budget_minor,
        problems,
    )


def _taxed(line: CostLine, rate: Fraction, with_tax: bool) -> CostLine:
    taxed = not line.second_hand and line.standing != "owned"
    tax = tax_on(Fraction(line.sum_minor), rate, with_tax) if taxed else Fraction(0)
    return CostLine(
        line.key,
        line.group,
        line.part,
        line.item,
        line.where,
        line.asked_minor,
        line.delivery_minor,
        line.standing,
        line.second_hand,
        line.later,
        line.guide,
        tax,
    )
