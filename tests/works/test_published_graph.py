"""A published graph of 88 tasks on alike machines: the bound is reached, or the gap is said.

The robot control program of the Standard Task Graph Set (T. Tobita and H. Kasahara, A standard task
graph set for fair evaluation of multiprocessor scheduling algorithms, Journal of Scheduling 5,
2002). No schedule is shorter than its longest chain (569 by its own header) or than all its work
shared out evenly; what reaches that is the best there is.
"""

from datetime import date
from functools import cache
from math import lcm
from typing import cast

import pytest

from app.model.works import Who, Works
from app.works.critical_path import critical_path
from app.works.lives import DAY_MIN, Lives, Session, TradeDays
from app.works.serial import Network
from app.works.task import GRAIN_MIN, After, Task
from tests.works.networks import J301, J301_OPTIMUM, J301_RESOURCES, J301_UNLIMITED, SHOPS

START = date(2027, 1, 4)
CHAIN = 569
ROBOT = """
1 1 5:1 5:1 10:1 28:1+4 5:1 10:1 1:5+6 57:5 66:5 38:5 15:6 24:6 10:6 15:2+7+8 10:2 10:9
24:12+15+17 40:9+18 32:9 57:9 15:9 10:9 38:9 53:9 10:9 12:10+13 39:11+14+19 4:19 24:26+27+30
24:20 15:20 10:21 32:21 57:21 66:21 12:22+23 39:24+25+31 28:31 40:20+34 12:33+36 10:35 57:35
32:35 66:35 15:41 24:41 39:32+37 28:40 40:41+43 12:44+47 111:45 84:45 38:45 39:46+48+50 28:50
69:51 42:51 10:51 24:55+57+60 12:53+58 39:54+59+61 42:63 12:62+64 28:65 24:56 40:56 24:52+66+67
24:49 28:69 40:49+68 40:39+72 38:72 24:42+70+71 36:74+75 10:39 24:38+76+77 10:73 12:29+73
40:16+80 24:29 8:78+79 24:28+82+83 24:80 36:84+85 24:16 24:3+86+87
"""
"""Time of each task from 1 on, and after a colon what it waits for."""


class Always(Lives):
    """Machines that never rest: one session without an end."""

    def __init__(self, machines: int) -> None:
        self._machines = machines
        super().__init__(Works(), START)

    @property
    def most_people(self) -> int:
        return self._machines

    @property
    def longest_min(self) -> int:
        return self._sessions[0].end

    def _extend(self) -> None:
        self._days += 1
        if not self._sessions:
            end = 100 * DAY_MIN
            self._sessions.append(
                Session(0, end, self._machines, False, ((0, end, self._machines, True),))
            )
            self.ends.append(end)


@cache
def robot() -> tuple[Task, ...]:
    tasks = []
    for number, row in enumerate(ROBOT.split(), start=1):
        time, _, before = row.partition(":")
        tasks.append(
            Task(
                id=f"t{number}", kind="own", name=f"task {number}", group="", why="", quantity=0,
                unit="", hours=int(time) * GRAIN_MIN / 60, pieces=(1.0,),
                after=tuple(After(f"t{one}") for one in before.split("+") if one),
            )
        )  # fmt: skip
    return tuple(tasks)


# Beyond the bound, in hundredths: a general constraint solver, a minute long, came to 843 on three
# machines and 658 on four and proved neither best; the scheme comes to 852 and 667 at once.
GAP_J301 = 0
GAPS_SHOPS = {"ft06": 0, "ft10": 19, "la01": 0}
# the square shop of ten is known for its gap: list schedules by rules lie 15 to 30 % above 930
GAPS = {2: 1, 3: 3, 4: 8, 5: 1, 6: 0, 8: 0}


