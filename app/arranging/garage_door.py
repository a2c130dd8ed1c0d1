"""What stands in front of garage doors: exactly for a layout, roughly for many places at once.

One comes in there with what is long and heavy, and goes out there in a hurry: a fitter leaves a
step of floor behind the whole of the door. What only lies on the floor may lie there.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from app.arranging.standing import is_floor, is_weighty
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.doors import OpeningShape
from app.scene.tolerance import TOLERANCE_MM

Floats = NDArray[np.float64]
CAR = "car"
DRIVEN = frozenset({CAR, "motorbike"})
"""What comes in and goes out by the door stands in nobody's way there."""
Span = tuple[float, float]


@dataclass(frozen=True, slots=True)
class GarageDoor:
    """A garage door from inside: one end, the way along it and into the room, its width in mm."""

    end: Span
    along: Span
    inward: Span
    wide_mm: float

    def span(self, low: Floats, high: Floats, deep_mm: float) -> tuple[Floats, Floats]:
        """Return the stretch of the door before which boxes stand, (n,) from and to in mm.

        `low` and `high` are their least and greatest along the door and into the room, (n, 2).
        Boxes that stand deeper than `deep_mm`, or beside the door, have no stretch of it.
        """
        begin = np.clip(low[:, 0], 0.0, self.wide_mm)
        end = np.clip(high[:, 0], 0.0, self.wide_mm)
        met = (low[:, 1] < deep_mm - TOLERANCE_MM) & (high[:, 1] > TOLERANCE_MM)
        return begin, np.where(met, end, begin)

    def seen(self, points: Floats) -> Floats:
        """Return points as they lie along the door and into the room, (n, 2) in mm."""
        seen: Floats = (points - self.end) @ np.array([self.along, self.inward]).T
        return seen


def garage_doors(scene: Scene) -> tuple[GarageDoor, ...]:
    """Return the garage doors of a room."""
    return tuple(_door(s) for s in scene.room.openings if s.opening.is_garage_door)


def _door(shape: OpeningShape) -> GarageDoor:
    wide = math.dist(shape.left, shape.right)
    (x, y), (to_x, to_y) = shape.left, shape.right
    return GarageDoor(shape.left, ((to_x - x) / wide, (to_y - y) / wide), shape.inward, wide)


def clear_share(scene: Scene) -> float:
    """Return the widest stretch of the garage doors with nothing before it, as a share of them.

    What stands in the middle of a door takes more than beside its end. 1 without such a door.
    """
    doors = garage_doors(scene)
    wide = sum(door.wide_mm for door in doors)
    return sum(clear_mm(scene, door) for door in doors) / wide if doors else 1.0


def opened_for_a_car(scene: Scene) -> bool:
    """Return whether a household brings a car in: one is kept here, or stands on the plan."""
    kept = scene.plan.room.climate.car_kept_here == "yes"
    return kept or any(placed.kit.key == CAR for placed in scene.order)


def kept_clear(scene: Scene) -> float:
    """Return the same less what heavy things take: they count twice, for nobody will shift them.

    Where a car comes in something heavy leaves nothing: what is light is pushed aside each time.
    """
    doors = garage_doors(scene)
    wide = sum(door.wide_mm for door in doors)
    if not doors:
        return 1.0
    heavy = sum(
        high - low
        for door in doors
        for placed in scene.order
        if is_weighty(placed)
        for low, high in [_whole(_before(scene, placed, door))]
    )
    if heavy > TOLERANCE_MM and opened_for_a_car(scene):
        return 0.0
    return max(0.0, clear_share(scene) - heavy / wide)


def _whole(spans: Sequence[Span]) -> Span:
    """Return the stretch from the beginning of the first of some to the end of the last."""
    return min((low for low, _ in spans), default=0.0), max(
        (high for _, high in spans), default=0.0
    )


def _before(scene: Scene, placed: Placed, door: GarageDoor) -> list[Span]:
    key = ("before the garage door", door, placed.piece.id, *placed.at, placed.pose.angle_deg)
    return scene.memo(key, partial(stretches, placed, door))


def clear_mm(scene: Scene, door: GarageDoor) -> float:
    """Return the widest stretch of a garage door before which nothing stands, in mm."""
    spans: list[Span] = []
    for placed in scene.order:
        spans += _before(scene, placed, door)
    widest = begin = 0.0
    for low, high in [*sorted(spans), (door.wide_mm, door.wide_mm)]:
        widest, begin = max(widest, low - begin), max(begin, high)
    return widest


def stretches(placed: Placed, door: GarageDoor) -> list[Span]:
    """Return the stretches of a garage door before which a piece stands, from and to in mm."""
    if is_floor(placed) or placed.kit.key in DRIVEN:
        return []
    low_mm = placed.shape.low_mm + placed.lift_mm + placed.rest_mm[0]
    parts = placed.polygons()[low_mm < published("layout.open-floor.low-mm")]
    corners = [door.seen(shapely.get_coordinates(part)) for part in parts]
    if not corners:
        return []
    begin, end = door.span(
        np.array([each.min(axis=0) for each in corners]),
        np.array([each.max(axis=0) for each in corners]),
        published("layout.garage-door.deep-mm"),
    )
    return [
        (float(low), float(high))
        for low, high in zip(begin, end, strict=True)
        if high - low > TOLERANCE_MM
    ]


def shares_taken(doors: Sequence[GarageDoor], ring: ArrayLike, points: ArrayLike) -> Floats:
    """Return what share of its doors' clear stretch one thing takes at many places, (n,).

    `ring` is the outline about its middle, (corners, 2); `points` are the places of the middle.
    """
    ring, points = np.asarray(ring), np.asarray(points)
    taken = np.zeros(len(points))
    deep = published("layout.garage-door.deep-mm")
    for door in doors:
        about = door.seen(ring) - door.seen(np.zeros((1, 2)))
        at = door.seen(points)
        begin, end = door.span(at + about.min(axis=0), at + about.max(axis=0), deep)
        left = np.maximum(begin, door.wide_mm - end)
        taken += np.where(end > begin, door.wide_mm - left, 0.0)
    return taken / max(sum(door.wide_mm for door in doors), 1.0)
