"""Level marks: a filled triangle whose tip is where a height is true, led to its lettering."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from app.drawing.lettering import width_of
from app.drawing.medium import Level, Medium
from app.drawing.placing import Crowd, Spot, around, grid
from app.drawing.primitives import Anchor, Group, Item, Line, Point, Polygon, Text

_LETTERS = 0.85
"""The size of heights by that of names, as on paper and in the style sheet of the desk."""
_LONG, _HALF_WIDE = 0.8, 0.32
"""The triangle, in sizes of lettering."""
_AWAY = (1.4, 2.6, 4.2, 6.5, 9.5)
"""How far lettering may stand from its tip, the nearest that leaves a stroke of leader first."""
_TURNS = 16
_TIPS_ALONG, _TIPS_ACROSS = 9, 6


@dataclass(frozen=True, slots=True)
class _Place:
    """One way to letter a height: its tip, where its leader ends, the middle of its words."""

    tip: Point
    end: Point
    middle: Point
    cost: float


def letter(levels: Sequence[Level], crowd: Crowd | None, medium: Medium) -> tuple[Group, ...]:
    """Mark every height where it is true, its words where they hide least.

    Without a crowd the words stand where it costs least to stand.
    """
    size = medium.em_mm * _LETTERS
    wanted = [(level, _places(level, size)) for level in levels]
    if crowd is not None:
        for level, places in wanted:
            # what is true at one point only has no other place for its tip
            if places and level.where.length == 0:
                crowd.take(around(places[0].tip, size / 2, size / 2))
    marks = []
    for level, places in wanted:
        if places:
            marks.append(_mark(level.words, _best(level.words, places, crowd, size), crowd, size))
    return tuple(marks)


def _best(words: str, places: Sequence[_Place], crowd: Crowd | None, size: float) -> _Place:
    if crowd is None:
        return min(places, key=lambda place: place.cost)
    leaders = shapely.linestrings([(place.tip, place.end) for place in places])
    costs = np.array([place.cost for place in places]) + 2.0 * crowd.crossed(leaders)
    of_spot: dict[Point, tuple[Spot, _Place]] = {}
    for place, cost in zip(places, costs.tolist(), strict=True):
        spot = Spot(place.middle, cost)
        if spot.at not in of_spot or cost < of_spot[spot.at][0].cost:
            of_spot[spot.at] = (spot, place)
    middle = crowd.place(width_of(words, size), size * 1.3, [spot for spot, _ in of_spot.values()])
    return of_spot[middle][1]


def _mark(words: str, place: _Place, crowd: Crowd | None, size: float) -> Group:
    (x, y), (ex, ey) = place.tip, place.end
    long = math.dist(place.tip, place.end)
    ux, uy = (ex - x) / long, (ey - y) / long
    bx, by = x + ux * size * _LONG, y + uy * size * _LONG
    half = size * _HALF_WIDE
    ring = (place.tip, (bx - uy * half, by + ux * half), (bx + uy * half, by - ux * half))
    at, anchor = _words_at(place, width_of(words, size))
    items: list[Item] = [
        Line((bx, by), place.end, "level-leader"),
        Polygon(ring, "level-tip"),
        Text((at[0], at[1] + size * 0.36), words, "tiny", anchor),
    ]
    if crowd is not None:
        crowd.take(LineString([place.tip, place.end]).buffer(half))
    return Group(tuple(items), "level")


def _words_at(place: _Place, wide: float) -> tuple[Point, Anchor]:
    """Return where words are anchored: at the end by their leader, whatever their width becomes."""
    (x, y), ex = place.middle, place.end[0]
    if abs(x - ex) < wide / 2:
        return (x, y), "middle"
    return ((x - wide / 2, y), "start") if x > ex else ((x + wide / 2, y), "end")


def _places(level: Level, size: float) -> list[_Place]:
    wide, high = width_of(level.words, size), size * 1.3
    places = []
    for tip, dear in _tips(level.where, size):
        for away in _AWAY:
            for turn in range(_TURNS):
                angle = turn * 2 * math.pi / _TURNS
                ux, uy = math.cos(angle), math.sin(angle)
                end = (tip[0] + ux * away * size, tip[1] + uy * away * size)
                # leaders along the words read best, and words near their tip
                cost = dear + 0.45 * (away - _AWAY[0]) + 0.25 * abs(uy)
                places.append(_Place(tip, end, _middle(end, (ux, uy), wide, high, size), cost))
    return places


def _middle(end: Point, way: Point, wide: float, high: float, size: float) -> Point:
    """Return where words stand whose leader comes to their side, or from below or above."""
    gap = size * 0.25
    if abs(way[0]) >= 0.3:
        return end[0] + math.copysign(wide / 2 + gap, way[0]), end[1]
    return end[0], end[1] + math.copysign(high / 2, way[1])


def _tips(where: BaseGeometry, size: float) -> list[tuple[Point, float]]:
    """Return places where a height is true, the dearer the farther from the middle of them."""
    if where.area > 0:
        inner = next(
            inset
            for inset in (where.buffer(-size * 0.6), where.buffer(-size * 0.15), where)
            if not inset.is_empty
        )
        centre = inner.representative_point()
        points = [
            p for p in grid(inner.bounds, size * 2, _TIPS_ACROSS) if inner.covers(shapely.Point(p))
        ]
        points.append((centre.x, centre.y))
    elif where.length > 0:
        longest = max(shapely.get_parts(shapely.line_merge(where)), key=lambda part: part.length)
        centre = longest.interpolate(0.5, normalized=True)
        shares = [step / (_TIPS_ALONG + 1) for step in range(1, _TIPS_ALONG + 1)]
        along = [longest.interpolate(share, normalized=True) for share in shares]
        points = [(p.x, p.y) for p in along]
    else:
        points = [(float(x), float(y)) for x, y in shapely.get_coordinates(where)]
        centre = shapely.Point(points[0])
    reach = size * 30
    return [(p, math.dist(p, (centre.x, centre.y)) / reach) for p in points]
