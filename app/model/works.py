"""The works as a household types them: when it has time, what stands in the room, what is done.

Everything has a default that says what its absence means; tasks themselves are not kept, they
follow from the plan. What was typed of one is kept under its id and waits there while the plan no
longer asks for that task.
"""

from __future__ import annotations

from datetime import date
from typing import Annotated, Literal, Self, cast

from pydantic import Field, field_validator, model_validator

from app.model.base import (
    Frozen,
    Hundredth,
    Id,
    Label,
    MoreThanNothing,
    PictureId,
    Size,
    by_id,
)
from app.model.money import MoneyKey

Day = Literal["mon", "tue", "wed", "thu", "fri", "sat", "sun"]
DAYS: tuple[Day, ...] = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
MONTHS = (
    "January", "February", "March", "April", "May", "June",
    "July", "August", "September", "October", "November", "December",
)  # fmt: skip
CLOCK = r"^([01][0-9]|2[0-3]):[0-5][0-9]$"
Clock = Annotated[str, Field(pattern=CLOCK)]
"""A time of the day as clocks show it: "18:30"."""
Hours = Annotated[float, Field(gt=0, le=2000), Hundredth, MoreThanNothing]
Becomes = Literal["stays", "house", "sell", "give", "tip"]
Who = Literal["own", "elec", "trade"]
Full = Literal["little", "half", "full", "unknown"]
"""How full of things a room is today, by the eye."""
Week = Literal["mon-thu", "mon-fri", "mon-sat", "mon-sun"]
"""Days of the week on which somebody comes or a place is open, from Monday on."""
PEOPLE_AT_MOST = 12
PHOTOS_A_TASK = 6
PACE_LEAST, PACE_MOST = 0.25, 4.0
"""Beyond that it is not the pace that differs but the work."""


def week_of(week: Week) -> frozenset[int]:
    """Return the days of a week as date.weekday() counts them."""
    return frozenset(range(DAYS.index(cast(Day, week[-3:])) + 1))


def minutes_of(clock: str) -> int:
    """Return the minutes from midnight of a time such as "18:30"."""
    hours, _, minutes = clock.partition(":")
    return int(hours) * 60 + int(minutes)


def day_words(day: date) -> str:
    """Write a date as people say it: "8 May 2027"."""
    return f"{day.day} {MONTHS[day.month - 1]} {day.year}"


class _Span(Frozen):
    starts: Clock
    ends: Clock

    @model_validator(mode="after")
    def _forwards(self) -> Self:
        if minutes_of(self.ends) <= minutes_of(self.starts):
            raise ValueError(
                f"from {self.starts} to {self.ends} is no time: the end must come after the start"
            )
        return self


class FreeTime(_Span):
    """Hours of each week in which so many people have time for the room."""

    id: Id
    day: Day
    people: Annotated[int, Field(ge=1, le=PEOPLE_AT_MOST)] = 1


class ExtraTime(_Span):
    """Hours of one day besides the usual ones, such as a day off taken for the room."""

    id: Id
    on: date
    people: Annotated[int, Field(ge=1, le=PEOPLE_AT_MOST)] = 1


class LoudTime(_Span):
    """Hours of each week in which household and neighbours agreed to noise."""

    id: Id
    day: Day


class DaysOff(Frozen):
    """Days on which nobody works at the room: holidays, visitors; first and last day count.

    `shut` are public holidays and the like instead: the household may work, as quietly as on a
    Sunday; no trade comes, nothing is delivered, the tip is closed.
    """

    id: Id
    first: date
    last: date
    label: Label = ""
    shut: bool = False

    @model_validator(mode="after")
    def _forwards(self) -> Self:
        if self.last < self.first:
            raise ValueError(
                f"the days off end on {day_words(self.last)}, before they begin on "
                f"{day_words(self.first)}"
            )
        return self


class Stored(Frozen):
    """Something that stands in the room today: the floor it takes, its mass, what becomes of it."""

    id: Id
    label: Label = ""
    width_mm: Size
    depth_mm: Size
    height_mm: Size = 1500
    mass_kg: Annotated[float, Field(gt=0, le=5000), Hundredth, MoreThanNothing] | None = None
    becomes: Becomes = "stays"


