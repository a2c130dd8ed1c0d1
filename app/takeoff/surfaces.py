"""The faces of the walls, the ceiling and the floor as areas, openings and columns taken out.

A face is laid flat: x runs along the wall from its starting corner, y is the height. Areas are
exact for sloping floors and ceilings: the upper edge has a corner wherever a patch or slope
changes.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from itertools import pairwise

import shapely
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from app.model.finishing import MeasuredBy
from app.model.room import Opening, Plane, Room
from app.published.register import published
from app.scene.build import Scene
from app.scene.part_cover import highest_given_mm
from app.scene.tolerance import ROUNDING, SKY_MM, TOLERANCE_MM
from app.scene.walls import WallShape
from app.units import KILO, MEGA

MM2_A_M2 = MEGA
_SMALL = ROUNDING


@dataclass(frozen=True, slots=True, eq=False)
class Face:
    """One wall laid flat, in mm. `whole` is without openings taken out, `holes` are these.

    `upright` is all of it and `openings` are whole, also what columns and chimney breasts hide.
    """

    wall: WallShape
    name: str
    whole: BaseGeometry
    holes: tuple[tuple[Opening, BaseGeometry], ...]
    upright: BaseGeometry
    openings: tuple[tuple[Opening, BaseGeometry], ...]

    @property
    def gross_m2(self) -> float:
        """The wall with its openings, in m2."""
        return float(self.whole.area / MM2_A_M2)

    @property
    def openings_m2(self) -> float:
        """The sum of the openings as they are written, whether they fit on the wall or not."""
        return sum(opening.width_mm * opening.height_mm for opening, _ in self.holes) / MM2_A_M2

    def painted(self, rule: MeasuredBy) -> BaseGeometry:
        """Return what is measured as wall under a rule."""
        holes = [hole for _, hole in self.holes]
        if rule != "net":
            least = published(f"paint.rule.{rule}") * MM2_A_M2
            holes = [hole for hole in holes if hole.area > least]
        return self.whole.difference(shapely.union_all(holes)) if holes else self.whole

    def net_m2(self, rule: MeasuredBy = "net") -> float:
        """Return the area measured under a rule, in m2."""
        return float(self.painted(rule).area / MM2_A_M2)


def faces(scene: Scene) -> tuple[Face, ...]:
    """Return every wall laid flat, in the order of the walls; kept with the room."""
    return scene.memo(("faces",), lambda: tuple(_faces(scene)))


def face_of(scene: Scene, wall_id: str) -> Face:
    """Return one wall laid flat. Raises KeyError for an unknown wall."""
    for face in faces(scene):
        if face.wall.id == wall_id:
            return face
    raise KeyError(wall_id)


def _faces(scene: Scene) -> Iterable[Face]:
    room = scene.plan.room
    hidden = [polygon.buffer(TOLERANCE_MM) for _, polygon in scene.room.columns]
    for shape, name in zip(scene.room.walls, scene.fixed_names, strict=False):
        upright: BaseGeometry = _upright(room, shape)
        whole = upright
        for column in hidden:
            covered = LineString([shape.start, shape.end]).intersection(column)
            if covered.is_empty or covered.length <= 2:
                continue
            at = [shapely.Point(shape.start).distance(Point(c)) for c in _ends(covered)]
            top = SKY_MM
            whole = whole.difference(_box(min(at), -top, max(at), top))
        start = _offset(shape)
        holes, openings = [], []
        for opening in room.openings:
            if opening.wall != shape.id:
                continue
            at0 = opening.offset_mm - start
            foot = opening.sill_mm + _floor_at(room, _on(shape, at0 + opening.width_mm / 2))
            hole = _box(at0, foot, at0 + opening.width_mm, foot + opening.height_mm)
            holes.append((opening, hole.intersection(whole)))
            openings.append((opening, hole.intersection(upright)))
        yield Face(shape, name, whole, tuple(holes), upright, tuple(openings))


def _ends(line: BaseGeometry) -> list[tuple[float, float]]:
    return [(float(x), float(y)) for x, y in shapely.get_coordinates(line)]


def _offset(shape: WallShape) -> float:
    """Return how far the inner face starts beyond the wall's corner as measured."""
    along = shape.along
    dx, dy = shape.start[0] - shape.wall.x_mm, shape.start[1] - shape.wall.y_mm
    return dx * along[0] + dy * along[1]


def along_face(shape: WallShape, offset_mm: float) -> float:
    """Return the distance along the inner face of a distance along the wall as measured."""
    return offset_mm - _offset(shape)


