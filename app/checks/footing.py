"""Words for what bears a person at a piece, and what of it has still to be asked."""

from __future__ import annotations

from app.checks.snag import is_many
from app.library.use import Use
from app.scene.build import Placed
from app.scene.footing import HUNG_ON, bar_mm, footing, grade_ratio, has_motor
from app.scene.tolerance import TOLERANCE_MM
from app.wording import Phrase, phrase

_RUN = "run"


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


def belt_words(placed: Placed, use: Use) -> Phrase:
    """Say on what deck and grade a person on a belt is judged."""
    grade = grade_ratio(placed)
    flat = phrase("flat") if grade == 0 else phrase("at {:.0%}", grade)
    return phrase("on a deck of {:mm}, {}", footing(placed, use).base_mm, flat)


def grade_is_open(placed: Placed) -> bool:
    """Return whether the grade of a machine to run on has still to be asked."""
    runs = any(use.movement == _RUN for use in placed.kit.uses)
    return runs and has_motor(placed) and placed.piece.grade_percent is None
