"""Figures of the register set otherwise by the household, as typed into a form."""

from __future__ import annotations

import math
from collections.abc import Mapping
from functools import partial

from app.changes.commands import Command
from app.errors import CommandError
from app.forms.thing_edits import Done, command_of, plan_with
from app.forms.typed_fields import Typed
from app.model.plan import Override, Plan
from app.published.register import PublishedValue, row

FIXED = ("scene.",)
"""How the program itself computes: what begins so is not the household's to decide."""
SENTENCE_SOURCES = frozenset(
    {
        "accessible.route-mm",
        "air.engine-away-mm",
        "floor.damp-sheet-hours",
        "floor.garage-fall-mm-per-m",
        "money.tax.line-half-up",
        "money.tax.total-down",
        "money.tax.total-half-up",
        "rack.hook-line-tolerance-mm",
        "rack.inside-mm",
    }
)
"""What stands beside a sentence as its source: nothing is computed with it, so nothing would change
were it another."""
REASON_LIMIT = 500
FIGURES_LIMIT = 300


def may_be_set(key: str) -> bool:
    """Return whether a household may set a figure otherwise: only where that changes something."""
    return not key.startswith(FIXED) and key not in SENTENCE_SOURCES


def edit_figure(plan: Plan, name: str, fields: Mapping[str, str]) -> Command | None:
    """Return the command for an edit: `set` or `back`; None where nothing differs.

    Fields: `key`, and to set `value` (in the row's own unit) and `reason`. Raises PlanError
    naming the fields that are wrong, CommandError for an unknown edit or key, or a key that is
    not the household's to set.
    """
    key = fields.get("key", "")
    try:
        published = row(key)
    except KeyError:
        raise CommandError("There is no such figure.") from None
    if key in SENTENCE_SOURCES:
        raise CommandError("Nothing is computed with this figure: it is the source of a sentence.")
    if not may_be_set(key):
        raise CommandError(
            "This figure is how the program itself computes, not a rule of rooms: it stays."
        )
    edits = {"set": partial(_set, published), "back": partial(_back, key)}
    unknown = "There is no such thing to do with figures."
    return command_of(edits, plan, name, fields, "edit", unknown)


def _others(plan: Plan, key: str) -> list[Override]:
    return [one for one in plan.overrides if one.id != key]


def _back(key: str, plan: Plan, typed: Typed) -> Done:
    after = plan_with(plan, "overrides", "", _others(plan, key))
    return after, f"take the published value for {key} again"


def _set(published: PublishedValue, plan: Plan, typed: Typed) -> Done:
    key, others = published.key, _others(plan, published.key)
    if len(others) >= FIGURES_LIMIT:
        raise CommandError(
            f"This plan has {len(others)} figures of its own; it holds at most {FIGURES_LIMIT}."
        )
    value = _value(plan, published, typed)
    reason = typed.text("reason", REASON_LIMIT)
    if not reason:
        typed.fault("reason", "say why, so that everybody can see it later")
    typed.done()
    own = Override(id=key, value=value, reason=reason)
    after = plan_with(plan, "overrides", "value", [*others, own])
    return after, f"set {key} to {value:g} {published.unit}"


def _value(plan: Plan, published: PublishedValue, typed: Typed) -> float:
    """Read a value and see that it can be one of this kind; 0 where it cannot."""
    given = typed.fields.get("value", "").strip()
    try:
        value = float(given.removesuffix(published.unit).strip().replace(",", "."))
    except ValueError:
        value = math.nan
    if not math.isfinite(value):
        typed.fault("value", f"type one number, in {published.unit}")
        return 0.0
    low, high = published.bounds
    if low <= value <= high:
        _see_order(plan, published, value, typed)
    else:
        sentence = f"{value:g} is too far from the published {published.value:g} {published.unit}"
        typed.fault("value", f"{sentence}; it may be {low:g} to {high:g}")
    return value


def _see_order(plan: Plan, published: PublishedValue, value: float, typed: Typed) -> None:
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
            typed.fault("value", f"{sentence}: change that one first")
