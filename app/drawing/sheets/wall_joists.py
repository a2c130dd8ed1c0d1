"""The joists of a room as one sees them who faces a wall: ends on it, one that runs along it."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString
from shapely import Polygon as Area
from shapely.geometry.base import BaseGeometry

from app.drawing.lettering import width_of
from app.drawing.placing import Crowd, Spot
from app.drawing.primitives import Item, Point, Polygon, Text
from app.drawing.sheets.in_steps import in_steps
from app.drawing.sheets.wall_items import BEFORE_MM, FlatWall
from app.model.room import Joists, Plane
from app.scene.overhead import joist_polygons
from app.units import Units, format_short

_AT_WALL_MM = 2.0
"""A joist that comes so near to a wall lies on it or in it: the room ends at its finished face."""
_ALONG_DEG = 10.0
"""What runs along a wall by this or less is told by how far from it it is, not by its end."""
_SAME_MM = 1.0
_SPOTS = 12
_DOWN_EM = (1.0, 2.3)
"""At so many places along a wall the words of its joists are tried, so far under these, in sizes of
the lettering."""


@dataclass(frozen=True, slots=True)
class WallJoist:
    """A joist on a wall laid flat: from `left` to `right`, its underside at each, mm.

    `off` is how far from the wall its nearer side is, of one that ends on the wall 0. Its `middle`
    is that of the whole joist, also where one at the end of the wall is half in the next one.
    """

    left: float
    right: float
    middle: float
    low: tuple[float, float]
    off: float
    ends_here: bool


def joists_on(flat: FlatWall) -> tuple[WallJoist, ...]:
    """Return the joists that end on a wall, from its left end; else the nearest that runs along."""
    scene = flat.scene
    joists = scene.room.room.ceiling.showing
    if joists is None:
        return ()
    wall = flat.face.wall
    line = LineString([wall.start, wall.end])
    turned = math.radians(joists.direction_deg)
    square = abs(math.cos(turned) * wall.along[1] - math.sin(turned) * wall.along[0])
    ends_here = square > math.sin(math.radians(_ALONG_DEG))
    near = line.buffer(_AT_WALL_MM if ends_here else BEFORE_MM, cap_style="flat")
    found: list[WallJoist] = []
    for polygon in joist_polygons(scene.room.room, scene.room.free):
        for plane, part in _by_plane(scene.room.room.ceiling.finished, polygon.intersection(near)):
            found += _laid_flat(flat, plane, part, joists, square if ends_here else 0.0)
    if not ends_here and found:
        nearest = min(one.off for one in found)
        found = [one for one in found if one.off < nearest + _SAME_MM]
    return tuple(sorted(found, key=lambda one: one.left))


def _by_plane(planes: Sequence[Plane], area: BaseGeometry) -> Iterator[tuple[Plane, BaseGeometry]]:
    """Yield the parts of an area, each with the plane of the ceiling over it."""
    rest = area
    for plane in sorted(planes, key=lambda one: not one.outline):
        part = rest.intersection(Area(plane.outline)) if plane.outline else rest
        rest = rest.difference(part)
        yield plane, part


def _laid_flat(
    flat: FlatWall, plane: Plane, area: BaseGeometry, joists: Joists, square: float
) -> Iterator[WallJoist]:
    """Yield the parts of joists that end on a wall at an angle, its sine `square`, or run along."""
    wall = flat.face.wall
    for part in shapely.get_parts(area):
        corners = shapely.get_coordinates(part) - np.array(wall.start)
        if len(corners) == 0:
            continue
        at, off = corners @ np.array(wall.along), corners @ np.array(wall.inward)
        left, right = flat.span(float(at.min()), float(at.max()))
        left, right = max(left, 0.0), min(right, flat.length)
        if right - left <= _SAME_MM:
            continue
        away = 0.0 if square else max(0.0, float(off.min()))
        (x, y), (ax, ay), (ix, iy) = wall.start, wall.along, wall.inward
        low = [
            plane.height_at(x + ax * s + ix * away, y + ay * s + iy * away) - joists.depth_mm
            for s in (flat.s(left), flat.s(right))
        ]
        middle = (left + right) / 2
        if square:
            half = joists.width_mm / square / 2
            middle = right - half if left < _SAME_MM else left + half
        yield WallJoist(left, right, middle, (low[0], low[1]), away, bool(square))


def drawn_joists(flat: FlatWall, joists: Sequence[WallJoist]) -> Iterator[Item]:
    """Draw them from their undersides up to the ceiling."""
    for ring in _rings(flat, joists):
        yield Polygon(ring, "joist-end", "", (("joist", flat.face.wall.id),))


def joist_strokes(flat: FlatWall, joists: Sequence[WallJoist]) -> list[BaseGeometry]:
    """Return their edges, which words keep off, y down."""
    return [Area(ring).boundary for ring in _rings(flat, joists)]


def _rings(flat: FlatWall, joists: Sequence[WallJoist]) -> Iterator[tuple[Point, ...]]:
    showing = flat.scene.room.room.ceiling.showing
    deep = showing.depth_mm if showing else 0.0
    for one in joists:
        (left, right), (a, b) = (one.left, one.right), one.low
        yield (left, -a), (right, -b), (right, -b - deep), (left, -a - deep)


def joist_names(
    flat: FlatWall, joists: Sequence[WallJoist], crowd: Crowd, em: float, units: Units
) -> Iterator[Item]:
    """Letter their size and how high they are, once, under them."""
    if not joists:
        return
    label = f"{_named(flat, joists, units)}, {_underside(joists, units)}"
    wide = width_of(label, em)
    low = min(z for one in joists for z in one.low)
    room = max(0.0, flat.length - wide - em)
    along = np.linspace(-0.5, 0.5, _SPOTS)
    spots = [
        Spot((flat.length / 2 + share * room, -low + em * down), abs(share) + down)
        for share in along.tolist()
        for down in _DOWN_EM
    ]
    free = crowd.free(np.array([spot.at for spot in spots]), wide, em * 1.25)
    if not len(free):
        # where all is taken the words of the wall tell it
        return
    x, y = crowd.place(wide, em * 1.25, [spots[i] for i in free.tolist()])
    yield Text((x, y + em * 0.36), label, "dimt")


def joist_words(flat: FlatWall, joists: Sequence[WallJoist], units: Units) -> Iterator[str]:
    """Say where on the wall the joists end, or how far from it one runs along it."""
    if not joists:
        return
    under, named = _underside(joists, units), _named(flat, joists, units)
    if not joists[0].ends_here:
        off = format_short(joists[0].off, units)
        yield f"{named} along it, its side {off} from the wall; {under}."
        return
    ends = "end" if len(joists) > 1 else "ends"
    middles = in_steps([one.middle for one in joists], units)
    yield f"{named} {ends} on it, middles {middles} from the wall's left end; {under}."


def underside_mm(joists: Sequence[WallJoist]) -> float | None:
    """Return how high all of them are above the datum where they are level; else nothing."""
    heights = [z for one in joists for z in one.low]
    if not heights or max(heights) - min(heights) > _SAME_MM:
        return None
    return heights[0]


def _named(flat: FlatWall, joists: Sequence[WallJoist], units: Units) -> str:
    showing = flat.scene.room.room.ceiling.showing
    sizes = (showing.width_mm, showing.depth_mm) if showing else ()
    size = " × ".join(format_short(mm, units) for mm in sizes)
    return f"Joists {size}" if len({one.middle for one in joists}) > 1 else f"Joist {size}"


def _underside(joists: Sequence[WallJoist], units: Units) -> str:
    heights = [z for one in joists for z in one.low]
    low, high = (format_short(mm, units) for mm in (min(heights), max(heights)))
    return f"underside {low}" if low == high else f"underside {low} to {high}"
