"""Symbols of kit types for the shelf, all at one scale."""

from __future__ import annotations

from dataclasses import replace

from app.drawing.figure_kit import symbol_items
from app.drawing.primitives import Circle, Item, Point, Polygon
from app.drawing.svg import fragment
from app.library.anchors import Extent
from app.library.kit import KitType

_PAD_PX = 1.0


def symbol(kit: KitType, px_per_m: float) -> str:
    """Return an inline `<svg>` of a kit type; user units are CSS pixels, inks are classes.

    Raises ValueError when there is nothing of it to see at this scale.
    """
    if not px_per_m > 0:
        raise ValueError(f"{px_per_m} pixels a metre show nothing")
    scale = px_per_m / 1000
    extent = Extent(kit.width_mm, kit.depth_mm, kit.height_mm)
    items = symbol_items(kit, extent)
    x0, y0, x1, y1 = _bounds(items)
    move = (_PAD_PX - x0 * scale, _PAD_PX - y0 * scale)
    width, height = (x1 - x0) * scale + 2 * _PAD_PX, (y1 - y0) * scale + 2 * _PAD_PX
    return fragment(
        [_scaled(item, scale, move) for item in items],
        {
            "class": "symbol",
            "width": f"{width:.1f}",
            "height": f"{height:.1f}",
            "viewBox": f"0 0 {width:.1f} {height:.1f}",
            "aria-hidden": "true",
        },
        digits=1,
    )


def _bounds(items: tuple[Item, ...]) -> tuple[float, float, float, float]:
    points: list[Point] = []
    for item in items:
        if isinstance(item, Circle):
            (x, y), r = item.centre, item.radius
            points += [(x - r, y - r), (x + r, y + r)]
        elif isinstance(item, Polygon):
            points += item.points
    xs, ys = [x for x, _ in points], [y for _, y in points]
    return min(xs), min(ys), max(xs), max(ys)


def _scaled(item: Item, scale: float, move: Point) -> Item:
    def at(point: Point) -> Point:
        return point[0] * scale + move[0], point[1] * scale + move[1]

    if isinstance(item, Circle):
        return replace(item, centre=at(item.centre), radius=item.radius * scale)
    if isinstance(item, Polygon):
        return replace(item, points=tuple(at(point) for point in item.points))
    return item
