"""The searches for one task while they run: their processes, and what they have found so far."""

from __future__ import annotations

import contextlib
import threading
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from multiprocessing.connection import wait

from app.arranging.best_layouts import BestLayouts, JudgedLayout
from app.arranging.problem import Task
from app.arranging.standby import GO, Standby, Started, sharers, start
from app.arranging.workers import TELL_S, Job, Report, never, shared_out, work

ENDING_S = 2.0
"""How long a process that was told to stop is waited for: a step is some tens of milliseconds."""


@dataclass
class Crew:
    """The searches for one task while they run, and what they have found so far.

    While `gives_way` says so the processes wait; once `gone` says so they stop, and what was found
    is kept. `behind` lets all else on the machine go first.
    `steps` is how many each makes, `seconds` how long they take; at least one of them is given.
    Where they had less than `least_share` of that time to work in they wait to be told to go on.
    """

    task: Task
    seed: int = 1
    steps: int | None = None
    seconds: float | None = None
    processes: int | None = None
    gives_way: Callable[[], bool] = never
    gone: Callable[[], bool] = never
    behind: bool = False
    standby: Standby | None = None
    least_share: float = 0.0
    layouts: BestLayouts = field(default_factory=BestLayouts)
    made: dict[int, int] = field(default_factory=dict)
    missing: tuple[str, ...] | None = None
    lock: threading.Lock = field(default_factory=threading.Lock)
    _waiting: set[int] = field(default_factory=set)
    _rests: threading.Event = field(default_factory=threading.Event)
    _stopped: threading.Event = field(default_factory=threading.Event)
    _running: list[Started] = field(default_factory=list)
    _thread: threading.Thread | None = None

    def start(self) -> None:
        """Begin, and come back at once."""
        until = None if self.seconds is None else time.time() + self.seconds
        count = sharers(self.processes)
        share = self.least_share
        jobs = shared_out(self.task, count, self.seed, self.steps, until, self.behind, share)
        started = count > 0 and self._spawned(jobs)
        self._thread = threading.Thread(
            target=self._listen if started else self._alone, args=(jobs,), daemon=True
        )
        self._thread.start()

    def _spawned(self, jobs: Sequence[Job]) -> bool:
        self._running = [] if self.standby is None else self.standby.take()[: len(jobs)]
        try:
            self._running += start(len(jobs) - len(self._running))
            for one, job in zip(self._running, jobs, strict=True):
                one.line.send((GO, job))
        except OSError:
            self._tell("stop")
            self._running = []
            return False
        return True

    def _listen(self, jobs: Sequence[Job]) -> None:
        open_lines = {number: one.line for number, one in enumerate(self._running)}
        waits = False
        while open_lines and not (self._stopped.is_set() or (not self.waits and self.gone())):
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
            with self.lock:
                # whoever tells them to go on in between would find them at rest
                if self._waiting and self._waiting >= open_lines.keys():
                    self._rests.set()
        self._end()
        self._waiting.clear()
        self._rests.set()

    def _alone(self, jobs: Sequence[Job]) -> None:
        for number, job in enumerate(jobs):
            for report in work(job):
                self._take(number, report)
                if self._stopped.is_set() or self.gone():
                    break
        self._waiting.clear()
        self._rests.set()

    def _take(self, number: int, report: Report) -> None:
        with self.lock:
            self.layouts.join(report.layouts)
            self.made[number] = report.steps
            (self._waiting.add if report.waiting else self._waiting.discard)(number)
            if self.missing is None or len(report.missing) < len(self.missing):
                self.missing = report.missing

    @property
    def waits(self) -> bool:
        """Whether it had little of the machine's time and waits to be told to look on."""
        return bool(self._waiting) and self._rests.is_set() and not self._stopped.is_set()

    def go_on(self, seconds: float) -> None:
        """Look on for so many seconds from where it waits; nothing happens where it does not."""
        with self.lock:
            if not self.waits:
                return
            self._waiting.clear()
            self._rests.clear()
        self._tell(time.time() + seconds)

    def rest(self) -> None:
        """Wait till it has ended, or waits to be told to look on."""
        self._rests.wait()

    def _tell(self, word: str | float) -> None:
        for one in self._running:
            with contextlib.suppress(OSError):
                one.line.send(word)

    def _end(self) -> None:
        self._tell("stop")
        until = time.monotonic() + ENDING_S
        for one in self._running:
            one.process.join(max(0.0, until - time.monotonic()))
            if one.process.is_alive():
                one.process.terminate()

    def stop(self) -> None:
        """Stop, and keep what was found."""
        self._stopped.set()

    @property
    def running(self) -> bool:
        """Whether it still looks."""
        return self._thread is not None and self._thread.is_alive()

    def join(self) -> BestLayouts:
        """Wait till it has ended and return all that was found."""
        if self._thread is not None:
            self._thread.join()
        return self.layouts

    def best(self) -> tuple[JudgedLayout, ...]:
        """Return the layouts found so far, the best first."""
        with self.lock:
            return self.layouts.every
