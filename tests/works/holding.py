"""An independent look at a programme: does each date hold? It knows nothing of how it was made."""

from collections.abc import Mapping
from datetime import date, datetime, timedelta

from app.works.programme import Dated, Programme

Hours = Mapping[int, tuple[tuple[str, str, int], ...]]
"""By day of the week, Monday 0: from, to, people."""

USUAL: Hours = {
    # the hours of a household that named none, as the register has them
    1: (("18:30", "21:00", 1),),
    3: (("18:30", "21:00", 1),),
    5: (("09:30", "15:30", 2),),
    6: (("10:00", "13:30", 2),),
}
LOUD: Mapping[int, tuple[str, str]] = {
    **dict.fromkeys(range(5), ("09:00", "19:00")),
    5: ("10:00", "17:00"),
}
SETTING_OUT = timedelta(minutes=15)


def faults(made: Programme, usual: Hours = USUAL) -> list[str]:
    """Return what does not hold: order, waits, hours, hands, noise."""
    by_id = {one.task.id: one for one in made.tasks}
    found = [fault for one in made.tasks for fault in _of_task(one, by_id, usual)]
    worked = {s.starts.date() for one in made.tasks for s in one.stretches if one.task.who == "own"}
    found += [f"work on {day}, which is kept free" for day in worked & set(made.spare)]
    marks: dict[datetime, int] = {}
    for one in made.tasks:
        if one.task.who != "own":
            continue
        for stretch in one.stretches:
            marks[stretch.starts] = marks.get(stretch.starts, 0) + stretch.people
            marks[stretch.ends] = marks.get(stretch.ends, 0) - stretch.people
    busy = 0
    for moment in sorted(marks):
        busy += marks[moment]
        if busy > _people(moment, usual):
            found.append(f"{busy} people at {moment}")
    return found


def _of_task(one: Dated, by_id: Mapping[str, Dated], usual: Hours) -> list[str]:
    task, found = one.task, []
    for link in task.after:
        other = by_id[link.id]
        ready = other.ends
        if link.dry:
            ready += timedelta(minutes=other.task.wait_min)
            day, left = other.ends.date(), other.task.wait_workdays
            while left:
                day += timedelta(days=1)
                left -= day.weekday() < 5
            ready = max(ready, datetime.combine(day, datetime.min.time()))
        ready = max(ready, other.ends + timedelta(minutes=link.least_min))
        if one.starts < ready and not one.done:
            found.append(f"{task.id} begins {one.starts}, {link.id} is ready {ready}")
    if one.done:
        return found
    worked = sum(
        (stretch.ends - stretch.starts).total_seconds() / 3600 * stretch.people
        for stretch in one.stretches
    )
    most = 0.1 * (len(task.pieces) + 1) * max(task.best, 1)
    if not task.hours - 1e-6 <= worked <= task.hours + most:
        found.append(f"{task.id}: {worked:.2f} h are planned of {task.hours}")
    for stretch in one.stretches:
        if task.who != "own":
            continue
        if not _within(stretch.starts, stretch.ends, usual):
            found.append(f"{task.id} at {stretch.starts}: nobody is free")
        if task.loud and not _quiet_kept(stretch.starts, stretch.ends):
            found.append(f"{task.id} is loud at {stretch.starts}")
    return found


def _at(day: date, clock: str) -> datetime:
    hours, minutes = clock.split(":")
    return datetime(day.year, day.month, day.day, int(hours), int(minutes))


def _within(starts: datetime, ends: datetime, usual: Hours) -> bool:
    day = starts.date()
    return any(
        _at(day, a) + SETTING_OUT <= starts and ends <= _at(day, b) - SETTING_OUT
        for a, b, _ in usual.get(starts.weekday(), ())
    )


def _people(moment: datetime, usual: Hours) -> int:
    return max(
        (
            people
            for a, b, people in usual.get(moment.weekday(), ())
            if _at(moment.date(), a) <= moment < _at(moment.date(), b)
        ),
        default=0,
    )


def _quiet_kept(starts: datetime, ends: datetime) -> bool:
    span = LOUD.get(starts.weekday())
    return span is not None and _at(starts.date(), span[0]) <= starts and ends <= _at(
        starts.date(), span[1]
    )  # fmt: skip
