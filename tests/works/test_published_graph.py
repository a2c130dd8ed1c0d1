"""A published graph of 88 tasks on alike machines: the bound is reached, or the gap is said.

The robot control program of the Standard Task Graph Set (T. Tobita and H. Kasahara, A standard task
graph set for fair evaluation of multiprocessor scheduling algorithms, Journal of Scheduling 5,
2002). No schedule is shorter than its longest chain (569 by its own header) or than all its work
shared out evenly; what reaches that is the best there is.
"""

from datetime import date
from functools import cache

import pytest

from app.model.works import Works
from app.works.lives import DAY_MIN, Lives, Session, TradeDays
from app.works.serial import Network
from app.works.task import GRAIN_MIN, After, Task

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
