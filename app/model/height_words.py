"""Heights as the page of the room shows them: as they were typed on the walk, or as people write.

A ceiling that was fitted to several heights lies a fraction of a millimetre off each of them. What
is shown for it, sent back as it stands, means the height itself.
"""

from __future__ import annotations

from app.errors import LengthError
from app.model.room import Room
from app.units import FOOT_MM, Units, format_length, read_length_mm

HEIGHT = (200.0, 12_000.0)
"""Least and most height of a ceiling that a form takes, in mm."""
_SAME_MM = 0.01


def shown_height(room: Room, height_mm: float, units: Units) -> str:
    """Write a height of the ceiling: the text typed on the walk where it is still true of it.

    Else to the nearest mm or sixteenth of an inch.
    """
    written = format_length(height_mm, units)
    for taped in room.walk.heights if room.walk else ():
        if format_length(taped.height_mm, units) == written and _reads(
            taped.typed, taped.height_mm, units
        ):
            return taped.typed
    return written


def slope_words(mm_per_m: float, units: Units) -> str:
    """Write how steep a ceiling is: ``96 mm in each metre`` or ``1 1/8" in each foot``."""
    if units == "feet":
        return f"{format_length(mm_per_m * float(FOOT_MM) / 1000, units)} in each foot"
    return f"{mm_per_m:.0f} mm in each metre"


def _reads(typed: str, length_mm: float, units: Units) -> bool:
    """Return whether a text, typed into a form of the room, means this length."""
    try:
        return abs(read_length_mm(typed, units, HEIGHT) - length_mm) < _SAME_MM
    except LengthError:
        return False
