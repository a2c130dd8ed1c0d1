"""A picture of a sketch under the drawing: which one, where it lies, how large and how faint."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from app.model.base import Angle, Coordinate, Frozen, PictureId


class Picture(Frozen):
    """`id` names the kept picture; its top left corner lies at `x_mm`, `y_mm` of the room.

    It is turned about that corner. `faint` is how much of its ink is seen, 1 for all.
    """

    id: PictureId
    width_px: Annotated[int, Field(ge=1, le=2400)]
    height_px: Annotated[int, Field(ge=1, le=2400)]
    x_mm: Coordinate = 0
    y_mm: Coordinate = 0
    mm_per_px: Annotated[float, Field(gt=0, le=1000)]
    angle_deg: Angle = 0
    faint: Annotated[float, Field(ge=0.05, le=1)] = 0.35
