"""What stands in front of garage doors: exactly for a layout, roughly for many places at once.

One comes in there with what is long and heavy, and goes out there in a hurry: a fitter leaves a
step of floor behind the whole of the door, and what is low and light beyond it. What only lies on
the floor may lie there, but for the sill, where rain, leaves and grit come in below the leaf.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from app.arranging.standing import is_disc, is_floor, is_weighty
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.doors import OpeningShape
from app.scene.tolerance import TOLERANCE_MM

Floats = NDArray[np.float64]
CAR = "car"
DRIVEN = frozenset({CAR, "motorbike"})
"""What comes in and goes out by the door stands in nobody's way there."""
Span = tuple[float, float]
DEPTHS = 2
"""How far behind a door is asked of: a step, and two for what is tall or heavy."""


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


def depths_mm() -> tuple[float, float]:
    """Return how far behind a garage door nothing stands, and how far nothing tall or heavy."""
    return published("layout.garage-door.near-mm"), published("layout.garage-door.deep-mm")


def sill_mm() -> float:
    """Return how far behind a garage door no mat lies."""
    return published("layout.garage-door.sill-mm")


def opened_for_a_car(scene: Scene) -> bool:
    """Return whether a household brings a car in: one is kept here, or stands on the plan."""
    kept = scene.plan.room.climate.car_kept_here == "yes"
    return kept or any(placed.kit.key == CAR for placed in scene.order)


def kept_clear(scene: Scene) -> float:
    """Return the widest clear stretch of the garage doors as a share of them, 1 without any.

    The mean of a step behind them, where nothing stands and no mat lies on the sill, and of two
    steps, where nothing tall or heavy does: what is low and light belongs by the door, and about
    what is round, as a bag, one walks. What is heavy counts twice, for nobody will shift it. Where
    a car comes in something heavy leaves nothing: what is light is pushed aside each time.
    """
    doors = garage_doors(scene)
    if not doors:
        return 1.0
    near_mm, deep_mm = depths_mm()
    weighty = [placed for placed in scene.order if is_weighty(placed)]
    if opened_for_a_car(scene) and any(
        _before(scene, placed, door, deep_mm) for placed in weighty for door in doors
    ):
        return 0.0
    near = _kept(scene, doors, near_mm, scene.order)
    return (near + _kept(scene, doors, deep_mm, [p for p in weighty if not is_disc(p)])) / DEPTHS


def _kept(
    scene: Scene, doors: Sequence[GarageDoor], deep_mm: float, things: Sequence[Placed]
) -> float:
    """Return what some things leave of the doors so far behind them; what is heavy counts twice."""
    wide = sum(door.wide_mm for door in doors)
    clear = sum(clear_mm(scene, door, deep_mm, things) for door in doors)
    heavy = sum(
        high - low
        for door in doors
        for placed in things
        if is_weighty(placed)
        for low, high in [_whole(_before(scene, placed, door, deep_mm))]
    )
    return max(0.0, (clear - heavy) / wide)


def _whole(spans: Sequence[Span]) -> Span:
    """Return the stretch from the beginning of the first of some to the end of the last."""
    return min((low for low, _ in spans), default=0.0), max(
        (high for _, high in spans), default=0.0
    )


def _before(scene: Scene, placed: Placed, door: GarageDoor, deep_mm: float) -> list[Span]:
    where = placed.piece.id, *placed.at, placed.pose.angle_deg
    key = ("before the garage door", door, deep_mm, *where)
    return scene.memo(key, partial(stretches, placed, door, deep_mm))


def clear_mm(scene: Scene, door: GarageDoor, deep_mm: float, things: Sequence[Placed]) -> float:
    """Return the widest stretch of a garage door so far behind which none of some things stands."""
    spans: list[Span] = []
    for placed in things:
        spans += _before(scene, placed, door, deep_mm)
    widest = begin = 0.0
    for low, high in [*sorted(spans), (door.wide_mm, door.wide_mm)]:
        widest, begin = max(widest, low - begin), max(begin, high)
    return widest


def stretches(placed: Placed, door: GarageDoor, deep_mm: float) -> list[Span]:
    """Return the stretches of a garage door before which a piece stands, from and to in mm."""
    if placed.kit.key in DRIVEN:
        return []
    if is_floor(placed):
        parts, deep_mm = np.array([placed.footprint], dtype=object), min(deep_mm, sill_mm())
    else:
        low_mm = placed.shape.low_mm + placed.lift_mm + placed.rest_mm[0]
        parts = placed.polygons()[low_mm < published("layout.open-floor.low-mm")]
    corners = [door.seen(shapely.get_coordinates(part)) for part in parts]
    if not corners:
        return []
    begin, end = door.span(
        np.array([each.min(axis=0) for each in corners]),
        np.array([each.max(axis=0) for each in corners]),
        deep_mm,
    )
    return [
        (float(low), float(high))
        for low, high in zip(begin, end, strict=True)
        if high - low > TOLERANCE_MM
    ]


def lost_before(placed: Placed, scene: Scene, ring: ArrayLike, points: ArrayLike) -> Floats:
    """Return about what share of the garage doors' worth one thing takes at many places, (n,).

    `ring` is its outline about its middle, (corners, 2); `points` are the places of the middle.
    """
    doors, (near_mm, deep_mm) = garage_doors(scene), depths_mm()
    near = shares_taken(doors, ring, points, sill_mm() if is_floor(placed) else near_mm)
    if not is_weighty(placed):
        return near / DEPTHS
    deep = shares_taken(doors, ring, points, deep_mm)
    if opened_for_a_car(scene):
        return np.where(deep > 0, 1.0, 0.0)
    if is_disc(placed):
        return np.minimum(2 * near, 1.0) / DEPTHS
    return np.minimum(2 * near, 1.0) / DEPTHS + np.minimum(2 * deep, 1.0) / DEPTHS


def shares_taken(
    doors: Sequence[GarageDoor], ring: ArrayLike, points: ArrayLike, deep_mm: float
) -> Floats:
    """Return what share of the doors' clear stretch, so deep, one thing takes at places, (n,).

    `ring` is the outline about its middle, (corners, 2); `points` are the places of the middle.
    """
    ring, points = np.asarray(ring), np.asarray(points)
    taken = np.zeros(len(points))
    for door in doors:
        about = door.seen(ring) - door.seen(np.zeros((1, 2)))
        at = door.seen(points)
        begin, end = door.span(at + about.min(axis=0), at + about.max(axis=0), deep_mm)
        left = np.maximum(begin, door.wide_mm - end)
        taken += np.where(end > begin, door.wide_mm - left, 0.0)
    return taken / max(sum(door.wide_mm for door in doors), 1.0)
