"""What of a drawing lies inside an area: strokes and surfaces are cut, words stay whole."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace

import shapely
from shapely import LineString, Polygon
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from app.drawing import primitives as p
from app.drawing.ink import LOOK, SMALL_MM
from app.drawing.lettering import width_of
from app.drawing.medium import rings_of
from app.drawing.primitives import Item, Point
from app.drawing.svg import lettering_mm, style_of

_DESCENT, _ASCENT = 0.22, 0.8
"""What letters reach under and over their base line, in sizes of the lettering."""
_ARC_STEPS = 24
_SMALL_EM = 1.6
"""Rings no larger than this are round a number or mark, and stay whole as words do."""


def clipped(items: Sequence[Item], area: Polygon, scale: float) -> tuple[Item, ...]:
    """Return what of items lies in an area; `scale` is how many of their units are one mm of paper.

    Words, and rings round a number, belong to it with their middle.
    """
    return tuple(part for item in items for part in _clipped(item, area, scale))


def word_boxes(items: Sequence[Item], scale: float) -> Iterator[BaseGeometry]:
    """Yield the boxes of all that stays whole, in the units of the items."""
    for item in items:
        if isinstance(item, p.Group):
            back = [*item.matrix]
            for box in word_boxes(item.children, scale / item.scale):
                yield affine_transform(box, back)
        elif isinstance(item, p.Text):
            yield _box(item, scale)
        elif isinstance(item, p.Circle) and _small(item, scale):
            yield shapely.Point(item.centre).buffer(item.radius)


def _clipped(item: Item, area: Polygon, scale: float) -> Iterator[Item]:
    match item:
        case p.Group():
            here = affine_transform(area, _inverse(item))
            children = clipped(item.children, here, scale / item.scale)
            if children:
                yield replace(item, children=children)
        case p.Text():
            if item.words.strip() and _holds(area, _box(item, scale).centroid):
                yield item
        case p.Circle() if _small(item, scale):
            if _holds(area, shapely.Point(item.centre)):
                yield item
        case p.Line():
            for run in _runs(LineString([item.start, item.end]), area):
                yield replace(item, start=run[0], end=run[-1])
        case p.Polyline():
            for run in _runs(LineString(item.points), area):
                yield replace(item, points=run)
        case p.Strokes():
            cut = [
                (run[0], run[-1]) for line in item.lines for run in _runs(LineString(line), area)
            ]
            if cut:
                yield replace(item, lines=tuple(cut))
        case p.Arc():
            whole = LineString(_arc(item))
            if area.covers(whole):
                yield item
            else:
                yield from (p.Polyline(part, item.ink) for part in _runs(whole, area))
        case p.Circle():
            ring = shapely.Point(item.centre).buffer(item.radius, quad_segs=_ARC_STEPS)
            yield from _surface(item, ring, area, item.fill)
        case p.Polygon():
            yield from _surface(item, Polygon(item.points), area, item.fill)
        case p.Region():
            yield from _region(item, area)


def _region(item: p.Region, area: Polygon) -> Iterator[Item]:
    """Yield what of a region lies in an area: only rings that the edge of it cuts are cut.

    Of rings that are filled even-odd each may be taken by itself. A hall has a thousand in one
    region, and to join them all took most of the time that its plan took.
    """
    rings, whole = [], True
    cut: BaseGeometry = Polygon()
    for ring in item.rings:
        filled = Polygon(ring)
        if area.covers(filled):
            rings.append(ring)
            continue
        whole = False
        if area.intersects(filled):
            cut = cut.symmetric_difference(filled.buffer(0))
    if whole:
        yield item
        return
    rings += rings_of(cut.intersection(area))
    if len(rings) == 1:
        yield p.Polygon(rings[0], item.ink, item.fill)
    elif rings:
        yield p.Region(tuple(rings), item.ink, item.fill)


def _surface(
    item: p.Circle | p.Polygon, whole: BaseGeometry, area: Polygon, fill: str
) -> Iterator[Item]:
    if area.covers(whole):
        yield item
        return
    rings = rings_of(whole.buffer(0).intersection(area))
    if len(rings) == 1:
        yield p.Polygon(rings[0], item.ink, fill)
    elif rings:
        yield p.Region(rings, item.ink, fill)


def _runs(line: BaseGeometry, area: Polygon) -> Iterator[tuple[Point, ...]]:
    inside = line if area.covers(line) else line.intersection(area)
    for part in shapely.get_parts(inside):
        if isinstance(part, LineString) and part.length > 0:
            yield tuple((float(x), float(y)) for x, y in part.coords)


def _holds(area: Polygon, point: shapely.Point) -> bool:
    """Return whether a point is in an area, on its left or upper edge counting as in."""
    _, _, x1, y1 = area.bounds
    if area.intersects(point):
        return not (area.boundary.distance(point) == 0 and (point.x == x1 or point.y == y1))
    return False


def _small(item: p.Circle, scale: float) -> bool:
    return item.radius <= SMALL_MM * scale * _SMALL_EM


def _box(item: p.Text, scale: float) -> Polygon:
    style = style_of(LOOK, item.ink)
    size = lettering_mm(LOOK, item.ink) * scale
    wide = width_of(item.words, size, bold=bool(style is not None and style.bold))
    back = {"start": 0.0, "middle": wide / 2, "end": wide}[item.anchor]
    x, y = item.at
    flat = shapely.box(x - back, y - size * _ASCENT, x - back + wide, y + size * _DESCENT)
    return shapely.affinity.rotate(flat, item.turn_deg, origin=item.at)


def _inverse(group: p.Group) -> list[float]:
    x, y = group.move or (0.0, 0.0)
    turn = math.radians(group.turn_deg)
    c, s = math.cos(turn) / group.scale, math.sin(turn) / group.scale
    return [c, s, -s, c, -(c * x + s * y), s * x - c * y]


def _arc(item: p.Arc) -> list[Point]:
    """Return points along an arc, of the two the shorter way round, as it is drawn."""
    (x0, y0), (x1, y1) = item.start, item.end
    dx, dy = x1 - x0, y1 - y0
    half = math.hypot(dx, dy) / 2
    off = math.sqrt(max(item.radius**2 - half**2, 0.0))
    way = -1.0 if item.clockwise else 1.0
    # y runs down: what turns clockwise on the paper has its middle to the right of its way
    cx = (x0 + x1) / 2 + way * off * dy / (2 * half)
    cy = (y0 + y1) / 2 - way * off * dx / (2 * half)
    first, last = math.atan2(y0 - cy, x0 - cx), math.atan2(y1 - cy, x1 - cx)
    turn = (last - first + math.pi) % (2 * math.pi) - math.pi
    return [
        (cx + item.radius * math.cos(first + turn * i / _ARC_STEPS),
         cy + item.radius * math.sin(first + turn * i / _ARC_STEPS))
        for i in range(_ARC_STEPS + 1)
    ]  # fmt: skip
