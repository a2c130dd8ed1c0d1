"""The stages of the floor: which part is worked on when, and what stands where meanwhile."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime

Corner = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Place:
    """Where a stored thing stands: the middle of its rectangle, and its quarter turn."""

    id: str
    name: str
    x_mm: float
    y_mm: float
    angle_deg: float
    width_mm: float
    depth_mm: float


@dataclass(frozen=True, slots=True)
class Stage:
    """One part of the floor while it is worked on: when, its outline, what stands where."""

    starts: datetime
    ends: datetime
    name: str
    outline: tuple[Corner, ...]
    places: tuple[Place, ...]
    way_mm: float | None
