"""Pieces: rows of the library placed on the plan with their real sizes."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field

from app.model.base import (
    LENGTH_LIMIT_MM,
    Angle,
    Coordinate,
    Frozen,
    Hundredth,
    Id,
    Label,
    Length,
    Size,
)
from app.model.money import Minor


class Pose(Frozen):
    """Where a piece stands: the middle of its outline, and its turn clockwise as drawn."""

    x_mm: Coordinate
    y_mm: Coordinate
    angle_deg: Angle = 0

    @classmethod
    def within(cls, x_mm: float, y_mm: float, angle_deg: float) -> Pose:
        """Return the pose at a place; one beyond what a plan holds is drawn in to its end.

        For searches that move a station of which a part lies at the very end: it is in no room
        there either.
        """
        x_mm, y_mm = (min(max(place, -LENGTH_LIMIT_MM), LENGTH_LIMIT_MM) for place in (x_mm, y_mm))
        return cls(x_mm=x_mm, y_mm=y_mm, angle_deg=angle_deg)


class ManualSpace(Frozen):
    """What the maker's manual asks to be free at one working space; it wins where it is more."""

    space: Label
    least_mm: Length


class Piece(Frozen):
    """One thing on the plan. Empty sizes, mass, power and state mean those of its library row.

    `carried_by` names the piece it belongs to: a bar on its rack, a bench in it; together they
    are one station. `stays` marks what cannot be moved out of the room.
    """

    id: Id
    type: Id
    pose: Pose
    label: Label = ""
    width_mm: Size | None = None
    depth_mm: Size | None = None
    height_mm: Size | None = None
    carried_by: Id | None = None
    on_floor: bool = False
    stays: bool = False
    pinned: bool = False
    plate_mm: Size | None = None
    deck_mm: Length | None = None
    grade_percent: Annotated[float, Field(ge=0, le=40), Hundredth] | None = None
    bar_height_mm: Size | None = None
    bolted: bool = False
    catches: bool | None = None
    state: Id | None = None
    later: bool = False
    bumper_plates: bool = False
    mass_kg: float | None = Field(default=None, gt=0, le=5000)
    power_w: float | None = Field(default=None, ge=0, le=20_000)
    circuit: Id | None = None
    manual_mm: tuple[ManualSpace, ...] = ()
    price_minor: Minor | None = None
    note: Label = ""

    @property
    def grade_ratio(self) -> float | None:
        """The steepest grade as rise over run, None where it is not known."""
        return None if self.grade_percent is None else self.grade_percent / 100
