"""Edits while the works are being done: ticks with true hours, diary, photos, true prices."""

from __future__ import annotations

import re
from collections.abc import Mapping
from typing import Any

from app.changes.commands import Command
from app.errors import CommandError
from app.forms.field_table import Table, day, made, money, number, text, tick, values_of
from app.forms.money_edits import line_name
from app.forms.photo_field import PHOTO, one_less, one_more, with_photo
from app.forms.thing_edits import Done, Edits, command_of, plan_with
from app.forms.typed_fields import Typed
from app.model.money import Entry
from app.model.plan import Plan
from app.model.works import PACE_LEAST, PACE_MOST, PHOTOS_A_TASK, Delivery, TaskNote

LEAST_H = 0.1
"""Hours of a task: less is none."""
_TASK_ID = re.compile(r"[a-z0-9][a-z0-9-]{0,47}")
_LINE = re.compile(r"[a-z0-9][a-z0-9.-]{0,95}")

TICK = Table(
    TaskNote,
    (
        day("done_on", "Done on", "done_on", what="the day on which it was done", needed=True),
        number("done_hours", "It took, hours", "done_hours", what="the hours that it took",
               least=LEAST_H),
        day("began_on", "Begun on", "began_on", what="the day on which it began"),
        text("diary", "A line for the diary", "diary", span=""),
    ),
)  # fmt: skip
BOUGHT = Table(
    Entry,
    (
        money("paid", "Paid for it", "minor", what="what was paid"),
        day("came_on", "Came on", "", what="the day on which it came", needed=True),
        tick("second_hand", "second-hand", "second_hand"),
    ),
    shown=lambda plan, entry: {"came_on": _came_on(plan, entry)},
)
DONE_TABLES = {"tick": TICK, "bought": BOUGHT}


def edit_ticks(plan: Plan, name: str, fields: Mapping[str, str], photo: str = "") -> Command | None:
    """Return the command that ticks a task off, takes the tick back, or adds a photo to a task.

    Nothing else is done here. Raises as `edit_works` does.
    """
    refusal = "Here tasks are ticked off, and nothing else."
    return command_of(TICKS, plan, name, with_photo(fields, photo), "edit", refusal)


def known_task(task_id: str) -> str:
    """Return the id of a task. Raises CommandError for what is none."""
    return _known(_TASK_ID, task_id, "task")


def known_line(typed: Typed) -> str:
    """Return the key of the line that a form is about. Raises CommandError for what is none."""
    return _known(_LINE, typed.text("line"), "order")


def _known(pattern: re.Pattern[str], key: str, what: str) -> str:
    if not pattern.fullmatch(key):
        raise CommandError(f"That {what} is no longer on the list; what is kept is shown.")
    return key


def task_id_of(typed: Typed) -> str:
    """Return the id of the task that a form is about. Raises CommandError for what is none."""
    return known_task(typed.text("task"))


def task_name(task_id: str) -> str:
    """Return a task by words that are made of its id."""
    return task_id.replace("-", " ")


def noted(plan: Plan, task_id: str, fault: str, **values: Any) -> Plan:
    """Return the plan with something said of a task; a note that says nothing is taken away."""
    old = plan.works.note(task_id)
    before = {"id": task_id} if old is None else old.model_dump()
    note: TaskNote = made(TaskNote, fault, {**before, **values})
    rest = tuple(one for one in plan.works.tasks if one.id != task_id)
    if note != TaskNote(id=task_id):
        rest = (*rest, note)
    return plan_with(plan, "works.tasks", fault, rest)


def _tick(plan: Plan, typed: Typed) -> Done:
    task_id = task_id_of(typed)
    old = plan.works.note(task_id)
    values = values_of(TICK, plan, typed, old)
    if typed.text(PHOTO):
        values["photos"] = _photos(plan, task_id, typed.text(PHOTO))
    after = noted(plan, task_id, "done_on", **values)
    if plan.works.starts_on is None:
        # what was done is the past: from now on the calendar has a first day
        first = values["began_on"] or values["done_on"]
        after = plan_with(after, "works.starts_on", "done_on", first.isoformat())
    return after, f"{task_name(task_id)} done"


def _untick(plan: Plan, typed: Typed) -> Done:
    task_id = task_id_of(typed)
    after = noted(plan, task_id, "done_on", done_on=None, began_on=None, done_hours=None)
    return after, f"{task_name(task_id)} not done"


def _photos(plan: Plan, task_id: str, photo: str) -> tuple[str, ...]:
    note = plan.works.note(task_id)
    return one_more(() if note is None else note.photos, photo, PHOTOS_A_TASK, "task")


def _photo(plan: Plan, typed: Typed) -> Done:
    task_id = task_id_of(typed)
    photos = _photos(plan, task_id, typed.text(PHOTO))
    return noted(plan, task_id, "photo", photos=photos), f"a photo of {task_name(task_id)}"


def _remove_photo(plan: Plan, typed: Typed) -> Done:
    task_id, gone = task_id_of(typed), typed.text("kept")
    note = plan.works.note(task_id)
    photos = one_less(() if note is None else note.photos, gone)
    after = noted(plan, task_id, "photo", photos=photos)
    return after, f"a photo of {task_name(task_id)} taken away"


def _came_on(plan: Plan, entry: Entry | None) -> str:
    key = "" if entry is None else entry.id
    came = [one.arrives_on for one in plan.works.deliveries if one.id == key and one.arrives_on]
    return came[0].isoformat() if came else ""


def _bought(plan: Plan, typed: Typed) -> Done:
    key = known_line(typed)
    old = next((one for one in plan.money.entries if one.id == key), plan.usual_entry(key))
    values = values_of(BOUGHT, plan, typed, old)
    came = values.pop("came_on")
    entry: Entry = made(Entry, "paid", {**dict(old), **values, "standing": "bought"})
    entries = (*(one for one in plan.money.entries if one.id != key), entry)
    after = plan_with(plan, "money.entries", "paid", entries)
    known = next((one for one in plan.works.deliveries if one.id == key), Delivery(id=key))
    delivery: Delivery = made(Delivery, "came_on", {**dict(known), "arrives_on": came})
    rest = tuple(one for one in plan.works.deliveries if one.id != key)
    after = plan_with(after, "works.deliveries", "came_on", (*rest, delivery))
    return after, f"{line_name(plan, key)} has come"


def _pace(plan: Plan, typed: Typed) -> Done:
    pace = typed.number("pace", "the pace", (PACE_LEAST, PACE_MOST))
    typed.done()
    return plan_with(plan, "works.pace", "pace", pace), "the pace of the works"


TICKS: Edits = {"tick": _tick, "untick": _untick, "photo": _photo}
DONE_EDITS: Edits = {**TICKS, "remove-photo": _remove_photo, "bought": _bought, "pace": _pace}
