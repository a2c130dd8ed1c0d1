"""One place for one movement, and what rises there."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property

from app.checks.rising import Across, Form, form_about
from app.library.anchors import place
from app.library.use import Use
from app.scene.build import Placed, Scene
from app.scene.footing import as_used, bar_mm
from app.scene.shapes import turn
from app.scene.step_up import stands_before_mm, stepped_parts
from app.scene.swept import Part, held_at, parts_from

PULL_UP_TUBE_MM = 32.0
"""How thick the bar is that one hangs from in a rack: like that under a ceiling, a tube that a hand
closes round. Common practice, no source: 28 to 34."""


@dataclass(frozen=True)
class Spot:
    """One place for one movement: a piece and the use it is put to there.

    `rest` is how far from the place the bar lies that comes on the shoulders, in mm of its frame,
    `side` from which side a box is stepped onto. Every person and movement asks where it is and
    what it is remembered by: found once.
    """

    placed: Placed
    use: Use
    rest: tuple[float, float] = (0.0, 0.0)
    side: str | None = None

    @cached_property
    def at(self) -> tuple[float, float]:
        """The middle of the person or bar, in mm of the room."""
        return self._in_room(*(place(anchor, self.placed.extent) for anchor in self.use.at))

    @cached_property
    def from_at(self) -> tuple[float, float]:
        """The middle of who is about to step on there, in mm of the room; else of who is there."""
        if self.side is None:
            return self.at
        return self._in_room(*stands_before_mm(as_used(self.placed, self.use), self.side))

    @cached_property
    def key(self) -> tuple[object, ...]:
        """All that a clear height here hangs on, but for the room and what holds a bar."""
        placed = self.placed
        return (
            placed.piece.id,
            *placed.at,
            placed.pose.angle_deg,
            id(self.use),
            *self.rest,
            self.side,
        )

    def _in_room(self, x: float, y: float) -> tuple[float, float]:
        dx, dy = turn(x, y, self.placed.pose.angle_deg)
        return self.placed.at[0] + dx, self.placed.at[1] + dy


def rising_at(scene: Scene, spot: Spot) -> tuple[Part, ...]:
    """Return what rises at a place, about it in the frame of its piece."""
    placed, use = spot.placed, spot.use
    if spot.side is not None:
        return stepped_parts(as_used(placed, use), spot.side)
    held = held_at(scene, placed, use)
    return parts_from(use.movement, held, spot.rest, use.ahead_mm(placed.extent))


def form_of(scene: Scene, spot: Spot) -> Form:
    """Return what rises at a place, about the middle of its piece as it is turned."""
    placed, use = spot.placed, spot.use
    across, along = use.head or use.at
    at = (place(across, placed.extent), place(along, placed.extent))
    turned_by, high = placed.pose.angle_deg, placed.extent.height_mm
    rising = rising_at(scene, spot)
    bar = pull_up_bar(placed) if use.inside else None
    return form_about(placed.shape, high, turned_by, rising, at, bool(use.inside), bar)


def pull_up_bar(placed: Placed) -> Across | None:
    """Return the pull-up bar across the posts of a rack, where one hangs from it; None if none.

    It is where its row has it, as high as it is set. In a rack that nobody has set otherwise it is
    the crossmember or above its underside, and that is met first.
    """
    hung = next((use for use in placed.kit.uses if use.movement == "pull-up"), None)
    if hung is None:
        return None
    half, along = PULL_UP_TUBE_MM / 2, place(hung.at[1], placed.extent)
    low = bar_mm(placed, hung) - half
    return Across(along - half, along + half, placed.extent.width_mm / 2, low)
