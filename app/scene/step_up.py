"""What rises where somebody steps onto a box: the head over the box, and before it on the floor.

Over the box the head is as high as the box is higher; nobody is that high where they stand before
it. Which side they step from is theirs to choose.
"""

from __future__ import annotations

from shapely import box

from app.library.anchors import Extent
from app.library.kit import KitType
from app.library.movements import movements
from app.published.register import published, remembered
from app.scene.memory import ANSWERS_AT_MOST
from app.scene.shapes import turned
from app.scene.swept import HEAD, Part

STEP_UP = "step-up"
_STAND = "step-up.stand-mm"
_TURNS = {"front": 0.0, "left": 90.0, "back": 180.0, "right": 270.0}
"""Degrees by which the front is turned to be a side, clockwise as drawn."""


def sides_to_step_from(kit: KitType, movement: str) -> tuple[str, ...]:
    """Return the sides of a piece from which somebody steps onto it; none for what else is done.

    They are those before which it has a working space, in the order of its row; all where its row
    knows none.
    """
    if movement != STEP_UP:
        return ()
    sides = tuple(dict.fromkeys(space.side for space in kit.spaces if space.side in _TURNS))
    return sides or tuple(_TURNS)


@remembered(ANSWERS_AT_MOST)
def stepped_parts(extent: Extent, side: str) -> tuple[Part, ...]:
    """Return what rises in step-ups from one side, about the middle of a box as it is used.

    First comes who stands before it on the floor, then who stands on it.
    """
    row = movements()[STEP_UP]
    assert not isinstance(row.area_width_mm, str)
    aside, wander = row.area_width_mm / 2 + row.wander_mm, row.wander_mm
    along = extent.depth_mm if side in ("front", "back") else extent.width_mm
    edge = along / 2
    before = box(-aside, edge, aside, edge + published(_STAND))
    over = box(-aside, -edge - wander, aside, edge + wander)
    return (
        Part(HEAD, turned(before, _TURNS[side]), None, on_floor=True),
        Part(HEAD, turned(over, _TURNS[side]), None),
    )


def stands_before_mm(extent: Extent, side: str) -> tuple[float, float]:
    """Return where the middle of who stands before a side is, in mm of the frame of the box."""
    middle = stepped_parts(extent, side)[0].area.centroid
    return middle.x, middle.y
