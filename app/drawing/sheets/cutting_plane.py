"""A cut through the whole room: what is cut, what is seen behind it, all from the scene.

Coordinates of a section in mm: s along the cut, z up from the datum of the floor; t is the depth
behind the cut, the way one looks.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from itertools import compress, pairwise

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

from app.drawing.incline import Incline, is_raised
from app.drawing.primitives import Point
from app.drawing.too_high import too_high
from app.drawing.turned_box import solids_of
from app.model.room import Room
from app.scene.build import Placed, Scene
from app.scene.overhead import Above, Overhead

_FAR_MM = 100_000.0
_SLIVER_MM = 1.0
_SIDEWAYS = 0.5
"""A deck that runs along the cut by less of its direction is seen from its end."""
Floats = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class Cut:
    """Where the room is cut: through a point, along a direction; one looks to the right of it.

    `name` is the letter at both ends of its line.
    """

    at: Point
    along: Point
    name: str = "X"

    @property
    def named(self) -> str:
        """What its section is called: the letter of one end and of the other, "X-X"."""
        return f"{self.name}-{self.name}"

    @property
    def looking(self) -> Point:
        """The way one looks at the cut, a unit vector."""
        return self.along[1], -self.along[0]

    def flat(self, xy: Floats) -> Floats:
        """Return points of the room (n, 2) as s and t (n, 2)."""
        frame = np.array([[self.along[0], self.looking[0]], [self.along[1], self.looking[1]]])
        turned: Floats = (xy - np.array(self.at)) @ frame
        return turned

    def place(self, s: float, t: float = 0.0) -> Point:
        """Return the point of the room so far along the cut, and so far behind it."""
        (ax, ay), (lx, ly) = self.along, self.looking
        return self.at[0] + ax * s + lx * t, self.at[1] + ay * s + ly * t

    @property
    def line(self) -> LineString:
        """The cut as a line across everything."""
        return LineString([self.place(-_FAR_MM), self.place(_FAR_MM)])

    def spans(self, area: BaseGeometry) -> list[tuple[float, float]]:
        """Return from where to where the cut runs through an area, piece by piece."""
        spans = []
        for part in shapely.get_parts(self.line.intersection(area)):
            if part.geom_type == "LineString" and not part.is_empty:
                ends = self.flat(shapely.get_coordinates(part))[:, 0]
                if ends.max() - ends.min() > _SLIVER_MM:
                    spans.append((float(ends.min()), float(ends.max())))
        return sorted(spans)


@dataclass(frozen=True, slots=True)
class Box:
    """A prism as the section shows it: s from `left` to `right`, z from `low` to `high`.

    From `over` on it is higher than the room. `raised` is how much higher its left and right ends
    are, where it is the deck of a machine at a grade.
    """

    left: float
    right: float
    low: float
    high: float
    ink: str
    over: float = math.inf
    raised: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Seen:
    """A piece as the section shows it: its boxes from the farthest on, and whether it is cut."""

    placed: Placed
    boxes: tuple[Box, ...]
    near_mm: float
    cut: bool


def floor_z(room: Room, at: Point) -> float:
    """Return the height of the bare floor at a point above the datum: the highest plane there."""
    point = shapely.Point(at)
    heights = [
        plane.height_at(*at)
        for plane in room.floor.planes
        if not plane.outline or Polygon(plane.outline).covers(point)
    ]
    return max(heights, default=0.0)


def floor_line(scene: Scene, cut: Cut, left: float, right: float) -> list[Point]:
    """Return the bare floor along the cut as points (s, z), with a step where it has one."""
    room = scene.room.room
    stops = {left, right}
    for plane in room.floor.planes:
        if plane.outline:
            for span in cut.spans(Polygon(plane.outline)):
                stops |= {s for s in span if left < s < right}
    points: list[Point] = []
    ordered = sorted(stops)
    for a, b in pairwise(ordered):
        hair = min(1.0, (b - a) / 4)
        for s, inside in ((a, a + hair), (b, b - hair)):
            points.append((s, floor_z(room, cut.place(inside))))
    return points


def hung(scene: Scene, cut: Cut, overhead: Overhead) -> Iterator[tuple[Above, list[Point]]]:
    """Yield what hangs over the cut with its underside as points (s, z), run by run."""
    room = scene.room.room
    for item in overhead.items:
        a, b, c = item.coefficients
        for left, right in cut.spans(item.polygon):
            points = []
            for s, inside in ((left, left + 0.5), (right, right - 0.5)):
                x, y = cut.place(s)
                points.append((s, a + b * x + c * y + floor_z(room, cut.place(inside))))
            yield item, points


def pieces_behind(
    scene: Scene,
    cut: Cut,
    used_mm: Mapping[str, float] | None = None,
    raised: Mapping[str, Incline] | None = None,
) -> tuple[Seen, ...]:
    """Return the pieces that the cut meets or that stand behind it, the farthest first.

    `used_mm` tells of boxes how high they are turned for whoever is drawn on them, `raised` of
    machines how their decks are.
    """
    seen = []
    inner = cut.spans(scene.room.outline)
    over = too_high(scene)
    footprints = np.array([placed.footprint for placed in scene.order], dtype=object)
    inside = shapely.intersects(scene.room.outline, footprints)
    for placed in compress(scene.order, inside.tolist()):
        solids = solids_of(placed, (used_mm or {}).get(placed.piece.id))
        if not solids:
            continue
        floor = floor_z(scene.room.room, placed.at)
        base, limits = floor + placed.lift_mm + placed.rest_mm[1], over.get(placed.piece.id, {})
        boxes: list[tuple[float, Box]] = []
        nearest, is_cut = math.inf, False
        for number, ((polygon, low, high), sides) in enumerate(
            zip(solids, _sides(cut, [one for one, _, _ in solids]).tolist(), strict=True)
        ):
            s0, t0, s1, t1 = sides
            if t1 < 0:
                continue
            through = bool(t0 < -_SLIVER_MM < _SLIVER_MM < t1)
            if not through:
                # what is behind the walls at the ends of the cut cannot be seen
                shown = [(max(a, s0), min(b, s1)) for a, b in inner if a < s1 and b > s0]
                if not shown:
                    continue
                s0, s1 = shown[0][0], shown[-1][1]
            is_cut = is_cut or through
            nearest = min(nearest, float(t0))
            ink = "thing" if through else "seen"
            limit = floor + limits.get(number, math.inf)
            shown_box = Box(s0, s1, base + float(low), base + float(high), ink, limit)
            incline = (raised or {}).get(placed.piece.id)
            if incline is not None and is_raised(placed.shape.parts[number]):
                shown_box = _raised(shown_box, cut, polygon, incline)
            boxes.append((float(t0), shown_box))
        if boxes:
            boxes.sort(key=lambda pair: -pair[0])
            seen.append(Seen(placed, tuple(box for _, box in boxes), nearest, is_cut))
    return tuple(sorted(seen, key=lambda one: (-one.near_mm, one.placed.piece.id)))


def _sides(cut: Cut, polygons: Sequence[BaseGeometry]) -> Floats:
    """Return of n polygons the least s and t and the greatest, mm, (n, 4), asked all at once."""
    xy, owner = shapely.get_coordinates(np.array(polygons, dtype=object), return_index=True)
    flat, first = cut.flat(xy), np.flatnonzero(np.diff(owner, prepend=-1))
    ends: Floats = np.hstack([np.minimum.reduceat(flat, first), np.maximum.reduceat(flat, first)])
    return ends


def _raised(box: Box, cut: Cut, polygon: Polygon, incline: Incline) -> Box:
    """Return the box of a deck at its grade: its ends from the side, its whole rise from behind."""
    xy = shapely.get_coordinates(polygon)
    s, up = cut.flat(xy)[:, 0], incline.raised_mm(xy)
    if abs(incline.along[0] * cut.along[0] + incline.along[1] * cut.along[1]) < _SIDEWAYS:
        return replace(box, high=box.high + float(up.max()))
    ends = np.argsort(s)
    return replace(box, raised=(float(up[ends[0]]), float(up[ends[-1]])))


def walls_cut(scene: Scene, cut: Cut) -> Iterator[tuple[float, float, list[tuple[float, float]]]]:
    """Yield each wall that the cut runs through: from, to, and the holes in it (low, high)."""
    room = scene.room
    for wall in room.walls:
        for left, right in cut.spans(wall.polygon.buffer(0)):
            holes = []
            for shape in room.openings:
                if shape.wall.id != wall.id:
                    continue
                if any(a < right and b > left for a, b in cut.spans(shape.hole)):
                    foot = floor_z(room.room, shape.middle)
                    opening = shape.opening
                    low = foot + opening.sill_mm
                    holes.append((low, low + opening.height_mm))
            yield left, right, holes


def ceiling_over(points: Sequence[tuple[Above, list[Point]]]) -> float:
    """Return the highest underside of a ceiling over the cut."""
    heights = [z for item, run in points if item.kind == "ceiling" for _, z in run]
    return max(heights, default=2400.0)
