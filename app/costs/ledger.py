"""Costs as JSON data, as lines of text, and as CSV that can be filled in and read back."""

from __future__ import annotations

import csv
import io
import re
from decimal import Decimal, InvalidOperation
from functools import partial
from typing import Any

from pydantic import ValidationError

from app.costs.budget import budget_says
from app.costs.cost import CostLine, Costs
from app.costs.tax import half_up
from app.library.finishes import finishes
from app.model.base import json_of
from app.model.money import Entry, Money, Price
from app.model.plan import Plan
from app.published.register import row
from app.takeoff.line import TakeOff
from app.takeoff.quantities import plain_cell
from app.units import bare_money, format_money, minor_digits, without_group_marks

COLUMNS = (
    "key",
    "item",
    "where",
    "count",
    "price",
    "currency",
    "delivery",
    "standing",
    "second-hand",
    "later",
    "guide",
    "sum",
)
STANDINGS = ("to-come", "committed", "bought", "owned")
STANDING_WORDS = {
    "to-come": "not ordered",
    "committed": "ordered",
    "bought": "paid",
    "owned": "owned already",
}
_MOST_ROWS = 10_000


def as_json(costs: Costs, budget: str | None = None) -> dict[str, Any]:
    """Return the costs as JSON data; all sums are whole minor units.

    `budget` is what is said of it where more is known than the costs tell.
    """
    rounding = row(f"money.tax.{costs.tax_rounding}")
    return {
        "currency": costs.currency,
        "prices_with_tax": costs.with_tax,
        "tax_percent": costs.tax_percent,
        "tax_rounding": {
            "rule": costs.tax_rounding,
            "says": rounding.applies_to,
            "source": f"{rounding.title}, {rounding.clause} ({rounding.status})",
        },
        "contingency_percent": costs.contingency_percent,
        "contingency_minor": costs.contingency_minor,
        "net_minor": costs.net_minor,
        "tax_minor": costs.tax_minor,
        "gross_minor": costs.gross_minor,
        "per_m2_minor": costs.per_m2_minor,
        "area_m2": round(costs.area_m2, 3),
        "fit_out": _phases(costs, "fit-out"),
        "kit": _phases(costs, "kit"),
        "by_standing": {
            standing: costs.sum_of(standing=standing)  # type: ignore[arg-type]
            for standing in STANDINGS[:3]
        },
        "by_part": [
            {"part": part, "sum_minor": costs.sum_of(part=part)}
            for part in dict.fromkeys(line.part for line in costs.lines)
        ],
        "budget_minor": costs.budget_minor,
        "over_minor": costs.over_minor,
        "budget": budget_says(costs) if budget is None else budget,
        "lines": [_line(line) for line in costs.lines],
        "problems": list(costs.problems),
    }


def _phases(costs: Costs, group: Any) -> dict[str, int]:
    return {
        "now_minor": costs.sum_of(group=group, later=False),
        "later_minor": costs.sum_of(group=group, later=True),
    }


def _line(line: CostLine) -> dict[str, Any]:
    return {
        "key": line.key,
        "group": line.group,
        "part": line.part,
        "item": line.item,
        "where": line.where,
        "asked_minor": line.asked_minor,
        "delivery_minor": line.delivery_minor,
        "tax_minor": half_up(line.tax),
        "standing": line.standing,
        "second_hand": line.second_hand,
        "later": line.later,
        "guide": line.guide,
    }


def as_text(costs: Costs, budget: str | None = None) -> list[str]:
    """Return the costs as lines to read on a console; `budget` as in the JSON data."""

    def money(minor: int) -> str:
        return format_money(minor, costs.currency)

    lines = []
    for line in costs.lines:
        asked = "no price" if line.asked_minor is None else money(line.asked_minor)
        words = [STANDING_WORDS[line.standing]] if line.standing != "to-come" else []
        words += ["later"] if line.later else []
        words += ["guide price"] if line.guide else []
        tail = f" ({', '.join(words)})" if words else ""
        lines.append(f"  {line.part}: {line.item}: {asked}{tail}")
    for name, group in (("Fit-out", "fit-out"), ("Kit", "kit")):
        sums = _phases(costs, group)
        lines.append(f"{name}: now {money(sums['now_minor'])}, later {money(sums['later_minor'])}")
    lines.append(
        f"Paid {money(costs.sum_of(standing='bought'))}, ordered "
        f"{money(costs.sum_of(standing='committed'))}, not ordered "
        f"{money(costs.sum_of(standing='to-come'))}"
    )
    kept_back = money(costs.contingency_minor)
    lines.append(
        f"Kept back for surprises (contingency) {costs.contingency_percent:g} %: {kept_back}"
    )
    if costs.tax_percent is not None:
        where = "within" if costs.with_tax else "on top"
        lines.append(f"Tax {costs.tax_percent:g} % {where}: {money(costs.tax_minor)}")
    lines.append(f"Together {money(costs.gross_minor)}, {money(costs.per_m2_minor)} per m2")
    lines += [
        sentence for sentence in (budget_says(costs) if budget is None else budget,) if sentence
    ]
    lines += [f"not counted: {problem}" for problem in costs.problems]
    return lines


