"""A task of the works, and what it waits for."""

from __future__ import annotations

import math
from dataclasses import dataclass, field
from datetime import date, datetime

from app.errors import ElbowroomError
from app.model.works import Who
from app.units import MINUTES_AN_HOUR

ROUNDED_TO_MIN = 30
"""Drying is told and planned in half hours: nobody looks more often."""

GRAIN_MIN = 5
"""Work is planned in steps of five minutes: finer than anybody's estimate."""


class WorksError(ElbowroomError, ValueError):
    """The works cannot be planned; the sentence says what is missing or at odds."""

    code = "bad-works"


@dataclass(frozen=True, slots=True)
class After:
    """What a task waits for: another one's end, and with `dry` what that one has to dry or lie.

    At least `least_min` minutes pass after that end, whatever it has to dry.
    """

    id: str
    dry: bool = True
    least_min: int = 0


@dataclass(frozen=True, slots=True)
class Task:
    """One task. `hours` are person-hours; `pieces` are shares of it that are not broken off.

    What is `same_day` is not broken off either, where it fits into one free time at all. After it
    `wait_min` minutes, or `wait_workdays`, pass before what waits for it with `dry` may
    begin. `part` is the part of the floor it belongs to, 0 for all of it; `alone` tells that
    nobody does anything else there meanwhile, `elsewhere` that it is not done in the room. `line`
    is the order that must have arrived. `rate` is the row of the register that its hours follow
    from.
    """

    id: str
    kind: str
    name: str
    group: str
    why: str
    quantity: float
    unit: str
    hours: float
    who: Who = "own"
    least: int = 1
    best: int = 1
    after: tuple[After, ...] = ()
    pieces: tuple[float, ...] = ()
    wait_min: int = 0
    wait_workdays: int = 0
    same_day: bool = False
    loud: bool = False
    paint: bool = False
    tip: bool = False
    alone: bool = False
    elsewhere: bool = False
    solvent: bool = False
    caution: str = ""
    part: int = 0
    where: tuple[str, ...] = ()
    lines: tuple[str, ...] = ()
    uses: tuple[str, ...] = ()
    not_before: date | None = None
    began_on: date | None = None
    done_on: date | None = None
    done_hours: float | None = None
    diary: str = ""
    photos: tuple[str, ...] = ()
    first_time: bool = False
    rate: str = ""

    @property
    def minutes(self) -> int:
        """The person-minutes, in whole grains."""
        return grains(self.hours * MINUTES_AN_HOUR)


@dataclass(frozen=True, slots=True)
class Need:
    """All tasks of a plan in their usual order, and what is worth saying about them."""

    tasks: tuple[Task, ...]
    says: tuple[str, ...] = ()
    problems: tuple[str, ...] = ()
    cold: bool = False
    shares: tuple[float, ...] = field(default=(1.0,))
    unheard: bool = False
    """Nobody hears what is loud: it may be loud at any hour, unless hours were agreed."""


def grains(minutes: float) -> int:
    """Round minutes up to whole grains; a hair over a grain is one of floating point."""
    return math.ceil(minutes / GRAIN_MIN - 1e-6) * GRAIN_MIN


def next_half_hour_min(at: datetime) -> int:
    """Return when work can begin on a day at the soonest, in minutes of it: the next half hour."""
    return half_hours(at.hour * MINUTES_AN_HOUR + at.minute)


def half_hours(minutes: float) -> int:
    """Round minutes up to half hours."""
    return math.ceil(minutes / ROUNDED_TO_MIN - 1e-6) * ROUNDED_TO_MIN
