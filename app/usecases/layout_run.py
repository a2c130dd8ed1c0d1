"""One search for layouts as it stands, and what a page shows of it."""

from __future__ import annotations

import threading
import time
from collections.abc import Mapping
from dataclasses import dataclass, field

from app.arranging.arrange import Answers, Arranged
from app.arranging.crew import Crew
from app.arranging.problem import Problem, Task
from app.arranging.shown import Shown
from app.model.plan import Plan
from app.usecases.onlooker import Onlooker


@dataclass
class Run:
    """One search of one plan: what it was asked on, and what it has found so far."""

    answers: Answers
    crew: Crew
    onlooker: Onlooker
    revision: int
    begun: float = field(default_factory=time.monotonic)
    lock: threading.Lock = field(default_factory=threading.Lock)
    drawings: dict[str, str] = field(default_factory=dict)
    now: str = ""
    cannot_be: str | None = None
    ways: list[str] = field(default_factory=list)
    trying: threading.Thread | None = None
    given_up: bool = False
    lasts_s: float | None = None

    @property
    def problem(self) -> Problem:
        """What is arranged."""
        return self.answers.problem

    @property
    def seconds(self) -> float:
        """For how long it has been looking."""
        return time.monotonic() - self.begun

    @property
    def seconds_left(self) -> int | None:
        """For how long it goes on looking, None where steps are counted."""
        return None if self.lasts_s is None else max(round(self.lasts_s - self.seconds), 0)


@dataclass(frozen=True, slots=True)
class Card:
    """One layout as it is offered: its key, its drawing, and how pieces move to it.

    `arrows` are from and to in mm, of what is carried to another place; `pieces` are the ids of all
    that leave their place, or the plan.
    """

    key: str
    shown: Shown
    drawing: str
    arrows: tuple[tuple[float, float, float, float], ...]
    pieces: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class View:
    """What a page shows: whether it still looks, the layouts, and the plan as it is.

    `seconds_left` is for how long it goes on looking, None where steps are counted or it has ended.
    `busy` tells that the machine was, so that it looked less far, and waits to be told to look on.
    """

    running: bool
    answer: Arranged
    cards: tuple[Card, ...]
    now: str
    plan: Plan
    revision: int
    staying: tuple[str, ...]
    names: Mapping[str, str]
    cannot_be: str | None = None
    ways: tuple[str, ...] = ()
    trying: bool = False
    task: Task | None = None
    seconds_left: int | None = None
    busy: bool = False
