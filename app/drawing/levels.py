"""Where each height that is lettered on a plan is true: a point, a line or an area of the room.

Heights are above the bare floor below, as a tape measures them and as the verdicts count them.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import shapely
from shapely import LineString, MultiPoint, Polygon
from shapely.geometry.base import BaseGeometry

from app.drawing.medium import Level, Medium
from app.drawing.primitives import Point
from app.drawing.short_names import short_name
from app.model.room import Plane
from app.scene.overhead import Above
from app.scene.room import RoomShape
from app.units import format_short

_BESIDE_MM = 1.0
"""Where two parts of a ceiling meet, one height stands for both."""
_ALIKE_MM = 0.05
"""Corners of an edge that are as high as one another, but for rounding."""

_SLIVER_MM = 0.1
"""What is narrower than twice this is no part of a ceiling: edges that rounding set apart."""

Slope = tuple[float, float, float]


@dataclass(frozen=True, slots=True)
class _Part:
    """A part of a ceiling or floor where it is the one that counts; its height is a + bx + cy."""

    area: BaseGeometry
    slope: Slope

    def height_at(self, point: Sequence[float]) -> float:
        a, b, c = self.slope
        return a + b * point[0] + c * point[1]

    def ends(self) -> tuple[float, float]:
        """Return the least and the greatest height over the part, in mm."""
        heights = [self.height_at(xy) for xy in shapely.get_coordinates(self.area)]
        return min(heights), max(heights)

    def at_height(self, height_mm: float) -> BaseGeometry:
        """Return the edges, or else the corners, of the part that are just so high."""
        points: list[Point] = []
        edges: list[LineString] = []
        for part in shapely.get_parts(self.area):
            for ring in (part.exterior, *part.interiors):
                so = [abs(self.height_at(xy) - height_mm) <= _ALIKE_MM for xy in ring.coords]
                points += [(x, y) for (x, y), is_so in zip(ring.coords, so, strict=True) if is_so]
                for (a, b), (start, end) in zip(
                    pairwise(so), pairwise(ring.coords), strict=True
                ):  # fmt: skip
                    if a and b:
                        edges.append(LineString([start, end]))
        return shapely.union_all(edges) if edges else MultiPoint(sorted(set(points)))


def height_levels(room: RoomShape, medium: Medium) -> tuple[Level, ...]:
    """Return the heights of a room: each part of its ceiling, its steps, what hangs in it."""
    hung = [polygon for _, polygon in room.low]
    hung += [h.polygon for opening in room.openings for h in (*opening.always, *opening.when_open)]
    levels = [Level(one.words, _bare(one.where, hung)) for one in _ceiling(room, medium)]
    levels += _steps(room, medium)
    for thing, polygon in room.low:
        name = short_name(thing.label) or thing.kind.capitalize()
        words = f"{name} {_short(thing.bottom_mm, medium)}"
        inside = polygon.intersection(room.free)
        levels.append(Level(words, polygon if inside.is_empty else inside))
    return tuple(levels)


def _bare(where: BaseGeometry, hung: Sequence[Polygon]) -> BaseGeometry:
    """Return where nothing hangs below a ceiling, or all of it where something does everywhere."""
    bare = where.difference(shapely.union_all(hung))
    return where if bare.is_empty else bare


def _ceiling(room: RoomShape, medium: Medium) -> list[Level]:
    bare = _counting(_parts(room.shut.items, "ceiling"))
    joists = _counting(_parts(room.shut.items, "joist"))
    # under joists the height between them is none that decides
    open_parts = [one for one in bare if not any(j.area.intersects(one.area) for j in joists)]
    named = [(part, "Ceiling") for part in open_parts] + [(p, "Under joists") for p in joists]
    every = [height for part, _ in named for height in part.ends()]
    levels: list[Level] = []
    # level parts come first: where a slope meets one, its edge needs no height of its own
    for part, what in sorted(named, key=lambda one: one[0].ends()[1] - one[0].ends()[0]):
        low, high = part.ends()
        if _short(low, medium) == _short(high, medium):
            _add(levels, Level(f"{what} {_short(low, medium)}", part.area))
            continue
        for height in (low, high):
            word = (
                ", lowest" if height == min(every) else ", highest" if height == max(every) else ""
            )
            words = f"{what}{word} {_short(height, medium)}"
            _add(levels, Level(words, part.at_height(height)))
    return levels


def _add(levels: list[Level], level: Level) -> None:
    """Add a height unless the same stands there already, as on both sides of a ridge."""
    figure = level.words.rsplit(maxsplit=1)[-1]
    for other in levels:
        alike = other.words.rsplit(maxsplit=1)[-1] == figure
        if alike and other.where.distance(level.where) < _BESIDE_MM:
            return
    levels.append(level)


def _parts(items: Iterable[Above], kind: str) -> list[_Part]:
    """Return what is overhead of one kind, joined where it lies in one plane."""
    by_slope: dict[Slope, list[BaseGeometry]] = {}
    for item in items:
        if item.kind == kind:
            by_slope.setdefault(item.coefficients, []).append(item.polygon)
    return [_Part(shapely.union_all(areas), slope) for slope, areas in by_slope.items()]


def _counting(parts: Sequence[_Part]) -> list[_Part]:
    """Return of each part what no other hangs below; what nothing is left of is left out."""
    shown = []
    for part in parts:
        area: BaseGeometry = _areas(part.area)
        for other in parts:
            if other is not part and other.area.intersects(area):
                under = _areas(other.area).intersection(_below(other, part))
                area = _areas(area.difference(_areas(under)))
        if not area.is_empty:
            shown.append(_Part(area, part.slope))
    return shown


def _areas(shape: BaseGeometry) -> BaseGeometry:
    """Return what of a shape is an area, without slivers and tongues that are but rounding."""
    # corners a hair apart make a narrowing of areas fail: they become one first, and the grid that
    # made them so is let go, for narrowed on it nothing would be left
    clean = shapely.set_precision(shapely.set_precision(shape, _SLIVER_MM / 10), 0)
    core = clean.buffer(-_SLIVER_MM, join_style="mitre")
    return core.buffer(_SLIVER_MM, join_style="mitre")


def _below(one: _Part, other: _Part) -> BaseGeometry:
    """Return where one part lies under another, within the bounds of both."""
    a, b, c = (mine - its for mine, its in zip(one.slope, other.slope, strict=True))
    corners = shapely.box(*shapely.union_all([one.area, other.area]).bounds).exterior.coords
    clipped: list[Point] = []
    for (x0, y0), (x1, y1) in pairwise(corners):
        before, after = a + b * x0 + c * y0, a + b * x1 + c * y1
        if before < 0:
            clipped.append((x0, y0))
        if (before < 0) != (after < 0):
            share = before / (before - after)
            clipped.append((x0 + (x1 - x0) * share, y0 + (y1 - y0) * share))
    return Polygon(clipped) if len(clipped) > 2 else Polygon()


def _steps(room: RoomShape, medium: Medium) -> list[Level]:
    """Return the heights of the parts of a floor that are raised, where no other lies higher."""
    planes = room.room.floor.planes
    parts = []
    for plane in planes:
        area = room.free.intersection(Polygon(plane.outline)) if plane.outline else room.free
        # a floor counts where it is the highest: turned over, the lowest
        parts.append(_Part(area, tuple(-k for k in _slope(plane))))  # type: ignore[arg-type]
    raised = {tuple(-k for k in _slope(plane)) for plane in planes if plane.outline}
    levels: list[Level] = []
    for part in _counting(parts):
        if part.slope in raised:
            low, high = part.ends()
            level = _short(-low, medium) == _short(-high, medium)
            for height in (low,) if level else (low, high):
                where = part.area if level else part.at_height(height)
                _add(levels, Level(f"Step {_short(-height, medium)}", where))
    return levels


def _slope(plane: Plane) -> Slope:
    base = plane.height_at(0, 0)
    return base, plane.height_at(1, 0) - base, plane.height_at(0, 1) - base


def _short(height_mm: float, medium: Medium) -> str:
    return format_short(height_mm, medium.units)
