"""The heights of a section as dimensions: what is clear, what is taken, the difference."""

from __future__ import annotations

from app.drawing.lettering import width_of
from app.drawing.primitives import Anchor, Item, Line, Polygon, Text
from app.drawing.section_bay import Bay
from app.drawing.section_words import FIGURE_MM, TINY_MM, verdict_words
from app.units import Units, format_short

_SLANT_MM = 34.0


def heights(
    bay: Bay,
    units: Units,
    swept: tuple[float, float],
    lines: tuple[float, float],
    outer: tuple[float, float],
    true: float | None,
) -> tuple[Item, ...]:
    """Draw the dimensions of a bay.

    `swept` is how far the deciding part moves along the section, `lines` where the
    two upright dimensions stand, `outer` the bay between its walls, `true` where what is clear is
    measured, if anywhere. All in mm.
    """
    _, tone = verdict_words(bay, units)
    clear = bay.clear_mm
    takes = bay.demand.least_mm if tone == "stop" else bay.demand.need_mm
    word = "least" if tone == "stop" else "need"
    left, right = lines
    low, high = sorted((clear, takes))
    wash_x0, wash_x1 = max(swept[0], outer[0]), min(swept[1], outer[1])
    items: list[Item] = [
        _band(wash_x0, wash_x1, low, high, f"wash {tone}"),
        _level(wash_x0, max(wash_x1, right + 40), takes, f"top {tone}"),
    ]
    if tone == "care":
        items.append(_level(wash_x0, wash_x1, bay.demand.least_mm, "top least"))
    items += _upright(left, 0.0, clear, "dim")
    if true is not None:
        items.append(_level(left, true, clear, "level-leader"))
    items += _beside(left - 40, clear * 0.46, format_short(clear, units), "clear", "", "end")
    strong = tone if tone != "ok" else ""
    items += _upright(right, 0.0, takes if tone == "ok" else clear, "dim")
    items += _upright(right, low, high, f"dim {tone}")
    items += _beside(right + 40, takes * 0.46, format_short(takes, units), word, strong, "start")
    middle = (low + high) / 2 - FIGURE_MM * 0.36
    gap = format_short(high - low, units)
    items.append(Text((right + 55, -middle), gap, f"fig {tone}", "start"))
    return tuple(items)


def level_mark(
    words: str, clear: float, high: float, true: float | None, outer: tuple[float, float]
) -> tuple[Item, ...]:
    """Letter over a bay what sets its clear height; the tip of a triangle is where it does.

    `high` is the top of all that is drawn. Without such a place the words stand alone.
    """
    y = -high - TINY_MM * 0.55
    if true is None:
        return (Text((outer[0] + 20, y), words, "tiny", "start"),)
    half = min(width_of(words, TINY_MM) / 2, (outer[1] - outer[0]) / 2 - 20)
    middle = min(max(true, outer[0] + half + 20), outer[1] - half - 20)
    ring = ((true, -clear), (true - 20, -clear - 52), (true + 20, -clear - 52))
    return (
        Line((true, y + TINY_MM * 0.3), (true, -clear - 52), "level-leader"),
        Polygon(ring, "level-tip"),
        Text((middle, y), words, "tiny", "middle"),
    )


def _beside(
    x: float, z: float, figure: str, word: str, tone: str, side: Anchor
) -> tuple[Item, ...]:
    return (
        Text((x, -z), figure, f"fig {tone}".strip(), side),
        Text((x, -z + TINY_MM * 1.15), word, "tiny", side),
    )


def _upright(x: float, low: float, high: float, ink: str) -> list[Item]:
    tick = ink.replace("dim", "tick", 1)
    items: list[Item] = [Line((x, -low), (x, -high), ink)]
    for z in (low, high):
        slant = _SLANT_MM
        items.append(Line((x - slant, -z + slant), (x + slant, -z - slant), tick))
    return items


def _level(x0: float, x1: float, z: float, ink: str) -> Item:
    return Line((x0, -z), (x1, -z), ink)


def _band(x0: float, x1: float, low: float, high: float, ink: str) -> Item:
    return Polygon(((x0, -low), (x1, -low), (x1, -high), (x0, -high)), ink)
