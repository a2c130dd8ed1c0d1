"""Figures of the register set otherwise by the household, as typed into a form."""

from __future__ import annotations

import math
from collections.abc import Mapping

from app.changes.commands import Change, Command
from app.errors import CommandError, Fault, PlanError
from app.model.base import json_of
from app.model.plan import Override, Plan
from app.published.register import PublishedValue, row

FIXED = ("scene.",)
"""How the program itself computes: what begins so is not the household's to decide."""
REASON_LIMIT = 500
FIGURES_LIMIT = 300


def may_be_set(key: str) -> bool:
    """Return whether a household may set a figure otherwise."""
    return not key.startswith(FIXED)


def edit_figure(plan: Plan, name: str, fields: Mapping[str, str]) -> Command | None:
    """Make the command for an edit: `set` or `back`; None where nothing differs.

    Fields: `key`, and to set `value` (in the row's own unit) and `reason`. Raises PlanError
    naming the fields that are wrong, CommandError for an unknown edit or key, or a key that is
    not the household's to set.
    """
    key = fields.get("key", "")
    try:
        published = row(key)
    except KeyError:
        raise CommandError("There is no such figure.") from None
    if not may_be_set(key):
        raise CommandError(
            "This figure is how the program itself computes, not a rule of rooms: it stays."
        )
    before = next((one for one in plan.overrides if one.id == key), None)
    if name == "back":
        return _command(key, before, None, f"take the published value for {key} again")
    if name != "set":
        raise CommandError("There is no such thing to do with figures.")
    if before is None and len(plan.overrides) >= FIGURES_LIMIT:
        raise CommandError(
            f"This plan has {len(plan.overrides)} figures of its own; "
            f"it holds at most {FIGURES_LIMIT}."
        )
    faults: list[Fault] = []
    value = _value(plan, published, fields.get("value", ""), faults)
    reason = " ".join(fields.get("reason", "").split())
    if not reason:
        faults.append(Fault("reason", "say why, so that everybody can see it later"))
    elif len(reason) > REASON_LIMIT:
        sentence = f"this has {len(reason)} letters; {REASON_LIMIT} is the most"
        faults.append(Fault("reason", sentence))
    if faults:
        raise PlanError(*faults)
    after = Override(id=key, value=value, reason=reason)
    return _command(key, before, after, f"set {key} to {value:g} {published.unit}")


def _command(
    key: str, before: Override | None, after: Override | None, says: str
) -> Command | None:
    if before == after:
        return None
    change = Change(
        path=("overrides", key),
        before=None if before is None else json_of(before),
        after=None if after is None else json_of(after),
    )
    return Command(name="edit", says=says, changes=(change,))


def _value(plan: Plan, published: PublishedValue, typed: str, faults: list[Fault]) -> float:
    """Read a value and see that it can be one of this kind; 0 where it cannot."""
    text = typed.strip().removesuffix(published.unit).strip().replace(",", ".")
    try:
        value = float(text)
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        faults.append(Fault("value", f"type one number, in {published.unit}"))
        return 0.0
    usual = published.value
    low, high = published.bounds
    if low <= value <= high:
        _in_order(plan, published, value, faults)
    else:
        sentence = f"{value:g} is too far from the published {usual:g} {published.unit}"
        sentence += f"; it may be {low:g} to {high:g}"
        faults.append(Fault("value", sentence))
    return value


def _in_order(plan: Plan, published: PublishedValue, value: float, faults: list[Fault]) -> None:
    """See that no least is more than its recommended."""
    for mine, other, least in (("least", "recommended", True), ("recommended", "least", False)):
        key = published.key.replace(mine, other)
        if key == published.key:
            continue
        try:
            beside = row(key).value
        except KeyError:
            continue
        beside = next((one.value for one in plan.overrides if one.id == key), beside)
        if (value > beside) if least else (value < beside):
            than = "more" if least else "less"
            sentence = f"this is {than} than the {other} figure, {beside:g} {published.unit}"
            faults.append(Fault("value", f"{sentence}: change that one first"))
