"""The programme of the works: when each task is done, what decides the date, what can wait."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from datetime import date, datetime, timedelta

from app.model.works import Works
from app.published.register import published
from app.units import MINUTES_AN_HOUR
from app.works.lives import DAY_MIN, Lives, TradeDays
from app.works.serial import Network, Run, Slots
from app.works.task import GRAIN_MIN, Need, Task, half_hours

FLOATS_AT_MOST = 120
"""Tasks whose slack is sought by planning again; of larger works it is that of the network."""


TAPED = frozenset({"ceil-coat", "stabilise", "wall-coat", "floor-coat"})
"""Kinds of coat that may be broken off within one wall, at a line of tape, where they must be."""

TAPED_WORDS = (
    "One wall takes longer here than your longest free time: stop along a line of masking tape, "
    "best behind what will stand or hang there. The joint may show."
)


@dataclass(frozen=True, slots=True)
class Stretch:
    """A stretch of work on one day; `where` is the wall that it is for, if it is for one."""

    starts: datetime
    ends: datetime
    people: int
    where: str = ""

    @property
    def hours(self) -> float:
        """The person-hours of it."""
        return (self.ends - self.starts).total_seconds() / 3600 * self.people


@dataclass(frozen=True, slots=True)
class Dated:
    """A task with its dates. `dry` is when what waits for it may begin; None where nothing dries.

    `can_wait` is how much later it alone may begin without moving the first training; `loose`
    tells that nothing waits for it at all. With hands without end it would begin `earliest`.
    """

    task: Task
    starts: datetime
    ends: datetime
    stretches: tuple[Stretch, ...]
    dry: datetime | None
    critical: bool
    can_wait: timedelta
    loose: bool = False
    earliest: datetime | None = None

    @property
    def latest(self) -> datetime:
        """When it has to begin at the latest if nothing is to move."""
        return self.starts + self.can_wait

    @property
    def done(self) -> bool:
        """Whether it is ticked off."""
        return self.task.done_on is not None

    @property
    def days_it_can_wait(self) -> int:
        """Whole days it can wait."""
        return self.can_wait.days

    @property
    def word(self) -> str:
        """What it means for the date: "decides the date", "can wait 3 days"."""
        if self.done:
            return "done"
        if self.critical:
            return "decides the date"
        if self.loose:
            return "nothing waits for it"
        days = self.days_it_can_wait
        return f"can wait {days} {'day' if days == 1 else 'days'}"


@dataclass(frozen=True, slots=True)
class Programme:
    """All tasks with their dates, in the usual order. `not_before` is a bound: no order is sooner.

    `days` are those with work ahead, `spare` those that are kept free.
    """

    tasks: tuple[Dated, ...]
    first_training: date
    not_before: date
    spare: tuple[date, ...]
    need: Need
    base: date
    today: date
    works: Works
    days: tuple[date, ...]
    now_min: int = 0
    """From which minute of `today` on there is work."""

    def dated(self, task_id: str) -> Dated:
        """Return a task by its id. Raises KeyError for another."""
        return next(one for one in self.tasks if one.task.id == task_id)

    @property
    def own_hours(self) -> float:
        """The person-hours of the household."""
        return sum(one.task.hours for one in self.tasks if one.task.who == "own")

    @property
    def practised_hours(self) -> float:
        """The person-hours of a household that has done all of it before."""
        longer = published("works.first-time")
        own = [one.task for one in self.tasks if one.task.who == "own"]
        return sum(task.hours / (longer if task.first_time else 1) for task in own)

    @property
    def trade_hours(self) -> float:
        """The hours of licensed trades."""
        return sum(one.task.hours for one in self.tasks if one.task.who != "own")


def network_of(
    need: Need, works: Works, today: date, arrivals: dict[str, date], now_min: int = 0
) -> Network:
    """Return the tasks with their calendar; nothing is before minute `now_min` of today.

    Raises WorksError where nobody has time for them.
    """
    begins = max(today, works.starts_on) if works.starts_on else today
    now_min = now_min if begins == today else 0
    begun = [task.began_on or task.done_on for task in need.tasks]
    base = min([begins, *(day for day in begun if day is not None)])
    if works.starts_on is not None:
        base = min(base, works.starts_on)
    lives = Lives(works, base, unheard=need.unheard)
    tasks = tuple(within(task, lives) for task in need.tasks)
    return Network(tasks, lives, TradeDays(works, base), begins, arrivals, need.cold, now_min)


def within(task: Task, lives: Lives) -> Task:
    """Return a task that fits the free times of a household.

    A coat on a wall that takes longer than the longest of them is broken off along a taped line.
    """
    if task.kind not in TAPED or task.who != "own" or task.done_on is not None:
        return task
    one_go = max(lives.one_go_min(task.best), GRAIN_MIN)
    counts = [math.ceil(task.minutes * share / one_go) for share in task.pieces]
    if max(counts, default=1) < 2:
        return task
    has_places = len(task.where) == len(task.pieces)
    return replace(
        task,
        pieces=tuple(s / n for s, n in zip(task.pieces, counts, strict=True) for _ in range(n)),
        where=tuple(
            one for one, n in zip(task.where, counts, strict=True) for _ in range(n)
        ) if has_places else task.where,
        caution=" ".join(filter(None, (task.caution, TAPED_WORDS))),
    )  # fmt: skip


def first_order(network: Network) -> list[int]:
    """Return the first feasible order: by the latest finish of the network."""
    return network.order_by(network.rules()[0])


def programme(
    need: Need,
    works: Works,
    today: date,
    arrivals: dict[str, date] | None = None,
    now_min: int = 0,
) -> Programme:
    """Plan the works from minute `now_min` of `today` on. Raises WorksError."""
    network = network_of(need, works, today, arrivals or {}, now_min)
    order = network.best_order()
    slots = network.schedule(order)
    end = network.end_of(slots)
    waits = _floats(network, order, slots, end)
    endless = network.schedule(order, endless=True)
    lives = network.lives
    spare = tuple(day for day in lives.spare if today <= day <= lives.day(end))
    tasks = tuple(_dated(network, i, slots, waits[i], endless) for i in range(len(network.tasks)))
    worked = {s.starts.date() for one in tasks if not one.done for s in one.stretches}
    return Programme(
        tasks=tasks,
        first_training=lives.day(end),
        not_before=lives.day(network.end_of(endless)),
        spare=spare,
        need=need,
        base=lives.base,
        today=today,
        works=works,
        days=tuple(sorted(worked)),
        now_min=now_min,
    )


def if_missed(made: Programme, arrivals: dict[str, date], missed: date) -> date:
    """Return the day of the first training if nothing is done on one day. Raises WorksError."""
    network = network_of(made.need, made.works, made.today, arrivals, made.now_min)
    run = Run(network)
    lives = network.lives
    for number, session in enumerate(lives.sessions):
        if lives.day(session.start) == missed:
            run.own.block(number)
    for i in network.best_order():
        run.put(i)
    return lives.day(network.end_of(run.slots))


@dataclass(frozen=True, slots=True)
class Moved:
    """What becomes of a programme: the day of the first training, and which tasks begin later."""

    first_training: date
    later: tuple[str, ...]


def moved(
    made: Programme, arrivals: dict[str, date], frost: tuple[date, date] | None = None
) -> Moved:
    """Plan again with other arrivals, or with days of frost on which nobody paints.

    The order stays that of the programme, or is that of a rule where training is sooner with it.
    The first and last day of the frost count. Raises WorksError.
    """
    network = network_of(made.need, made.works, made.today, arrivals, made.now_min)
    starts = {one.task.id: one.starts.timestamp() for one in made.tasks}
    order = [starts[task.id] for task in network.tasks]
    tried = [
        _in_frost(network, network.order_by(priority), frost)
        for priority in (order, *network.rules())
    ]
    best = min(tried, key=network.end_of)
    lives = network.lives
    later = tuple(
        task.id
        for i, task in enumerate(network.tasks)
        if task.hours and lives.day(best.start[i]) > made.dated(task.id).starts.date()
    )
    return Moved(lives.day(network.end_of(best)), later)


def _in_frost(network: Network, order: list[int], frost: tuple[date, date] | None) -> Slots:
    run = Run(network)
    if frost is not None:
        lives, (first, last) = network.lives, frost
        while lives.day(lives.sessions[-1].start) <= last and lives.more():
            pass
        run.own.too_cold = frozenset(
            number
            for number, session in enumerate(lives.sessions)
            if first <= lives.day(session.start) <= last
        )
    for i in order:
        run.put(i)
    return run.slots


def _dated(network: Network, i: int, slots: Slots, wait: int, endless: Slots) -> Dated:
    task, lives = network.tasks[i], network.lives
    end = slots.end[i]
    dry = None
    if task.wait_min:
        dry = lives.moment(half_hours(end + task.wait_min))
    stretches = tuple(
        Stretch(
            lives.moment(span.start), lives.moment(span.end), span.people, _where(task, span.piece)
        )
        for span in slots.spans[i]
    )
    return Dated(
        task,
        lives.moment(slots.start[i]),
        lives.moment(end),
        _joined(stretches),
        dry,
        task.done_on is None and wait < DAY_MIN and i in network.needed,
        timedelta(minutes=wait if wait >= DAY_MIN else 0),
        i not in network.needed,
        lives.moment(min(endless.start[i], slots.start[i])),
    )


def _joined(stretches: tuple[Stretch, ...]) -> tuple[Stretch, ...]:
    """Join what follows without a break."""
    made: list[Stretch] = []
    for one in stretches:
        last = made[-1] if made else None
        if last and (last.ends, last.people, last.where) == (one.starts, one.people, one.where):
            made[-1] = Stretch(last.starts, one.ends, one.people, one.where)
        else:
            made.append(one)
    return tuple(made)


def _where(task: Task, piece: int) -> str:
    """Return which of its places a piece of a task is for."""
    return task.where[piece] if len(task.where) == len(task.pieces) > piece else ""


def _floats(network: Network, order: list[int], slots: Slots, end: int) -> list[int]:
    """Return by how many minutes each task alone can be put off without moving the end.

    One task is pushed to later days and what comes after it in the order is planned again, till
    the end moves. Slack that two tasks share counts for both, one at a time.
    """
    count = len(network.tasks)
    if count > FLOATS_AT_MOST:
        return [round(network.times.slack(task.id)) for task in network.tasks]
    waits = [0] * count
    run = Run(network)
    for position, i in enumerate(order):
        task = network.tasks[i]
        if task.done_on is None and i != network.goal and i in network.needed:
            waits[i] = _wait_of(network, run, order[position:], slots, end)
        run.put(i)
    return waits


def _wait_of(network: Network, run: Run, rest: list[int], slots: Slots, end: int) -> int:
    """Return the slack of the first of the tasks that are left."""
    first = rest[0]
    low, high = slots.start[first] // DAY_MIN, end // DAY_MIN
    latest = slots.start[first]
    # the day before `low + 1` is where it stands; of the days up to the end the last that will do
    good, bad = low, high + 1
    while bad - good > 1:
        day = (good + bad) // 2
        start = _pushed(network, run, rest, day * DAY_MIN, end)
        if start is None:
            bad = day
        else:
            good = day
            latest = max(latest, start)
    return latest - slots.start[first]


def _pushed(network: Network, run: Run, rest: list[int], at: int, end: int) -> int | None:
    """Return where a task begins that is not to begin before a minute; None if the end moves."""
    trial = run.copy()
    trial.put(rest[0], at)
    for i in rest[1:]:
        if i not in network.needed:
            continue
        trial.put(i)
        if trial.slots.end[i] > end:
            return None
    return None if trial.slots.end[rest[0]] > end else trial.slots.start[rest[0]]


def own_words(made: Programme) -> str:
    """Say how many hours of the household it is, and how many where nothing is done first."""
    words = f"{made.own_hours:.0f} h of yours"
    practised = f"{made.practised_hours:.0f}"
    if practised == f"{made.own_hours:.0f}":
        return words
    return f"{words} ({practised} for hands that have done it before)"


def trade_words(made: Programme) -> str:
    """Say how many hours of licensed trades come to those of the household; empty where none do."""
    return f", {made.trade_hours:.1f} h of licensed trades" if made.trade_hours else ""


def hours_words(hours: float) -> str:
    """Write hours of work: "1 h 05", "40 min"."""
    minutes = round(hours * MINUTES_AN_HOUR)
    whole, left = divmod(minutes, MINUTES_AN_HOUR)
    if not whole:
        return f"{left} min"
    return f"{whole} h {left:02d}" if left else f"{whole} h"