def _box(x0: float, y0: float, x1: float, y1: float) -> Polygon:
    return Polygon([(x0, y0), (x1, y0), (x1, y1), (x0, y1)])


def _on(shape: WallShape, at: float, hair: float = 1) -> tuple[float, float]:
    """Return the point of the plan so far along the face, by default a hair inside it."""
    ax, ay = shape.along
    ix, iy = shape.inward
    return shape.start[0] + ax * at + ix * hair, shape.start[1] + ay * at + iy * hair


def _over(planes: Sequence[Plane], at: tuple[float, float]) -> list[Plane]:
    point = Point(at)
    return [p for p in planes if not p.outline or Polygon(p.outline).covers(point)]


def _floor_at(room: Room, at: tuple[float, float]) -> float:
    heights = [plane.height_at(*at) for plane in _over(room.floor.planes, at)]
    return max(heights, default=0.0)


def _upright(room: Room, shape: WallShape) -> Polygon:
    length = math.dist(shape.start, shape.end)
    cuts = {0.0, length}
    line = LineString([_on(shape, 0), _on(shape, length)])
    everything = [*room.ceiling.finished, *room.floor.planes]
    for plane in everything:
        if plane.outline:
            met = line.intersection(Polygon(plane.outline).exterior)
            cuts |= {line.project(Point(c)) for c in _ends(met)}
    for planes in (room.ceiling.finished, room.floor.planes):
        for number, one in enumerate(planes):
            for other in planes[number + 1 :]:
                cuts |= set(_level_with(one, other, shape, length))
    top: list[tuple[float, float]] = []
    bottom: list[tuple[float, float]] = []
    for a, b in pairwise(sorted(cut for cut in cuts if -_SMALL <= cut <= length + _SMALL)):
        if b - a < _SMALL:
            continue
        middle = _on(shape, (a + b) / 2)
        above, below = _over(room.ceiling.finished, middle), _over(room.floor.planes, middle)
        if not above:
            above = [Plane(id="untold", height_mm=highest_given_mm(room))]
        low = min(above, key=lambda plane: plane.height_at(*middle))
        high = max(below, key=lambda plane: plane.height_at(*middle), default=None)
        for at in (a, b):
            here = _on(shape, at, 0)
            top.append((at, low.height_at(*here)))
            bottom.append((at, high.height_at(*here) if high else 0.0))
    if not top:
        return Polygon()
    ring = Polygon([*bottom, *reversed(top)])
    return ring if ring.is_valid else ring.buffer(0)


def _level_with(one: Plane, other: Plane, shape: WallShape, length: float) -> Iterable[float]:
    start, end = _on(shape, 0, 0), _on(shape, length, 0)
    first = one.height_at(*start) - other.height_at(*start)
    last = one.height_at(*end) - other.height_at(*end)
    if first * last < 0:
        yield length * first / (first - last)


def floor_area(scene: Scene) -> BaseGeometry:
    """Return the bare floor inside the linings, columns taken out, in mm."""
    return scene.memo(("floor area",), lambda: _floor(scene))


def _floor(scene: Scene) -> BaseGeometry:
    return scene.room.free.difference(shapely.union_all([p for _, p in scene.room.columns]))


def ceiling_m2(scene: Scene) -> float:
    """Return the ceiling along its slopes in m2; where patches meet, the lowest counts."""
    return scene.memo(("ceiling area",), lambda: _ceiling(scene))


def _ceiling(scene: Scene) -> float:
    left = floor_area(scene)
    planes = sorted(scene.plan.room.ceiling.finished, key=lambda plane: not plane.outline)
    kilo, total = KILO, 0.0
    for plane in planes:
        patch = left if not plane.outline else left.intersection(Polygon(plane.outline))
        slope = math.hypot(1, plane.rise_x / kilo, plane.rise_y / kilo)
        total += float(patch.area) * slope
        left = left.difference(patch)
    # over what is left none is told: it is taken to be level
    return (total + float(left.area)) / MM2_A_M2


def column_faces_m2(scene: Scene) -> float:
    """Return the faces of columns and piers that show, in m2."""
    total = 0.0
    free = scene.room.free.buffer(-2)
    for _, polygon in scene.room.columns:
        shown = polygon.exterior.intersection(free)
        middle = polygon.representative_point()
        height, _cause = scene.room.shut.clear(shapely.points([[middle.x, middle.y]]))
        if math.isfinite(float(height[0])):
            total += float(shown.length) * float(height[0])
    return total / MM2_A_M2