@pytest.mark.parametrize("machines", GAPS)
def test_the_published_graph_is_as_short_as_can_be_or_nearly(machines: int) -> None:
    tasks = robot()
    work = sum(task.minutes for task in tasks) // GRAIN_MIN
    assert work == 2483
    bound = max(CHAIN, -(-work // machines))
    network = Network(tasks, Always(machines), TradeDays(Works(), START), START, {}, True)
    assert network.times.duration > 0
    slots = network.schedule(network.best_order())
    finish = slots.finish // GRAIN_MIN
    assert bound <= finish <= bound * (1 + GAPS[machines] / 100)
    # nothing overlaps on more machines than there are, and everything waits for what it has to
    busy = sorted([(end, -1) for end in slots.end] + [(start, 1) for start in slots.start])
    running = 0
    for _, change in busy:
        running += change
        assert running <= machines
    for i, links in enumerate(network.before):
        assert all(slots.end[other] <= slots.start[i] for other, _ in links)


def instance(
    rows: list[tuple[str, int, str, int, tuple[str, ...]]], capacities: dict[str, int]
) -> tuple[list[Task], int]:
    """Return tasks that each take so much of one resource, and what all resources hold alike.

    A row is an id, a time, a resource, how much of it, and what it waits for. Demands are
    multiplied so that every resource holds the same.
    """
    holds = lcm(*capacities.values())
    tasks = []
    for name, lasts, resource, demand, before in rows:
        people = demand * holds // capacities.get(resource, 1) or 1
        tasks.append(
            Task(
                id=name, kind="own", name=name, group="", why="", quantity=0, unit="",
                hours=lasts * people * GRAIN_MIN / 60, pieces=(1.0,), least=people, best=people,
                who=cast(Who, f"resource {resource}"), after=tuple(map(After, before)),
            )
        )  # fmt: skip
    return tasks, holds


def finish_of(tasks: list[Task], holds: int) -> int:
    """Plan tasks on their resources, look whether the plan can be, and return its length."""
    always = Always(holds)
    network = Network(tasks, always, cast(TradeDays, always), START, {}, True)
    slots = network.schedule(network.best_order())
    for who in {task.who for task in tasks}:
        some = [i for i, task in enumerate(tasks) if task.who == who and task.minutes]
        for moment in {slots.start[i] for i in some}:
            held = [i for i in some if slots.start[i] <= moment < slots.end[i]]
            assert sum(tasks[i].least for i in held) <= holds
    for i, links in enumerate(network.before):
        assert all(slots.end[other] <= slots.start[i] for other, _ in links)
    return slots.finish // GRAIN_MIN


def test_a_published_instance_with_four_resources_is_reached_or_the_gap_is_said() -> None:
    lines = [line.split() for line in J301.strip().splitlines()]
    before: dict[str, list[str]] = {name: [] for name, *_ in lines}
    for name, _, _, _, follows in lines:
        for other in follows.strip("-").split(","):
            if other:
                before[other].append(name)
    rows = [
        (name, int(lasts), resource, int(demand), tuple(before[name]))
        for name, lasts, resource, demand, _ in lines
    ]
    times = critical_path(
        {row[0]: float(row[1]) for row in rows},
        {row[0]: dict.fromkeys(row[4], 0.0) for row in rows},
    )
    assert times.duration == J301_UNLIMITED
    found = finish_of(*instance(rows, J301_RESOURCES))
    assert J301_OPTIMUM <= found <= J301_OPTIMUM + GAP_J301


@pytest.mark.parametrize("name", SHOPS)
def test_published_job_shops_are_reached_or_the_gap_is_said(name: str) -> None:
    optimum, text = SHOPS[name]
    rows: list[tuple[str, int, str, int, tuple[str, ...]]] = []
    for job, line in enumerate(text.strip().splitlines()):
        numbers = list(map(int, line.split()))
        for step, (machine, lasts) in enumerate(zip(numbers[::2], numbers[1::2], strict=True)):
            last = (f"{job}-{step - 1}",) if step else ()
            rows.append((f"{job}-{step}", lasts, str(machine), 1, last))
    found = finish_of(*instance(rows, {}))
    assert optimum <= found <= optimum * (1 + GAPS_SHOPS[name] / 100)