def as_csv(costs: Costs, take_off: TakeOff) -> str:
    """Return every pack, line and piece as CSV: fill in prices and standings and read it back."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    amount = partial(bare_money, currency=costs.currency)
    bought = {line.key: line.bought for line in take_off.lines}
    seen: set[str] = set()
    for line in costs.lines:
        for pack in bought.get(line.key, ()):
            if pack.key not in seen:
                seen.add(pack.key)
                cells = [pack.key, plain_cell(pack.name), "", "", amount(pack.price_minor)]
                guide = "yes" if pack.guide else "no"
                writer.writerow([*cells, costs.currency, "", "", "", "", guide, ""])
        packs = bought.get(line.key, ())
        count = "" if not packs else sum(pack.count for pack in packs)
        writer.writerow(
            [
                line.key,
                plain_cell(line.item),
                plain_cell(line.where),
                count,
                "",
                costs.currency,
                "",
                line.standing,
                "yes" if line.second_hand else "no",
                "yes" if line.later else "no",
                "yes" if line.guide else "no",
                amount(line.asked_minor),
            ]
        )
    return out.getvalue()


def read_csv(text: str, plan: Plan) -> tuple[Money, tuple[str, ...]]:
    """Read prices and standings out of such a table; faults name the row, the rest is read.

    A guide price that was not marked as one's own ("no" under guide) stays a guide price.
    """
    problems: list[str] = []
    rows = csv.DictReader(io.StringIO(text))
    if rows.fieldnames is None or "key" not in rows.fieldnames:
        return plan.money, ("the table has no column 'key'",)
    prices = {price.id: price for price in plan.money.prices}
    entries = {entry.id: entry for entry in plan.money.entries}
    try:
        for number, cells in enumerate(rows, 2):
            if number > _MOST_ROWS:
                problems.append(f"row {number}: only the first {_MOST_ROWS:,} rows are read")
                break
            try:
                filled = {k: v.strip() for k, v in cells.items() if k and isinstance(v, str)}
                _read_row(filled, plan, prices, entries)
            except ValueError as error:
                reason = "a field is not valid" if isinstance(error, ValidationError) else error
                problems.append(f"row {number}, {cells.get('key') or 'without a key'}: {reason}")
    except csv.Error as error:
        problems.append(f"the table cannot be read: {error}")
    changed = {
        **json_of(plan.money),
        "prices": [json_of(price) for price in prices.values()],
        "entries": [json_of(entry) for entry in entries.values()],
    }
    return Money.model_validate(changed), tuple(problems)


def _read_row(
    cells: dict[str, str], plan: Plan, prices: dict[str, Price], entries: dict[str, Entry]
) -> None:
    key = cells.get("key", "")
    if not key:
        raise ValueError("it has no key")
    currency = cells.get("currency") or plan.currency
    if currency != plan.currency:
        raise ValueError(f"it is in {currency}, the plan's money is {plan.currency}")
    price = _minor(cells.get("price", ""), plan.currency)
    delivery = _minor(cells.get("delivery", ""), plan.currency)
    if key in finishes().packs or _is_floor_pack(plan, key, cells):
        typed = price is not None and cells.get("guide") != "yes"
        if typed and (key in prices or price != _floor_price(plan, key)):
            old = prices.get(key, Price(id=key, minor=price or 0))
            priced = {**json_of(old), "minor": price, "currency": None}
            prices[key] = Price.model_validate(
                priced if delivery is None else {**priced, "delivery_minor": delivery}
            )
        return
    standing = cells.get("standing") or "to-come"
    if standing not in STANDINGS:
        raise ValueError(f"a standing is one of {', '.join(STANDINGS)}, not {standing!r}")
    usual = plan.usual_entry(key)
    old_entry = entries.get(key, usual)
    later = {"yes": True, "no": False}.get(cells.get("later", ""), bool(old_entry.later))
    changed = {
        **json_of(old_entry),
        "standing": standing,
        "second_hand": cells.get("second-hand") == "yes",
        "later": later,
    }
    if price is not None:
        changed |= {"minor": price, "currency": None}
    if delivery is not None:
        changed["delivery_minor"] = delivery
    entry = Entry.model_validate(changed)
    if key in entries or entry != usual:
        entries[key] = entry


def _is_floor_pack(plan: Plan, key: str, cells: dict[str, str]) -> bool:
    """Tell a floor's pack from its line: both carry its key, only a line has a standing."""
    return not cells.get("standing") and any(key == f"floor.{f.id}" for f in plan.fit_out.floors)


def _floor_price(plan: Plan, key: str) -> int | None:
    """Return what a pack of a floor costs as its own fields say."""
    for laying in plan.fit_out.floors:
        if key == f"floor.{laying.id}" and laying.price_minor is not None:
            return laying.price_minor * laying.pack
    return None


def _minor(text: str, currency: str) -> int | None:
    if not text:
        return None
    plain = without_group_marks(text)
    if plain is None:
        raise ValueError(f"{text!r} is no price: a cell holds one number")
    if "," in plain and "." in plain:
        raise ValueError(f"{text!r} holds both a point and a comma")
    try:
        value = Decimal(plain.replace(",", "."))
    except InvalidOperation:
        raise ValueError(f"{text!r} is no price") from None
    # Decimal takes 12_13 and 1e3 too
    if not value.is_finite() or value < 0 or not re.fullmatch(r"[\d.,-]+", plain):
        raise ValueError(f"{text!r} is no price")
    minor = value.scaleb(minor_digits(currency))
    if minor != minor.to_integral_value():
        raise ValueError(f"{text!r} has more decimals than {currency} has")
    return int(minor)
