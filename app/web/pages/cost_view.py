"""What the page of cost asks for: lines with their prices and standings, sums, the order paid."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cached_property

from app.costs.budget import in_order
from app.costs.cost import CostLine, Costs, Group, entries_now
from app.costs.ledger import STANDING_WORDS, STANDINGS
from app.forms.field_table import Words
from app.forms.money_edits import TABLES
from app.model.money import Entry, Price
from app.published.register import row
from app.takeoff.line import Bought
from app.usecases.accounts import Account
from app.web.pages.plan_view import PlanView
from app.wording import area_words

COST_CHOICES = (
    ("sums", "Sums"),
    ("terms", "Tax and budget"),
    ("order", "Order of spending"),
    ("compare", "Compare"),
    ("table", "Table"),
)
ROUNDINGS = ("total-half-up", "total-down", "line-half-up")


@dataclass(frozen=True, slots=True)
class CostRow:
    """One line as the page shows it. `first` tells of each pack whether its price is asked here."""

    line: CostLine
    packs: tuple[Bought, ...]
    first: tuple[bool, ...]
    entry: Entry
    usual: Entry


@dataclass(frozen=True)
class CostView(PlanView):
    """A plan's costs as the page shows them."""

    account: Account
    tables = TABLES

    @property
    def costs(self) -> Costs:
        """What it costs."""
        return self.account.costs

    @cached_property
    def groups(self) -> list[tuple[Group, str, list[tuple[str, list[CostRow]]]]]:
        """Fit-out and kit, each by part with its lines."""
        bought = {line.key: line.bought for line in self.account.take_off.lines}
        entries = entries_now(self.plan.money, self.account.take_off)
        seen: set[str] = set()
        rows_by_group: dict[Group, dict[str, list[CostRow]]] = {"fit-out": {}, "kit": {}}
        for line in self.costs.lines:
            packs = bought.get(line.key, ())
            first = tuple(pack.key not in seen for pack in packs)
            seen |= {pack.key for pack in packs}
            usual = self.plan.usual_entry(line.key)
            entry = entries.get(line.key, usual)
            shown = CostRow(line, packs, first, entry, usual)
            rows_by_group[line.group].setdefault(line.part, []).append(shown)
        names: tuple[tuple[Group, str], ...] = (("fit-out", "Fit-out"), ("kit", "Kit"))
        return [(group, name, list(rows_by_group[group].items())) for group, name in names]

    @property
    def square_name(self) -> str:
        """What people call the square that areas are counted in."""
        return "square metre" if self.plan.units == "metric" else "square foot"

    @property
    def floor(self) -> str:
        """How large the floor is."""
        return area_words(self.costs.area_m2, self.plan.units)

    @property
    def a_square(self) -> str:
        """What one of them costs."""
        return self.money(round(self.costs.per_m2_minor * self.square[1]))

    def price_of(self, key: str) -> Price | None:
        """The household's own price of a pack."""
        return next((price for price in self.plan.money.prices if price.id == key), None)

    @property
    def standings(self) -> list[tuple[str, str]]:
        """Every standing with its words."""
        return list(STANDING_WORDS.items())

    @property
    def by_standing(self) -> list[tuple[str, int]]:
        """What is paid, ordered and not ordered yet."""
        return [
            (STANDING_WORDS[word], self.costs.sum_of(standing=word))
            for word in reversed(STANDINGS[:3])
        ]

    @property
    def phases(self) -> list[tuple[str, int, int]]:
        """Fit-out and kit: what is paid now and what later."""
        sums_by_phase: list[tuple[str, int, int]] = []
        names: tuple[tuple[str, Group], ...] = (("Fit-out", "fit-out"), ("Kit", "kit"))
        for name, group in names:
            sums = [self.costs.sum_of(group=group, later=later) for later in (False, True)]
            sums_by_phase.append((name, sums[0], sums[1]))
        return sums_by_phase

    @property
    def by_part(self) -> list[tuple[str, int]]:
        """What each part comes to, the dearest first."""
        parts = dict.fromkeys(line.part for line in self.costs.lines)
        sums = [(part, self.costs.sum_of(part=part)) for part in parts]
        return sorted(sums, key=lambda one: -one[1])

    @property
    def budget(self) -> str:
        """Whether the budget holds, and what breaks it."""
        return self.account.budget

    @property
    def order(self) -> list[tuple[CostLine, int, bool]]:
        """The lines as they are paid, what is spent by then, whether the budget is broken there."""
        budget = self.plan.money.budget_minor
        return [
            (s.line, s.running_minor, budget is not None and s.running_minor > budget)
            for s in in_order(self.costs)
        ]

    @property
    def lists(self) -> Mapping[str, Words]:
        """Every rule of rounding tax with what it says."""
        return {"roundings": [(key, row(f"money.tax.{key}").applies_to) for key in ROUNDINGS]}

    @property
    def rounding_source(self) -> str:
        """Where the rule chosen comes from."""
        source_row = row(f"money.tax.{self.plan.money.tax_rounding}")
        return f"{source_row.title}, {source_row.clause} ({source_row.status})"
