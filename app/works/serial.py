"""Serial schedule generation: tasks one after the other into the earliest room that they find.

The scheme is that of J. E. Kelley, The critical-path method: resources planning and scheduling,
1963; priority rules and biased random sampling after R. Kolisch, Serial and parallel
resource-constrained project scheduling methods revisited, European Journal of Operational
Research 90, 1996. Instead of people every day alike there are the free hours of real lives.
"""

from __future__ import annotations

import heapq
import random
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

from app.units import MINUTES_AN_HOUR
from app.works.booking import Ask, Booking, Span
from app.works.critical_path import critical_path
from app.works.lives import DAY_MIN, Lives, TradeDays
from app.works.no_room import enough_hands, no_room
from app.works.task import Task, WorksError, grains, half_hours

EVENING_MIN = 20 * MINUTES_AN_HOUR
"""When a task counts as done of which only the day is known: what dries has begun by then."""

SAMPLES = 40
"""Orders that are tried besides those of the rules: more of them found nothing on the samples."""

MOVES = 120
"""Moves of one task to another place in the best order: what the draws leave over."""

SPREAD = 0.35
"""How far an order that is drawn strays from the rule, as a share of the whole."""

SEED = 1
"""The draws are always the same: answers hang on the plan, never on the clock."""

TRADE_SHARE = 1 / 3
"""Of a day that a trade works: eight hours."""

LEAST_SHARE = 1e-3
"""However little time a household has, a network wants a number."""

FIRST_TRAINING = "first-training"
"""The kind of the task that all works lead to."""

DAYS_A_WEEK = 7
"""By definition."""

Spans = tuple[Span, ...]
Worth = tuple[int, int]
"""When the first training may be, and when all tasks begin, added up: less is better."""


@dataclass(frozen=True, slots=True)
class Slots:
    """Starts and ends of every task by its number, in minutes from the base, and its work."""

    start: list[int]
    end: list[int]
    spans: list[Spans]

    @property
    def finish(self) -> int:
        """When the last of them ends."""
        return max(self.end, default=0)


