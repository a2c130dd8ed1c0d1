"""Heights as dimensions: an upright line with ticks and its figure along it."""

from __future__ import annotations

from app.drawing.lettering import width_of
from app.drawing.primitives import Item, Line, Text


def upright(
    x: float, low: float, high: float, words: str, em: float, *, after: bool = False
) -> list[Item]:
    """Draw a height from `low` to `high` (z up) at x, its figure before the line or `after` it.

    A figure longer than the line stands beyond its upper end.
    """
    slant = em * 0.3
    items: list[Item] = [Line((x, -low), (x, -high), "dim")]
    for z in (low, high):
        items.append(Line((x - slant, -z + slant), (x + slant, -z - slant), "tick"))
    wide = width_of(words, em)
    middle = (low + high) / 2
    if wide + em > high - low:
        middle = high + wide / 2 + em * 0.5
    at = x + em * 1.1 if after else x - em * 0.35
    items.append(Text((at, -middle), words, "dimt", "middle", -90.0))
    return items


def level_line(x0: float, x1: float, z: float, ink: str = "level-leader") -> list[Item]:
    """Draw a height as a thin level line."""
    return [Line((x0, -z), (x1, -z), ink)]
