"""The belt of a running machine raised to its grade: as it is while somebody is drawn on it.

The deck turns about its end behind the runner; what it rises over the foot is what the judge adds.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from app.drawing.section_bay import Bay
from app.scene.build import Placed, Scene
from app.scene.footing import ON_A_BELT, grade_ratio
from app.scene.shapes import turn

Floats = NDArray[np.float64]
_RAISED = ("deck", "rail")
"""Parts that the motor lifts; uprights and console stand."""


@dataclass(frozen=True, slots=True)
class Incline:
    """How the deck of a machine is raised: where it turns, which way it rises, by how much a mm."""

    pivot_mm: float
    along: tuple[float, float]
    rise: float

    def raised_mm(self, xy: Floats) -> Floats:
        """Return by how much the deck is raised over points (n, 2) of the room, mm (n,)."""
        raised: Floats = np.maximum(0.0, xy @ np.array(self.along) - self.pivot_mm) * self.rise
        return raised


def is_raised(part: str) -> bool:
    """Return whether a part of a machine goes up with its deck."""
    return part in _RAISED


def incline_of(placed: Placed, bays: Iterable[Bay]) -> Incline | None:
    """Return how the deck of a machine is raised for whoever of `bays` is on it; None if flat."""
    on_it = [one for one in bays if one.placed is placed and one.movement.key in ON_A_BELT]
    grade = grade_ratio(placed) if on_it else 0.0
    decks = [
        polygon
        for polygon, part in zip(placed.polygons(), placed.shape.parts, strict=True)
        if part == "deck"
    ]
    if not grade or not decks:
        return None
    # the front of a piece is where one steps onto the belt: there it turns
    along = turn(0.0, -1.0, placed.pose.angle_deg)
    corners = shapely.get_coordinates(decks) @ np.array(along)
    return Incline(float(corners.min()), along, math.sin(math.atan(grade)))


def inclines(scene: Scene, bays: Iterable[Bay]) -> Mapping[str, Incline]:
    """Return the raised decks of a scene by piece."""
    every = list(bays)
    found = {placed.piece.id: incline_of(placed, every) for placed in scene.order}
    return {piece: one for piece, one in found.items() if one is not None}
