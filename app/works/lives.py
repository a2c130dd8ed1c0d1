"""When people have time for the room: sessions of the household, days of a licensed trade.

Times are whole naive minutes from midnight of the first day: a clock that is put forward or back
moves no evening, and a year's end is a day like any other.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, datetime, timedelta
from functools import cached_property
from itertools import pairwise

from app.model.works import DAYS, MONTHS, Day, Works, minutes_of, week_of
from app.published.register import published
from app.units import HOURS_A_DAY, MINUTES_AN_HOUR
from app.works.task import WorksError

DAY_MIN = HOURS_A_DAY * MINUTES_AN_HOUR
HORIZON_DAYS = 1100
"""How far ahead is looked, about three years: works that last longer are no works of a room."""

CHUNK_DAYS = 120
"""How many days are laid out at a time: most works are done by then."""

WORKDAYS = frozenset(range(5))  # Monday to Friday, as date.weekday() counts


@dataclass(frozen=True, slots=True)
class Session:
    """One time in which people work: minutes from the base, setting out and clearing up left off.

    `segments` are (start, end, people, loud): where it may be loud, and where it may not. `cold`
    tells that an unheated room is too cold for paint then, `tip` that the tip is open.
    """

    start: int
    end: int
    people: int
    cold: bool
    segments: tuple[tuple[int, int, int, bool], ...]
    tip: bool = True


@dataclass(frozen=True, slots=True)
class _Usual:
    start: int
    end: int
    people: int


class Lives:
    """The calendar of one household from a day on. `spare` are days that are kept free."""

    def __init__(
        self, works: Works, base: date, at_most: int | None = None, unheard: bool = False
    ) -> None:
        self.base = base
        self._works = works
        self._trim = round(published("works.setting-out-h") * MINUTES_AN_HOUR / 2)
        self._free = _free_hours(works)
        self._cold = cold_months()
        if not any(self._free.values()) and not works.extra:
            raise WorksError("There are no free hours: say on which days somebody has time.")
        self._loud = _loud_hours(works, unheard)
        self._tip_opens = week_of(works.tip_opens)
        self._at_most = at_most
        self._days = 0
        self._worked_days = 0
        self._sessions: list[Session] = []
        self.spare: list[date] = []
        self.ends: list[int] = []
        self._extend()
        if self.longest_min <= 0:
            words = f"{2 * self._trim} minutes of setting out and clearing up"
            raise WorksError(
                f"Each of your free times is used up by the {words}: give one of them more time."
            )

    @property
    def sessions(self) -> list[Session]:
        """The sessions laid out so far, in their order."""
        return self._sessions

    @cached_property
    def most_people(self) -> int:
        """How many people there are at the best of times."""
        usual = [one.people for day in self._free.values() for one in day]
        return max([*usual, *(extra.people for extra in self._works.extra)], default=0)

    @cached_property
    def longest_min(self) -> int:
        """The longest time in one go, in minutes."""
        usual = [one.end - one.start for day in self._free.values() for one in day]
        more = [minutes_of(e.ends) - minutes_of(e.starts) for e in self._works.extra]
        return max([*usual, *more], default=0) - 2 * self._trim

    def one_go_min(self, at_most: int) -> int:
        """Return the most person-minutes in one go of so many people, in a usual week.

        Single days besides count only where there is no usual week.
        """
        usual = [(one.end - one.start, one.people) for day in self._free.values() for one in day]
        single = [(minutes_of(e.ends) - minutes_of(e.starts), e.people) for e in self._works.extra]
        return max(
            max(length - 2 * self._trim, 0) * min(people, at_most)
            for length, people in usual or single
        )

    def more(self) -> bool:
        """Lay out further days; False where that is beyond the horizon."""
        if self._days >= HORIZON_DAYS:
            return False
        self._extend()
        return True

    def day(self, minute: int) -> date:
        """Return the day of a minute."""
        return self.base + timedelta(days=minute // DAY_MIN)

    def moment(self, minute: int) -> datetime:
        """Return a minute as a naive local time."""
        return datetime(self.base.year, self.base.month, self.base.day) + timedelta(minutes=minute)

    def minute(self, day: date) -> int:
        """Return midnight at the start of a day, as minutes from the base."""
        return (day - self.base).days * DAY_MIN

    def off(self, day: date) -> bool:
        """Return whether nobody works on a day."""
        return self._works.is_off(day)

    def workdays_after(self, day: date, count: int) -> date:
        """Return the day so many workdays after one, as this household counts them."""
        return workdays_after(day, count, self._works)

    def _extend(self) -> None:
        spare_in = round(published("works.spare-one-in"))
        extras: dict[date, list[_Usual]] = {}
        for extra in self._works.extra:
            usual = _Usual(minutes_of(extra.starts), minutes_of(extra.ends), extra.people)
            extras.setdefault(extra.on, []).append(usual)
        for number in range(self._days, self._days + CHUNK_DAYS):
            day = self.base + timedelta(days=number)
            spans = [*self._free[DAYS[day.weekday()]], *extras.get(day, ())]
            if not spans or self.off(day):
                continue
            self._worked_days += 1
            # the day kept free wanders through the week, so that it is not always the Saturday
            if self._worked_days % spare_in == 0 and day not in extras:
                self.spare.append(day)
                continue
            for span in sorted(spans, key=lambda one: (one.start, one.end)):
                session = self._session(number, day, span)
                if session is not None:
                    self._sessions.append(session)
                    self.ends.append(session.end)
        self._days += CHUNK_DAYS

    def _session(self, number: int, day: date, span: _Usual) -> Session | None:
        begin = number * DAY_MIN
        start, end = begin + span.start + self._trim, begin + span.end - self._trim
        if self._sessions and start < self._sessions[-1].end:
            start = self._sessions[-1].end
        if end <= start:
            return None
        people = span.people if self._at_most is None else self._at_most
        edges = {start, end}
        shut = self._works.is_shut(day)
        # a public holiday is as quiet as a Sunday
        loud_day = "sun" if shut else DAYS[day.weekday()]
        loud = [(begin + a, begin + b) for a, b in self._loud[loud_day]]
        for a, b in loud:
            edges |= {edge for edge in (a, b) if start < edge < end}
        marks = sorted(edges)
        segments = tuple(
            (a, b, people, any(low <= a and b <= high for low, high in loud))
            for a, b in pairwise(marks)
        )
        tip = day.weekday() in self._tip_opens and not shut
        return Session(start, end, people, day.month in self._cold, segments, tip)


class TradeDays(Lives):
    """The workdays on which a licensed trade may come, one at a time."""

    def __init__(self, works: Works, base: date) -> None:
        start = round(published("works.trade.from-h") * MINUTES_AN_HOUR)
        end = start + round(published("works.trade.day-h") * MINUTES_AN_HOUR)
        self._span = _Usual(start, min(end, DAY_MIN), 1)
        self._come = week_of(works.trades_come)
        super().__init__(works, base)

    def _extend(self) -> None:
        for number in range(self._days, self._days + CHUNK_DAYS):
            day = self.base + timedelta(days=number)
            if day.weekday() not in self._come or self.off(day) or self._works.is_shut(day):
                continue
            a, b = number * DAY_MIN + self._span.start, number * DAY_MIN + self._span.end
            cold = day.month in self._cold
            self._sessions.append(Session(a, b, 1, cold, ((a, b, 1, True),)))
            self.ends.append(b)
        self._days += CHUNK_DAYS


def cold_months() -> frozenset[int]:
    """Return the months of the cold half of the year."""
    first, last = round(published("works.cold-from-month")), round(published("works.cold-to-month"))
    every = range(1, len(MONTHS) + 1)
    if first <= last:
        return frozenset(month for month in every if first <= month <= last)
    return frozenset(month for month in every if month >= first or month <= last)


def is_cold(day: date) -> bool:
    """Return whether a day lies in the cold half of the year."""
    return day.month in cold_months()


def workdays_after(day: date, count: int, works: Works) -> date:
    """Return the day so many workdays after one; Saturday, Sunday, public holidays are none."""
    step = 1 if count >= 0 else -1
    left, shut = abs(count), 0
    while left:
        day += timedelta(days=step)
        if day.weekday() not in WORKDAYS:
            continue
        # public holidays without end are a slip: beyond what is planned they no longer count
        if works.is_shut(day) and shut < HORIZON_DAYS:
            shut += 1
            continue
        left -= 1
    return day


def workdays_before(day: date, count: int, works: Works) -> date:
    """Return the day so many workdays before one."""
    return workdays_after(day, -count, works)


def _hours(key: str) -> int:
    return round(published(key) * MINUTES_AN_HOUR)


def _free_hours(works: Works) -> dict[Day, list[_Usual]]:
    by_day: dict[Day, list[_Usual]] = {day: [] for day in DAYS}
    if works.free or works.extra:
        for time in works.free:
            usual = _Usual(minutes_of(time.starts), minutes_of(time.ends), time.people)
            by_day[time.day].append(usual)
        return by_day
    for day, key, people in _usual_days():
        start = _hours(f"works.free.{key}-from-h")
        end = min(start + _hours(f"works.free.{key}-h"), DAY_MIN)
        by_day[day].append(_Usual(start, end, people))
    return by_day


def _usual_days() -> Iterator[tuple[Day, str, int]]:
    """Return the free times of a household that named none: two evenings, two at the weekend."""
    yield "tue", "evening", 1
    yield "thu", "evening", 1
    yield "sat", "saturday", 2
    yield "sun", "sunday", 2


def _loud_hours(works: Works, unheard: bool) -> dict[Day, list[tuple[int, int]]]:
    """Return the loud hours: those agreed, any where nobody hears it, else the usual ones."""
    if unheard and not works.loud:
        return {day: [(0, DAY_MIN)] for day in DAYS}
    by_day: dict[Day, list[tuple[int, int]]] = {day: [] for day in DAYS}
    if works.loud:
        for time in works.loud:
            by_day[time.day].append((minutes_of(time.starts), minutes_of(time.ends)))
        return by_day
    for day in DAYS[:-1]:
        key = "saturday" if day == "sat" else "workday"
        by_day[day].append((_hours(f"works.loud.{key}-from-h"), _hours(f"works.loud.{key}-to-h")))
    return by_day
