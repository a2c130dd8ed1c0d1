"""How far down a page what stands on it reaches."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import TypeAlias

from app.drawing.ink import LOOK
from app.drawing.primitives import (
    Arc,
    Circle,
    Group,
    Item,
    Line,
    Point,
    Polygon,
    Polyline,
    Region,
    Strokes,
    Text,
)
from app.drawing.svg import lettering_mm

Turned: TypeAlias = tuple[float, float, float]
"""How much lower a place comes for each mm right, for each mm down, and at the origin."""

DESCENT = 0.25
"""What letters reach under their base line, in sizes of the lettering."""


def foot_mm(items: Sequence[Item]) -> float:
    """Return the y in mm of paper of the lowest point of items; 0 where there are none."""
    return max(_feet(items, (0.0, 1.0, 0.0)), default=0.0)


def _feet(items: Sequence[Item], at: Turned) -> Iterator[float]:
    for item in items:
        if isinstance(item, Group):
            right, down, origin = at
            a, b, d, e, x, y = item.matrix
            inside = (right * a + down * d, right * b + down * e, right * x + down * y + origin)
            yield from _feet(item.children, inside)
            continue
        below = 0.0
        if isinstance(item, Text):
            below = lettering_mm(LOOK, item.ink) * DESCENT
        elif isinstance(item, Circle):
            below = item.radius * math.hypot(at[0], at[1])
        yield from (at[0] * x + at[1] * y + at[2] + below for x, y in _points(item))


def _points(item: Item) -> Iterator[Point]:
    match item:
        case Line() | Arc():
            yield item.start
            yield item.end
        case Polyline() | Polygon():
            yield from item.points
        case Region():
            for ring in item.rings:
                yield from ring
        case Strokes():
            for line in item.lines:
                yield from line
        case Circle():
            yield item.centre
        case Text():
            yield item.at
        case Group():
            raise TypeError(item)
