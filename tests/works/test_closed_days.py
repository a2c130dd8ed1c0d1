"""Days on which no trade comes, nothing is delivered and the tip is closed."""

from datetime import date, timedelta

import pytest
from dateutil.easter import easter  # type: ignore[import-untyped]

from app.model.works import DaysOff, FreeTime, Works
from app.works.lives import Lives, workdays_after, workdays_before
from tests.works.plans import planned, sample, with_works

SUNDAY = 6
EASTER: date = easter(2027)
"""By the computation of a general library."""
GOOD_FRIDAY, EASTER_MONDAY = EASTER - timedelta(days=2), EASTER + timedelta(days=1)
HOLIDAYS = tuple(
    DaysOff(id=f"h{i}", first=day, last=day, shut=True)
    for i, day in enumerate((GOOD_FRIDAY, EASTER_MONDAY))
)


def test_workdays_go_round_the_holidays_that_a_household_names() -> None:
    """By the calendar: from Thursday before Easter three workdays are Tuesday to Thursday."""
    thursday = GOOD_FRIDAY - timedelta(days=1)
    then = workdays_after(thursday, 3, Works(days_off=HOLIDAYS))
    assert then == EASTER + timedelta(days=4)
    assert workdays_after(thursday, 3, Works()) == EASTER + timedelta(days=3 - 1)
    assert workdays_before(then, 3, Works(days_off=HOLIDAYS)) == thursday


def test_holidays_without_end_do_not_hang() -> None:
    works = Works(days_off=(DaysOff(id="h", first=date(2027, 1, 1), last=date.max, shut=True),))
    assert workdays_after(date(2027, 1, 1), 1, works) > date(2030, 1, 1)


def test_one_may_work_on_a_holiday_but_not_loudly_and_the_tip_is_closed() -> None:
    mondays = (FreeTime(id="m", day="mon", starts="09:00", ends="17:00"),)
    lives = Lives(Works(days_off=HOLIDAYS, free=mondays), EASTER)
    holiday, monday_after = lives.sessions[:2]
    assert lives.day(holiday.start) == EASTER_MONDAY
    assert not any(loud for *_, loud in holiday.segments)
    assert not holiday.tip
    assert any(loud for *_, loud in monday_after.segments)
    assert monday_after.tip


@pytest.mark.parametrize("opens", ["mon-sat", "mon-sun"])
def test_nobody_drives_to_the_tip_on_a_day_on_which_it_is_closed(opens: str) -> None:
    answer = planned(with_works(sample("basement"), tip_opens=opens), date(2027, 3, 1))
    tip = answer.programme.dated("tip")
    on = {stretch.starts.weekday() for stretch in tip.stretches}
    assert on
    assert opens == "mon-sun" or SUNDAY not in on


def test_a_trade_comes_on_none_of_the_days_that_are_closed_to_it() -> None:
    plan = sample("upstairs-room")
    usual = planned(plan, date(2027, 3, 1)).programme.dated("elec-1").starts.date()
    holiday = {"id": "h", "first": usual.isoformat(), "last": usual.isoformat(), "shut": True}
    moved = planned(with_works(plan, days_off=[holiday], trades_come="mon-thu"), date(2027, 3, 1))
    days = {
        day.date()
        for one in moved.programme.tasks
        if one.task.who == "elec"
        for stretch in one.stretches
        for day in (stretch.starts, stretch.ends)
    }
    assert days
    assert usual not in days
    assert all(day.weekday() <= 3 for day in days)
