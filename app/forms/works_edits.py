"""Every edit of the works by fields: free hours, what stands in the room, tasks, orders.

As the edits of the fit-out: a name and the fields of its form, all as typed; a command comes out.
"""

from __future__ import annotations

import re
from collections.abc import Callable, Mapping
from datetime import date
from typing import Any

from pydantic import ValidationError

from app.changes.commands import Command
from app.changes.difference import difference
from app.errors import CommandError, Fault, PlanError
from app.forms.typed_fields import Typed
from app.model.base import Frozen, json_of
from app.model.faults import plan_error
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
)

Done = tuple[Plan, str]
Edit = Callable[[Plan, Typed], Done]
_CLOCK = re.compile(r"([01]?[0-9]|2[0-3])[:.h]?([0-5][0-9])?")
SIDE_MM = (50.0, 10_000.0)
"""Sides of a stored thing: more is sooner a slip of the unit."""

MOST_H = 2000
"""Hours of one task: a working year."""


def edit_works(plan: Plan, name: str, fields: Mapping[str, str]) -> Command | None:
    """Return the command for an edit, None when nothing changes.

    Raises PlanError for fields that are wrong, CommandError for an edit that is not known.
    """
    if name not in EDITS:
        raise CommandError("This cannot be done to the works.")
    after, says = EDITS[name](plan, Typed(fields, plan.units))
    return difference(plan, after, "edit", says)


def edit_ticks(plan: Plan, name: str, fields: Mapping[str, str]) -> Command | None:
    """Return the command that ticks a task off, or takes the tick back; nothing else is done here.

    Raises as `edit_works` does.
    """
    if name not in ("tick", "untick"):
        raise CommandError("Here tasks are ticked off, and nothing else.")
    return edit_works(plan, name, fields)


def works_plan(plan: Plan, field: str, **changes: Any) -> Plan:
    """Return the plan with other things in its works. Raises PlanError naming `field`."""
    data = json_of(plan)
    for name, value in changes.items():
        data["works"][name] = [json_of(one) for one in value] if isinstance(value, tuple) else value
    try:
        return Plan.model_validate(data)
    except ValidationError as error:
        raise PlanError(*(Fault(field, f.sentence) for f in plan_error(error).faults)) from None


def _made(field: str, model: type[Frozen], **values: Any) -> Any:
    try:
        return model(**values)
    except ValidationError as error:
        sentence = str(error.errors()[0]["msg"]).removeprefix("Value error, ")
        raise PlanError(Fault(field, sentence)) from None


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
    after = works_plan(
        plan,
        "starts_on",
        starts_on=None if starts is None else starts.isoformat(),
        first_time=typed.yes("first_time"),
        is_empty=typed.yes("is_empty"),
        store_outside=typed.yes("store_outside"),
        parts=int(parts) if parts else None,
    )
    return after, "when and how the works start"


def _add_free(plan: Plan, typed: Typed) -> Done:
    day = typed.choice("day", DAYS)
    starts, ends = _clock(typed, "starts", "the start"), _clock(typed, "ends", "the end")
    people = _people(typed)
    typed.done()
    free = plan.works.free
    made = _made(
        "ends", FreeTime, id=fresh_id(day, {one.id for one in free}), day=day, starts=starts,
        ends=ends, people=people,
    )  # fmt: skip
    return works_plan(plan, "ends", free=(*free, made)), "free hours added"


def _add_extra(plan: Plan, typed: Typed) -> Done:
    on = day_of(typed, "on", "the day")
    starts, ends = _clock(typed, "starts", "the start"), _clock(typed, "ends", "the end")
    people = _people(typed)
    if on is None and not typed.wrong("on"):
        typed.fault("on", "the day is missing")
    typed.done()
    extra = plan.works.extra
    made = _made(
        "ends", ExtraTime, id=fresh_id("extra", {one.id for one in extra}), on=on, starts=starts,
        ends=ends, people=people,
    )  # fmt: skip
    return works_plan(plan, "ends", extra=(*extra, made)), "a day taken for the room"


def _add_loud(plan: Plan, typed: Typed) -> Done:
    day = typed.choice("day", DAYS)
    starts, ends = _clock(typed, "starts", "the start"), _clock(typed, "ends", "the end")
    typed.done()
    loud = plan.works.loud
    made = _made(
        "ends", LoudTime, id=fresh_id(day, {one.id for one in loud}), day=day, starts=starts,
        ends=ends,
    )  # fmt: skip
    return works_plan(plan, "ends", loud=(*loud, made)), "hours in which noise is agreed"


