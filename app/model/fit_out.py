"""What is done to the room itself: floor, paint, light, mirrors."""

from __future__ import annotations

from pydantic import Field

from app.model.finishing import Finishing
from app.model.flooring import FloorLaying


class FitOut(Finishing):
    """All that is to be laid, painted and hung; empty until somebody chooses."""

    floors: tuple[FloorLaying, ...] = Field(default=(), max_length=40)
