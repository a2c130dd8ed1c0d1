"""What columns, piers and chimney breasts are called on paper, how large they are and where."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from app.drawing.against_wall import about_wall, on_wall
from app.drawing.dimensions import readable
from app.drawing.lettering import width_of
from app.drawing.medium import Medium
from app.drawing.placing import Crowd, Spot
from app.drawing.primitives import Group, Item, Line, Point, Text
from app.drawing.short_names import short_name
from app.model.room import Column
from app.scene.build import Scene
from app.scene.room import RoomShape
from app.scene.tolerance import TOLERANCE_MM
from app.scene.walls import WallShape
from app.units import Units, format_short

_BESIDE_EM = (0.9, 1.8, 3.0)
"""How far off its column a name may stand, in sizes of the lettering."""
_LED_EM = 1.2
"""A name farther off than this is led to its column by a line."""
_ASKEW = 0.9
"""Two walls that run more alike than this, by the cosine between them, tell the same distance."""
_SHARES = (0.5, 0.35, 0.65, 0.2, 0.8)
"""Where a figure may stand along the line of a distance."""


def column_called(column: Column, outline: BaseGeometry, units: Units) -> str:
    """Return the name of a column with its two sides, the one along the sheet first."""
    x0, y0, x1, y1 = outline.bounds
    sides = " × ".join(format_short(mm, units) for mm in (x1 - x0, y1 - y0))
    return f"{short_name(column.label) or 'Column'} {sides}"


def column_names(room: RoomShape, crowd: Crowd, medium: Medium) -> tuple[Item, ...]:
    """Letter each column beside it, where its name hides least; they are taken in the crowd."""
    em = medium.em_mm
    items: list[Item] = []
    for column, polygon in room.columns:
        words = column_called(column, polygon, medium.units)
        wide = width_of(words, em)
        x0, y0, x1, y1 = polygon.bounds
        middle = ((x0 + x1) / 2, (y0 + y1) / 2)
        spots = [
            Spot(
                (middle[0] + dx * ((x1 - x0) / 2 + off + wide / 2),
                 middle[1] + dy * ((y1 - y0) / 2 + off)),
                number * 0.6 + (0.2 if dy else 0.0),
            )
            for number, off in enumerate(em * share for share in _BESIDE_EM)
            for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (-1, 1), (1, -1), (-1, -1))
        ]  # fmt: skip
        x, y = crowd.place(wide, em * 1.1, spots)
        box = shapely.box(x - wide / 2, y - em / 2, x + wide / 2, y + em / 2)
        if box.distance(polygon) > em * _LED_EM:
            line = shapely.shortest_line(box, polygon)
            (a, b), (c, d) = shapely.get_coordinates(line).tolist()
            items.append(Line((a, b), (c, d), "level-leader"))
        data = (("column", column.id),)
        items.append(Group((Text((x, y + em * 0.36), words, "size"),), "", data))
    return tuple(items)


def column_offsets(scene: Scene, crowd: Crowd, medium: Medium) -> tuple[Item, ...]:
    """Draw how far each column that stands free is from the two walls nearest to it.

    One that stands against a wall is in the chain of lengths along that wall.
    """
    items: list[Item] = []
    for column, polygon in scene.room.columns:
        starts = [scene.room.room.wall_ends(wall.id)[0] for wall in scene.room.walls]
        if any(map(on_wall, scene.room.walls, starts, [polygon] * len(starts))):
            continue
        middle = np.array(polygon.centroid.coords[0])
        for off, wall in _nearest(scene, polygon):
            out = -np.array(wall.inward)
            away = float((middle - np.array(wall.start)) @ -out)
            near, foot = middle + out * (away - off), middle + out * away
            line: Point = tuple(near.tolist())
            items += _offset(line, tuple(foot.tolist()), crowd, medium, column.id)
    return tuple(items)


def _offset(near: Point, foot: Point, crowd: Crowd, medium: Medium, column: str) -> Iterator[Item]:
    em = medium.em_mm
    off = math.dist(near, foot)
    words = format_short(off, medium.units)
    turn = readable(math.degrees(math.atan2(foot[1] - near[1], foot[0] - near[0])))
    up = (math.sin(math.radians(turn)), -math.cos(math.radians(turn)))
    wide = width_of(words, em)
    upright = abs(up[0]) > abs(up[1])
    spots = [
        Spot((near[0] + share * (foot[0] - near[0]) + up[0] * em * 0.7,
              near[1] + share * (foot[1] - near[1]) + up[1] * em * 0.7), abs(share - 0.5))
        for share in _SHARES
    ]  # fmt: skip
    x, y = crowd.place(em * 1.1 if upright else wide, wide if upright else em * 1.1, spots)
    crowd.take(shapely.LineString([near, foot]).buffer(em * 0.15))
    yield Line(near, foot, "dim")
    slant = em * 0.3
    for ex, ey in (near, foot):
        yield Line((ex - slant, ey + slant), (ex + slant, ey - slant), "tick")
    text = Text((x - up[0] * em * 0.36, y - up[1] * em * 0.36), words, "dimt", "middle", turn)
    yield Group((text,), "", (("column-off", f"{off:.1f}"), ("of", column)))


def _nearest(scene: Scene, outline: BaseGeometry) -> Iterator[tuple[float, WallShape]]:
    """Yield the two walls nearest to a column that do not run the same way, and how far it is."""
    offs = sorted(
        (float(about_wall(wall, wall.start, outline)[1].min()), number)
        for number, wall in enumerate(scene.room.walls)
        if _faces(wall, outline)
    )
    told: list[WallShape] = []
    for off, number in offs:
        wall = scene.room.walls[number]
        (ix, iy) = wall.inward
        if len(told) < 2 and all(abs(ix * o.inward[0] + iy * o.inward[1]) < _ASKEW for o in told):
            told.append(wall)
            yield off, wall


def _faces(wall: WallShape, outline: BaseGeometry) -> bool:
    """Return whether a column stands before a wall: square out from it one comes upon it."""
    along, off = about_wall(wall, wall.start, outline)
    long = math.dist(wall.start, wall.end)
    return bool(off.min() > -TOLERANCE_MM and along.max() > 0 and along.min() < long)
