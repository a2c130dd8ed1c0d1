"""Marks of the cuts on a plan: at both ends of each its letter, and an arrow the way one looks."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from app.drawing.figure import RoomFigure
from app.drawing.lettering import text_boxes, width_of
from app.drawing.placing import around
from app.drawing.primitives import Group, Item, Line, Point, Polygon, Text, lines_of
from app.drawing.sheets.cutting_plane import Cut
from app.scene.build import Scene

HEAD, HALF_HEAD = 0.5, 0.28
"""How long the head of an arrow is, and half as wide, as shares of the arrow."""
_LONG_EM, _LETTER_EM, _HIGH_EM = 1.0, 0.6, 0.8
"""How long the arrow is, how far the middle of the letter is off its line, how high a letter."""
_OFF_EM, _STEP_EM, _FAR_EM = 0.45, 0.2, 7.0
"""From its wall's face on a mark is sought outwards in such steps, so far at most."""
_AIR_EM = 0.15
"""What a mark keeps off figures, lines and edges of walls."""
_MARGIN_EM = 0.35
"""What of the margin round a figure a mark may take: that of two millimetres less its air."""
_IN_WALL_COST, _OTHER_SIDE_COST, _ON_EDGE_COST = 1.5, 0.8, 8.0
"""How much farther out, in sizes of the lettering, a mark may stand to be on bare paper, to have
its letter behind the arrow, and not to stand upon the edge of a wall."""


def arrow(start: Point, tip: Point) -> tuple[Item, Item]:
    """Draw an arrow with a filled head."""
    (x, y), (tx, ty) = start, tip
    dx, dy = tx - x, ty - y
    neck, side = (tx - dx * HEAD, ty - dy * HEAD), (-dy * HALF_HEAD, dx * HALF_HEAD)
    ring = (tip, (neck[0] + side[0], neck[1] + side[1]), (neck[0] - side[0], neck[1] - side[1]))
    return Line(start, neck, "measure"), Polygon(ring, "dark")


@dataclass(frozen=True, slots=True)
class _Mark:
    """One way to mark an end of a cut: the stroke through the wall, the arrow, the letter."""

    inner: Point
    base: Point
    tip: Point
    letter: Point
    cost: float

    def area(self, high: float, wide: float, air: float) -> BaseGeometry:
        """Return what arrow and letter cover."""
        shaft = LineString([self.base, self.tip]).buffer(high * HALF_HEAD + air, cap_style="flat")
        return shapely.union(shaft, around(self.letter, wide + 2 * air, high + 2 * air))


def cut_marks(scene: Scene, cuts: Sequence[Cut], figure: RoomFigure, em: float) -> tuple[Item, ...]:
    """Draw the ends of the cuts outside the room: in the walls, or between them and the chains.

    A thick stroke runs through the wall to each (ISO 128-3, from memory). An end with no free place
    on the figure is left bare: its cut is found from the other one.
    """
    room = scene.room
    walls = shapely.union_all([wall.polygon.buffer(0) for wall in room.walls])
    solid = shapely.union_all([walls, room.outline]).buffer(em * _AIR_EM)
    holes = [opening.hole for opening in room.openings]
    hatched = shapely.difference(walls, shapely.union_all(holes)).buffer(-em * _AIR_EM)
    swings = [sweep.polygon for opening in room.openings for sweep in opening.sweeps]
    lines: list[BaseGeometry] = [
        LineString([one.start, one.end]) for one in lines_of(figure.dims.children)
    ]
    drawn = shapely.union_all([*lines, *(one.boundary for one in (*swings, *holes))])
    taken = [*text_boxes(figure.dims, em)]
    paper = shapely.box(*figure.bounds).buffer(em * _MARGIN_EM, join_style="mitre")
    items: list[Item] = []
    for cut in cuts:
        wide = width_of(cut.name, em, bold=True)
        spans = cut.spans(room.outline)
        for s, way in ((spans[0][0], -1), (spans[-1][1], 1)) if spans else ():
            every = list(_places(cut, s, way, em))
            areas = np.array([one.area(em * _HIGH_EM, wide, em * _AIR_EM) for one in every])
            words = shapely.union_all(taken)
            shapely.prepare(words)
            free = shapely.covers(paper, areas) & ~shapely.intersects(words, areas)
            strokes = [LineString([one.inner, one.base]) for one in every]
            free &= ~shapely.intersects(words, np.array(strokes, dtype=object))
            free &= ~shapely.intersects(drawn, areas)
            outside, inside = ~shapely.intersects(solid, areas), shapely.covers(hatched, areas)
            costs = np.array([one.cost for one in every]) / em
            costs += np.where(outside, 0.0, np.where(inside, _IN_WALL_COST, _ON_EDGE_COST))
            if free.any():
                best = int(np.argmin(np.where(free, costs, np.inf)))
                taken.append(areas[best])
                items += _drawn(cut, every[best], em)
    return tuple(items)


def _places(cut: Cut, s: float, way: int, em: float) -> Iterator[_Mark]:
    """Yield how an end of a cut may be marked, its arrow farther and farther out of the room."""
    lx, ly = cut.looking
    for off in np.arange(_OFF_EM, _FAR_EM, _STEP_EM).tolist():
        x, y = cut.place(s + way * off * em)
        tip = (x + lx * em * _LONG_EM, y + ly * em * _LONG_EM)
        for aside, cost in ((-_LETTER_EM, 0.0), (_LONG_EM + _LETTER_EM, _OTHER_SIDE_COST)):
            letter = (x + lx * em * aside, y + ly * em * aside)
            yield _Mark(cut.place(s), (x, y), tip, letter, (off + cost) * em)


def _drawn(cut: Cut, mark: _Mark, em: float) -> tuple[Item, ...]:
    (x, y) = mark.letter
    letter = Text((x, y + em * 0.36), cut.name, "cut-letter")
    stroke = Line(mark.inner, mark.base, "cut-end")
    data = (("cut", cut.name),)
    return (Group((stroke, *arrow(mark.base, mark.tip), letter), "cut-mark", data),)