def _add_off(plan: Plan, typed: Typed) -> Done:
    first = day_of(typed, "first", "the first day")
    last = day_of(typed, "last", "the last day") or first
    if first is None and not typed.wrong("first"):
        typed.fault("first", "the first day is missing")
    label = typed.text("label")
    typed.done()
    away = plan.works.days_off
    made = _made(
        "last", DaysOff, id=fresh_id("off", {one.id for one in away}), first=first, last=last,
        label=label,
    )  # fmt: skip
    return works_plan(plan, "last", days_off=(*away, made)), "days off"


def _stored(plan: Plan, typed: Typed, stored_id: str) -> Stored:
    label = typed.text("label")
    if not label:
        typed.fault("label", "what it is called is missing")
    width = typed.length("width", "the width", SIDE_MM)
    depth = typed.length("depth", "the depth", SIDE_MM)
    usual = Stored.model_fields["height_mm"].default
    height = typed.length("height", "the height", SIDE_MM, empty=usual)
    mass = typed.maybe_number("mass", "the mass", (0.1, 5000))
    becomes = typed.one_of("becomes", Becomes)
    typed.done()
    made: Stored = _made(
        "label", Stored, id=stored_id, label=label, width_mm=width, depth_mm=depth,
        height_mm=height, mass_kg=mass, becomes=becomes,
    )  # fmt: skip
    return made


def _add_stored(plan: Plan, typed: Typed) -> Done:
    stored = plan.works.stored
    made = _stored(plan, typed, fresh_id("thing", {one.id for one in stored}))
    return works_plan(plan, "label", stored=(*stored, made)), f"{made.label} stands in the room"


def _change_stored(plan: Plan, typed: Typed) -> Done:
    wanted = typed.text("thing")
    if all(one.id != wanted for one in plan.works.stored):
        raise CommandError("That thing is no longer on the list; what is kept is shown.")
    made = _stored(plan, typed, wanted)
    rest = tuple(made if one.id == wanted else one for one in plan.works.stored)
    return works_plan(plan, "label", stored=rest), f"{made.label} in the room"


def _remove(name: str, says: str) -> Edit:
    def remove(plan: Plan, typed: Typed) -> Done:
        things = getattr(plan.works, name)
        rest = tuple(one for one in things if one.id != typed.text("thing"))
        if len(rest) == len(things):
            raise CommandError("That is no longer on the list; what is kept is shown.")
        return works_plan(plan, "", **{name: rest}), says

    return remove


def _noted(plan: Plan, task_id: str, field: str, **values: Any) -> Plan:
    """Return the plan with something said of a task; a note that says nothing is taken away."""
    old = plan.works.note(task_id)
    before = {"id": task_id} if old is None else old.model_dump()
    made: TaskNote = _made(field, TaskNote, **{**before, **values})
    rest = tuple(one for one in plan.works.tasks if one.id != task_id)
    if made != TaskNote(id=task_id):
        rest = (*rest, made)
    return works_plan(plan, field, tasks=rest)


def _task_id(typed: Typed) -> str:
    task_id = typed.text("task")
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
    after = typed.text("after")
    typed.done()
    task_id = fresh_id("own", {one.id for one in plan.works.tasks})
    links = (after,) if after else ()
    made = _noted(plan, task_id, "hours", label=label, hours=hours, added=True, after=links)
    return made, f"task {label}"


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
        after = works_plan(after, "done_on", starts_on=(began_on or done_on).isoformat())
    return after, f"{task_id.replace('-', ' ')} done"


def _untick(plan: Plan, typed: Typed) -> Done:
    task_id = _task_id(typed)
    after = _noted(plan, task_id, "done_on", done_on=None, began_on=None, done_hours=None)
    return after, f"{task_id.replace('-', ' ')} not done"


def _forget(plan: Plan, typed: Typed) -> Done:
    task_id = _task_id(typed)
    rest = tuple(one for one in plan.works.tasks if one.id != task_id)
    return works_plan(plan, "", tasks=rest), f"task {task_id.replace('-', ' ')} as the plan has it"


def _delivery(plan: Plan, typed: Typed) -> Done:
    key = typed.text("line")
    if not re.fullmatch(r"[a-z0-9][a-z0-9.-]{0,95}", key):
        raise CommandError("That order is no longer on the list; what is kept is shown.")
    lead = typed.maybe_number("lead", "how many workdays delivery takes", (0, 400))
    ordered = day_of(typed, "ordered_on", "the day of the order")
    arrives = day_of(typed, "arrives_on", "the day of delivery")
    place = typed.text("place")
    typed.done()
    made: Delivery = _made(
        "arrives_on", Delivery, id=key, lead_workdays=None if lead is None else round(lead),
        ordered_on=ordered, arrives_on=arrives, place=place,
    )  # fmt: skip
    rest = tuple(one for one in plan.works.deliveries if one.id != key)
    if made != Delivery(id=key):
        rest = (*rest, made)
    return works_plan(plan, "arrives_on", deliveries=rest), "an order"


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
