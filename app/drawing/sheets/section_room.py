"""What of the room itself a section shows: what is cut, and what stands or hangs beyond the cut.

What is beyond is drawn from the farthest on, so that what is nearer hides it: walls, columns and
chimney breasts, steps of the floor, parts of the ceiling and what hangs low.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Polygon as Area
from shapely.affinity import affine_transform
from shapely.geometry.base import BaseGeometry

from app.drawing.medium import region
from app.drawing.primitives import Group, Item, Point
from app.drawing.sheets.cutting_plane import Cut, floor_z
from app.model.room import Column
from app.scene.build import Scene
from app.scene.overhead import Above
from app.takeoff.surfaces import faces

UP_TO_CEILING = ("beam", "bulkhead")
"""Low things that reach up to the ceiling; pipes, ducts and lights hang under it."""
HUNG_MM = 90.0
"""How high what hangs is drawn: of its height only the underside is known."""
_FACING = 0.01
"""A wall is seen where it looks at the eye by so much of its own direction: not end on."""
_FAR_MM = 1e5
_SLIVER_MM = 1.0
_SLIVER_MM2 = 100.0
_OF_THE_ROOM = ("ceiling", "joist", "door")
"""Kinds overhead that are drawn in ways of their own."""
ON_WALL_MM = 0.5
"""What is in a wall or on it is drawn after it: so much nearer, in mm."""


@dataclass(frozen=True, slots=True)
class Beyond:
    """Something behind the cut: how far, in mm, and how it is drawn."""

    away_mm: float
    item: Item


@dataclass(frozen=True, slots=True)
class ColumnBeyond:
    """A column behind the cut: how far, in mm, and its outline as it is seen, z up."""

    column: Column
    away_mm: float
    area: BaseGeometry


@dataclass(frozen=True, slots=True)
class CutColumn:
    """A column or chimney breast that the cut runs through: from where to where."""

    column: Column
    left: float
    right: float


def columns_cut(scene: Scene, cut: Cut) -> tuple[CutColumn, ...]:
    """Return the columns that the cut runs through inside the room, from left to right."""
    found = [
        CutColumn(column, left, right)
        for column, polygon in scene.room.columns
        for left, right in cut.spans(polygon.intersection(scene.room.free))
    ]
    return tuple(sorted(found, key=lambda one: (one.left, one.column.id)))


def inside(
    inner: Sequence[tuple[float, float]],
    floor: Sequence[Point],
    ceilings: Sequence[Sequence[Point]],
    lid: float,
) -> BaseGeometry:
    """Return what one looks into through the cut, z up: between walls, floor and ceiling."""
    low = Area([(floor[0][0], -_FAR_MM), *floor, (floor[-1][0], -_FAR_MM)]).buffer(0)
    over = [Area([*run, (run[-1][0], _FAR_MM), (run[0][0], _FAR_MM)]).buffer(0) for run in ceilings]
    top = _FAR_MM if over else lid
    spans = [shapely.box(left, -_FAR_MM, right, top) for left, right in inner]
    return shapely.union_all(spans).difference(shapely.union_all([low, *over]))


def cut_faces(
    columns: Sequence[CutColumn], opened: BaseGeometry
) -> Iterator[tuple[CutColumn, BaseGeometry]]:
    """Yield each column that is cut with its face, z up, from the floor to the ceiling."""
    for one in columns:
        face = opened.intersection(shapely.box(one.left, -_FAR_MM, one.right, _FAR_MM))
        if face.area > _SLIVER_MM2:
            yield one, face


def room_beyond(scene: Scene, cut: Cut, opened: BaseGeometry) -> Iterator[Beyond]:
    """Yield walls, columns, steps, parts of the ceiling and low things behind the cut.

    `opened` is what one looks into through the cut.
    """
    for away, area, data in (
        *_walls(scene, cut),
        *_columns(scene, cut),
        *_steps(scene, cut),
        *_ceilings(scene, cut),
        *_low(scene, cut),
    ):
        shown = area.intersection(opened)
        if shown.area > _SLIVER_MM2:
            flat = shapely.transform(shown, lambda xy: xy * (1, -1))
            yield Beyond(away, Group((region(flat, "seen"),), "beyond", (data,)))


def columns_beyond(scene: Scene, cut: Cut, opened: BaseGeometry) -> Iterator[ColumnBeyond]:
    """Yield each column behind the cut that it does not run through, as it is seen, z up."""
    through = {one.column.id for one in columns_cut(scene, cut)}
    named = {column.id: column for column, _ in scene.room.columns}
    for away, area, (_, column_id) in _columns(scene, cut):
        shown = area.intersection(opened)
        if column_id not in through and shown.area > _SLIVER_MM2:
            yield ColumnBeyond(named[column_id], away, shown)


_Seen = tuple[float, BaseGeometry, tuple[str, str]]


def behind(cut: Cut, area: BaseGeometry) -> BaseGeometry:
    """Return what of an area of the room lies behind the cut."""
    far = [cut.place(s, t) for s, t in ((-1, 0), (1, 0), (1, 1), (-1, 1))]
    x, y = cut.at
    half = [(x + (px - x) * _FAR_MM, y + (py - y) * _FAR_MM) for px, py in far]
    return area.intersection(Area(half))


def _walls(scene: Scene, cut: Cut) -> Iterator[_Seen]:
    lx, ly = cut.looking
    for face in faces(scene):
        ix, iy = face.wall.inward
        if ix * lx + iy * ly > -_FACING:
            continue
        (s0, t0), (s1, t1) = cut.flat(np.array([face.wall.start, face.wall.end])).tolist()
        if max(t0, t1) <= 0:
            continue
        length = float(np.hypot(*np.subtract(face.wall.end, face.wall.start)))
        # of a wall that comes through the cut only what is behind it
        meets = length * t0 / (t0 - t1) if (t0 < 0) != (t1 < 0) else 0.0
        low, high = (meets, length) if t0 < 0 else (0.0, meets or length)
        whole = face.upright.intersection(shapely.box(low, -_FAR_MM, high, _FAR_MM))

        # as one looks at it, a wall that is seen aslant is shorter than it is
        seen = affine_transform(whole, [(s1 - s0) / length, 0, 0, 1, s0, 0])
        yield max(t0, t1), seen, ("beyond-wall", face.wall.id)


def wall_away(cut: Cut, start: Point, end: Point) -> float:
    """Return how far behind the cut what is in a wall or on it is drawn, in mm."""
    return float(cut.flat(np.array([start, end]))[:, 1].max()) - ON_WALL_MM


def _columns(scene: Scene, cut: Cut) -> Iterator[_Seen]:
    for column, polygon in scene.room.columns:
        part = behind(cut, polygon.intersection(scene.room.free))
        if part.area > _SLIVER_MM2:
            flat = cut.flat(shapely.get_coordinates(part))
            hull = _standing(scene, cut, part)
            yield float(flat[:, 1].min()), hull, ("beyond-column", column.id)


def _standing(scene: Scene, cut: Cut, part: BaseGeometry) -> BaseGeometry:
    """Return what stands on a part of the floor up to the ceiling over it, as it is seen."""
    room, ends = scene.room.room, list[Point]()
    ceilings = [item for item in scene.room.shut.items if item.kind == "ceiling"]
    for (x, y), (s, _) in zip(
        shapely.get_coordinates(part).tolist(),
        cut.flat(shapely.get_coordinates(part)).tolist(),
        strict=True,
    ):
        floor, here = floor_z(room, (x, y)), shapely.Point(x, y)
        over = [
            float(item.heights(here)[0])
            for item in ceilings
            if item.polygon.distance(here) < _SLIVER_MM
        ]
        ends += [(s, floor), (s, floor + min(over, default=_FAR_MM))]
    return shapely.MultiPoint(ends).convex_hull


def _steps(scene: Scene, cut: Cut) -> Iterator[_Seen]:
    room = scene.room.room
    for plane in room.floor.planes:
        part = (
            behind(cut, Area(plane.outline).intersection(scene.room.free))
            if plane.outline
            else None
        )
        if part is None or part.area <= _SLIVER_MM2:
            continue
        xy = shapely.get_coordinates(part)
        flat = cut.flat(xy)
        tops = [(float(s), plane.height_at(x, y)) for (s, _), (x, y) in zip(flat, xy, strict=True)]
        feet = [(s, min(0.0, z) - _SLIVER_MM) for s, z in tops]
        hull = shapely.MultiPoint([*tops, *feet]).convex_hull
        yield float(flat[:, 1].min()), hull, ("beyond-step", plane.id)


def _ceilings(scene: Scene, cut: Cut) -> Iterator[_Seen]:
    """Yield parts of the ceiling that come down lower than what is before them."""
    planes = scene.room.room.ceiling.finished
    for plane in planes:
        if not plane.outline or len(planes) < 2:
            continue
        part = behind(cut, Area(plane.outline).intersection(scene.room.free))
        if part.area <= _SLIVER_MM2:
            continue
        xy = shapely.get_coordinates(part)
        flat = cut.flat(xy)
        under = [(float(s), plane.height_at(x, y)) for (s, _), (x, y) in zip(flat, xy, strict=True)]
        over = [(s, _FAR_MM) for s, _ in under]
        level = max(z for _, z in under) - min(z for _, z in under) < _SLIVER_MM
        depth = float(flat[:, 1].min() if level else flat[:, 1].max())
        hull = shapely.MultiPoint([*under, *over]).convex_hull
        yield depth, hull, ("beyond-ceiling", plane.id)


def low_ids(scene: Scene, item: Above) -> str:
    """Return the id of a low thing that an item overhead is; its name where it is none."""
    for thing, polygon in scene.room.low:
        if polygon.equals(item.polygon):
            return thing.id
    return item.name


def _low(scene: Scene, cut: Cut) -> Iterator[_Seen]:
    for item in scene.room.training.items:
        if item.kind in _OF_THE_ROOM:
            continue
        part = behind(cut, item.polygon.intersection(scene.room.free))
        if part.area <= _SLIVER_MM2:
            continue
        xy = shapely.get_coordinates(part)
        flat = cut.flat(xy)
        floor = floor_z(scene.room.room, (part.centroid.x, part.centroid.y))
        under = [
            (float(s), float(z) + floor) for (s, _), z in zip(flat, item.heights(part), strict=True)
        ]
        up = _FAR_MM if item.kind in UP_TO_CEILING else HUNG_MM
        hull = shapely.MultiPoint([*under, *((s, z + up) for s, z in under)]).convex_hull
        yield float(flat[:, 1].min()), hull, ("beyond-low", low_ids(scene, item))
