"""Starter sets by purpose and sum. Schema and loader of `starters.toml`."""

from __future__ import annotations

import tomllib
from collections.abc import Iterator, Mapping
from functools import cache
from importlib import resources
from typing import Literal

from pydantic import Field, ValidationError

from app.errors import ElbowroomError
from app.library.anchors import Anchor
from app.library.kit import kit_types
from app.model.base import Angle, Frozen, Id, Label, Size


class Carried(Frozen):
    """What a piece carries: where its middle is, front to back on the piece, and its turn."""

    type: Id
    y: Anchor = "m"
    angle_deg: Angle = 0
    plate_mm: Size | None = None


class Station(Frozen):
    """A piece and what it carries; `instead` are types that do where the first does not fit."""

    type: Id
    instead: tuple[Id, ...] = ()
    carries: tuple[Carried, ...] = ()

    def types(self, first: str | None = None) -> Iterator[str]:
        """Yield the types of all its pieces, the carrying one first."""
        yield first or self.type
        yield from (carried.type for carried in self.carries)


class StarterSet(Frozen):
    """One set: what it is for, in words, and its stations, those that need most room first."""

    key: Id
    name: Label
    purpose: Literal["strength", "heart", "boxing", "rehab"]
    words: Label
    stations: tuple[Station, ...] = Field(min_length=1)

    @property
    def about_minor(self) -> int:
        """What it costs as first chosen, at the guide prices of the library."""
        kits = kit_types()
        return sum(
            kits[key].price_minor or 0 for station in self.stations for key in station.types()
        )


@cache
def starter_sets() -> Mapping[str, StarterSet]:
    """Load every set by its key. Raises ElbowroomError naming the set that is wrong."""
    text = resources.files("app.library").joinpath("starters.toml").read_text("utf-8")
    sets = {}
    for key, row in tomllib.loads(text).items():
        try:
            one = StarterSet.model_validate({"key": key, **row})
        except ValidationError as error:
            raise ElbowroomError(f"starters.toml, {key}: {error}") from None
        named = {name for s in one.stations for name in (*s.types(), *s.instead)}
        strange = sorted(named - kit_types().keys())
        if strange:
            raise ElbowroomError(f"starters.toml, {key}: there is no kit type {strange[0]!r}")
        sets[key] = one
    return sets
