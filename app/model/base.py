"""What every part of a plan shares: frozen models, millimetres, ids and their order."""

from __future__ import annotations

import re
from collections.abc import Iterable
from functools import lru_cache
from itertools import pairwise
from typing import Annotated, Any, Protocol, TypeVar

from pydantic import AfterValidator, BaseModel, ConfigDict, Field

LENGTH_LIMIT_MM = 100_000.0
IDS_KEPT = 4096
"""Ids whose order is kept: those of a large plan, which is read again at every command."""


class Frozen(BaseModel):
    """A model that cannot be changed, refuses unknown fields, NaN and infinity."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False, defer_build=True)


def _to_hundredth(value: float) -> float:
    # + 0.0 turns -0.0 into 0.0, so that equal plans are also written alike
    return round(value, 2) + 0.0


def _more_than_nothing(value: float) -> float:
    # The bounds of a field look at what was given: what is nothing once it is rounded would be
    # kept, and refused when it is read again.
    if value == 0:
        raise ValueError("is nothing when kept to 0.01; it must be more than nothing")
    return value


def _to_thousandth(value: float) -> float:
    return round(round(value, 3) % 360.0, 3) % 360.0 + 0.0


Hundredth = AfterValidator(_to_hundredth)
"""Keeps a number to 0.01; for fields with bounds of their own."""

MoreThanNothing = AfterValidator(_more_than_nothing)
"""After `Hundredth`, wherever a bound is "more than nothing"."""

Coordinate = Annotated[
    float, Field(ge=-LENGTH_LIMIT_MM, le=LENGTH_LIMIT_MM), AfterValidator(_to_hundredth)
]
"""A position or signed height in mm, kept to 0.01 mm."""

Length = Annotated[float, Field(ge=0, le=LENGTH_LIMIT_MM), AfterValidator(_to_hundredth)]
"""A length in mm that may be nothing, kept to 0.01 mm."""

Size = Annotated[float, Field(gt=0, le=LENGTH_LIMIT_MM), Hundredth, MoreThanNothing]
"""A length in mm that is more than nothing, kept to 0.01 mm."""

Angle = Annotated[float, Field(ge=-36_000, le=36_000), AfterValidator(_to_thousandth)]
"""Degrees clockwise as drawn (y grows downwards), kept to 0.001 and within 0 to 360."""

PICTURE_ID = r"^[0-9a-f]{32}$"
PictureId = Annotated[str, Field(pattern=PICTURE_ID)]
"""Names a picture that is kept: a digest of what it holds."""

ID = r"^[a-z0-9][a-z0-9-]{0,47}$"
Id = Annotated[str, Field(pattern=ID)]
"""Names one thing of a plan for as long as it lives."""

LABEL_LIMIT = 200
"""So many letters a name may have, and a figure as it was typed."""

Label = Annotated[str, Field(max_length=LABEL_LIMIT)]
"""A line of text for people; may hold any characters and is escaped wherever it is shown."""

Point = tuple[Coordinate, Coordinate]


class HasId(Protocol):
    """Anything with a stable id."""

    @property
    def id(self) -> str:
        """The stable id."""


Named = TypeVar("Named", bound=HasId)


@lru_cache(maxsize=IDS_KEPT)
def natural_key(text: str) -> tuple[tuple[int, int, str], ...]:
    """Sort key that puts `rack-2` before `rack-10`."""
    parts = re.findall(r"\d+|\D+", text)
    return tuple((0, int(p), "") if p.isdecimal() else (1, 0, p) for p in parts)


def by_id(things: Iterable[Named]) -> tuple[Named, ...]:
    """Put things in the order of their ids and refuse an id that stands twice.

    One canonical order makes undo exact: what is removed and put back lies where it was.

    Raises ValueError naming the id.
    """
    # the id itself last: rack-1 and rack-01 are alike to the natural key, and would else hide an
    # id that stands twice between them
    ordered = sorted(things, key=lambda thing: (natural_key(thing.id), thing.id))
    for one, other in pairwise(ordered):
        if one.id == other.id:
            raise ValueError(f"the id {one.id!r} stands twice")
    return tuple(ordered)


def json_of(model: BaseModel) -> dict[str, Any]:
    """Return the model as plain JSON data."""
    return model.model_dump(mode="json")