class Network:
    """Tasks by number with what they wait for, ready to be put into a calendar again and again."""

    def __init__(
        self,
        tasks: Sequence[Task],
        lives: Lives,
        trade: TradeDays,
        now: date,
        arrivals: dict[str, date],
        heated: bool,
        now_min: int = 0,
    ) -> None:
        self.tasks = tuple(tasks)
        self.lives, self.trade = lives, trade
        number = {task.id: i for i, task in enumerate(tasks)}
        self.before: list[list[tuple[int, bool]]] = [
            [(number[link.id], link.dry) for link in task.after if link.id in number]
            for task in tasks
        ]
        self._least = {
            (i, number[link.id]): link.least_min
            for i, task in enumerate(tasks)
            for link in task.after
            if link.least_min and link.id in number
        }
        self.after: list[list[int]] = [[] for _ in tasks]
        for i, links in enumerate(self.before):
            for other, _ in links:
                self.after[other].append(i)
        self.goal = next((i for i, t in enumerate(tasks) if t.kind == FIRST_TRAINING), None)
        self.needed = self._needed()
        # what is done has its day, whatever comes after
        is_open = self.goal is None or self.tasks[self.goal].done_on is None
        self._waited_for = self.needed if is_open else frozenset[int]()
        month = 4 * DAYS_A_WEEK * DAY_MIN
        worked = sum(s.end - s.start for s in lives.sessions if s.start < month)
        self._share = max(worked / month, LEAST_SHARE)
        # what is past of the day is offered to nobody
        past = lives.minute(now) + now_min
        self._floor = [max(past, self._not_before(task, now, arrivals)) for task in tasks]
        enough_hands(tasks, lives)
        self._asks = [self._asked(task, heated) for task in tasks]
        self._apart = _apart(self.tasks)
        self._now = now
        self.times = critical_path(
            {task.id: self._elapsed(task) for task in tasks},
            {
                task.id: {
                    tasks[other].id: self._lag(i, other, dry) for other, dry in self.before[i]
                }
                for i, task in enumerate(tasks)
            },
            {task.id: task.name for task in tasks},
        )

    def _not_before(self, task: Task, now: date, arrivals: dict[str, date]) -> int:
        days = [now, *([task.not_before] if task.not_before else [])]
        days += [arrivals[line] for line in task.lines if line in arrivals]
        return self.lives.minute(max(days))

    def _asked(self, task: Task, heated: bool) -> tuple[Ask, ...]:
        if not task.minutes or task.done_on is not None:
            return ()
        own, minutes = task.who == "own", task.minutes
        best = min(task.best, self.lives.most_people) if own else 1
        shares = task.pieces or (1.0,)
        unbroken = bool(task.pieces) or (
            task.same_day and own and minutes <= self.lives.one_go_min(best)
        )
        asks = []
        for people in {max(best, task.least): None, task.least: None}:
            pieces = tuple([grains(minutes * share / people) for share in shares])
            if unbroken and own and max(pieces) > self.lives.longest_min:
                continue
            warm = task.paint and not heated
            loud = task.loud and own
            asks.append(Ask(people, pieces, unbroken, loud, warm, task.paint, task.tip))
        if not asks:
            hours = task.hours * max(shares) / best
            raise WorksError(
                f"{task.name} takes {hours:.1f} h in one go, and your longest free time is "
                f"{self.lives.longest_min / MINUTES_AN_HOUR:.1f} h. Give it a longer day, or more "
                "hands."
            )
        return tuple(asks)

    def _elapsed(self, task: Task) -> float:
        """Return about how long a task lasts on the calendar, in minutes."""
        if not task.minutes:
            return 0.0
        return task.minutes / task.best / (self._share if task.who == "own" else TRADE_SHARE)

    def _lag(self, i: int, other: int, dry: bool) -> float:
        """Return about how long after another task's end a task may begin, in minutes."""
        task = self.tasks[other]
        wait = task.wait_min + task.wait_workdays * DAY_MIN if dry else 0
        return float(max(wait, self._least.get((i, other), 0)))

    def _needed(self) -> frozenset[int]:
        """Return the tasks that the first training waits for, itself too; all where there is none.

        What nothing waits for (cartons that are kept) never decides the date.
        """
        if self.goal is None:
            return frozenset(range(len(self.tasks)))
        needed, left = {self.goal}, [self.goal]
        while left:
            more = {other for other, _ in self.before[left.pop()]} - needed
            needed |= more
            left += more
        return frozenset(needed)

    def end_of(self, slots: Slots) -> int:
        """Return when the first training may be: the end of what it waits for."""
        return slots.finish if self.goal is None else slots.end[self.goal]

    def ready(self, i: int, end: Sequence[int]) -> int:
        """Return the minute from which a task may begin, by the ends of what it waits for."""
        at = self._floor[i]
        for other, dry in self.before[i]:
            task, finish = self.tasks[other], end[other]
            if dry and task.wait_min:
                finish = half_hours(finish + task.wait_min)
            least = self._least.get((i, other), 0)
            if least:
                finish = max(finish, half_hours(end[other] + least))
            if dry and task.wait_workdays:
                day = self.lives.workdays_after(self.lives.day(finish), task.wait_workdays)
                finish = max(finish, self.lives.minute(day))
            at = max(at, finish)
        return at

    def order_by(self, priority: Sequence[float]) -> list[int]:
        """Return the tasks so that each comes after what it waits for, by least priority first."""
        waiting = [len({other for other, _ in links}) for links in self.before]
        heap = [(priority[i], i) for i, count in enumerate(waiting) if not count]
        heapq.heapify(heap)
        order = []
        while heap:
            _, i = heapq.heappop(heap)
            order.append(i)
            for follower in set(self.after[i]):
                waiting[follower] -= 1
                if not waiting[follower]:
                    heapq.heappush(heap, (priority[follower], follower))
        return order

    def schedule(self, order: Sequence[int], endless: bool = False) -> Slots:
        """Put all tasks into the calendar in an order. Raises WorksError where there is no room."""
        run = Run(self, endless)
        for i in order:
            run.put(i)
        return run.slots

    def rules(self) -> list[list[float]]:
        """Return the priorities of the rules: latest finish, latest start, usual order."""
        times, tasks = self.times, self.tasks
        return [
            [times.late_finish[task.id] for task in tasks],
            [times.late_start[task.id] for task in tasks],
            [float(i) for i in range(len(tasks))],
        ]

    def best_order(self) -> list[int]:
        """Return the best order found: by the rules, then by drawing near the best of them."""
        rules = self.rules()
        tried = []
        for each in map(self.order_by, rules):
            slots = self.schedule(each)
            tried.append(((self.end_of(slots), sum(slots.start)), each))
        best = min(range(len(tried)), key=lambda i: tried[i][0])
        (worth, order), base = tried[best], rules[best]
        draw = random.Random(SEED)
        scale = max(base, default=0.0) or 1.0
        # other priorities often come to an order that was tried, and that is no better than then
        known = {tuple(each) for _, each in tried}
        for _ in range(SAMPLES):
            strayed = [value + draw.uniform(0, SPREAD) * scale for value in base]
            other = self.order_by(strayed)
            if tuple(other) in known:
                continue
            known.add(tuple(other))
            its = self._worth(other, worth[0])
            if its is not None and its < worth:
                worth, order = its, other
        return self._improved(order, worth, draw)

    def _improved(self, order: list[int], worth: Worth, draw: random.Random) -> list[int]:
        """Return an order made better by putting single tasks elsewhere, as far as that goes."""
        known: dict[tuple[int, ...], Worth | None] = {}
        for _ in range(MOVES if len(order) > 1 else 0):
            ranks = [0.0] * len(order)
            for rank, i in enumerate(order):
                ranks[i] = float(rank)
            ranks[draw.randrange(len(order))] = draw.uniform(0, len(order))
            other = self.order_by(ranks)
            told = tuple(other)
            if told not in known:
                known[told] = self._worth(other, worth[0])
            its = known[told]
            if its is not None and its <= worth:
                worth, order = its, other
        return order

    def _worth(self, order: Sequence[int], latest: int) -> Worth | None:
        """Return what an order comes to; None where the end comes after a minute."""
        run = Run(self)
        for i in order:
            run.put(i)
            if run.slots.end[i] > latest and i in self._waited_for:
                return None
        return self.end_of(run.slots), sum(run.slots.start)


