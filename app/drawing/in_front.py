"""Kit as one sees it standing in front of it: small pictures for the shelf, all at one scale.

The eye looks straight on, from a little way off; what lies further back draws in towards it, so a
rack shows its four posts. The front of the piece is drawn true: its height is read off there.
"""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

import shapely

from app.drawing.lettering import width_of
from app.drawing.primitives import Item, Line, Point, Polygon, Text
from app.drawing.svg import fragment
from app.library.anchors import Extent, place
from app.library.forms import Flat, flat
from app.library.kit import KitType

_EYE_HIGH_MM = 1450.0
_EYE_OFF_MM = 6500.0
"""Where somebody stands who looks at a thing in a shop: the eye of a seated or small grown-up."""
_LONG = 1.25
"""What is so many times as deep as it is wide says more from its side; racks are known by their
front."""
_RACKS = "Racks"
_ROUND = 12
"""Corners of a disc: at this size nobody counts them."""
_LYING_MM = 20.0
"""How high a space is drawn that has no solid of its own: as a mat."""
_PAD_PX = 1.0
_TICK_PX = 7.0
_LETTER_PX = 11.0


@dataclass(frozen=True, slots=True)
class _Prism:
    ring: tuple[Point, ...]
    low_mm: float
    high_mm: float
    ink: str
    is_round: bool


def seen_from_its_side(kit: KitType) -> bool:
    """Return whether a picture shows a kit type from its side: what is long says more there."""
    return kit.group != _RACKS and kit.depth_mm > _LONG * kit.width_mm


def in_front(kit: KitType, px_per_m: float, height: str) -> str:
    """Return an inline `<svg>` of a kit type seen from before it; user units are CSS pixels.

    The floor is its bottom edge; `height` is written at the left, at the tick of its top.
    Raises ValueError where the scale shows nothing.
    """
    if not px_per_m > 0:
        raise ValueError(f"{px_per_m} pixels a metre show nothing")
    scale = px_per_m / 1000
    prisms = sorted(_prisms(kit), key=_nearness)
    near = max(y for prism in prisms for _, y in prism.ring)
    items = [item for prism in prisms for item in _faces(prism, near, scale)]
    xs = [x for item in items for x, _ in item.points]
    ys = [y for item in items for _, y in item.points]
    top = max(prism.high_mm for prism in prisms) * scale
    start = min(xs) - _TICK_PX - 2.0
    tick = Line((start, -top), (start + _TICK_PX, -top), "tick")
    words = Text((start - 2.0, _LETTER_PX * 0.36 - top), height, "high", "end")
    left = start - 2.0 - width_of(height, _LETTER_PX, bold=True)
    high = max(top + _LETTER_PX / 2, -min(ys)) + _PAD_PX
    whole: list[Item] = [*items, tick, words]
    return fragment(
        [_shifted(item, -left, high) for item in whole],
        {
            "class": "symbol in-front",
            "width": f"{max(xs) + _PAD_PX - left:.1f}",
            "height": f"{high + max(0.0, *ys) + _PAD_PX:.1f}",
            "viewBox": f"0 0 {max(xs) + _PAD_PX - left:.1f} {high + max(0.0, *ys) + _PAD_PX:.1f}",
            "aria-hidden": "true",
        },
        digits=1,
    )


def _prisms(kit: KitType) -> Iterator[_Prism]:
    """Yield the solids of a kit type in the frame of the eye: x to the right, y towards it."""
    extent = Extent(kit.width_mm, kit.depth_mm, kit.height_mm)
    from_side = seen_from_its_side(kit)
    for solid in kit.solids:
        low, high = sorted(place(z, extent) for z in solid.z)
        ring = _ring(flat(solid, extent))
        drawn = _turned(ring) if from_side else ring
        yield _Prism(drawn, low, high, solid.ink, solid.shape == "disc")
    if not kit.solids:
        w, d = sorted((kit.width_mm / 2, kit.depth_mm / 2))
        yield _Prism(((-d, -w), (d, -w), (d, w), (-d, w)), 0.0, _LYING_MM, "mat", False)


def _ring(form: Flat) -> tuple[Point, ...]:
    if not form.radius_mm:
        return form.points
    (x, y), r = form.centre, form.radius_mm
    angles = [2 * math.pi * i / _ROUND for i in range(_ROUND)]
    return tuple((x + r * math.cos(a), y + r * math.sin(a)) for a in angles)


def _turned(ring: tuple[Point, ...]) -> tuple[Point, ...]:
    """Return a ring seen from its right: its back is then on the left."""
    return tuple((y, -x) for x, y in ring)


def _nearness(prism: _Prism) -> tuple[float, float]:
    """What is further off is drawn first, and of what is equally far what is lower."""
    return max(y for _, y in prism.ring), prism.high_mm


def _faces(prism: _Prism, near: float, scale: float) -> Iterator[Polygon]:
    """Yield what the eye sees of a prism: sides that look its way, then its top or underside.

    The side of a disc has no edges: its outline stands for it.
    """
    ring = prism.ring if _area(prism.ring) > 0 else prism.ring[::-1]
    low = [_seen(point, prism.low_mm, near, scale) for point in ring]
    high = [_seen(point, prism.high_mm, near, scale) for point in ring]
    ink = "dark" if prism.ink == "dark" else "pad" if prism.ink in ("pad", "mat") else "thing"
    if prism.is_round:
        hull = shapely.MultiPoint([*low, *high]).convex_hull
        yield Polygon(tuple((x, y) for x, y in shapely.get_coordinates(hull)[:-1].tolist()), ink)
    else:
        eye = near + _EYE_OFF_MM
        for i, ((x, y), (u, v)) in enumerate(zip(ring, (*ring[1:], ring[0]), strict=True)):
            # the outward normal of this side against the way from the eye to it
            if (v - y) * (x + u) / 2 + (x - u) * ((y + v) / 2 - eye) < 0:
                j = (i + 1) % len(ring)
                yield Polygon((low[i], low[j], high[j], high[i]), ink)
    if prism.high_mm < _EYE_HIGH_MM:
        yield Polygon(tuple(high), ink)
    elif prism.low_mm > _EYE_HIGH_MM:
        yield Polygon(tuple(low), ink)


def _seen(point: Point, z_mm: float, near: float, scale: float) -> Point:
    """Return where the eye sees a point: px to the right of the middle and below the floor."""
    x, y = point
    drawn_in = _EYE_OFF_MM / (_EYE_OFF_MM + near - y)
    z = _EYE_HIGH_MM + (z_mm - _EYE_HIGH_MM) * drawn_in
    return x * drawn_in * scale, -z * scale


def _area(ring: tuple[Point, ...]) -> float:
    """Return twice the signed area of a ring, mm²."""
    pairs = zip(ring, (*ring[1:], ring[0]), strict=True)
    return sum(x * v - u * y for (x, y), (u, v) in pairs)


def _shifted(item: Item, dx: float, dy: float) -> Item:
    if isinstance(item, Text):
        return replace(item, at=(item.at[0] + dx, item.at[1] + dy))
    if isinstance(item, Line):
        (x, y), (u, v) = item.start, item.end
        return Line((x + dx, y + dy), (u + dx, v + dy), item.ink)
    assert isinstance(item, Polygon)
    return Polygon(tuple((x + dx, y + dy) for x, y in item.points), item.ink)
