"""Every edit of the money of a plan by fields: prices, standings, tax, contingency, budget.

As the edits of the fit-out: a name and the fields of its form, all as typed; a command comes out.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from typing import Any

from pydantic import ValidationError

from app.changes.commands import Command
from app.changes.difference import difference
from app.errors import CommandError, Fault, PlanError
from app.forms.typed_fields import Typed
from app.forms.typed_money import typed_sum
from app.model.base import json_of
from app.model.faults import plan_error
from app.model.money import PIECE, Entry, Money, Price, Standing, TaxRounding
from app.model.plan import Plan

_KEY = re.compile(r"[a-z0-9][a-z0-9.-]{0,95}")

Done = tuple[Plan, str]
Edit = Callable[[Plan, Typed], Done]


def edit_money(plan: Plan, name: str, fields: Mapping[str, str]) -> Command | None:
    """Return the command for an edit, None when nothing changes.

    `price.emulsion-5l` is the edit `price` of that pack. Raises PlanError for fields that are
    wrong, CommandError for an edit that is not known.
    """
    name, point, key = name.partition(".")
    if name not in EDITS:
        raise CommandError("This cannot be done to prices.")
    given = {**fields, "key": key} if point else fields
    after, says = EDITS[name](plan, Typed(given, plan.units))
    return difference(plan, after, "edit", says)


def money_plan(plan: Plan, field: str, **changes: Any) -> Plan:
    """Return the plan with other fields in its money. Raises PlanError naming `field`."""
    money = {name: getattr(plan.money, name) for name in Money.model_fields} | changes
    try:
        made = Money(**money)
        return Plan.model_validate({**json_of(plan), "money": json_of(made)})
    except ValidationError as error:
        raise PlanError(*(Fault(field, f.sentence) for f in plan_error(error).faults)) from None


def _keyed(typed: Typed) -> str:
    key = typed.fields.get("key", "").strip()
    if not _KEY.fullmatch(key):
        raise CommandError("That line is no longer on the list; what is kept is shown.")
    return key


def _price(plan: Plan, typed: Typed) -> Done:
    key = _keyed(typed)
    minor = typed_sum(typed, "price", "the price", plan.currency)
    delivery = typed_sum(typed, "delivery", "the delivery", plan.currency)
    pack = typed.maybe_number("pack", "what the pack holds", (0, 1_000_000))
    if pack == 0:
        typed.fault("pack", "a pack of 0 holds nothing: say how much is really in it")
    if minor is None and (delivery or pack) and not typed.faults:
        typed.fault("price", "the price is missing; delivery and pack go with it")
    typed.done()
    prices = [price for price in plan.money.prices if price.id != key]
    if minor is not None:
        prices.append(Price(id=key, minor=minor, pack=pack, delivery_minor=delivery or 0))
    says = f"the price of {key}" if minor is not None else f"take the price of {key} back"
    return money_plan(plan, "price", prices=tuple(prices)), says


def _entry(plan: Plan, typed: Typed) -> Done:
    key = _keyed(typed)
    usual = plan.usual_entry(key)
    minor = typed_sum(typed, "whole", "the price", plan.currency)
    delivery = typed_sum(typed, "delivery", "the delivery", plan.currency)
    standing = typed.one_of("standing", Standing)
    typed.done()
    entry = Entry(
        id=key,
        standing=standing,  # type: ignore[arg-type]
        second_hand=typed.yes("second_hand"),
        minor=minor,
        delivery_minor=delivery or 0,
        later=typed.yes("later"),
    )
    entries = [one for one in plan.money.entries if one.id != key]
    if entry != usual:
        entries.append(entry)
    return money_plan(plan, "whole", entries=tuple(entries)), f"where {_name(plan, key)} stands"


def _name(plan: Plan, key: str) -> str:
    for piece in plan.pieces:
        if key == f"{PIECE}{piece.id}":
            return piece.label or piece.type.replace("-", " ")
    return key


def _terms(plan: Plan, typed: Typed) -> Done:
    tax = typed.maybe_number("tax", "the tax", (0, 100))
    with_tax = typed.choice("with_tax", ("yes", "no")) == "yes"
    rounding = typed.one_of("rounding", TaxRounding)
    contingency = typed.maybe_number("contingency", "the contingency", (0, 200))
    budget = typed_sum(typed, "budget", "the budget", plan.currency)
    currency = typed.text("currency").upper() or plan.currency
    if not re.fullmatch("[A-Z]{3}", currency):
        typed.fault("currency", "a currency is three letters, such as EUR, GBP or USD")
    typed.done()
    after = money_plan(
        plan,
        "budget",
        tax_percent=tax,
        prices_with_tax=with_tax,
        tax_rounding=rounding,
        contingency_percent=contingency,
        budget_minor=budget,
    )
    if currency != plan.currency:
        after = Plan.model_validate({**json_of(after), "currency": currency})
    return after, "tax, contingency and budget"


def with_money(plan: Plan, money: Money, says: str) -> Command | None:
    """Return the command that puts another money side in place, None when nothing changes."""
    after = Plan.model_validate({**json_of(plan), "money": json_of(money)})
    return difference(plan, after, "edit", says)


EDITS: Mapping[str, Edit] = {"price": _price, "entry": _entry, "terms": _terms}
"""All edits by name."""
