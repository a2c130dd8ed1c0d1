"""Templates of what is bolted to the floor or hangs from the ceiling: one foot or plate each.

Where a maker drills is not known: the cross lies where a plate has room for a bolt, and the paper
says that the holes of the piece itself decide.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import partial
from typing import TypeAlias

import numpy as np
import shapely
from shapely import Polygon
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from app.drawing.primitives import Point
from app.drawing.sheets.full_size import ROUND_MM, Template
from app.drawing.sheets.taping import corner_name
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.naming import wall_called
from app.scene.shapes import turn, turned
from app.takeoff.fixings import is_bolted
from app.units import Units, format_short

_TOUCH_MM = 5.0
"""A solid that ends so near to the floor, or to the top of its piece, lies against it."""
_EDGE_SHARE = 0.13
"""How far from the ends of a plate its bolts are, as a share of its length (common practice)."""
_SAME_MM = 0.5
"""Feet that differ by less are one kind: a turned piece brings rounding, no maker such a step."""
_LEAST_FREE_MM = 20.0
"""Less than this beside a post leaves a plate no room for the head of a bolt."""
FLOOR = (
    "Find pipes, cables and membrane first; a post-tensioned slab is not drilled. Lay it under the "
    "piece itself before you drill: the maker's own holes decide."
)
CEILING = (
    "As seen from below, its upper edge towards the back of the piece. What the ceiling carries is "
    "for an engineer or the maker to decide, and into what to fix; their own holes decide."
)

Pattern: TypeAlias = tuple[Polygon, tuple[Point, ...]]
"""The outline of a foot or plate and its bolts, about the middle of the outline, mm."""


@dataclass(frozen=True, slots=True)
class _Base:
    """A foot or plate of a piece: its pattern in the piece's own frame, and its middle there."""

    pattern: Pattern
    middle: Point


def bolt_templates(scene: Scene) -> Iterator[Template]:
    """Yield, of each piece that is bolted down or hung from the ceiling, each kind of its feet."""
    for placed in scene.order:
        over = placed.kit.fixing == "ceiling" and not placed.piece.stays
        if not over and not is_bolted(scene, placed):
            continue
        kinds: list[list[_Base]] = []
        bases = bases_of(placed, over)
        # a hook alone is no pattern: its place is measured with a tape
        for base in bases if not over else [one for one in bases if one.pattern[1][1:]]:
            known = next((kind for kind in kinds if _alike(kind[0].pattern, base.pattern)), None)
            if known is None:
                kinds.append([base])
            else:
                known.append(base)
        for number, kind in enumerate(kinds, start=1):
            count = f", {number} of {len(kinds)}" if len(kinds) > 1 else ""
            yield _template(scene, placed, kind, over, count)


def bases_of(placed: Placed, over: bool) -> list[_Base]:
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
        made.append(_Base((translate(polygon, -x, -y), holes), (x, y)))
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


def _alike(one: Pattern, other: Pattern) -> bool:
    """Return whether one is the other, as it lies or turned by half."""
    if len(one[1]) != len(other[1]):
        return False
    for sign in (1.0, -1.0):
        outline = shapely.transform(other[0], partial(np.multiply, sign))
        holes = [(sign * x, sign * y) for x, y in other[1]]
        same = all(min(math.dist(hole, mine) for hole in holes) < _SAME_MM for mine in one[1])
        if same and one[0].hausdorff_distance(outline) < _SAME_MM:
            return True
    return False


def _template(
    scene: Scene, placed: Placed, bases: Sequence[_Base], over: bool, count: str
) -> Template:
    outline, holes = bases[0].pattern
    # who looks up at the ceiling sees left and right the other way round
    sign = -1.0 if over else 1.0
    outline = shapely.transform(outline, lambda xy: xy * (sign, 1.0))
    drilled = tuple((sign * x, y) for x, y in holes)
    turning = f" {len(bases)} of this: turn it by half where the hole asks for it."
    many = turning if len(bases) > 1 else ""
    says = (
        f"Crosses, along {wall_called(scene, scene.room.walls[0].id)} from {corner_name(0)} and "
        f"out from it: {_places(scene, placed, bases)}.{many} {CEILING if over else FLOOR}"
    )
    name = f"{'Ceiling' if over else 'Floor'} bolts, {placed.name}{count}"
    bounds = outline.buffer(ROUND_MM, join_style="mitre").bounds
    return Template(name, says, (outline.boundary,), (), drilled, bounds)


def _places(scene: Scene, placed: Placed, bases: Sequence[_Base]) -> str:
    units: Units = scene.plan.units
    wall = scene.room.walls[0]
    places = []
    for base in bases:
        for hole in base.pattern[1]:
            x, y = turn(base.middle[0] + hole[0], base.middle[1] + hole[1], placed.pose.angle_deg)
            dx, dy = placed.at[0] + x - wall.start[0], placed.at[1] + y - wall.start[1]
            along = dx * wall.along[0] + dy * wall.along[1]
            out = dx * wall.inward[0] + dy * wall.inward[1]
            places.append(f"{format_short(along, units)} and {format_short(out, units)}")
    return "; ".join(places)
