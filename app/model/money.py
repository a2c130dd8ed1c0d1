"""Prices, tax, what is owned already and what may be spent; sums in minor units of one currency."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, field_validator

from app.model.base import Frozen, by_id

MINOR_LIMIT = 1_000_000_000_000
"""Far beyond what a room costs in any money, and whole in every float."""
Minor = Annotated[int, Field(ge=0, le=MINOR_LIMIT)]
"""A sum in minor units (cents, pence); whole, so that sums are exact."""

CURRENCY = r"^[A-Z]{3}$"
Currency = Annotated[str, Field(pattern=CURRENCY)]
MONEY_KEY = r"^[a-z0-9][a-z0-9.-]{0,95}$"
MoneyKey = Annotated[str, Field(pattern=MONEY_KEY)]
"""Names a thing that has a price: a pack of the stock list, a line, or "piece." and an id."""

PIECE = "piece."
"""What the key of a piece among the lines of money begins with."""
Standing = Literal["to-come", "committed", "bought", "owned"]
TaxRounding = Literal["total-down", "total-half-up", "line-half-up"]


class Price(Frozen):
    """What one pack costs, by the key of the pack; `delivery_minor` is paid once for its line.

    An empty currency is the plan's. `pack` says how much the pack really holds, in the unit of
    its line.
    """

    id: MoneyKey
    minor: Minor
    currency: Currency | None = None
    pack: Annotated[float, Field(ge=0, le=1e6)] | None = None
    delivery_minor: Minor = 0


class Entry(Frozen):
    """Where a line or piece stands: to come, committed, bought or owned already.

    `minor` is what the whole of it costs or has cost, in place of packs times price. Second-hand
    carries no tax. `later` moves a line out of the first phase.
    """

    id: MoneyKey
    standing: Standing = "to-come"
    second_hand: bool = False
    minor: Minor | None = None
    currency: Currency | None = None
    delivery_minor: Minor = 0
    later: bool | None = None


class Money(Frozen):
    """The household's money side of a plan.

    Empty tax means that prices are what is paid and nothing is said of tax. Empty contingency
    means the usual share.
    """

    prices: tuple[Price, ...] = Field(default=(), max_length=2000)
    entries: tuple[Entry, ...] = Field(default=(), max_length=4000)
    tax_percent: Annotated[float, Field(ge=0, le=100)] | None = None
    prices_with_tax: bool = True
    tax_rounding: TaxRounding = "total-half-up"
    contingency_percent: Annotated[float, Field(ge=0, le=200)] | None = None
    budget_minor: Minor | None = None

    @field_validator("prices", "entries")
    @classmethod
    def _in_order(cls, things: tuple[Price, ...]) -> tuple[Price, ...]:
        return by_id(things)
