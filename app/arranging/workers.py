"""Searches in processes of their own: started by spawn, ending with their parent.

What comes of it hangs on seed and steps alone: there are always as many searches, however many
processes share them out. Where no process can be started a thread does the work.
"""

from __future__ import annotations

import contextlib
import copy
import math
import os
import time
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from multiprocessing.connection import Connection

from app.arranging.best_layouts import JudgedLayout
from app.arranging.problem import Problem, Task
from app.arranging.search import Search
from app.arranging.standby import SHARERS
from app.arranging.wishes import Wish
from app.model.base import json_of
from app.model.plan import Plan
from app.published.register import overridden

SEARCHES = SHARERS
"""Independent searches: about as many as machines of a household have cores; with more, each would
be short of steps on a small one."""
TELL_S = 0.2
"""How often a process tells what it has found: as often as a page asks."""
NICE = 10
"""How far work in the background steps back behind all else on the machine."""
EAGER_S = 10.0
"""How long it does not step back: so long somebody sits before an empty page and waits."""
READY_STEPS = 60
"""Steps that each search makes before anybody has asked: some seconds of a page that is read."""
FEWER_TURN = 4
"""Every so many steps one is made with fewer moves than are asked for, where moves are counted."""
LINGER_S = 300.0
"""How long searches that had little of the machine's time wait to be told to look on: so long
somebody looks at what they have found."""


def nobody_asks() -> None:
    """Return that nobody tells a search to look on."""
    return


def never() -> bool:
    """Return that nobody's hand is to be given way to, or that nobody leaves."""
    return False


@dataclass(frozen=True, slots=True)
class Job:
    """What a process is given: the task as plain data, and which searches are its own."""

    plan: dict[str, object]
    keep: tuple[str, ...]
    moves_at_most: int | None
    worths: tuple[tuple[str, float], ...]
    wishes: tuple[Wish, ...]
    seed: int
    numbers: tuple[int, ...]
    steps: int | None
    until: float | None
    behind: bool
    least_share: float = 0.0

    @property
    def task(self) -> Task:
        """The task."""
        return Task(
            Plan.model_validate(self.plan),
            frozenset(self.keep),
            self.moves_at_most,
            self.worths,
            self.wishes,
        )

    def make_ready(self, asked: Callable[[], bool]) -> Ready:
        """Return the searches with the first of their steps made, and what they go by.

        With the same seed the same steps are made whenever they are made, so none is lost.
        """
        task = self.task
        with overridden({one.id: one.value for one in task.plan.overrides}):
            ready = Ready.of(self, Problem(task))
            while ready.steps < READY_STEPS * len(ready.searches) and not asked():
                ready.step()
        return ready

    def carry_out(self, line: Connection, ready: object) -> None:
        """Do it and tell of it on a line; a word on the line makes it wait or stop."""
        begun, eager = time.monotonic(), self.behind

        def further() -> float | None:
            while line.poll(LINGER_S):
                word = line.recv()
                if word == "stop":
                    break
                if isinstance(word, float):
                    return word
            return None

        for report in work(self, ready if isinstance(ready, Ready) else None, further):
            if eager and time.monotonic() - begun > EAGER_S:
                eager = False
                with contextlib.suppress(OSError, AttributeError):
                    os.nice(NICE)
            line.send(report)
            # the word to go on may be here before it is asked for: `further` reads that
            while not report.waiting and line.poll():
                while (word := line.recv()) == "wait":
                    pass
                if word == "stop":
                    return


@dataclass
class Ready:
    """The searches of a job, which make their steps in turn, and the problem they look into.

    Where moves are counted there are those of every smaller number besides, `with_fewer`, exactly
    as if that had been asked for: so more moves never give a worse layout than fewer.
    """

    job: Job
    problem: Problem
    with_most: list[Search]
    with_fewer: list[Search]

    @classmethod
    def of(cls, job: Job, problem: Problem) -> Ready:
        """Return the searches of a job before their first step."""
        task, fewer = problem.task, list[Search]()
        for moves in range(1, min(task.moves_at_most or 0, len(problem.free))):
            other = replace(task, moves_at_most=moves)
            fewer += _searches(job, _asked_anew(problem, other) or Problem(other))
        return cls(job, problem, _searches(job, problem), fewer)

    @property
    def searches(self) -> list[Search]:
        """All of them."""
        return self.with_most + self.with_fewer

    @property
    def steps(self) -> int:
        """How many steps all of them have made."""
        return sum(search.steps for search in self.searches)

    def step(self) -> None:
        """Make one more step, of the search whose turn it is."""
        groups = [self.with_most, self.with_fewer]
        if self.steps % FEWER_TURN == FEWER_TURN - 1:
            groups.reverse()
        fewest = [min(group, key=lambda one: one.steps) for group in groups if group]
        first, *other = fewest
        done = self.job.steps is not None and first.steps >= self.job.steps
        (other[0] if other and done else first).step()

    def serves(self, job: Job, task: Task) -> bool:
        """Return whether this is where a job stands after so many steps, and no farther."""
        return (job.seed, job.numbers, task) == (
            self.job.seed,
            self.job.numbers,
            self.problem.task,
        ) and (job.steps is None or all(one.steps <= job.steps for one in self.searches))


