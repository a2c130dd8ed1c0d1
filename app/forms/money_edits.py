"""Every edit of the money of a plan by fields: prices, standings, tax, contingency, budget."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from app.changes.commands import Command
from app.changes.difference import difference
from app.errors import CommandError
from app.forms.field_table import Table, choice, money, number, text, tick, values_of
from app.forms.thing_edits import Done, Edit, command_of, plan_with, sole
from app.forms.typed_fields import Typed
from app.library.finishes import finishes
from app.model.base import json_of
from app.model.money import PIECE, Entry, Money, Price
from app.model.plan import Plan
from app.published.register import row

_GONE = "That line is no longer on the list; what is kept is shown."
FLOOR = "floor."
"""Before the name of a floor, the key of what it is laid of."""
_KEY = re.compile(r"[a-z0-9][a-z0-9.-]{0,95}")


def _price_read(plan: Plan, typed: Typed, old: Any, values: dict[str, Any]) -> dict[str, Any]:
    more = values["delivery_minor"] or values["pack"]
    if values["minor"] is None and more and not typed.faults:
        typed.fault("price", "the price is missing; delivery and pack go with it")
    return values


PRICE = Table(
    Price,
    (
        money("price", "Price", "minor", what="the price"),
        money("delivery", "Delivery, once", "delivery_minor", what="the delivery", empty=0),
        number("pack", "It really holds", "pack", what="what the pack holds",
               check=lambda pack: "" if pack
               else "a pack of 0 holds nothing: say how much is really in it"),
    ),
    finish=_price_read,
)  # fmt: skip
ENTRY = Table(
    Entry,
    (
        money("whole", "Price of the whole", "minor", what="the price"),
        money("delivery", "Delivery", "delivery_minor", what="the delivery", empty=0),
        choice("standing", "Standing", "standing", choices="standings"),
        tick("second_hand", "second-hand", "second_hand"),
        tick("later", "later", "later"),
    ),
)
TERMS = Table(
    Money,
    (
        money("budget", "Budget", "budget_minor", what="the budget", example="none"),
        number("contingency", "Contingency, %", "contingency_percent", what="the contingency",
               example=f"{row('money.contingency-percent').value:g}"),
        number("tax", "Tax, %", "tax_percent", what="the tax", example="nothing said"),
        choice("with_tax", "Prices are", "prices_with_tax",
               choices=(("yes", "with tax in them"), ("no", "without tax")),
               show=lambda within: "yes" if within else "no", cast="yes".__eq__),
        choice("rounding", "Tax is rounded", "tax_rounding", choices="roundings", span=""),
        text("currency", "Money of the plan", "", example="EUR", check=lambda code: ""
             if re.fullmatch("|[A-Z]{3}", code.upper())
             else "a currency is three letters, such as EUR, GBP or USD"),
    ),
    shown=lambda plan, thing: {"currency": plan.currency},
    finish=lambda plan, typed, old, values: {k: v for k, v in values.items() if k != "currency"},
)  # fmt: skip
TABLES = {"price": PRICE, "entry": ENTRY, "terms": TERMS}
_MONEY = sole(TERMS, "money", "budget", "tax, contingency and budget")


def edit_money(plan: Plan, name: str, fields: Mapping[str, str]) -> Command | None:
    """Return the command for an edit, None when nothing changes. Raises PlanError, CommandError.

    `price.emulsion-5l` is the edit `price` of that pack.
    """
    return command_of(EDITS, plan, name, fields, "edit", "This cannot be done to prices.")


def keyed(typed: Typed, gone: str) -> str:
    """Return the key of the line that a form is about. Raises CommandError saying `gone`."""
    key = (typed.fields.get("id") or typed.fields.get("key", "")).strip()
    if not _KEY.fullmatch(key):
        raise CommandError(gone)
    return key


def _price(plan: Plan, typed: Typed) -> Done:
    key = keyed(typed, _GONE)
    values = values_of(PRICE, plan, typed, None)
    prices = [price for price in plan.money.prices if price.id != key]
    says = f"take the price of {line_name(plan, key)} back"
    if values["minor"] is not None:
        prices.append(Price(id=key, **values))
        says = f"the price of {line_name(plan, key)}"
    return plan_with(plan, "money.prices", "price", prices), says


def _entry(plan: Plan, typed: Typed) -> Done:
    key = keyed(typed, _GONE)
    entry = Entry(id=key, **values_of(ENTRY, plan, typed, None))
    entries = [one for one in plan.money.entries if one.id != key]
    if entry != plan.usual_entry(key):
        entries.append(entry)
    says = f"where {line_name(plan, key)} stands"
    return plan_with(plan, "money.entries", "whole", entries), says


def line_name(plan: Plan, key: str) -> str:
    """Call a line of the list in words: a piece, a floor, a pack by name, all else by its key."""
    for piece in plan.pieces:
        if key == f"{PIECE}{piece.id}":
            return piece.label or piece.type.replace("-", " ")
    for laying in plan.fit_out.floors:
        if key == f"{FLOOR}{laying.id}":
            return f"the floor, {laying.name}"
    pack = finishes().packs.get(key)
    return key if pack is None else pack.called(plan.units)


def _terms(plan: Plan, typed: Typed) -> Done:
    after, says = _MONEY(plan, typed)
    currency = typed.text("currency").upper() or plan.currency
    return plan_with(after, "currency", "currency", currency), says


def with_money(plan: Plan, money: Money, says: str) -> Command | None:
    """Return the command that puts another money side in place, None when nothing changes."""
    return difference(plan, plan_with(plan, "money", "", money), "edit", says)


def edit_shopping(plan: Plan, name: str, fields: Mapping[str, str]) -> Command | None:
    """Return the command that says how one line stands, None when nothing changes.

    `got.paint.emulsion` with the field `standing` is the edit of that line; what else is said of
    it stays. Raises CommandError.
    """
    known = {"got": _got}
    return command_of(known, plan, name, fields, "edit", "A list is only ticked off here.")


def _got(plan: Plan, typed: Typed) -> Done:
    key = keyed(typed, _GONE)
    standing = typed.text("standing")
    if standing not in TICKED:
        raise CommandError("A thing is still to come, bought, or owned already.")
    usual = plan.usual_entry(key)
    now = next((one for one in plan.money.entries if one.id == key), usual)
    entry = Entry.model_validate({**json_of(now), "standing": standing})
    rest = [one for one in plan.money.entries if one.id != key]
    entries = rest if entry == usual else [*rest, entry]
    says = f"{line_name(plan, key)}: {TICKED[standing]}"
    return plan_with(plan, "money.entries", "standing", entries), says


TICKED = {"to-come": "still to come", "bought": "bought", "owned": "owned already"}
"""What a tick of the shopping list says of a line."""
EDITS: Mapping[str, Edit] = {"price": _price, "entry": _entry, "terms": _terms}
"""All edits by name."""
