"""What may refuse a place to a station among others, one term after another.

A term refuses where all of its zones are met; a zone is met in any of its places. So one form
serves points, many at once, and areas.
"""

from __future__ import annotations

from typing import NamedTuple

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from app.placing.convex import Floats, moved_shape
from app.placing.form import Flags
from app.placing.pairs import Places
from app.placing.standing import Standing

HEADROOM, WINDOW = "headroom", "window"
"""Names of terms; others are called after parts of the room or after stations."""


class Put(NamedTuple):
    """Places as seen from a thing that stands somewhere."""

    places: Places
    at: Standing

    @property
    def shape(self) -> BaseGeometry:
        """The places in the room."""
        return moved_shape(self.places.shape, self.at.x_mm, self.at.y_mm)

    def may_meet(self, box: tuple[float, float, float, float]) -> bool:
        """Return whether the box about the places meets another, least x and y and the most."""
        x0, y0, x1, y1 = box
        x, y = self.at.x_mm, self.at.y_mm
        return self.places.box_meets((x0 - x, y0 - y, x1 - x, y1 - y))


class Term(NamedTuple):
    """What refuses: the room or a station by its root, or a movement; and its zones."""

    name: str
    zones: tuple[tuple[Put, ...], ...]

    def refuses(self, points: Floats) -> Flags:
        """Return which points, (n, 2), are refused."""
        if len(points) == 1:
            x, y = points[0].tolist()
            # one place is asked for in plain numbers: arrays of one cost more than the question
            return np.array([all(_holds(zone, x, y) for zone in self.zones)])
        refused = np.ones(len(points), dtype=bool)
        for zone in self.zones:
            met = np.zeros(len(points), dtype=bool)
            for places, at in zone:
                met |= places.hold(points - (at.x_mm, at.y_mm))
            refused &= met
        return refused

    def may_meet(self, box: tuple[float, float, float, float]) -> bool:
        """Return whether it may refuse a place in a box: whether each zone has places near it."""
        return all(any(put.may_meet(box) for put in zone) for zone in self.zones)

    @property
    def shape(self) -> BaseGeometry:
        """All that is refused, as an area of the room."""
        # most zones are one set of places, which is whole as it is
        unions = [
            zone[0].shape if len(zone) == 1 else shapely.union_all([put.shape for put in zone])
            for zone in self.zones
        ]
        common = unions[0]
        for union in unions[1:]:
            common = common.intersection(union)
        return common


def _holds(zone: tuple[Put, ...], x: float, y: float) -> bool:
    return any(places.holds(x - at.x_mm, y - at.y_mm) for places, at in zone)
