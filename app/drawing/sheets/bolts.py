"""Where what is bolted to the floor or hangs from the ceiling is drilled, as far as its kind tells.

Where a maker drills is not known: a bolt is where a foot or plate has room for one.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import shapely
from shapely import Polygon
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from app.drawing.primitives import Point
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.shapes import turn, turned
from app.takeoff.fixings import is_bolted

_TOUCH_MM = 5.0
"""A solid that ends so near to the floor, or to the top of its piece, lies against it."""
_EDGE_SHARE = 0.13
"""How far from the ends of a plate its bolts are, as a share of its length (common practice)."""
_LEAST_FREE_MM = 20.0
"""Less than this beside a post leaves a plate no room for the head of a bolt."""

Pattern: TypeAlias = tuple[Polygon, tuple[Point, ...]]
"""The outline of a foot or plate and its bolts, about the middle of the outline, mm."""


@dataclass(frozen=True, slots=True)
class Base:
    """A foot or plate of a piece: its pattern in the piece's own frame, and its middle there."""

    pattern: Pattern
    middle: Point


def is_overhead(placed: Placed) -> bool:
    """Return whether a piece is fixed under the ceiling and not there already."""
    return placed.kit.fixing == "ceiling" and not placed.piece.stays


def drilled_at(scene: Scene, placed: Placed) -> list[Point]:
    """Return where the floor, or the ceiling above, is drilled for a piece, in mm of the room.

    Empty for what is not bolted, and where a post-tensioned slab must not be drilled.
    """
    over = is_overhead(placed)
    slab = not over or scene.plan.room.ceiling.construction == "slab"
    if slab and scene.plan.room.fabric.post_tensioned == "yes":
        return []
    return bolts_of(placed, over) if over or is_bolted(scene, placed) else []


def bolts_of(placed: Placed, over: bool) -> list[Point]:
    """Return the bolts of all feet, or of all plates under the ceiling, in mm of the room."""
    places = []
    for base in bases_of(placed, over):
        for x, y in base.pattern[1]:
            dx, dy = turn(base.middle[0] + x, base.middle[1] + y, placed.pose.angle_deg)
            places.append((placed.at[0] + dx, placed.at[1] + dy))
    return places


def bases_of(placed: Placed, over: bool) -> list[Base]:
    """Return the feet of a piece on the floor, or its plates under the ceiling, with bolts."""
    fixed = placed.kit.fixed
    count = int(published("small.piece-fixings")) if fixed is None else fixed.count
    angle = placed.pose.angle_deg
    solids = [
        (part, turned(polygon, -angle), float(low), float(high))
        for part, polygon, low, high in zip(
            placed.shape.parts, placed.shape.polygons, placed.shape.low_mm, placed.shape.high_mm,
            strict=True,
        )
    ]  # fmt: skip
    top = max((high for *_, high in solids), default=0.0)
    against = [
        (part, polygon)
        for part, polygon, low, high in solids
        if (top - high if over else low) < _TOUCH_MM
    ]
    for wanted in ("foot", "post"):
        some = [polygon for part, polygon in against if part == wanted]
        if some and not over:
            break
    else:
        some = [polygon for _, polygon in against]
    if not some:
        return []
    some = _most(some, count)
    posts = shapely.union_all([polygon for part, polygon in against if part == "post"])
    shares = [count // len(some) + (i < count % len(some)) for i in range(len(some))]
    made = []
    for polygon, share in zip(some, shares, strict=True):
        x, y = polygon.centroid.x, polygon.centroid.y
        holes = tuple((px - x, py - y) for px, py in _holes(polygon, posts, share))
        made.append(Base((translate(polygon, -x, -y), holes), (x, y)))
    return made


def _most(polygons: Sequence[Polygon], count: int) -> list[Polygon]:
    """Return at most so many, the largest ones, in their order."""
    largest = sorted(polygons, key=lambda one: -one.area)[:count]
    return [one for one in polygons if one in largest][:count]


def _holes(base: Polygon, posts: BaseGeometry, count: int) -> list[Point]:
    """Return where bolts go through a foot: beside its post, else spread along it."""
    free = base.difference(posts)
    x0, y0, x1, y1 = free.bounds if not free.is_empty else base.bounds
    if min(x1 - x0, y1 - y0) < _LEAST_FREE_MM:
        x0, y0, x1, y1 = base.bounds
    middle = (x0 + x1) / 2, (y0 + y1) / 2
    if count == 1:
        return [middle]
    wide, deep = x1 - x0, y1 - y0
    long = max(wide, deep)
    inset = long * _EDGE_SHARE
    places = [inset + i * (long - 2 * inset) / (count - 1) for i in range(count)]
    if wide >= deep:
        return [(x0 + at, middle[1]) for at in places]
    return [(middle[0], y0 + at) for at in places]
