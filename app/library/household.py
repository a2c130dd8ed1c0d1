"""What a household likely has: nothing of it is bought, all of it is to be ready.

Schema and loader of `household.toml`.
"""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from functools import cache
from importlib import resources

from pydantic import Field, ValidationError

from app.errors import ElbowroomError
from app.model.base import Frozen, Id, Label

HAVE = "have."
"""What the key of a thing to have ready begins with, as that of a line does with its part."""


class Household(Frozen):
    """One thing: the jobs that it is used for, and the line of the list that does for it."""

    key: Id
    name: Label
    jobs: tuple[str, ...] = Field(min_length=1)
    instead: str = ""


@cache
def household() -> Mapping[str, Household]:
    """Load every row by its key. Raises ElbowroomError naming the row that is wrong."""
    text = resources.files("app.library").joinpath("household.toml").read_text("utf-8")
    rows = {}
    for key, row in tomllib.loads(text).items():
        try:
            rows[key] = Household.model_validate({"key": key, **row})
        except ValidationError as error:
            raise ElbowroomError(f"household.toml, {key}: {error}") from None
    return rows
