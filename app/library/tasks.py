"""The tasks a fitter knows: the schema and loader of `tasks.toml`. Hours stand in the register."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import resources

from pydantic import Field, ValidationError

from app.errors import ElbowroomError
from app.library.household import household
from app.model.base import Frozen, Id, Label
from app.model.works import Who


class TaskKind(Frozen):
    """One kind of task: how many hands it needs at the least and at the best, what to mind.

    `unbroken` is not broken off once begun; `same_day` is not where it fits into one free time;
    `loud` belongs to agreed hours; `paint` wants a warm room; `tip` is done on days on which the
    tip is open. Where one is `alone` nobody does anything else meanwhile, unless it is one that is
    done `elsewhere`. `steps` are what to do, `tools` keys of what a household has
    (`household.toml`), `papers` what is read or comes along. `uses` are keys of lines of the list
    that must be at hand; "strip.*" is all of them that begin so.
    """

    key: Id
    name: Label
    group: Label
    why: str
    caution: str = ""
    who: Who = "own"
    least: int = Field(default=1, ge=1, le=4)
    best: int = Field(default=1, ge=1, le=4)
    unbroken: bool = False
    same_day: bool = False
    loud: bool = False
    paint: bool = False
    tip: bool = False
    alone: bool = False
    elsewhere: bool = False
    steps: tuple[str, ...] = ()
    tools: tuple[Id, ...] = ()
    papers: tuple[str, ...] = ()
    uses: tuple[str, ...] = ()


@cache
def task_kinds() -> dict[str, TaskKind]:
    """Load every kind of task by its key, in the usual order of the works.

    Raises ElbowroomError naming the row that is wrong.
    """
    text = resources.files("app.library").joinpath("tasks.toml").read_text(encoding="utf-8")
    kinds: dict[str, TaskKind] = {}
    for key, row in tomllib.loads(text).items():
        try:
            kind = TaskKind.model_validate({"key": key, **row})
        except ValidationError as error:
            raise ElbowroomError(f"tasks.toml, {key}: {error}") from None
        for tool in kind.tools:
            if tool not in household():
                raise ElbowroomError(f"tasks.toml, {key}: household.toml has no {tool!r}")
        kinds[key] = kind
    return kinds
