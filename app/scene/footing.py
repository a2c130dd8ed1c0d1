"""What bears a person at a piece: a box, a deck and its incline, a saddle. All heights in mm."""

from __future__ import annotations

from typing import NamedTuple

from app.formulas.headroom import grade_rise_mm
from app.library.anchors import Extent, place
from app.library.use import Use
from app.published.register import published
from app.scene.build import Placed

STEPPED_ON = frozenset({"step-up", "box-jump"})
ON_A_BELT = frozenset({"run", "walk"})
HUNG_ON = frozenset({"pull-up", "dip"})
"""What is done on a bar that one hangs from or props oneself on."""
_SAME_MM = 1.0
"""Sides that differ by no more are one: nobody measures a box finer."""


class Footing(NamedTuple):
    """The height of what bears a person from the foot of the piece, and what a grade adds to it."""

    base_mm: float
    rise_mm: float = 0.0


def footing(placed: Placed, use: Use) -> Footing:
    """Return what a person stands, sits or hangs on at a use.

    A box that is stepped on counts with the height typed for it; where none is, with the side that
    its row is used on. A belt has the grade typed for it, else the one assumed; none without motor.
    """
    # what is typed far too low has none of its parts under the floor
    base = max(place(use.base, placed.extent), 0.0)
    if use.movement in STEPPED_ON and placed.piece.height_mm is not None:
        return Footing(placed.extent.height_mm)
    if use.movement not in ON_A_BELT:
        return Footing(base)
    deck = placed.piece.deck_mm
    return Footing(base if deck is None else deck, grade_rise_mm(grade_ratio(placed)))


def bar_mm(placed: Placed, use: Use) -> float:
    """Return how high the bar that one hangs from is over the foot of its piece, in mm.

    To its middle: as it was typed, else as the type has it.
    """
    return placed.piece.bar_height_mm or place(use.base, placed.extent)


def as_used(placed: Placed, use: Use) -> Extent:
    """Return the size of a piece as it stands while it is used: a box on the side it is used on."""
    if use.movement not in STEPPED_ON:
        return placed.extent
    return turned_to(placed.extent, footing(placed, use).base_mm)


def turned_to(extent: Extent, high_mm: float) -> Extent:
    """Return the size of a box that is turned to a height: the side that was so long is up.

    Where no side is as long as that it keeps its floor.
    """
    wide, deep, high = extent.width_mm, extent.depth_mm, extent.height_mm
    if abs(high - high_mm) > _SAME_MM:
        if abs(wide - high_mm) <= _SAME_MM:
            wide = high
        elif abs(deep - high_mm) <= _SAME_MM:
            deep = high
    return Extent(wide, deep, high_mm)


def grade_ratio(placed: Placed) -> float:
    """Return the steepest grade that a belt is used at, as rise over run."""
    if not has_motor(placed):
        return 0.0
    typed = placed.piece.grade_ratio
    return published("run.grade-assumed") if typed is None else typed


def has_motor(placed: Placed) -> bool:
    """Return whether a machine draws power: what draws none has no motor that lifts its deck."""
    power = placed.piece.power_w
    return (placed.kit.power_w if power is None else power) > 0
