"""How the room is looked at for its picture: from which corner, and where a place comes on paper.

An orthographic view (ISO 5456-3 calls it axonometric: parallel rays that meet the paper square).
The floor is turned so that a corner of the room points at the eye, and looked down at. Lengths
from left to right on the paper are true; heights are shortened by one factor, depths by another.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import cache

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

    @property
    def on_paper(self) -> tuple[tuple[float, float], tuple[float, float]]:
        """What a mm along x and one along y of the floor are on the paper: (right, down) each."""
        (a, b), (c, d) = _axes(self.corner)[:2, :2].T.tolist()
        return (a, b), (c, d)

    def flat(self, xyz: Floats) -> Floats:
        """Return where points (..., 3) in mm of the room come on the paper: (..., 2), y down."""
        flat: Floats = xyz @ _axes(self.corner)[:2].T
        return flat

    def depth(self, xyz: Floats) -> Floats:
        """Return how near points (..., 3) are to the eye, mm along the ray: the more the nearer."""
        depth: Floats = xyz @ self.eye()
        return depth

    def axes(self) -> Floats:
        """Return the unit directions in the room that run right, down and to the eye, as rows."""
        return _axes(self.corner)

    def eye(self) -> Floats:
        """Return the unit direction from the room to the eye."""
        eye: Floats = _axes(self.corner)[2]
        return eye

    def plane(self, normals: Floats, points: Floats) -> Floats:
        """Return how near planes are to the eye over the paper, as (a, b, c): a + b u + c v.

        `normals` (n, 3) are square to them, none to the eye's own direction; `points` lie on them.
        """
        along = normals @ _axes(self.corner).T
        rest = (normals * points).sum(axis=1)
        return np.column_stack([rest, -along[:, 0], -along[:, 1]]) / along[:, 2:]


@cache
def _axes(corner: int) -> Floats:
    """Return the directions in the room that run right and down on the paper and to the eye."""
    cos, sin = View(corner).across
    down = math.radians(DOWN_DEG)
    # plan y runs down the paper, so what is further down is nearer
    axes = np.array(
        [
            [cos, sin, 0.0],
            [-sin * math.sin(down), cos * math.sin(down), -math.cos(down)],
            [-sin * math.cos(down), cos * math.cos(down), math.sin(down)],
        ]
    )
    axes.setflags(write=False)
    return axes
