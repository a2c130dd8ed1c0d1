"""Kit of one's own: a row of the library that only this plan has, entered or copied and changed."""

from __future__ import annotations

from typing import Annotated, Literal

from pydantic import Field, field_validator, model_validator

from app.model.base import LABEL_LIMIT, Frozen, Id, Label, Length, Size
from app.model.money import Minor

Side = Literal["front", "back", "left", "right", "ring"]
SpaceKind = Literal["body", "fall-off", "access"]
OWN_ID = r"^own-[a-z0-9-]{1,43}$"
OwnId = Annotated[str, Field(pattern=OWN_ID)]
"""No row of the library is called so; pieces name the row as their type."""


class OwnSpace(Frozen):
    """Room needed on one side, in mm from the edge; `ring` is all round.

    Nothing recommended means that no room is needed there. `manual_mm` is what the maker's
    manual asks for, which wins where it is more.
    """

    side: Side
    kind: SpaceKind = "access"
    least_mm: Length = 0
    recommended_mm: Length = 0
    manual_mm: Length | None = None

    @model_validator(mode="after")
    def _ordered(self) -> OwnSpace:
        if self.least_mm > self.recommended_mm:
            raise ValueError(f"room at the {self.side}: the least is more than the recommended")
        return self


class OwnKit(Frozen):
    """One row. `like` is the library row that it was copied from, whose outline it takes.

    Without one its outline is its box. `spaces` stand for those of the copied row on the same
    side; sides that are not named are as the copied row has them.
    """

    id: OwnId
    name: Annotated[str, Field(min_length=1, max_length=LABEL_LIMIT)]
    group: Label
    like: Id | None = None
    width_mm: Size
    depth_mm: Size
    height_mm: Size
    feet: Label = ""
    mass_kg: float = Field(gt=0, le=5000)
    power_w: float = Field(default=0, ge=0, le=20_000)
    price_minor: Minor | None = None
    spaces: tuple[OwnSpace, ...] = ()
    manual: Annotated[str, Field(max_length=500)] = ""

    @field_validator("spaces")
    @classmethod
    def _one_a_side(cls, spaces: tuple[OwnSpace, ...]) -> tuple[OwnSpace, ...]:
        ordered = tuple(sorted(spaces, key=lambda space: space.side))
        sides = [space.side for space in ordered]
        if len(set(sides)) < len(sides):
            raise ValueError("a side stands twice among the spaces")
        return ordered