class TaskNote(Frozen):
    """What a household says of one task; empty means what the plan makes of it.

    `added` makes a task of its own, which needs a label and hours. `done_hours` are the true
    person-hours. `parts` splits it into so many that are done one after the other. `photos` name
    pictures that are kept beside the plan.
    """

    id: Id
    label: Label = ""
    added: bool = False
    left_out: bool = False
    hours: Hours | None = None
    people: Annotated[int, Field(ge=1, le=PEOPLE_AT_MOST)] | None = None
    who: Who | None = None
    after: tuple[Id, ...] = Field(default=(), max_length=40)
    wait_h: Annotated[float, Field(ge=0, le=20_000), Hundredth] | None = None
    parts: Annotated[int, Field(ge=1, le=20)] = 1
    not_before: date | None = None
    began_on: date | None = None
    done_on: date | None = None
    done_hours: Hours | None = None
    diary: Annotated[str, Field(max_length=2000)] = ""
    photos: tuple[PictureId, ...] = Field(default=(), max_length=PHOTOS_A_TASK)

    @model_validator(mode="after")
    def _makes_sense(self) -> Self:
        name = self.label or self.id
        if self.added and (not self.label or self.hours is None):
            raise ValueError(f"{name}: a task of your own needs a name and hours")
        if self.began_on is not None and self.done_on is not None and self.done_on < self.began_on:
            raise ValueError(
                f"{name}: it is said to be done on {day_words(self.done_on)}, before it began on "
                f"{day_words(self.began_on)}"
            )
        if self.id in self.after:
            raise ValueError(f"{name}: a task cannot wait for itself")
        return self


class Delivery(Frozen):
    """What is known of one order, by the key of its line: how long it takes, when it came."""

    id: MoneyKey
    lead_workdays: Annotated[int, Field(ge=0, le=400)] | None = None
    ordered_on: date | None = None
    arrives_on: date | None = None
    place: Label = ""

    @model_validator(mode="after")
    def _forwards(self) -> Self:
        if (
            self.ordered_on is not None
            and self.arrives_on is not None
            and self.arrives_on < self.ordered_on
        ):
            raise ValueError(
                f"this order arrives on {day_words(self.arrives_on)}, before it is ordered on "
                f"{day_words(self.ordered_on)}"
            )
        return self


class Works(Frozen):
    """All that is said of the works.

    No `free` hours: the usual ones of the register, two evenings and the weekend. No `loud`
    hours: likewise. Nothing `stored`: a share of the floor is taken as covered, unless the room
    `is_empty`; which share hangs on how `full` it is. `parts` is how many parts the floor is done
    in; None: as few as will do. `starts_on` empty: today. `first_time` tells that nobody has done
    such work before; `pace` multiplies the hours of all that the household does itself.
    `trades_come` and `tip_opens` name the days of the week on which they do.
    """

    starts_on: date | None = None
    first_time: bool = True
    pace: Annotated[float, Field(ge=PACE_LEAST, le=PACE_MOST), Hundredth] = 1
    is_empty: bool = False
    full: Full = "unknown"
    store_outside: bool = False
    trades_come: Week = "mon-fri"
    tip_opens: Week = "mon-sat"
    parts: Annotated[int, Field(ge=1, le=3)] | None = None
    free: tuple[FreeTime, ...] = Field(default=(), max_length=40)
    extra: tuple[ExtraTime, ...] = Field(default=(), max_length=200)
    loud: tuple[LoudTime, ...] = Field(default=(), max_length=40)
    days_off: tuple[DaysOff, ...] = Field(default=(), max_length=100)
    stored: tuple[Stored, ...] = Field(default=(), max_length=60)
    tasks: tuple[TaskNote, ...] = Field(default=(), max_length=400)
    deliveries: tuple[Delivery, ...] = Field(default=(), max_length=4000)

    @field_validator("free", "extra", "loud", "days_off", "stored", "tasks", "deliveries")
    @classmethod
    def _in_order(cls, things: tuple[TaskNote, ...]) -> tuple[TaskNote, ...]:
        return by_id(things)

    def is_shut(self, day: date) -> bool:
        """Return whether a day is a public holiday or the like."""
        return any(away.shut and away.first <= day <= away.last for away in self.days_off)

    def is_off(self, day: date) -> bool:
        """Return whether nobody works at the room on a day."""
        return any(not away.shut and away.first <= day <= away.last for away in self.days_off)

    @property
    def photos(self) -> tuple[str, ...]:
        """Return the ids of all photos of tasks."""
        return tuple(photo for note in self.tasks for photo in note.photos)

    def note(self, task_id: str) -> TaskNote | None:
        """Return what is said of a task, None where nothing is."""
        return next((note for note in self.tasks if note.id == task_id), None)