class Run:
    """One pass through the calendar. A copy goes on from where it is."""

    def __init__(self, network: Network, endless: bool = False) -> None:
        self.network = network
        self.own = Booking(network.lives, endless)
        self.trades: dict[str, Booking] = {}
        count = len(network.tasks)
        self.slots = Slots([0] * count, [0] * count, [()] * count)
        self._endless = endless

    def copy(self) -> Run:
        """Return another pass that stands as this one does."""
        made = Run(self.network, self._endless)
        made.own = self.own.copy()
        made.trades = {who: booking.copy() for who, booking in self.trades.items()}
        slots = self.slots
        made.slots = Slots(list(slots.start), list(slots.end), list(slots.spans))
        return made

    def put(self, i: int, not_before: int = 0) -> None:
        """Put a task where it finds room first, not before a minute. Raises WorksError."""
        network, slots = self.network, self.slots
        task = network.tasks[i]
        if task.done_on is not None:
            self._done(i, task, task.done_on)
            return
        ready = max(network.ready(i, slots.end), not_before)
        asks = network._asks[i]
        if not asks:
            slots.start[i] = slots.end[i] = ready
            return
        booking = self.own
        if task.who != "own":
            booking = self.trades.setdefault(task.who, Booking(network.trade, self._endless))
        best: list[Span] | None = None
        apart = () if self._endless else network._apart[i]
        closed = [(span.start, span.end) for other in apart for span in slots.spans[other]]
        for asked in asks:
            spans = booking.find(asked, ready, closed)
            if spans is not None and (best is None or spans[-1].end < best[-1].end):
                best = spans
        if best is None:
            raise WorksError(no_room(task))
        booking.take(best)
        slots.start[i], slots.end[i], slots.spans[i] = best[0].start, best[-1].end, tuple(best)

    def _done(self, i: int, task: Task, day: date) -> None:
        lives, slots = self.network.lives, self.slots
        begun = lives.minute(task.began_on or day)
        ends = [s.end for s in lives.sessions if lives.day(s.end) == day]
        end = max(ends, default=lives.minute(day) + EVENING_MIN)
        if day == self.network._now and ends and task.minutes:
            hours = task.done_hours or task.hours
            asked = Ask(1, (grains(hours * MINUTES_AN_HOUR / task.best),), False, False, False)
            spans = self.own.find(asked, lives.minute(day))
            if spans is not None and lives.day(spans[-1].end) == day:
                self.own.take(spans)
                end = spans[-1].end
        slots.start[i], slots.end[i] = min(max(begun, end - DAY_MIN), end), end
        if task.began_on is not None:
            slots.start[i] = begun


def _apart(tasks: Sequence[Task]) -> list[tuple[int, ...]]:
    """Return for each task those that are not done at the same time as it.

    Where a floor is wet nobody else stands, drills or climbs a ladder.
    """
    here = [(i, task) for i, task in enumerate(tasks) if not task.elsewhere]
    alone = [i for i, task in here if task.alone]
    made: list[tuple[int, ...]] = []
    for i, task in enumerate(tasks):
        others = [] if task.elsewhere else here if task.alone else [(n, tasks[n]) for n in alone]
        made.append(
            tuple(
                n
                for n, other in others
                if n != i and (task.part == other.part or not task.part or not other.part)
            )
        )
    return made
