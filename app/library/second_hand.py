"""Looking at second-hand kit in a quarter of an hour: schema and loader of `second_hand.toml`."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import resources

from pydantic import Field, ValidationError

from app.errors import ElbowroomError
from app.library.kit import KitType
from app.model.base import Frozen, Id, Label

ANYTHING = "any"
"""The key of what is looked at whatever it is."""


class LookOver(Frozen):
    """What to look at on one kind of kit, and when to walk away.

    It is for the kit types of its `keys`, and those of its `groups` that no other row names.
    """

    key: Id
    name: Label
    keys: frozenset[str] = frozenset()
    groups: frozenset[str] = frozenset()
    look: tuple[str, ...] = Field(min_length=1)
    leave: tuple[str, ...] = Field(min_length=1)


@cache
def look_overs() -> dict[str, LookOver]:
    """Load every look-over by its key. Raises ElbowroomError naming the row that is wrong."""
    text = resources.files("app.library").joinpath("second_hand.toml").read_text(encoding="utf-8")
    rows: dict[str, LookOver] = {}
    for key, row in tomllib.loads(text).items():
        try:
            rows[key] = LookOver.model_validate({"key": key, **row})
        except ValidationError as error:
            raise ElbowroomError(f"second_hand.toml, {key}: {error}") from None
    return rows


def look_over_of(kit: KitType) -> LookOver | None:
    """Return what to look at on a kit type besides what is looked at on any; None for no more."""
    rows = look_overs().values()
    named = next((row for row in rows if kit.key in row.keys), None)
    return named or next((row for row in rows if kit.group in row.groups), None)
