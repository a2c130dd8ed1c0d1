"""How the room is looked at for its picture: from which corner, and where a place comes on paper.

An orthographic view (ISO 5456-3 calls it axonometric: parallel rays that meet the paper square).
The floor is turned so that a corner of the room points at the eye, and looked down at. Lengths
from left to right on the paper are true; heights are shortened by one factor, depths by another.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]

CORNERS = 4
"""Corners the room can be looked at from; the picture is turned by quarters, never freely."""

TURN_DEG = 30.0
"""By how much the floor is turned from square: no wall of a square room hides behind a line."""

DOWN_DEG = 34.0
"""How steeply the eye looks down: as low as one still sees the floor between the things."""

QUARTER_DEG = 90.0


@dataclass(frozen=True, slots=True)
class View:
    """A view from one corner, 0 to 3, each a quarter turn further; 0 looks from below left."""

    corner: int = 0

    @property
    def turn_rad(self) -> float:
        """By how much the floor is turned."""
        return math.radians(TURN_DEG + QUARTER_DEG * (self.corner % CORNERS))

    @property
    def height_share(self) -> float:
        """What is drawn of a height."""
        return math.cos(math.radians(DOWN_DEG))

    @property
    def across(self) -> tuple[float, float]:
        """The direction in the room that runs from left to right on the paper, unit length."""
        return math.cos(self.turn_rad), math.sin(self.turn_rad)

    def flat(self, xyz: Floats) -> Floats:
        """Return where points (n, 3) in mm of the room come on the paper: (n, 2), y down."""
        return self._axes(xyz)[:, :2]

    def depth(self, xyz: Floats) -> Floats:
        """Return how near points are to the eye, in mm along the ray: the greater the nearer."""
        return self._axes(xyz)[:, 2]

    def eye(self) -> Floats:
        """Return the unit direction from the room to the eye."""
        cos, sin = self.across
        down = math.radians(DOWN_DEG)
        # plan y runs down the paper, so what is further down is nearer
        return np.array([-sin * math.cos(down), cos * math.cos(down), math.sin(down)])

    def _axes(self, xyz: Floats) -> Floats:
        cos, sin = self.across
        down = math.radians(DOWN_DEG)
        u = xyz[:, 0] * cos + xyz[:, 1] * sin
        w = -xyz[:, 0] * sin + xyz[:, 1] * cos
        z = xyz[:, 2]
        v = w * math.sin(down) - z * math.cos(down)
        return np.column_stack([u, v, w * math.cos(down) + z * math.sin(down)])
