"""One search for layouts as it stands, and what a page shows of it."""

from __future__ import annotations

import threading
import time
from collections.abc import Mapping
from dataclasses import dataclass, field

from app.arranging.arrange import Answers, Arranged
from app.arranging.crew import Crew
from app.arranging.problem import Problem, Task, same_place
from app.arranging.shown import Shown
from app.arranging.too_much import Without
from app.drawing.desk import desk_figure
from app.model.plan import Plan
from app.scene.build import Scene
from app.usecases.onlooker import Onlooker

BY_LETTER = "wall "
"""How the name of a wall begins that has none but its letter."""


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
    seen: tuple[str, ...] = ()
    changed: float = field(default_factory=time.monotonic)
    without: list[Without] = field(default_factory=list)
    tried: bool = False

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

    def unchanged_s(self, keys: tuple[str, ...]) -> int:
        """Return for how long these very layouts have been the ones to choose from, in s."""
        if keys != self.seen:
            self.seen, self.changed = keys, time.monotonic()
        return int(time.monotonic() - self.changed)


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
    `unchanged_s` is for how long nothing new has come to the layouts while it looks. `crowded` says
    that the kit is too much for the room, and what was found with one thing fewer.
    `letters` are those of walls that are called by them, and where in mm each stands on the wall.
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
    letters: tuple[tuple[str, float, float], ...] = ()
    unchanged_s: int = 0
    crowded: str = ""


def key_of(shown: Shown) -> str:
    """Return what a layout is called in forms: which search found it, and when."""
    return shown.layout.key if shown.layout else "now"


def card_of(run: Run, shown: Shown) -> Card:
    """Return a layout as it is offered; its drawing is made once."""
    key = key_of(shown)
    if key not in run.drawings:
        left_out = shown.layout.looks.left_out if shown.layout else ()
        there = run.problem.without(left_out).at(shown.poses)
        run.drawings[key] = desk_figure(there).svg
    arrows = tuple(
        (
            *run.problem.scene.placed[root].at,
            shown.poses[root].x_mm,
            shown.poses[root].y_mm,
        )
        for root in shown.moved
    )
    return Card(key, shown, run.drawings[key], arrows, _leaving(run.problem, shown))


def _leaving(problem: Problem, shown: Shown) -> tuple[str, ...]:
    """Return the pieces that stand elsewhere in a layout than on the plan, or are not in it."""
    out = problem.members(shown.layout.looks.left_out if shown.layout else ())
    return tuple(
        piece.id
        for piece in problem.plan.pieces
        if piece.id in out
        or (piece.id in shown.poses and not same_place(shown.poses[piece.id], piece.pose))
    )


def letters_of(scene: Scene) -> tuple[tuple[str, float, float], ...]:
    """Return the letters by which walls are called in a room of many, and where they stand."""
    called = [
        (name.removeprefix(BY_LETTER), shape.wall_middle)
        for name, shape in zip(scene.fixed_names, scene.room.walls, strict=False)
        if name.startswith(BY_LETTER)
    ]
    return tuple((letter, *middle) for letter, middle in called)
