"""Level marks: a filled triangle whose tip is where a height is true, led to its lettering."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from app.drawing.lettering import width_of
from app.drawing.medium import Level, Medium
from app.drawing.placing import Crowd, around, grid
from app.drawing.primitives import Anchor, Group, Item, Line, Point, Polygon, Text

Floats = NDArray[np.float64]

_LETTERS = 0.85
"""The size of heights by that of names in the style sheet of the desk; on paper both are alike."""
_LONG, _HALF_WIDE = 0.8, 0.32
"""The triangle, in sizes of lettering."""
_AWAY = (1.4, 2.6, 4.2, 6.5, 9.5)
"""How far lettering may stand from its tip, the nearest that leaves a stroke of leader first."""
_TURNS = 16
_WAYS = np.array(
    [
        (math.cos(turn * 2 * math.pi / _TURNS), math.sin(turn * 2 * math.pi / _TURNS))
        for turn in range(_TURNS)
    ]
)
"""The directions in which leaders are tried, (n, 2)."""
_BESIDE = 0.3
"""From this share of a leader's way along the words on it comes to their side."""
_GAP = 0.25
"""The air between a leader and its words, in sizes of lettering."""
_TIPS_ALONG, _TIPS_ACROSS = 9, 6
_OVER_COST, _ALONG_WORDS = 4.0, 7
"""What it costs that words stand over what they keep off, asked at so many points of them."""


@dataclass(frozen=True, slots=True)
class _Place:
    """One way to letter a height: its tip, where its leader ends, the middle of its words."""

    tip: Point
    end: Point
    middle: Point


@dataclass(frozen=True, slots=True)
class _Places:
    """All n ways to letter a height, as in `_Place`, (n, 2) each, and what each costs, (n,)."""

    tips: Floats
    ends: Floats
    middles: Floats
    costs: Floats

    def __getitem__(self, number: int) -> _Place:
        """Return one of them."""
        tip, end, middle = (
            (float(xy[number, 0]), float(xy[number, 1]))
            for xy in (self.tips, self.ends, self.middles)
        )
        return _Place(tip, end, middle)


def letter(
    levels: Sequence[Level],
    crowd: Crowd | None,
    medium: Medium,
    off: BaseGeometry | None = None,
) -> tuple[Group, ...]:
    """Mark every height where it is true, its words where they hide least.

    Without a crowd the words stand where it costs least to stand. They keep `off` an area where
    they can: over kit a height reads as that of the kit.
    """
    size = medium.em_mm * (1.0 if medium.strokes else _LETTERS)
    wanted = [(level, _places(level, size)) for level in levels]
    if crowd is not None:
        for level, places in wanted:
            # what is true at one point only has no other place for its tip
            if len(places.costs) and level.where.length == 0:
                crowd.take(around(places[0].tip, size / 2, size / 2))
    marks = []
    for level, places in wanted:
        if len(places.costs):
            if off is not None:
                places = replace(places, costs=places.costs + _over(off, level.words, places, size))
            marks.append(_mark(level.words, _best(level.words, places, crowd, size), crowd, size))
    return tuple(marks)


def _over(area: BaseGeometry, words: str, places: _Places, size: float) -> Floats:
    """Return what it costs that words at each place stand over an area."""
    shapely.prepare(area)
    along = np.linspace(-0.5, 0.5, _ALONG_WORDS) * width_of(words, size)
    x, y = places.middles[:, :1] + along, places.middles[:, 1:] + np.zeros(_ALONG_WORDS)
    costs: Floats = shapely.intersects_xy(area, x, y).mean(axis=1) * _OVER_COST
    return costs


def _best(words: str, places: _Places, crowd: Crowd | None, size: float) -> _Place:
    if crowd is None:
        return places[int(np.argmin(places.costs))]
    ends = np.stack([places.tips, places.ends], axis=1)
    leaders = np.array(shapely.linestrings(ends), dtype=object)
    costs = places.costs + 2.0 * crowd.crossed(leaders)
    return places[crowd.choose(width_of(words, size), size * 1.3, places.middles, costs)]


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


def _places(level: Level, size: float) -> _Places:
    wide, high = width_of(level.words, size), size * 1.3
    tips = _tips(level.where, size)
    count = len(tips)
    at = np.array([tip for tip, _ in tips], dtype=np.float64).reshape(count, 1, 1, 2)
    dear = np.array([cost for _, cost in tips], dtype=np.float64).reshape(count, 1, 1)
    away = np.array(_AWAY)[None, :, None]
    ends = at + _WAYS * (away * size)[..., None]
    # leaders along the words read best, and words near their tip
    costs = dear + 0.45 * (away - _AWAY[0]) + 0.25 * np.abs(_WAYS[:, 1])
    # words whose leader comes to their side, or from below or above
    beside = np.abs(_WAYS[:, 0]) >= _BESIDE
    aside = np.copysign(wide / 2 + size * _GAP, _WAYS[:, 0])
    above = np.copysign(high / 2, _WAYS[:, 1])
    shift = np.column_stack([np.where(beside, aside, 0.0), np.where(beside, 0.0, above)])
    middles = ends + shift
    return _Places(
        np.broadcast_to(at, ends.shape).reshape(-1, 2),
        ends.reshape(-1, 2),
        middles.reshape(-1, 2),
        costs.reshape(-1),
    )


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
