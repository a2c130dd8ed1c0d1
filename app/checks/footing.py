"""What bears a person at a piece: a box, a deck and its incline, a saddle. All heights in mm."""

from __future__ import annotations

from typing import NamedTuple

from app.checks.snag import is_many
from app.formulas.headroom import grade_rise_mm
from app.library.anchors import Extent, place
from app.library.use import Use
from app.published.register import published
from app.scene.build import Placed
from app.scene.tolerance import TOLERANCE_MM
from app.wording import Phrase, phrase

STEPPED_ON = frozenset({"step-up", "box-jump"})
ON_A_BELT = frozenset({"run", "walk"})
_RUN = "run"
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


def under_its_grip(placed: Placed, low_mm: float) -> Phrase | None:
    """Say how far a thing that one hangs from reaches below where it is gripped, down to a height.

    Its height is measured to the middle of its bar, and heads meet what is below that. None where
    nobody hangs from it, or where nothing of it is lower.
    """
    use = next((one for one in placed.kit.uses if one.movement in HUNG_ON), None)
    if use is None:
        return None
    below = bar_mm(placed, use) + placed.lift_mm - low_mm
    if below < TOLERANCE_MM:
        return None
    words = "the middle of their grip is {:bare} higher"
    if not is_many(placed.kit.name):
        words = "the middle of its bar is {:bare} higher"
    return phrase(words, below)


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


def belt_words(placed: Placed, use: Use) -> Phrase:
    """Say on what deck and grade a person on a belt is judged."""
    grade = grade_ratio(placed)
    flat = phrase("flat") if grade == 0 else phrase("at {:.0%}", grade)
    return phrase("on a deck of {:mm}, {}", footing(placed, use).base_mm, flat)


def grade_is_open(placed: Placed) -> bool:
    """Return whether the grade of a machine to run on has still to be asked."""
    runs = any(use.movement == _RUN for use in placed.kit.uses)
    return runs and has_motor(placed) and placed.piece.grade_percent is None
