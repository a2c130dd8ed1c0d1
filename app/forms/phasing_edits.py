"""Every edit of buying by months: the purse, and what is said of one thing; a command comes out."""

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
from app.model.phasing import MONTHS_AT_MOST, MONTHS_USUAL, WORTH_AT_MOST, Phasing, PurchaseNote
from app.model.plan import Plan

_KEY = re.compile(r"[a-z0-9][a-z0-9.-]{0,95}")
_MONTH = re.compile(r"(19|20|21)[0-9]{2}-(0[1-9]|1[0-2])")
TRAININGS_AT_MOST = 100

Done = tuple[Plan, str]


def edit_phasing(plan: Plan, name: str, fields: Mapping[str, str]) -> Command | None:
    """Return the command for an edit, None when nothing changes.

    `thing.piece.rack-1` is the edit `thing` of that line. Raises PlanError for fields that are
    wrong, CommandError for an edit that is not known.
    """
    name, point, key = name.partition(".")
    if name not in EDITS:
        raise CommandError("This cannot be done to the months.")
    given = {**fields, "key": key} if point else fields
    after, says = EDITS[name](plan, Typed(given, plan.units))
    return difference(plan, after, "edit", says)


def _with(plan: Plan, **changes: Any) -> Plan:
    said = {name: getattr(plan.phasing, name) for name in Phasing.model_fields} | changes
    try:
        made = Phasing(**said)
        return Plan.model_validate({**json_of(plan), "phasing": json_of(made)})
    except ValidationError as error:
        faults = plan_error(error).faults
        raise PlanError(*(Fault(f.field.split(".")[-1], f.sentence) for f in faults)) from None


def _purse(plan: Plan, typed: Typed) -> Done:
    put_by = typed_sum(typed, "put_by", "what is put by", plan.currency)
    a_month = typed_sum(typed, "a_month", "what comes in", plan.currency)
    months = typed.number("months", "the months", (1, MONTHS_AT_MOST), MONTHS_USUAL)
    trainings = typed.maybe_number("trainings", "trainings a week", (0.1, TRAININGS_AT_MOST))
    first = _month(typed, "first")
    if months != int(months):
        typed.fault("months", "the months are counted whole")
    typed.done()
    after = _with(
        plan,
        put_by_minor=put_by or 0,
        a_month_minor=a_month or 0,
        months=int(months),
        first_month=first,
        trainings_a_week=trainings,
    )
    return after, "what there is to spend"


def _thing(plan: Plan, typed: Typed) -> Done:
    key = _key(typed)
    worth = typed.maybe_number("worth", "the worth", (0, WORTH_AT_MOST))
    if worth is not None and worth != int(worth):
        typed.fault("worth", f"the worth is a whole number from 0 to {WORTH_AT_MOST}")
    left_out = typed.fields.get("month") == "out"
    month = None if left_out else _month(typed, "month")
    must = {"": None, "yes": True, "no": False}.get(typed.fields.get("must", ""))
    typed.done()
    said = PurchaseNote.model_validate(
        {
            "id": key,
            "must": must,
            "worth": None if worth is None else int(worth),
            "month": month,
            "left_out": left_out,
        }
    )
    return _said(plan, said), f"the month of {key}"


def _back(plan: Plan, typed: Typed) -> Done:
    return _said(plan, PurchaseNote(id=_key(typed))), "a thing back to where it comes best"


def _free(plan: Plan, typed: Typed) -> Done:
    freed = [PurchaseNote(**{**json_of(one), "month": None}) for one in plan.phasing.things]
    things = tuple(one for one in freed if one != PurchaseNote(id=one.id))
    return _with(plan, things=things), "all things to where they come best"


def _said(plan: Plan, said: PurchaseNote) -> Plan:
    things = [one for one in plan.phasing.things if one.id != said.id]
    if said != PurchaseNote(id=said.id):
        things.append(said)
    return _with(plan, things=tuple(things))


def _month(typed: Typed, field: str) -> str | None:
    month = typed.text(field)
    if month and not _MONTH.fullmatch(month):
        typed.fault(field, f"{month!r} is no month: write it like 2027-03")
    return month or None


def _key(typed: Typed) -> str:
    key = typed.fields.get("key", "").strip()
    if not _KEY.fullmatch(key):
        raise CommandError("That thing is no longer on the list; what is kept is shown.")
    return key


EDITS: Mapping[str, Callable[[Plan, Typed], Done]] = {
    "purse": _purse,
    "thing": _thing,
    "back": _back,
    "free": _free,
}
