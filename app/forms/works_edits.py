"""Every edit of the works by fields: free hours, what stands in the room, tasks, orders.

As the edits of the fit-out: a name and the fields of its form, all as typed; a command comes out.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date
from typing import Any

from app.changes.commands import Command
from app.errors import CommandError
from app.forms.field_table import made
from app.forms.thing_edits import Done, Edit, command_of, plan_with
from app.forms.typed_fields import Typed
from app.model.base import Frozen
from app.model.plan import Plan
from app.model.room_walls import fresh_id
from app.model.works import (
    DAYS,
    PEOPLE_AT_MOST,
    Becomes,
    DaysOff,
    Delivery,
    ExtraTime,
    FreeTime,
    LoudTime,
    Stored,
    TaskNote,
    Works,
)

_CLOCK = re.compile(r"([01]?[0-9]|2[0-3])[:.h]?([0-5][0-9])?")
SIDE_MM = (50.0, 10_000.0)
"""Sides of a stored thing: more is sooner a slip of the unit."""

MOST_H = 2000
"""Hours of one task: a working year."""


def edit_works(plan: Plan, name: str, fields: Mapping[str, str]) -> Command | None:
    """Return the command for an edit, None when nothing changes.

    Raises PlanError for fields that are wrong, CommandError for an edit that is not known.
    """
    return command_of(EDITS, plan, name, fields, "edit", "This cannot be done to the works.")


def edit_ticks(plan: Plan, name: str, fields: Mapping[str, str]) -> Command | None:
    """Return the command that ticks a task off, or takes the tick back; nothing else is done here.

    Raises as `edit_works` does.
    """
    if name not in ("tick", "untick"):
        raise CommandError("Here tasks are ticked off, and nothing else.")
    return edit_works(plan, name, fields)


def day_of(typed: Typed, field: str, what: str) -> date | None:
    """Read a day that may be left empty."""
    text = typed.fields.get(field, "").strip()
    if not text:
        return None
    try:
        return date.fromisoformat(text)
    except ValueError:
        typed.fault(field, f"{what} is no day: write it as 2027-03-01, year, month and day")
        return None


def _clock(typed: Typed, field: str, what: str) -> str:
    text = typed.fields.get(field, "").strip()
    found = _CLOCK.fullmatch(text)
    if found is None:
        typed.fault(field, f"{what} is no time: write it as 18:30")
        return "00:00"
    return f"{int(found[1]):02d}:{found[2] or '00'}"


def _people(typed: Typed) -> int:
    return round(typed.number("people", "how many people there are", (1, PEOPLE_AT_MOST), 1))


def _start(plan: Plan, typed: Typed) -> Done:
    starts = day_of(typed, "starts_on", "the first day")
    parts = typed.choice("parts", ("", "1", "2", "3"))
    typed.done()
    values = {
        "starts_on": starts,
        "first_time": typed.yes("first_time"),
        "is_empty": typed.yes("is_empty"),
        "store_outside": typed.yes("store_outside"),
        "parts": int(parts) if parts else None,
    }
    works = made(Works, "starts_on", {**dict(plan.works), **values})
    after = plan_with(plan, "works", "starts_on", works)
    return after, "when and how the works start"


def _added(
    plan: Plan, name: str, model: type[Frozen], fault: str, stem: str, values: dict[str, Any]
) -> Plan:
    """Return the plan with one thing more in a list of the works, its id made of `stem`."""
    things = getattr(plan.works, name)
    thing = made(model, fault, {"id": fresh_id(stem, {one.id for one in things}), **values})
    return plan_with(plan, f"works.{name}", fault, (*things, thing))


def _hours(typed: Typed) -> dict[str, str]:
    starts, ends = _clock(typed, "starts", "the start"), _clock(typed, "ends", "the end")
    return {"starts": starts, "ends": ends}


def _add_free(plan: Plan, typed: Typed) -> Done:
    day = typed.choice("day", DAYS)
    values = {"day": day, **_hours(typed), "people": _people(typed)}
    typed.done()
    return _added(plan, "free", FreeTime, "ends", day, values), "free hours added"


def _add_extra(plan: Plan, typed: Typed) -> Done:
    values = {"on": day_of(typed, "on", "the day"), **_hours(typed), "people": _people(typed)}
    if values["on"] is None and not typed.wrong("on"):
        typed.fault("on", "the day is missing")
    typed.done()
    after = _added(plan, "extra", ExtraTime, "ends", "extra", values)
    return after, "a day taken for the room"


def _add_loud(plan: Plan, typed: Typed) -> Done:
    day = typed.choice("day", DAYS)
    values = {"day": day, **_hours(typed)}
    typed.done()
    return _added(plan, "loud", LoudTime, "ends", day, values), "hours in which noise is agreed"


def _add_off(plan: Plan, typed: Typed) -> Done:
    first = day_of(typed, "first", "the first day")
    last = day_of(typed, "last", "the last day") or first
    if first is None and not typed.wrong("first"):
        typed.fault("first", "the first day is missing")
    values = {"first": first, "last": last, "label": typed.text("label")}
    typed.done()
    return _added(plan, "days_off", DaysOff, "last", "off", values), "days off"


def _stored(typed: Typed) -> dict[str, Any]:
    """Read what stands in the room while the works go on."""
    label = typed.text("label")
    if not label:
        typed.fault("label", "what it is called is missing")
    usual = Stored.model_fields["height_mm"].default
    values = {
        "label": label,
        "width_mm": typed.length("width", "the width", SIDE_MM),
        "depth_mm": typed.length("depth", "the depth", SIDE_MM),
        "height_mm": typed.length("height", "the height", SIDE_MM, empty=usual),
        "mass_kg": typed.maybe_number("mass", "the mass", (0.1, 5000)),
        "becomes": typed.one_of("becomes", Becomes),
    }
    typed.done()
    return values


def _add_stored(plan: Plan, typed: Typed) -> Done:
    values = _stored(typed)
    after = _added(plan, "stored", Stored, "label", "thing", values)
    return after, f"{values['label']} stands in the room"


def _change_stored(plan: Plan, typed: Typed) -> Done:
    wanted = typed.text("thing")
    if all(one.id != wanted for one in plan.works.stored):
        raise CommandError("That thing is no longer on the list; what is kept is shown.")
    thing = made(Stored, "label", {"id": wanted, **_stored(typed)})
    rest = tuple(thing if one.id == wanted else one for one in plan.works.stored)
    return plan_with(plan, "works.stored", "label", rest), f"{thing.label} in the room"


def _remove(name: str, says: str) -> Edit:
    def remove(plan: Plan, typed: Typed) -> Done:
        things = getattr(plan.works, name)
        rest = tuple(one for one in things if one.id != typed.text("thing"))
        if len(rest) == len(things):
            raise CommandError("That is no longer on the list; what is kept is shown.")
        return plan_with(plan, f"works.{name}", "", rest), says

    return remove


def _noted(plan: Plan, task_id: str, field: str, **values: Any) -> Plan:
    """Return the plan with something said of a task; a note that says nothing is taken away."""
    old = plan.works.note(task_id)
    before = {"id": task_id} if old is None else old.model_dump()
    thing: TaskNote = made(TaskNote, field, {**before, **values})
    rest = tuple(one for one in plan.works.tasks if one.id != task_id)
    if thing != TaskNote(id=task_id):
        rest = (*rest, thing)
    return plan_with(plan, "works.tasks", field, rest)


def _task_id(typed: Typed, field: str = "task") -> str:
    task_id = typed.text(field)
    if not re.fullmatch(r"[a-z0-9][a-z0-9-]{0,47}", task_id):
        raise CommandError("That task is no longer on the list; what is kept is shown.")
    return task_id


def _task(plan: Plan, typed: Typed) -> Done:
    task_id = _task_id(typed)
    hours = typed.maybe_number("hours", "the hours", (0.1, MOST_H))
    people = typed.maybe_number("people", "how many people it takes", (1, PEOPLE_AT_MOST))
    wait = typed.maybe_number("wait_h", "how long it dries or lies, in hours,", (0, 20_000))
    parts = round(typed.number("parts", "into how many it is split", (1, 20), 1))
    not_before = day_of(typed, "not_before", "the day")
    typed.done()
    values: dict[str, Any] = {
        "hours": hours,
        "people": None if people is None else round(people),
        "wait_h": wait,
        "parts": parts,
        "not_before": not_before,
        "left_out": typed.yes("left_out"),
    }
    if typed.fields.get("label", "").strip():
        values["label"] = typed.text("label")
    return _noted(plan, task_id, "hours", **values), f"task {task_id.replace('-', ' ')}"


def _add_task(plan: Plan, typed: Typed) -> Done:
    label = typed.text("label")
    if not label:
        typed.fault("label", "what is to be done is missing")
    hours = typed.number("hours", "the hours", (0.1, MOST_H))
    links = (_task_id(typed, "after"),) if typed.text("after") else ()
    typed.done()
    task_id = fresh_id("own", {one.id for one in plan.works.tasks})
    thing = _noted(plan, task_id, "hours", label=label, hours=hours, added=True, after=links)
    return thing, f"task {label}"


def _tick(plan: Plan, typed: Typed) -> Done:
    task_id = _task_id(typed)
    done_on = day_of(typed, "done_on", "the day on which it was done")
    if done_on is None and not typed.wrong("done_on"):
        typed.fault("done_on", "the day on which it was done is missing")
    began_on = day_of(typed, "began_on", "the day on which it began")
    hours = typed.maybe_number("done_hours", "the hours that it took", (0.1, MOST_H))
    diary = typed.fields.get("diary", "").strip()[:2000]
    typed.done()
    after = _noted(
        plan, task_id, "done_on", done_on=done_on, began_on=began_on, done_hours=hours, diary=diary
    )
    if plan.works.starts_on is None and done_on is not None:
        # what was done is the past: from now on the calendar has a first day
        after = plan_with(after, "works.starts_on", "done_on", (began_on or done_on).isoformat())
    return after, f"{task_id.replace('-', ' ')} done"


def _untick(plan: Plan, typed: Typed) -> Done:
    task_id = _task_id(typed)
    after = _noted(plan, task_id, "done_on", done_on=None, began_on=None, done_hours=None)
    return after, f"{task_id.replace('-', ' ')} not done"


def _forget(plan: Plan, typed: Typed) -> Done:
    task_id = _task_id(typed)
    rest = tuple(one for one in plan.works.tasks if one.id != task_id)
    return plan_with(
        plan, "works.tasks", "", rest
    ), f"task {task_id.replace('-', ' ')} as the plan has it"


def _delivery(plan: Plan, typed: Typed) -> Done:
    key = typed.text("line")
    if not re.fullmatch(r"[a-z0-9][a-z0-9.-]{0,95}", key):
        raise CommandError("That order is no longer on the list; what is kept is shown.")
    lead = typed.maybe_number("lead", "how many workdays delivery takes", (0, 400))
    ordered = day_of(typed, "ordered_on", "the day of the order")
    arrives = day_of(typed, "arrives_on", "the day of delivery")
    place = typed.text("place")
    typed.done()
    thing: Delivery = made(
        Delivery,
        "arrives_on",
        {
            "id": key,
            "lead_workdays": None if lead is None else round(lead),
            "ordered_on": ordered,
            "arrives_on": arrives,
            "place": place,
        },
    )
    rest = tuple(one for one in plan.works.deliveries if one.id != key)
    if thing != Delivery(id=key):
        rest = (*rest, thing)
    return plan_with(plan, "works.deliveries", "arrives_on", rest), "an order"


EDITS: Mapping[str, Edit] = {
    "start": _start,
    "add-free": _add_free,
    "remove-free": _remove("free", "free hours taken away"),
    "add-extra": _add_extra,
    "remove-extra": _remove("extra", "a day for the room taken back"),
    "add-loud": _add_loud,
    "remove-loud": _remove("loud", "hours of noise taken away"),
    "add-off": _add_off,
    "remove-off": _remove("days_off", "days off taken back"),
    "add-stored": _add_stored,
    "stored": _change_stored,
    "remove-stored": _remove("stored", "a thing taken off the list"),
    "task": _task,
    "add-task": _add_task,
    "tick": _tick,
    "untick": _untick,
    "forget": _forget,
    "delivery": _delivery,
}
"""All edits by name."""