def _searches(job: Job, problem: Problem) -> list[Search]:
    searches = [Search(problem, job.seed, number) for number in job.numbers]
    may_be_left_out = frozenset(problem.worths)
    if may_be_left_out and len(may_be_left_out) < len(problem.free):
        searches += [Search(problem, job.seed, n, may_be_left_out) for n in job.numbers]
    return searches


def shared_out(
    task: Task,
    count: int,
    seed: int,
    steps: int | None = None,
    until: float | None = None,
    behind: bool = False,
    least_share: float = 0.0,
) -> list[Job]:
    """Return the searches of a task shared out among so many processes, at least to one."""
    plan, keep = json_of(task.plan), tuple(sorted(task.keep))
    every = tuple(range(SEARCHES))
    return [
        Job(
            plan,
            keep,
            task.moves_at_most,
            task.worths,
            task.wishes,
            seed,
            every[first :: max(count, 1)],
            steps,
            until,
            behind,
            least_share,
        )
        for first in range(max(count, 1))
    ]


@dataclass(frozen=True, slots=True)
class Report:
    """What a process tells: what is new since the last time, and how far it has come.

    `missing` is the smallest set of stations that one of its searches found no place for. One that
    is `waiting` had little of the machine's time, and looks on where somebody says so.
    """

    layouts: tuple[JudgedLayout, ...]
    steps: int
    missing: tuple[str, ...]
    ended: bool = False
    waiting: bool = False


def work(
    job: Job,
    ready: Ready | None = None,
    further: Callable[[], float | None] = nobody_asks,
) -> Iterator[Report]:
    """Make the steps of some searches in turn and yield what they find, now and then.

    Where `ready` are these very searches they go on from where they are; else its tables serve, if
    they are of the same plan. Once its time is up, and it had less of it than its least share, it
    asks `further` until when to go on; None ends it.
    """
    task = job.task
    with overridden({one.id: one.value for one in task.plan.overrides}):
        if ready is None or not ready.serves(job, task):
            known = None if ready is None else ready.problem
            ready = Ready.of(job, _asked_anew(known, task) or Problem(task))
        reported: set[tuple[int, int]] = set()
        # what was found beforehand is told at once
        last = -math.inf if ready.steps else time.monotonic()
        until, begun, worked = job.until, time.monotonic(), time.process_time()
        while job.steps is None or ready.steps < job.steps * len(ready.searches):
            if until is not None and time.time() >= until:
                passed = time.monotonic() - begun
                if time.process_time() - worked >= job.least_share * passed:
                    break
                yield _report(ready, reported, waiting=True)
                until, begun, worked = further(), time.monotonic(), time.process_time()
                if until is None:
                    break
                continue
            ready.step()
            if time.monotonic() - last >= TELL_S:
                yield _report(ready, reported)
                last = time.monotonic()
        yield _report(ready, reported, ended=True)


def _asked_anew(ready: Problem | None, task: Task) -> Problem | None:
    """Return a problem with another number of moves; None where more than that is another."""
    if ready is None or ready.task != replace(task, moves_at_most=ready.task.moves_at_most):
        return None
    if ready.seats:
        # how many are seated hangs on how many may move
        return None
    problem = copy.copy(ready)
    problem.task = task
    return problem


def _report(
    ready: Ready, reported: set[tuple[int, int]], *, ended: bool = False, waiting: bool = False
) -> Report:
    new = []
    for search in ready.searches:
        for one in search.layouts.every:
            if (one.number, one.step) not in reported:
                reported.add((one.number, one.step))
                new.append(one)
    missing = min((search.fewest_missing for search in ready.searches), key=len)
    return Report(tuple(new), ready.steps, missing, ended, waiting)
