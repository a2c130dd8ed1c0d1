"""Every edit of the works by fields: free hours, what stands in the room, tasks, orders.

As the edits of the fit-out: tables of fields, a name and the fields as typed; a command comes out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from functools import partial
from typing import Any

from app.changes.commands import Command
from app.forms.field_table import (
    Field,
    Table,
    choice,
    clock,
    day,
    length,
    made,
    mass,
    number,
    text,
    tick,
    values_of,
)
from app.forms.photo_field import with_photo
from app.forms.thing_edits import Done, Edits, Things, command_of, plan_with, sole
from app.forms.typed_fields import Typed
from app.forms.works_done_edits import (
    DONE_EDITS,
    DONE_TABLES,
    LEAST_H,
    known_line,
    known_task,
    noted,
    task_id_of,
    task_name,
)
from app.model.plan import Plan
from app.model.room_walls import fresh_id
from app.model.works import (
    DAYS,
    DaysOff,
    Delivery,
    ExtraTime,
    FreeTime,
    LoudTime,
    Stored,
    TaskNote,
    Works,
)

LEAST_MM, MOST_MM = 50.0, 10_000.0
"""Sides of a stored thing: more is sooner a slip of the unit."""
LEAST_KG = 0.1
"""Mass of a thing: less is none."""
DAY_NAMES = ("Monday", "Tuesday", "Wednesday", "Thursday", "Friday", "Saturday", "Sunday")
DAY_WORDS = tuple(zip(DAYS, DAY_NAMES, strict=True))
WEEKS = {
    "mon-thu": "Monday to Thursday",
    "mon-fri": "Monday to Friday",
    "mon-sat": "Monday to Saturday",
    "mon-sun": "every day",
}
BECOMES = (
    ("stays", "stays in the room"),
    ("house", "goes to the house"),
    ("sell", "is sold"),
    ("give", "is given away"),
    ("tip", "goes to the tip"),
)
_GONE = "That is no longer on the list; what is kept is shown."


def _weeks(*which: str) -> tuple[tuple[str, str], ...]:
    """Return weeks to choose from; the usual one comes first, for it is taken where none is."""
    return tuple((week, WEEKS[week]) for week in which)


def _whole(count: float | None) -> int | None:
    return None if count is None else round(count)


def _last_is_first(plan: Plan, typed: Typed, old: Any, values: dict[str, Any]) -> dict[str, Any]:
    return {**values, "last": values["last"] or values["first"]}


def _name_if_typed(plan: Plan, typed: Typed, old: Any, values: dict[str, Any]) -> dict[str, Any]:
    # a form without a name leaves the one that the task has
    return {name: value for name, value in values.items() if name != "label" or value}


START = Table(
    Works,
    (
        day("starts_on", "First day", "starts_on", what="the first day"),
        choice("parts", "Floor in parts", "parts", span="",
               choices=(("", "as few as will do"), ("1", "all at once"), ("2", "two"),
                        ("3", "three")),
               show=lambda parts: str(parts or ""), cast=lambda parts: int(parts or 0) or None),
        choice("trades", "Trades come", "trades_come",
               choices=_weeks("mon-fri", "mon-sat", "mon-thu")),
        choice("tip", "The tip is open", "tip_opens",
               choices=_weeks("mon-sat", "mon-fri", "mon-sun")),
        tick("first_time", "We do such work for the first time: half as long again", "first_time"),
        tick("is_empty", "The room is empty, or will be", "is_empty"),
        tick("store_outside", "Things may stand outside meanwhile", "store_outside"),
    ),
)  # fmt: skip
_DAY = choice("day", "Day", "day", choices=DAY_WORDS)
_PEOPLE = number("people", "People", "people", what="how many people there are", empty=1,
                 example="1", cast=round)  # fmt: skip
_HOURS = (
    clock("starts", "From", "starts", what="the start"),
    clock("ends", "To", "ends", what="the end"),
)
FREE = Table(FreeTime, (_DAY, _PEOPLE, *_HOURS), fresh={"day": "sat", "people": 1})
EXTRA = Table(ExtraTime, (day("on", "Day", "on", what="the day"), _PEOPLE, *_HOURS),
              fresh={"people": 1})  # fmt: skip
LOUD = Table(LoudTime, (replace(_DAY, span=""), *_HOURS), fresh={"day": "sat"})
OFF = Table(
    DaysOff,
    (
        day("first", "First day", "first", what="the first day"),
        day("last", "Last day", "last", what="the last day", optional=True),
        text("label", "Why", "label", example="holiday", span=""),
        tick("shut", "A public holiday: no trade, no delivery, no tip; we may work", "shut"),
    ),
    finish=_last_is_first,
)
_side = partial(length, least=LEAST_MM, most=MOST_MM)
STORED = Table(
    Stored,
    (
        text("label", "What", "label", what="what it is called", needed=True,
             example="two bicycles", span=""),
        _side("width", "Width", "width_mm", what="the width", example="1800"),
        _side("depth", "Depth", "depth_mm", what="the depth", example="900"),
        _side("height", "Height", "height_mm", what="the height", example="1500",
              empty=Stored.model_fields["height_mm"].default),
        mass("mass", "Mass", "mass_kg", what="the mass", example="28", least=LEAST_KG),
        choice("becomes", "It", "becomes", choices=BECOMES, span=""),
    ),
)  # fmt: skip
TASK = Table(
    TaskNote,
    (
        text("label", "Name", "label", span=""),
        number("hours", "Hours", "hours", what="the hours", least=LEAST_H),
        number("people", "People", "people", what="how many people it takes", cast=_whole),
        number("wait_h", "Dries or lies, hours", "wait_h",
               what="how long it dries or lies, in hours,"),
        number("parts", "Split into", "parts", what="into how many it is split", empty=1,
               example="1", cast=round),
        day("not_before", "Not before", "not_before", what="the day"),
        tick("left_out", "Left out", "left_out"),
    ),
    finish=_name_if_typed,
)  # fmt: skip
OWN_TASK = Table(
    TaskNote,
    (
        text("label", "What", "label", what="what is to be done", needed=True,
             example="hang the loudspeaker", span=""),
        number("hours", "Hours", "hours", what="the hours", needed=True, least=LEAST_H,
               example="2"),
        Field("after", "After", "after", "text", "list", choices="tasks",
              cast=lambda task: (known_task(task),) if task else ()),
    ),
)  # fmt: skip
DELIVERY = Table(
    Delivery,
    (
        number("lead", "Delivery takes, workdays", "lead_workdays",
               what="how many workdays delivery takes", cast=_whole),
        day("ordered_on", "Ordered on", "ordered_on", what="the day of the order"),
        day("arrives_on", "Arrives on", "arrives_on", what="the day of delivery"),
        text("place", "Where it stands till then", "place", span=""),
    ),
)  # fmt: skip
TABLES = {
    "start": START,
    "free": FREE,
    "extra": EXTRA,
    "loud": LOUD,
    "off": OFF,
    "stored": STORED,
    "task": TASK,
    "own-task": OWN_TASK,
    **DONE_TABLES,
    "delivery": DELIVERY,
}
"""All forms by name."""


def edit_works(plan: Plan, name: str, fields: Mapping[str, str], photo: str = "") -> Command | None:
    """Return the command for an edit, None when nothing changes; `photo` names a kept picture.

    Raises PlanError for fields that are wrong, CommandError for an edit that is not known.
    """
    sent = with_photo(fields, photo)
    return command_of(EDITS, plan, name, sent, "edit", "This cannot be done to the works.")


def _times(name: str, table: Table, at: str, fault: str, says: tuple[str, str]) -> Edits:
    """Return the edits of a list of times: one is added or taken away, never changed."""
    added, removed = says
    things = Things(name, table, f"works.{at}", fault, (added, added, removed), _GONE, key="thing")
    return {f"add-{name}": things.add, f"remove-{name}": things.remove}


def _task(plan: Plan, typed: Typed) -> Done:
    task_id = task_id_of(typed)
    values = values_of(TASK, plan, typed, plan.works.note(task_id))
    return noted(plan, task_id, "hours", **values), f"task {task_name(task_id)}"


def _add_task(plan: Plan, typed: Typed) -> Done:
    values = values_of(OWN_TASK, plan, typed, None)
    task_id = fresh_id("own", {one.id for one in plan.works.tasks})
    return noted(plan, task_id, "hours", added=True, **values), f"task {values['label']}"


def _forget(plan: Plan, typed: Typed) -> Done:
    task_id = task_id_of(typed)
    rest = tuple(one for one in plan.works.tasks if one.id != task_id)
    return plan_with(plan, "works.tasks", "", rest), f"task {task_name(task_id)} as the plan has it"


def _delivery(plan: Plan, typed: Typed) -> Done:
    key = known_line(typed)
    values = values_of(DELIVERY, plan, typed, None)
    order: Delivery = made(Delivery, "arrives_on", {"id": key, **values})
    rest = tuple(one for one in plan.works.deliveries if one.id != key)
    if order != Delivery(id=key):
        rest = (*rest, order)
    return plan_with(plan, "works.deliveries", "arrives_on", rest), "an order"


EDITS: Edits = {
    "start": sole(START, "works", "starts_on", "when and how the works start"),
    **_times("free", FREE, "free", "ends", ("free hours added", "free hours taken away")),
    **_times("extra", EXTRA, "extra", "ends",
             ("a day taken for the room", "a day for the room taken back")),
    **_times("loud", LOUD, "loud", "ends",
             ("hours in which noise is agreed", "hours of noise taken away")),
    **_times("off", OFF, "days_off", "last", ("days off", "days off taken back")),
    **Things("stored", STORED, "works.stored", "label",
             ("{} stands in the room", "{} in the room", "a thing taken off the list"),
             "That thing is no longer on the list; what is kept is shown.", key="thing",
             stem="thing").edits(),
    "task": _task,
    "add-task": _add_task,
    **DONE_EDITS,
    "forget": _forget,
    "delivery": _delivery,
}  # fmt: skip
"""All edits by name."""
