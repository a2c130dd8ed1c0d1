"""Processes that make ready before anybody says "look": started by spawn, ending with their parent.

A process begins with reading the program in and working out what a plan's stations forbid one
another, which takes longer than a first layout. Where a plan's page is open that is done while
it is read, and the first steps are made as well. What a search finds does not hang on when.
"""

from __future__ import annotations

import contextlib
import multiprocessing
import os
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from multiprocessing.connection import Connection
from multiprocessing.process import BaseProcess
from typing import Protocol

IDLE_S = 120.0
"""How long a process waits to be asked: whoever has a page open for longer does something else."""
MAKE_READY, GO = "ready", "go"
"""What a process is told to do with a piece of work."""
SHARERS = 4
"""Processes at most: there are as many independent searches to share out."""


class Work(Protocol):
    """What a process is given: it makes itself ready, or carries itself out on a line."""

    def make_ready(self, asked: Callable[[], bool]) -> object:
        """Return what can be worked out beforehand; ends early once somebody has asked."""

    def carry_out(self, line: Connection, ready: object) -> None:
        """Do it, and tell of it on the line; `ready` is what was worked out, None for nothing."""


@dataclass(frozen=True, slots=True)
class Started:
    """A process and the line to it."""

    process: BaseProcess
    line: Connection


def at_standby(line: Connection) -> None:
    """Wait for work on a line, in a process of its own: first what to make ready, then what to do.

    Ends when the work is done, when nobody asks for it, and with its parent.
    """
    ready: object = None
    # a broken line is a parent that has ended: nobody waits for the answer
    with contextlib.suppress(BrokenPipeError, EOFError, ConnectionResetError):
        while line.poll(IDLE_S):
            asked, work = line.recv()
            if asked == MAKE_READY:
                ready = work.make_ready(line.poll)
                continue
            work.carry_out(line, ready)
            return


def start(count: int) -> list[Started]:
    """Start some processes. Raises OSError where none can be started."""
    context = multiprocessing.get_context("spawn")
    begun: list[Started] = []
    try:
        for _ in range(count):
            mine, theirs = context.Pipe()
            process = context.Process(target=at_standby, args=(theirs,), daemon=True)
            process.start()
            theirs.close()
            begun.append(Started(process, mine))
    except OSError:
        for one in begun:
            one.line.close()
        raise
    return begun


def sharers(asked: int | None = None) -> int:
    """Return how many processes share searches out: one a core, nought for none."""
    count = asked if asked is not None else os.cpu_count() or 1
    return min(max(count, 0), SHARERS)


class Standby:
    """Some processes that were told to make ready for a plan, till somebody takes them."""

    def __init__(self, works: Sequence[Work]) -> None:
        """Start one process for each piece of work; where none can be started there are none."""
        self._started: list[Started] = []
        with contextlib.suppress(OSError):
            self._started = start(len(works))
            for one, work in zip(self._started, works, strict=True):
                one.line.send((MAKE_READY, work))

    @property
    def waiting(self) -> bool:
        """Whether its processes are still there."""
        return bool(self._started) and all(one.process.is_alive() for one in self._started)

    def take(self) -> list[Started]:
        """Return the processes that are still there, once."""
        taken, self._started = self._started, []
        return [one for one in taken if one.process.is_alive()]

    def end(self) -> None:
        """Let them go: a process whose line is shut ends by itself."""
        for one in self.take():
            one.line.close()
