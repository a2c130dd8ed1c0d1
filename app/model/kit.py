"""Pieces: rows of the library placed on the plan with their real sizes."""

from __future__ import annotations

from pydantic import Field

from app.model.base import Angle, Coordinate, Frozen, Id, Label, Length, Size


class Pose(Frozen):
    """Where a piece stands: the middle of its outline, and its turn clockwise as drawn."""

    x_mm: Coordinate
    y_mm: Coordinate
    angle_deg: Angle = 0


class Piece(Frozen):
    """One thing on the plan. Empty sizes mean those of its library row.

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
    grade_percent: Length | None = Field(default=None, le=40)
    bar_height_mm: Size | None = None
    bolted: bool = False
    price_minor: int | None = Field(default=None, ge=0, le=10**12)
    note: Label = ""

    @property
    def grade_ratio(self) -> float | None:
        """The steepest grade as rise over run, None where it is not known."""
        return None if self.grade_percent is None else self.grade_percent / 100
