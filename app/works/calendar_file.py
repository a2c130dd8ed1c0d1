"""The works as a calendar file: floating local times, one entry a stretch of work."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, datetime, timedelta
from typing import Any

from app.library.tasks import task_kinds
from app.model.works import day_words
from app.works.goal import goal_name
from app.works.orders import lead_words
from app.works.works import WorksAnswer

PRODUCT = "-//Elbowroom//works//EN"
ENDING = "elbowroom.invalid"
"""Ends what names an entry, so that a calendar knows it again; the name leads nowhere."""


def calendar_file(answer: WorksAnswer, plan_id: str, made_on: datetime) -> bytes:
    """Return the works as a file after RFC 5545, for the calendar of the household.

    Times are local to wherever they are read, so that a clock put forward moves no evening.
    """
    from icalendar import Calendar

    calendar = Calendar()
    calendar.add("prodid", PRODUCT)
    calendar.add("version", "2.0")
    calendar.add("x-wr-calname", answer.scene.plan.name)
    for event in _events(answer, plan_id, made_on):
        calendar.add_component(event)
    written: bytes = calendar.to_ical()
    return written


def _events(answer: WorksAnswer, plan_id: str, made_on: datetime) -> Iterator[Any]:
    for one in answer.programme.tasks:
        if one.done:
            continue
        for i, stretch in enumerate(one.stretches):
            steps = [f"- {step}" for step in task_kinds()[one.task.kind].steps]
            words = [one.task.why, *steps, one.task.caution]
            if one.dry is not None:
                words.append(f"Dries or lies till {one.dry:%a %d %b %H:%M}.")
            yield _event(
                f"{one.task.id}-{i}", one.task.name, stretch.starts, stretch.ends, words,
                plan_id, made_on,
            )  # fmt: skip
    for order in answer.orders:
        if not order.settled:
            words = [f"{lead_words(order)}.", f"Then: {order.place}."]
            words += [f"- {item}" for item in order.unnamed]
            verb = "Book" if order.is_visit else "Order"
            key, name = f"order-{order.line}", f"{verb}: {order.name}"
            yield _day(key, name, order.order_by, words, plan_id, made_on)
        if order.is_visit:
            # its hours stand in the calendar as the task
            continue
        words = [f"Send back till {day_words(order.returns_until)}: unpack, look the same day."]
        yield _day(
            f"here-{order.line}", f"Delivery: {order.name}", order.arrives, words, plan_id, made_on
        )  # fmt: skip
    first = answer.programme.first_training
    goal = goal_name(answer.scene.plan).capitalize()
    yield _day("first-training", goal, first, [], plan_id, made_on)
    for look in answer.year_after:
        yield _day(f"after-{look.id}", look.name, look.on, [look.caution], plan_id, made_on)


def _event(
    key: str, name: str, starts: datetime, ends: datetime, words: list[str], plan_id: str,
    made_on: datetime,
) -> Any:  # fmt: skip
    event = _named(key, name, words, plan_id, made_on)
    event.add("dtstart", starts)
    event.add("dtend", ends)
    return event


def _day(
    key: str, name: str, day: date, words: list[str], plan_id: str, made_on: datetime
) -> Any:  # fmt: skip
    event = _named(key, name, words, plan_id, made_on)
    event.add("dtstart", day)
    event.add("dtend", day + timedelta(days=1))
    return event


def _named(key: str, name: str, words: list[str], plan_id: str, made_on: datetime) -> Any:
    from icalendar import Event

    event = Event()
    event.add("uid", f"{plan_id or 'plan'}-{key}@{ENDING}")
    event.add("dtstamp", made_on)
    event.add("summary", name)
    text = "\n".join(word for word in words if word)
    if text:
        event.add("description", text)
    return event
