"""What is held at the top of a press, seen end-on: a bar with its plates, or a dumbbell."""

from __future__ import annotations

from app.drawing.body import Spot
from app.drawing.section_frame import Disc, Given, Thing


def bar_end(at: Spot, plate_mm: float) -> tuple[Thing, ...]:
    """Return the end of a bar at a place, mm, with plates so large across."""
    return (Disc(at, plate_mm / 2, "plate"), Disc(at, 26, "sleeve"), Disc(at, 9, "bar-middle"))


def dumbbell(g: Given, at: Spot) -> tuple[Thing, ...]:
    """Return a dumbbell at a place, mm, as high above the grip as is judged."""
    return (Disc(at, g.top_mm - g.grip_mm, "plate"), Disc(at, 17, "bar-middle"))
