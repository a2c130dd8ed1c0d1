"""Every edit of buying by months: the purse, and what is said of one thing; a command comes out."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from app.changes.commands import Command
from app.forms.field_table import Field, Table, money, number, text, values_of
from app.forms.money_edits import keyed
from app.forms.thing_edits import Done, Edits, command_of, plan_with, sole
from app.forms.typed_fields import Typed
from app.model.phasing import MONTHS_USUAL, WORTH_AT_MOST, YEAR_MONTH, Phasing, PurchaseNote
from app.model.plan import Plan

OUT = "out"
"""What a list of months offers for a thing that is not bought at all."""
_MUST = {"": None, "yes": True, "no": False}
_GONE = "That thing is no longer on the list; what is kept is shown."


def _no_month(month: str) -> str:
    wrong = month and not re.fullmatch(YEAR_MONTH, month)
    return f"{month!r} is no month: write it like 2027-03" if wrong else ""


def _broken(number: float, sentence: str) -> str:
    return "" if number == int(number) else sentence


PURSE = Table(
    Phasing,
    (
        money("put_by", "Saved up", "put_by_minor", what="what is saved up", example="600", empty=0,
              show=lambda minor: minor or None),
        money("a_month", "Every month", "a_month_minor", what="what comes in", example="300",
              empty=0, show=lambda minor: minor or None),
        text("first", "First month", "first_month", example="2027-03",
             check=_no_month, cast=lambda month: month or None),
        number("months", "Months looked at", "months", what="the months", example="24",
               empty=MONTHS_USUAL, cast=int,
               check=lambda months: _broken(months, "the months are counted whole")),
        number("trainings", "Trainings a week, all together", "trainings_a_week",
               what="trainings a week", example="nothing said", least=0.1, span=""),
    ),
)  # fmt: skip


def _thing_read(plan: Plan, typed: Typed, old: Any, values: dict[str, Any]) -> dict[str, Any]:
    left_out = values["month"] == OUT
    return {**values, "month": None if left_out else values["month"] or None, "left_out": left_out}


THING = Table(
    PurchaseNote,
    (
        Field("month", "Bought in", "month", "text", "list", choices="months", span="",
              check=lambda month: "" if month == OUT else _no_month(month)),
        Field("must", "It", "must", "text", "list", choices="musts", cast=_MUST.get,
              show=lambda must: {value: key for key, value in _MUST.items()}[must]),
        number("worth", f"Worth a month, 0 to {WORTH_AT_MOST}", "worth", what="the worth",
               example="by wishes", cast=lambda worth: None if worth is None else int(worth),
               check=lambda worth: _broken(
                   worth, f"the worth is a whole number from 0 to {WORTH_AT_MOST}")),
    ),
    shown=lambda plan, note: {"month": OUT} if note and note.left_out else {},
    finish=_thing_read,
)  # fmt: skip
TABLES = {"purse": PURSE, "thing": THING}


def edit_phasing(plan: Plan, name: str, fields: Mapping[str, str]) -> Command | None:
    """Return the command for an edit, None when nothing changes. Raises PlanError, CommandError.

    `thing.piece.rack-1` is the edit `thing` of that line.
    """
    return command_of(EDITS, plan, name, fields, "edit", "This cannot be done to the months.")


def _thing(plan: Plan, typed: Typed) -> Done:
    key = keyed(typed, _GONE)
    note = PurchaseNote(id=key, **values_of(THING, plan, typed, None))
    return _with_note(plan, note), f"the month of {key}"


def _back(plan: Plan, typed: Typed) -> Done:
    note = PurchaseNote(id=keyed(typed, _GONE))
    return _with_note(plan, note), "a thing back to where it comes best"


def _free(plan: Plan, typed: Typed) -> Done:
    freed = [PurchaseNote(**{**dict(one), "month": None}) for one in plan.phasing.things]
    things = tuple(one for one in freed if one != PurchaseNote(id=one.id))
    return plan_with(plan, "phasing.things", "", things), "all things to where they come best"


def _with_note(plan: Plan, note: PurchaseNote) -> Plan:
    things = [one for one in plan.phasing.things if one.id != note.id]
    if note != PurchaseNote(id=note.id):
        things.append(note)
    return plan_with(plan, "phasing.things", "month", things)


EDITS: Edits = {
    "purse": sole(PURSE, "phasing", "months", "what there is to spend"),
    "thing": _thing,
    "back": _back,
    "free": _free,
}
