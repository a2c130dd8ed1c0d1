"""The schema and loader of the movements in `movements.toml`."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import resources
from typing import Literal

from pydantic import ValidationError

from app.errors import ElbowroomError
from app.model.base import Frozen, Id, Label, Length, Size

Pattern = Literal[
    "press", "pull", "squat", "hinge", "run", "ride", "climb", "jump", "swing", "floor", "strike"
]


class Movement(Frozen):
    """One thing a person does: the floor it takes, how far it wanders, what is held.

    `area_width_mm` is "bar" where it follows the length of the bar. `substitutes` are movements
    of the same pattern, the nearest first. `head_mm` is the floor under the head where only the
    head rises; else the whole area does. With `shouldered` a bar lies across the shoulders.
    `fists_mm` is the floor under two dumbbells of what may be done with these where no bar is.
    `on_card` are those that are asked of everybody before there is any kit.
    """

    key: Id
    name: Label
    pattern: Pattern
    held: Literal["bar", "fists", "none"]
    area_width_mm: Size | Literal["bar"]
    area_depth_mm: Size
    wander_mm: Length
    head_mm: tuple[Size, Size] | None = None
    fists_mm: tuple[Size, Size] | None = None
    shouldered: bool = False
    substitutes: tuple[Id, ...] = ()
    does: Label = ""
    on_card: bool = False


@cache
def movements() -> dict[str, Movement]:
    """Load every movement by key. Raises ElbowroomError naming the row that is wrong."""
    text = resources.files("app.library").joinpath("movements.toml").read_text(encoding="utf-8")
    rows: dict[str, Movement] = {}
    for key, row in tomllib.loads(text).items():
        try:
            rows[key] = Movement.model_validate({"key": key, **row})
        except ValidationError as error:
            raise ElbowroomError(f"movements.toml, {key}: {error}") from None
    for row in rows.values():
        for other in row.substitutes:
            if other not in rows:
                raise ElbowroomError(f"movements.toml, {row.key}: no movement {other!r}")
    return rows
