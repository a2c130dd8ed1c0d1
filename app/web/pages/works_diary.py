"""The diary of the works: what was done and what has come, day by day, and how long it took."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from app.usecases.works import PlannedWorks
from app.works.programme import Dated

LEAST_TASKS, LEAST_HOURS = 3, 8.0
"""From so many tasks and hours on true hours say something of the hand and not of one wall."""
MATTERS = 0.1
"""A tenth more or less is what an estimate is worth."""


@dataclass(frozen=True, slots=True)
class Came:
    """A line that was bought: its name, what was paid and what was asked at first, minor units."""

    name: str
    paid_minor: int | None


@dataclass(frozen=True, slots=True)
class DiaryDay:
    """One day: what was done on it, and what came."""

    day: date
    done: tuple[Dated, ...]
    came: tuple[Came, ...]


def diary(known: PlannedWorks) -> list[DiaryDay]:
    """Return the days on which something was done or came, the latest first."""
    answer = known.answer
    tasks = () if answer is None else answer.programme.tasks
    bought = {line.key: line for line in known.costs.lines if line.standing == "bought"}
    came = [one for one in known.plan.works.deliveries if one.id in bought and one.arrives_on]
    days = {one.task.done_on for one in tasks if one.task.done_on is not None}
    days |= {one.arrives_on for one in came if one.arrives_on is not None}
    return [
        DiaryDay(
            on,
            tuple(one for one in tasks if one.task.done_on == on),
            tuple(
                Came(bought[one.id].item, bought[one.id].asked_minor)
                for one in came
                if one.arrives_on == on
            ),
        )
        for on in sorted(days, reverse=True)
    ]


@dataclass(frozen=True, slots=True)
class Pace:
    """What a household took and what was planned for the same tasks, person-hours."""

    took_h: float
    planned_h: float
    factor: float
    """By how much the hours of the plan would have to be multiplied, as it stands now."""

    @property
    def is_other(self) -> bool:
        """Whether it differs by more than an estimate is worth."""
        return abs(self.took_h / self.planned_h - 1) > MATTERS


def pace(known: PlannedWorks) -> Pace | None:
    """Return how fast the household is, None while too little is done to tell."""
    answer = known.answer
    own = [
        one.task
        for one in (() if answer is None else answer.programme.tasks)
        if one.done and one.task.who == "own" and one.task.done_hours and one.task.hours
    ]
    planned = sum(task.hours for task in own)
    if len(own) < LEAST_TASKS or planned < LEAST_HOURS:
        return None
    took = sum(task.done_hours or 0 for task in own)
    return Pace(took, planned, round(took / planned * known.plan.works.pace, 2))
