"""How kit arrives: the schema and loader of `parcels.toml`, by the key of the kit type."""

from __future__ import annotations

import tomllib
from functools import cache
from importlib import resources
from typing import Literal

from pydantic import Field, ValidationError, field_validator

from app.errors import ElbowroomError
from app.library.anchors import Extent
from app.library.kit import Status, kit_types
from app.model.base import Frozen, Id, Label, Size


class Parcel(Frozen):
    """The parcel of a kit type that is hardest to bring in, and its heaviest part.

    `long_mm` are its three lengths, the longest first; None where the piece comes as it stands.
    `stands`: "built" upright on the spot, stood up "whole", or carried and left "as-is". `apart`:
    what is put on or into it comes by itself: a mass typed for the whole is not that of the part.
    """

    key: Id
    part: Label
    long_mm: tuple[Size, Size, Size] | None = None
    heavy_kg: float = Field(ge=0, le=1000)
    stands: Literal["built", "whole", "as-is"] = "as-is"
    apart: bool = False
    source: str = "typical parcels, common practice, no source"
    status: Status = "practice"

    @field_validator("long_mm")
    @classmethod
    def _longest_first(
        cls, lengths: tuple[float, float, float] | None
    ) -> tuple[float, float, float] | None:
        if lengths is not None and list(lengths) != sorted(lengths, reverse=True):
            raise ValueError("the longest length of a parcel comes first")
        return lengths

    def box(self, extent: Extent) -> tuple[float, float, float]:
        """Return the three lengths in mm of what is carried in, for a piece of this size."""
        return self.long_mm or (extent.width_mm, extent.depth_mm, extent.height_mm)


@cache
def parcels() -> dict[str, Parcel]:
    """Load every parcel by the key of its kit type.

    Raises ElbowroomError naming the row that is wrong or that no kit type has.
    """
    text = resources.files("app.library").joinpath("parcels.toml").read_text(encoding="utf-8")
    rows: dict[str, Parcel] = {}
    for key, row in tomllib.loads(text).items():
        if key not in kit_types():
            raise ElbowroomError(f"parcels.toml: there is no kit type {key!r}")
        try:
            rows[key] = Parcel.model_validate({"key": key, **row})
        except ValidationError as error:
            raise ElbowroomError(f"parcels.toml, {key}: {error}") from None
    return rows
