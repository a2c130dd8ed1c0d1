"""Which way a piece of a floor lies: an arrow to the wall one lays from, on the plan and in stock.

A piece may be cut turned by quarters, so that its notch is at another corner than on the plan: the
arrow is on both pictures, and the words say which edge it points at.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from shapely import Polygon as Outline

from app.drawing.primitives import Item, Point, Polygon
from app.takeoff.floor_layout import Mat

_QUARTERS = 4
_SIDES = ("top", "right", "bottom", "left")
"""Which edge in its stock piece the wall is at, by quarters clockwise: its top where it is not
turned, for the frame of a start has its wall at the top."""
_WAYS: tuple[Point, ...] = ((0.0, -1.0), (1.0, 0.0), (0.0, 1.0), (-1.0, 0.0))
_LONG_EM, _WIDE_EM = 1.0, 0.8
_FROM_NUMBER_EM = (1.5, 1.1)
"""How far the middle of an arrow is from that of a number beside it, across and up."""


def side_towards(mat: Mat) -> str:
    """Return which edge of a piece, as it lies in its stock piece, lies towards the start wall."""
    return _SIDES[mat.rect.quarters % _QUARTERS]


def towards_in_stock(mat: Mat) -> Point:
    """Return the way to the start wall as the piece lies in its stock piece, a unit vector."""
    return _WAYS[mat.rect.quarters % _QUARTERS]


def arrow_words(mats: Sequence[Mat], wall: str) -> Iterator[str]:
    """Say what the arrows mean, where there are any."""
    if any(mat.notched for mat in mats):
        yield (
            f"The arrow on a piece with a notch or a hole points to {wall}, here and where it is "
            "cut from: turn the piece so before you mark it."
        )


def pointer(at: Point, way: Point, em: float) -> Polygon:
    """Return an arrow head with its middle at a point."""
    (x, y), (dx, dy) = at, way
    long, wide = em * _LONG_EM / 2, em * _WIDE_EM / 2
    foot = x - dx * long, y - dy * long
    tip = x + dx * long, y + dy * long
    ring = (
        tip, (foot[0] - dy * wide, foot[1] + dx * wide), (foot[0] + dy * wide, foot[1] - dx * wide),
    )  # fmt: skip
    return Polygon(ring, "dark", "", (("wallward", f"{dx:.3f},{dy:.3f}"),))


def wallward(piece: Outline, number: Point, way: Point, em: float) -> Iterator[Item]:
    """Draw the arrow of a piece beside its number, on whichever side of it there is room first."""
    middle = number[0], number[1] - em * 0.36
    across, up = _FROM_NUMBER_EM
    for dx, dy in (way, *_WAYS):
        at = middle[0] + dx * across * em, middle[1] + dy * up * em
        arrow = pointer(at, way, em)
        if piece.covers(Outline(arrow.points)):
            yield arrow
            return
