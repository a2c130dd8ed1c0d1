"""Searches in processes of their own: started by spawn, ending with their parent.

What comes of it hangs on seed and steps alone: there are always as many searches, however many
processes share them out. Where no process can be started a thread does the work.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import os
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field
from multiprocessing.connection import Connection, wait
from multiprocessing.process import BaseProcess

from app.arranging.found import Finds, Found
from app.arranging.problem import Problem, Task
from app.arranging.search import Search
from app.model.base import json_of
from app.model.plan import Plan
from app.published.register import overridden

SEARCHES = 4
"""Independent searches: about as many as machines of a household have cores; with more, each would
be short of steps on a small one."""
TELL_S = 0.2
"""How often a process tells what it has found: as often as a page asks."""
NICE = 10
"""How far work in the background steps back behind all else on the machine."""
ENDING_S = 2.0
"""How long a process that was told to stop is waited for: a step is some tens of milliseconds."""


def never() -> bool:
    """Return that nobody's hand is to be given way to, or that nobody leaves."""
    return False


@dataclass(frozen=True, slots=True)
class Job:
    """What a process is given: the task as plain data, and which searches are its own."""

    plan: dict[str, object]
    keep: tuple[str, ...]
    moves_at_most: int | None
    seed: int
    numbers: tuple[int, ...]
    steps: int | None
    until: float | None
    behind: bool

    @property
    def task(self) -> Task:
        """The task."""
        return Task(
            Plan.model_validate(self.plan), frozenset(self.keep), moves_at_most=self.moves_at_most
        )


@dataclass(frozen=True, slots=True)
class Report:
    """What a process tells: what is new since the last time, and how far it has come.

    `missing` is the smallest set of stations that one of its searches found no place for.
    """

    found: tuple[Found, ...]
    steps: int
    missing: tuple[str, ...]
    ended: bool = False


def work(job: Job) -> Iterator[Report]:
    """Make the steps of some searches in turn and yield what they find, now and then."""
    task = job.task
    with overridden({one.id: one.value for one in task.plan.overrides}):
        problem = Problem(task)
        searches = [Search(problem, job.seed, number) for number in job.numbers]
        told: set[tuple[int, int]] = set()
        last, done = time.monotonic(), 0
        while job.steps is None or done < job.steps * len(searches):
            if job.until is not None and time.time() >= job.until:
                break
            searches[done % len(searches)].step()
            done += 1
            if time.monotonic() - last >= TELL_S:
                yield _report(searches, told, done)
                last = time.monotonic()
        yield _report(searches, told, done, ended=True)


def _report(
    searches: Sequence[Search], told: set[tuple[int, int]], done: int, ended: bool = False
) -> Report:
    new = []
    for search in searches:
        for one in search.finds.every:
            if (one.number, one.step) not in told:
                told.add((one.number, one.step))
                new.append(one)
    missing = min((search.fewest_missing for search in searches), key=len)
    return Report(tuple(new), done, missing, ended)


def in_process(job: Job, line: Connection) -> None:
    """Carry a job out in a process of its own; a word on the line makes it wait or stop."""
    if job.behind:
        with contextlib.suppress(OSError, AttributeError):
            os.nice(NICE)
    # a broken line is a parent that has ended: nobody waits for the answer
    with contextlib.suppress(BrokenPipeError, EOFError, ConnectionResetError):
        for report in work(job):
            line.send(report)
            while line.poll():
                while (word := line.recv()) == "wait":
                    pass
                if word == "stop":
                    return


@dataclass
class Crew:
    """The searches for one task while they run, and what they have found so far.

    While `gives_way` says so the processes wait; once `gone` says so they stop, and what was found
    is kept. `behind` lets all else on the machine go first.
    `steps` is how many each makes, `seconds` how long they take; at least one of them is given.
    """

    task: Task
    seed: int = 1
    steps: int | None = None
    seconds: float | None = None
    processes: int | None = None
    gives_way: Callable[[], bool] = never
    gone: Callable[[], bool] = never
    behind: bool = False
    finds: Finds = field(default_factory=Finds)
    made: dict[int, int] = field(default_factory=dict)
    missing: tuple[str, ...] | None = None
    lock: threading.Lock = field(default_factory=threading.Lock)
    _stopped: threading.Event = field(default_factory=threading.Event)
    _lines: list[Connection] = field(default_factory=list)
    _running: list[BaseProcess] = field(default_factory=list)
    _thread: threading.Thread | None = None

    def start(self) -> None:
        """Begin, and come back at once."""
        until = None if self.seconds is None else time.time() + self.seconds
        count = self.processes if self.processes is not None else os.cpu_count() or 1
        count = min(max(count, 0), SEARCHES)
        jobs = [
            Job(
                json_of(self.task.plan),
                tuple(sorted(self.task.keep)),
                self.task.moves_at_most,
                self.seed,
                tuple(range(SEARCHES))[number :: max(count, 1)],
                self.steps,
                until,
                self.behind,
            )
            for number in range(max(count, 1))
        ]
        started = count > 0 and self._spawned(jobs)
        self._thread = threading.Thread(
            target=self._listen if started else self._alone, args=(jobs,), daemon=True
        )
        self._thread.start()

    def _spawned(self, jobs: Sequence[Job]) -> bool:
        context = multiprocessing.get_context("spawn")
        try:
            for job in jobs:
                mine, theirs = context.Pipe()
                process = context.Process(target=in_process, args=(job, theirs), daemon=True)
                process.start()
                theirs.close()
                self._lines.append(mine)
                self._running.append(process)
        except OSError:
            self._tell("stop")
            return False
        return True

    def _listen(self, jobs: Sequence[Job]) -> None:
        open_lines = dict(enumerate(self._lines))
        waits = False
        while open_lines and not (self._stopped.is_set() or self.gone()):
            if self.gives_way() != waits:
                waits = not waits
                self._tell("wait" if waits else "go")
            ready = wait(list(open_lines.values()), timeout=TELL_S)
            for number, line in [pair for pair in open_lines.items() if pair[1] in ready]:
                try:
                    report: Report = line.recv()
                except (EOFError, OSError):
                    del open_lines[number]
                    continue
                self._take(number, report)
                if report.ended:
                    del open_lines[number]
        self._end()

    def _alone(self, jobs: Sequence[Job]) -> None:
        for number, job in enumerate(jobs):
            for report in work(job):
                self._take(number, report)
                if self._stopped.is_set() or self.gone():
                    return

    def _take(self, number: int, report: Report) -> None:
        with self.lock:
            self.finds.join(report.found)
            self.made[number] = report.steps
            if self.missing is None or len(report.missing) < len(self.missing):
                self.missing = report.missing

    def _tell(self, word: str) -> None:
        for line in self._lines:
            with contextlib.suppress(OSError):
                line.send(word)

    def _end(self) -> None:
        self._tell("stop")
        until = time.monotonic() + ENDING_S
        for process in self._running:
            process.join(max(0.0, until - time.monotonic()))
            if process.is_alive():
                process.terminate()

    def stop(self) -> None:
        """Stop, and keep what was found."""
        self._stopped.set()

    @property
    def running(self) -> bool:
        """Whether it still looks."""
        return self._thread is not None and self._thread.is_alive()

    def join(self) -> Finds:
        """Wait till it has ended and return all that was found."""
        if self._thread is not None:
            self._thread.join()
        return self.finds

    def best(self) -> tuple[Found, ...]:
        """Return the layouts found so far, the best first."""
        with self.lock:
            return self.finds.every
