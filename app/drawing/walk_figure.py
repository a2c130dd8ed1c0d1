"""The outline of a walk as it grows: walls with their letters, corners with their numbers."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, field

import shapely
from shapely import LineString, affinity
from shapely import Point as ShapelyPoint
from shapely.geometry.base import BaseGeometry
from shapely.ops import nearest_points

from app.drawing.lettering import width_of
from app.drawing.placing import Crowd, Spot, around
from app.drawing.primitives import Circle, Group, Item, Line, Point, Polygon, Polyline, Text
from app.drawing.svg import fragment
from app.model.room_walls import letter_at
from app.units import Units, format_short

_LETTERS_ACROSS = 23.0
_HEIGHT_LETTERS = 0.86
"""The size of heights by that of lengths, as in the style sheet."""


@dataclass(frozen=True, slots=True)
class WalkDrawing:
    """What is drawn of a walk, in mm, y down.

    `corners` of a closed walk come round to the first; an open one has one corner more than
    walls, and its end points at the start. `lengths_mm` are those taped. `diagonals` name corners
    from 0; `loud_walls` and `loud_diagonals` those that disagree. `held` are the corners that only
    a word holds. `heights` are places with what was taped there. `fall` is the way down a ceiling.
    """

    corners: tuple[Point, ...]
    closed: bool
    lengths_mm: tuple[float, ...]
    right_hand: bool = False
    diagonals: tuple[tuple[int, int], ...] = ()
    loud_walls: frozenset[int] = frozenset()
    loud_diagonals: frozenset[int] = frozenset()
    held: frozenset[int] = frozenset()
    heights: tuple[tuple[Point, float], ...] = field(default=())
    fall: tuple[Point, Point] | None = None


def walk_figure(drawing: WalkDrawing, units: Units) -> str:
    """Draw a walk as an `<svg>` for the page; inks are classes of its style sheet."""
    xs, ys = [x for x, _ in drawing.corners], [y for _, y in drawing.corners]
    size = max(max(xs) - min(xs), max(ys) - min(ys), 1000.0)
    em = size / _LETTERS_ACROSS
    items: list[Item] = []
    if drawing.closed:
        items.append(Polygon(drawing.corners, "walk-floor"))
    else:
        items.append(Polyline(drawing.corners, "walk-open"))
        if len(drawing.corners) > 2:
            items.append(Line(drawing.corners[-1], drawing.corners[0], "walk-gap"))
    items += [
        Line(
            drawing.corners[a],
            drawing.corners[b],
            "walk-diagonal loud" if i in drawing.loud_diagonals else "walk-diagonal",
        )
        for i, (a, b) in enumerate(drawing.diagonals)
    ]
    walls, reach = _walls(drawing, units, em)
    items += walls
    heights, far = _heights(drawing, units, em, [each for each in walls if isinstance(each, Text)])
    items += heights
    reach += far
    items += _corners(drawing, em)
    if drawing.fall is not None:
        items += _arrow(*drawing.fall, em)
    xs += [x for x, _ in reach]
    ys += [y for _, y in reach]
    pad = em * 1.2
    view = (min(xs) - pad, min(ys) - pad, max(xs) - min(xs) + 2 * pad, max(ys) - min(ys) + 2 * pad)
    return fragment(
        [Group(tuple(items), "walk-lines")],
        {
            "class": "walk-figure",
            "viewBox": " ".join(f"{value:.0f}" for value in view),
            "preserveAspectRatio": "xMidYMid meet",
            "font-size": f"{em:.0f}",
            "stroke-width": f"{em / 12:.0f}",
            "role": "img",
            "aria-label": _in_words(drawing, units),
        },
        digits=0,
    )


def _arrow(high: Point, low: Point, em: float) -> list[Item]:
    """Draw the fall of a ceiling: an arrow from high to low."""
    long = math.dist(high, low)
    ux, uy = (low[0] - high[0]) / long, (low[1] - high[1]) / long
    back = (low[0] - ux * em, low[1] - uy * em)
    head = (
        low,
        (back[0] - uy * em / 3, back[1] + ux * em / 3),
        (back[0] + uy * em / 3, back[1] - ux * em / 3),
    )
    size = em * _HEIGHT_LETTERS
    beyond = (low[0] + ux * em * 1.4, low[1] + uy * em + size * 0.36)
    word = Text(beyond, "down", "walk-height", "middle")
    return [Line(high, back, "walk-fall"), Polygon(head, "walk-fall-head"), word]


def _in_words(drawing: WalkDrawing, units: Units) -> str:
    walls = ", ".join(
        f"{letter_at(i)} {format_short(length, units)}"
        for i, length in enumerate(drawing.lengths_mm)
    )
    return f"The {'outline' if drawing.closed else 'walk so far'}: {walls}"


def _walls(drawing: WalkDrawing, units: Units, em: float) -> tuple[list[Item], list[Point]]:
    items: list[Item] = []
    reach: list[Point] = []
    count = len(drawing.corners)
    for i, length in enumerate(drawing.lengths_mm):
        start, end = drawing.corners[i], drawing.corners[(i + 1) % count]
        long = math.dist(start, end) or 1.0
        ux, uy = (end[0] - start[0]) / long, (end[1] - start[1]) / long
        # the outside lies at the left of a walk with the walls at the left hand
        nx, ny = (-uy, ux) if drawing.right_hand else (uy, -ux)
        loud = " loud" if i in drawing.loud_walls else ""
        items.append(Line(start, end, f"walk-wall{loud}"))
        turn = math.degrees(math.atan2(uy, ux))
        turn = turn - 180 if turn > 90 else turn + 180 if turn <= -90 else turn
        up = (math.sin(math.radians(turn)), -math.cos(math.radians(turn)))
        away = em * (1.5 if up[0] * nx + up[1] * ny < 0 else 0.7)
        middle = ((start[0] + end[0]) / 2 + nx * away, (start[1] + end[1]) / 2 + ny * away)
        words = f"{letter_at(i)}  {format_short(length, units)}"
        items.append(Text(middle, words, f"walk-length{loud}", "middle", round(turn, 2)))
        reach.append((middle[0] + nx * em, middle[1] + ny * em))
    return items, reach


def _corners(drawing: WalkDrawing, em: float) -> Sequence[Item]:
    items: list[Item] = []
    for i, (x, y) in enumerate(drawing.corners):
        end = not drawing.closed and i == len(drawing.corners) - 1
        ink = "walk-end" if end else "walk-corner by-word" if i in drawing.held else "walk-corner"
        items.append(Circle((x, y), em * 0.66, ink))
        if not end:
            items.append(Text((x, y + em * 0.34), str(i + 1), "walk-number"))
    return items


def _heights(
    drawing: WalkDrawing, units: Units, em: float, lengths: Sequence[Text]
) -> tuple[list[Item], list[Point]]:
    """Mark each height with a cross, and letter it beside where no line or word is in the way."""
    items: list[Item] = []
    reach: list[Point] = []
    arm, size = em * 0.4, em * _HEIGHT_LETTERS
    crowd = _crowd(drawing, em, lengths)
    for (x, y), _ in drawing.heights:
        items.append(Line((x - arm, y), (x + arm, y), "walk-cross"))
        items.append(Line((x, y - arm), (x, y + arm), "walk-cross"))
        crowd.take(around((x, y), 2 * arm, 2 * arm))
    for (x, y), height in drawing.heights:
        words = f"h {format_short(height, units)}"
        wide, high = width_of(words, size) + em * 0.4, em * 1.1
        mx, my = crowd.place(wide, high, _spots((x, y), wide, em))
        leader = _leader((x, y), around((mx, my), wide, size), arm)
        if leader is not None:
            items.append(leader)
            crowd.take(LineString([leader.start, leader.end]).buffer(em * 0.1))
        items.append(Text((mx, my + size * 0.36), words, "walk-height", "middle"))
        reach += [(mx - wide / 2, my - high / 2), (mx + wide / 2, my + high / 2)]
    return items, reach


def _leader(cross: Point, words: BaseGeometry, arm: float) -> Line | None:
    """Lead from a cross to its words where they stand away from it."""
    end = nearest_points(words, ShapelyPoint(cross))[0]
    away = math.dist(cross, (end.x, end.y))
    if away <= 2 * arm:
        return None
    share = arm / away
    start = (cross[0] + (end.x - cross[0]) * share, cross[1] + (end.y - cross[1]) * share)
    return Line(start, (end.x, end.y), "walk-cross")


def _crowd(drawing: WalkDrawing, em: float, lengths: Sequence[Text]) -> Crowd:
    """Gather what heights are kept clear of: walls, diagonals, corners and lengths."""
    corners = drawing.corners
    lines = [LineString([corners[a], corners[b]]) for a, b in drawing.diagonals]
    crowd = Crowd([LineString((*corners, corners[0]) if drawing.closed else corners), *lines])
    for corner in corners:
        crowd.take(around(corner, em * 1.5, em * 1.5))
    for text in lengths:
        wide = width_of(text.words, em)
        box = shapely.box(-wide / 2, -em, wide / 2, em * 0.3)
        turned = affinity.rotate(box, text.turn_deg, origin=(0, 0))
        crowd.take(affinity.translate(turned, *text.at))
    return crowd


def _spots(at: Point, wide: float, em: float) -> list[Spot]:
    """Return places round a point, the nearest as the cheapest."""
    return [
        Spot(
            (
                at[0] + math.cos(turn * math.pi / 8) * (wide / 2 + away * em),
                at[1] + math.sin(turn * math.pi / 8) * (1 + away) * em,
            ),
            away / 4,
        )
        for away in (0.0, 0.4, 0.8, 1.2, 1.8, 2.4)
        for turn in range(16)
    ]
