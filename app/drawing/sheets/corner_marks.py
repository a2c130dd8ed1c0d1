"""The corners of a room marked and named in a plan: what offsets and tapes start from."""

from __future__ import annotations

from collections.abc import Sequence
from functools import cache

import numpy as np
import shapely
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from app.drawing.figure import RoomFigure
from app.drawing.lettering import text_boxes, width_of
from app.drawing.placing import Crowd, Floats, Spot, around
from app.drawing.primitives import Item, Point, Polygon, Text, lines_of
from app.drawing.sheets.taping import corners_of, wall_mark_name
from app.drawing.sheets.wall_marks import WallMark
from app.scene.build import Scene
from app.scene.naming import corner_name

_STEPS = (-1, 1, -2, 2, -3, 3)
_AROUND = np.array([(dx, dy) for dx in _STEPS for dy in _STEPS], dtype=np.float64)
"""How far aside and down a name may stand of its mark, (n, 2), in steps of about its height."""

_FAR_EM, _STEP_EM, _OFF_EDGE_EM, _OFF_MARK_EM = 4.0, 0.4, 0.2, 0.4
"""So far from its corner a name is sought in the walls and outside, in such steps, so far off the
edges of the walls and off the mark of the corner; in sizes of the lettering."""
_BESIDE_COST = 0.6
"""How much farther off, in such sizes, a name may stand to be across its corner."""
_AT_ONCE = 24
"""So many places are looked at together: most names stand at one of the first."""
_FAR_COST = 0.4
"""What a step aside costs against lines that run through the name."""
_AIR_EM = 0.5
"""What a name keeps off the lines on both its sides, together."""


def corner_marks(scene: Scene, figure: RoomFigure, em: float, crowd: Crowd) -> list[Item]:
    """Mark each corner with a filled square in it; its name stands in the wall or outside of it.

    There nothing else is lettered, and a tape is held to what the name says. Where its own wall is
    thin and dimensions stand outside it is in the room, off what `crowd` knows.
    """
    items: list[Item] = []
    inside: list[tuple[str, Point]] = []
    around_it = _Outside(scene, figure, em)
    for i, at in enumerate(corners_of(scene)):
        words = corner_name(i)
        place = around_it.place(words, at)
        if place is None:
            inside.append((words, at))
            continue
        items += [_square(at, em), Text((place[0], place[1] + em * 0.36), words, "chalk-mark")]
    return [*items, *_named(inside, scene, em, crowd)]


class _Outside:
    """Where names of corners may stand in the walls of a room or outside of them."""

    def __init__(self, scene: Scene, figure: RoomFigure, em: float) -> None:
        self._em, self._bounds = em, figure.bounds
        walls = shapely.union_all([wall.polygon.buffer(0) for wall in scene.room.walls])
        self._walls = walls.buffer(-em * _OFF_EDGE_EM)
        room = scene.room
        self._solid = shapely.union_all([walls, room.outline]).buffer(em * _OFF_EDGE_EM)
        shapely.prepare(self._walls)
        shapely.prepare(self._solid)
        drawn: list[BaseGeometry] = [
            LineString([one.start, one.end]) for one in lines_of(figure.dims.children)
        ]
        swings = [sweep.polygon for opening in room.openings for sweep in opening.sweeps]
        drawn += [one.boundary for one in (*swings, *(o.hole for o in room.openings))]
        self._crowd = Crowd(drawn)
        for box in text_boxes(figure.dims, em):
            self._crowd.take(box)

    def place(self, words: str, corner: Point) -> Point | None:
        """Return the middle of a name nearest to its corner, and mark it taken; None for none."""
        em, (x0, y0, x1, y1) = self._em, self._bounds
        wide, high = width_of(words, em, bold=True), em * 0.8
        half = np.array([wide, high]) / 2
        near = _around_a_corner(wide / em, high / em) * em
        for some in np.array_split(near, max(1, len(near) // _AT_ONCE)):
            low, top = (corner + some - half).T, (corner + some + half).T
            boxes = np.array(shapely.box(*low, *top), dtype=object)
            on_paper = (low[0] >= x0) & (low[1] >= y0) & (top[0] <= x1) & (top[1] <= y1)
            there = on_paper & ~shapely.intersects(self._solid, boxes)
            there |= shapely.covers(self._walls, boxes)
            at = corner + some[there]
            free = self._crowd.free(at, wide, high, bare=True)
            if len(free):
                x, y = at[int(free[0])].tolist()
                self._crowd.take(around((x, y), wide, high))
                return x, y
        return None


@cache
def _around_a_corner(wide: float, high: float) -> Floats:
    """Return where a name of a size may stand of its corner, (n, 2), the best first.

    All is in sizes of the lettering. It stands rather across the corner than beside it along one
    wall.
    """
    steps = np.arange(-_FAR_EM, _FAR_EM + _STEP_EM / 2, _STEP_EM)
    at = np.stack(np.meshgrid(steps, steps), axis=-1).reshape(-1, 2)
    off = np.maximum(np.abs(at) - np.array([wide, high]) / 2, 0.0)
    away, beside = np.hypot(*off.T), (off == 0).any(axis=1)
    far = away >= _OFF_MARK_EM
    order: Floats = at[far][np.argsort(away[far] + beside[far] * _BESIDE_COST, kind="stable")]
    return order


def _square(at: Point, em: float) -> Polygon:
    (x, y), half = at, em * 0.22
    ring = ((-half, -half), (half, -half), (half, half), (-half, half))
    return Polygon(tuple((x + dx, y + dy) for dx, dy in ring), "dark")


def marks_along_walls(
    along: Sequence[WallMark], scene: Scene, em: float, crowd: Crowd
) -> list[Item]:
    """Mark each mark at the foot of a wall as a corner is."""
    marks = [(wall_mark_name(i), mark.at) for i, mark in enumerate(along)]
    return _named(marks, scene, em, crowd)


def _named(marks: Sequence[tuple[str, Point]], scene: Scene, em: float, crowd: Crowd) -> list[Item]:
    items: list[Item] = []
    free = scene.room.free
    inner = free.buffer(-em * 1.1, join_style="mitre")
    for words, (x, y) in marks:
        items.append(_square((x, y), em))
        clear = shapely.covers(free, shapely.points(_AROUND * em + (x, y)))
        spots = [
            Spot((x + dx * em * 1.3, y + dy * em * 1.1), _FAR_COST * (abs(dx) + abs(dy)))
            for dx, dy in _AROUND[clear | inner.is_empty].tolist()
        ] or [Spot((x, y + em))]
        at = crowd.place(width_of(words, em, bold=True) + em * _AIR_EM, em, spots)
        items.append(Text((at[0], at[1] + em * 0.36), words, "chalk-mark"))
    return items
