"""Which words of a page a line heavier than a dimension line runs through, and can be seen to."""

from collections.abc import Iterator, Sequence

import shapely
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from app.drawing.ink import FINE_MM, LOOK
from app.drawing.primitives import (
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
from app.drawing.sheet import Page
from app.drawing.svg import style_of
from tests.drawing.boxes import lettered, matrix_of
from tests.drawing.reading import STILL, Matrix, times

EDGE_MM, SHORT_MM = 0.35, 0.3
"""Words are looked at a little inside their box; what runs through by less than this is a touch."""


def crossed(page: Page) -> list[tuple[str, str]]:
    """The words that a heavier line crosses: drawn later, or earlier with no white behind them."""
    words = lettered(page)
    at, lines, inks, grounds = [], [], [], []
    count = 0
    for number, (item, where) in enumerate(_walk(page.items, STILL)):
        if isinstance(item, Text):
            if item.words.strip():
                at.append(number)
                count += 1
            continue
        style = style_of(LOOK, item.ink)
        if style is None:
            continue
        shape = _outline(item, where)
        if style.fill not in (None, "none") and isinstance(item, Circle | Polygon):
            grounds.append((number, shapely.Polygon(shape.coords)))
        if style.stroke not in (None, "none") and (style.width_mm or 0.0) > FINE_MM:
            lines.append(shape)
            inks.append((number, item.ink))
    assert count == len(words)
    found = []
    tree = shapely.STRtree(lines)
    for number, word in zip(at, words, strict=True):
        style = style_of(LOOK, word.ink)
        assert style is not None
        box = word.box.buffer(-EDGE_MM)
        # a number stands on the white of its ring, which hides what is drawn before
        bare = not style.halo_mm and not any(
            before < number and ground.buffer(0).covers(box.centroid) for before, ground in grounds
        )
        for i in tree.query(box, predicate="intersects"):
            drawn, ink = inks[i]
            if (bare or drawn > number) and lines[i].intersection(box).length > SHORT_MM:
                found.append((word.words, ink))
    return found


def strayed(page: Page) -> list[str]:
    """The inks of what is drawn in the figures of a page beyond its frame."""
    frame = shapely.box(20, 10, page.width_mm - 10, page.height_mm - 10).buffer(0.2)
    return [
        item.ink
        for figure, where in _figures(page.items, STILL)
        for item, at in _walk(figure.children, where)
        if not isinstance(item, Text)
        for shape in (_outline(item, at),)
        if not shape.is_empty and not frame.covers(shapely.box(*shape.bounds))
    ]


def _figures(items: Sequence[Item], at: Matrix) -> Iterator[tuple[Group, Matrix]]:
    for item in items:
        if isinstance(item, Group):
            where = times(at, matrix_of(item))
            if item.ink == "figure":
                yield item, where
            else:
                yield from _figures(item.children, where)


def _walk(items: Sequence[Item], at: Matrix) -> Iterator[tuple[Item, Matrix]]:
    for item in items:
        if isinstance(item, Group):
            yield from _walk(item.children, times(at, matrix_of(item)))
        else:
            yield item, at


def _outline(item: Item, at: Matrix) -> BaseGeometry:
    def put(point: Point) -> Point:
        x, y = point
        return at[0] * x + at[2] * y + at[4], at[1] * x + at[3] * y + at[5]

    match item:
        case Line():
            return LineString([put(item.start), put(item.end)])
        case Polyline():
            return LineString([put(p) for p in item.points])
        case Polygon():
            return LineString([put(p) for p in (*item.points, item.points[0])])
        case Region():
            return shapely.MultiLineString([[put(p) for p in (*r, r[0])] for r in item.rings])
        case Strokes():
            return shapely.MultiLineString([[put(a), put(b)] for a, b in item.lines])
        case Circle():
            (x, y), r = item.centre, item.radius
            ring = shapely.Point(x, y).buffer(r).exterior.coords
            return LineString([put((a, b)) for a, b in ring])
        case _:
            return LineString()
