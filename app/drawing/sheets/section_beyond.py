"""What a section shows behind its cut and overhead besides kit: windows, doors, doors when open."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import pairwise

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from app.drawing.lettering import text_boxes, width_of
from app.drawing.medium import Medium
from app.drawing.primitives import Group, Item, Line, Polygon, Text
from app.drawing.sheets.cutting_plane import Cut, floor_z
from app.drawing.sheets.section_room import Beyond, wall_away
from app.drawing.wall_strips import lit_runs
from app.scene.build import Scene
from app.scene.overhead import Above
from app.units import format_short

_FACING = 0.5
"""A wall is seen from before where it looks at the eye by so much of its own direction."""
_LEAF_MM = 45.0
_FAR_MM = 1e5


def openings_behind(
    scene: Scene, cut: Cut, inner: Sequence[tuple[float, float]]
) -> Iterator[Beyond]:
    """Yield windows and doors of the walls that one looks at, between the walls of the cut."""
    for shape in scene.room.openings:
        ix, iy = shape.inward
        lx, ly = cut.looking
        if ix * lx + iy * ly > -_FACING:
            continue
        flat = cut.flat(np.array([shape.left, shape.right]))
        if flat[:, 1].max() <= 0:
            continue
        low = floor_z(scene.room.room, shape.middle) + shape.opening.sill_mm
        high = low + shape.opening.height_mm
        s0, s1 = sorted(flat[:, 0].tolist())
        for a, b in inner:
            left, right = max(a, s0), min(b, s1)
            if left >= right:
                continue
            ring = ((left, -low), (right, -low), (right, -high), (left, -high))
            items: list[Item] = [Polygon(ring, "seen")]
            if shape.opening.kind == "window":
                at = (left + right) / 2
                items.append(Line((at, -low), (at, -high), "pale"))
            data = (("opening", shape.opening.id),)
            away = wall_away(cut, shape.wall.start, shape.wall.end)
            yield Beyond(away, Group(tuple(items), "opening-behind", data))


def strips_behind(scene: Scene, cut: Cut, inner: Sequence[tuple[float, float]]) -> Iterator[Beyond]:
    """Yield the light strip on what one looks at, between the walls of the cut."""
    for one in lit_runs(scene):
        items: list[Item] = []
        nearest = _FAR_MM
        for (x0, y0, z0), (x1, y1, z1) in pairwise(one.corners):
            (s0, t0), (s1, t1) = cut.flat(np.array([(x0, y0), (x1, y1)])).tolist()
            floor = floor_z(scene.room.room, ((x0 + x1) / 2, (y0 + y1) / 2))
            line = shapely.LineString([(s0, -z0 - floor), (s1, -z1 - floor)])
            for a, b in inner if min(t0, t1) > 0 else ():
                seen = line.intersection(shapely.box(a, -_FAR_MM, b, _FAR_MM))
                if seen.geom_type == "LineString" and not seen.is_empty:
                    (p, q) = shapely.get_coordinates(seen)[[0, -1]].tolist()
                    items.append(Line((p[0], p[1]), (q[0], q[1]), "lit"))
                    nearest = min(nearest, t0, t1)
        if items:
            data = (("strip", one.run.id),)
            yield Beyond(nearest, Group(tuple(items), "strip-behind", data))


def _hung_when_open(
    scene: Scene, cut: Cut, inner: Sequence[tuple[float, float]]
) -> Iterator[tuple[Above, float, float, float]]:
    """Yield what hangs of doors that are shut while somebody trains: from where to where, under."""
    there = {id(one.polygon) for one in scene.room.training.items if one.kind == "door"}
    for item in scene.room.open.items:
        if item.kind == "door" and id(item.polygon) not in there:
            for s0, s1 in _reach(cut, item, inner):
                yield item, s0, s1, _under(scene, item)


def open_doors(scene: Scene, cut: Cut, inner: Sequence[tuple[float, float]]) -> Iterator[Group]:
    """Yield garage doors as they hang when open, dashed.

    Those that are open while somebody trains are drawn as what is there.
    """
    for item, s0, s1, low in _hung_when_open(scene, cut, inner):
        ring = ((s0, -low), (s1, -low), (s1, -low - _LEAF_MM), (s0, -low - _LEAF_MM))
        middle = item.polygon.centroid
        data = (("door-under", f"{low:.2f}"), ("x", f"{middle.x:.2f}"), ("y", f"{middle.y:.2f}"))
        yield Group((Polygon(ring, "over"),), "door-when-open", data)


def door_heights(
    scene: Scene,
    cut: Cut,
    inner: Sequence[tuple[float, float]],
    taken: Sequence[BaseGeometry],
    medium: Medium,
) -> Iterator[Text]:
    """Yield the height under each of these doors, off what is taken; what finds no room is none."""
    em, reach = medium.em_mm, dict[float, tuple[float, float]]()
    for _, s0, s1, low in _hung_when_open(scene, cut, inner):
        a, b = reach.get(low, (s0, s1))
        reach[low] = min(a, s0), max(b, s1)
    full = [shapely.box(*one.bounds) for one in taken]
    for low, (s0, s1) in sorted(reach.items()):
        words = f"door open {format_short(low, medium.units)}"
        half = width_of(words, em) / 2 + em * 0.5
        first, last = inner[0][0] + half, inner[-1][1] - half
        # at the end of the leaf that is in the room first, off the wall it hangs at
        ends = [s0 + half, s1 - half]
        if s0 - first < last - s1:
            ends.reverse()
        for x in (*ends, (s0 + s1) / 2, s0 + (s1 - s0) / 4, s1 - (s1 - s0) / 4):
            label = Text((min(max(x, first), last), -low + em * 1.05), words, "dimt")
            boxes = [shapely.box(*box.bounds) for box in text_boxes(label, em)]
            if not any(one.intersects(box) for one in boxes for box in full):
                full += boxes
                yield label
                break


def _reach(
    cut: Cut, item: Above, inner: Sequence[tuple[float, float]]
) -> Iterator[tuple[float, float]]:
    """Yield from where to where a thing overhead is met by the cut or seen behind it."""
    flat = cut.flat(shapely.get_coordinates(item.polygon))
    if flat[:, 1].max() <= 0:
        return
    for a, b in inner:
        left, right = max(a, float(flat[:, 0].min())), min(b, float(flat[:, 0].max()))
        if right - left > 1:
            yield left, right


def _under(scene: Scene, item: Above) -> float:
    middle = item.polygon.centroid
    return float(item.heights(item.polygon).min()) + floor_z(scene.room.room, (middle.x, middle.y))
