"""Words of a crowded wall: set aside where there is room, with a line to what they belong to."""

from __future__ import annotations

from collections.abc import Iterator

import numpy as np
import shapely
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from app.drawing.placing import Floats, Spot
from app.drawing.primitives import Item, Line, Point, Polygon

_FROM_COST, _COST = 2.0, 0.1
"""What it costs to stand aside at all, and for each height of a letter of the way there."""
_STEPS = 14
"""So many places are tried along a wall to either side."""
_ARROW_EM, _SLIM = 0.55, 6.0
"""How long an arrow at the end of a line is, and how many times as long as half of it is wide."""
_NEAR_EM = 1.1
"""Words nearer to their thing than this, in sizes of the lettering, need no line to it."""
_INSIDE_EM = 0.3
"""How far inside of a thing such a line ends, where it is as large."""


def aside(at: Point, size: tuple[float, float], within: shapely.Polygon, em: float) -> list[Spot]:
    """Return where words of a size may stand aside of a point, on the wall `within`, y down."""
    points, costs = aside_at(at, size, within, em)
    return [
        Spot((x, y), cost) for (x, y), cost in zip(points.tolist(), costs.tolist(), strict=True)
    ]


def aside_at(
    at: Point, size: tuple[float, float], within: shapely.Polygon, em: float
) -> tuple[Floats, Floats]:
    """Return the same as middles (n, 2) in mm and what each costs (n,)."""
    (x, _), (wide, high) = at, size
    _, y0, _, y1 = within.bounds
    ups = y0 + high * (np.arange(max(1, int((y1 - y0) / high))) + 0.5)
    alongs = x + np.arange(-_STEPS, _STEPS + 1) * max(wide, em * 2) / 2
    points = np.stack(np.meshgrid(alongs, ups), axis=-1).reshape(-1, 2)
    half = np.array([wide, high]) / 2
    low, far = points - half, points + half
    inside = shapely.covers(within, shapely.box(*low.T, *far.T))
    costs = _FROM_COST + _COST * np.hypot(*(points - at).T) / em
    return points[inside], costs[inside]


def leader(words_at: Point, size: tuple[float, float], to: Point, em: float) -> Iterator[Item]:
    """Draw a line from the edge of words to what they belong to, an arrow at its end.

    A dot is a clip or a screw on a wall, where one drills. Words that stand at it need none.
    """
    (x, y), (wide, high) = words_at, size
    box = shapely.box(x - wide / 2, y - high / 2, x + wide / 2, y + high / 2)
    target = shapely.Point(to)
    if box.distance(target) < em / 2:
        return
    (px, py), _ = shapely.get_coordinates(shapely.shortest_line(box, target)).tolist()
    yield Line((px, py), to, "leader")
    yield _arrow((px, py), to, em)


def led_to(words: BaseGeometry, thing: BaseGeometry, em: float) -> LineString | None:
    """Return the line from lines of words to the thing that they tell of; none where they are near.

    It ends a little inside of the thing.
    """
    if words.distance(thing) < em * _NEAR_EM:
        return None
    (px, py), (x, y) = shapely.get_coordinates(shapely.shortest_line(words, thing)).tolist()
    inner = thing.buffer(-em * _INSIDE_EM)
    if not inner.is_empty:
        x, y = shapely.get_coordinates(shapely.shortest_line(shapely.Point(px, py), inner))[1]
    return LineString([(px, py), (float(x), float(y))])


def drawn(way: LineString, em: float) -> Iterator[Item]:
    """Draw such a line with an arrow at its end."""
    (px, py), (x, y) = way.coords
    yield Line((px, py), (x, y), "leader")
    yield _arrow((px, py), (x, y), em)


def _arrow(start: Point, tip: Point, em: float) -> Polygon:
    way = np.subtract(tip, start)
    back = way / np.hypot(*way) * em * _ARROW_EM
    aside = np.array([-back[1], back[0]]) / _SLIM
    (ax, ay), (bx, by) = (tip - back + aside).tolist(), (tip - back - aside).tolist()
    return Polygon((tip, (ax, ay), (bx, by)), "leader-dot")
