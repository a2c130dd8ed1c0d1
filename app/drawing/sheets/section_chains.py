"""The measures of the room in a section: its length under it, the clear height at both ends."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from itertools import combinations

import numpy as np
import shapely

from app.drawing.medium import Medium
from app.drawing.primitives import Group, Item, Point
from app.drawing.sheets.chain import chain
from app.drawing.sheets.cutting_plane import Cut, floor_z
from app.drawing.sheets.section_lid import ceiling_at
from app.drawing.sheets.section_room import CutColumn
from app.drawing.sheets.upright import level_line, upright
from app.scene.build import Scene
from app.scene.overhead import Above
from app.units import format_short

SLAB_MM = 150.0
"""How thick a floor is drawn: what is in it is not known and not told."""
_STRIP_MM = 300.0
"""What hangs low beside a wall is looked for over a strip so wide on both sides of the cut."""
_BESIDE_MM = 5.0
"""So far inside the room the floor at a wall is asked for."""
_UNDER_EM = 2.2
HIGHEST_EM = 2.2
"""How far the highest of the ceiling is told outside of what is told at an end, in sizes of the
lettering."""
_SAME_MM = 1.0
_LEVEL = 1e-6
"""Two runs whose rises differ by less are as good as parallel: they cross nowhere in a room."""


def length_chains(
    inner: Sequence[tuple[float, float]], columns: Sequence[CutColumn], medium: Medium
) -> tuple[list[Item], float]:
    """Draw how long the room is along the cut, in parts where columns stand in it.

    Gives where a further chain would stand.
    """
    items: list[Item] = []
    line = SLAB_MM + medium.em_mm * _UNDER_EM
    parts = [row for span in inner if len(row := _stops(span, columns)) > 2]
    for level in ([parts] if parts else []) + [[list(span) for span in inner]]:
        drawn = [chain(row, line, medium.em_mm, medium.units) for row in level]
        items += [item for some, _ in drawn for item in some]
        line = max(below for _, below in drawn)
    return items, line


def _stops(span: tuple[float, float], columns: Sequence[CutColumn]) -> list[float]:
    """Return the ends of a span and the edges of the columns that stand in it."""
    left, right = span
    edges = {s for one in columns for s in (one.left, one.right) if left < s < right}
    stops = [left]
    for s in sorted({*edges, right}):
        if s - stops[-1] > _SAME_MM:
            stops.append(s)
    return [*stops[:-1], right]


def _clear_at_wall(scene: Scene, cut: Cut, s: float, inwards: float) -> float:
    """Return the clear height at an end of the cut: under what hangs low there, else the ceiling.

    A ceiling that slopes is told as high as it is at the wall, not where it is lowest beside it.
    """
    start = cut.place(s)
    line = shapely.LineString([start, cut.place(s + inwards * _STRIP_MM * 2)])
    beside = line.buffer(_STRIP_MM, cap_style="flat").intersection(scene.room.free)
    heights, causes = scene.room.shut.clear(np.array([beside], dtype=object))
    item = int(causes[0])
    if item >= 0 and scene.room.shut.items[item].kind != "ceiling":
        return float(heights[0])
    here = shapely.Point(start)
    at_wall = [
        float(one.heights(here)[0])
        for one in scene.room.shut.items
        if one.kind == "ceiling" and one.polygon.distance(here) < _SAME_MM
    ]
    return min(at_wall, default=float(heights[0]))


def highest(
    scene: Scene,
    cut: Cut,
    inner: Sequence[tuple[float, float]],
    runs: Sequence[tuple[Above, list[Point]]],
) -> Point | None:
    """Return where along the cut the ceiling is highest and how high, mm above the datum.

    Nothing where it is level all along, or where one of the ends tells of it: with a ridge, or with
    slopes at both sides, none does.
    """
    ceilings = [run for item, run in runs if item.kind == "ceiling"]
    tops = [(s, z) for s in sorted(_bends(ceilings)) if (z := ceiling_at(s, ceilings)) is not None]
    if not tops:
        return None
    top = max(z for _, z in tops)
    if top - min(z for _, z in tops) <= _SAME_MM:
        return None
    for s, inwards in ((inner[0][0], 1.0), (inner[-1][1], -1.0)):
        near = cut.place(s + inwards * _BESIDE_MM)
        told = floor_z(scene.room.room, near) + _clear_at_wall(scene, cut, s, inwards)
        if told > top - _SAME_MM:
            return None
    return next((s, z) for s, z in tops if z > top - _SAME_MM)


def _bends(runs: Sequence[Sequence[Point]]) -> Iterator[float]:
    """Yield where a ceiling of several runs may be highest: at their ends, and where two cross."""
    for run in runs:
        yield from (s for s, _ in run)
    for ((a, za), (b, zb)), ((c, zc), (d, zd)) in combinations(runs, 2):
        rises = (zb - za) / (b - a), (zd - zc) / (d - c)
        if abs(rises[0] - rises[1]) > _LEVEL:
            s = (zc - za + rises[0] * a - rises[1] * c) / (rises[0] - rises[1])
            if max(a, c) < s < min(b, d):
                yield s


def highest_height(
    scene: Scene, cut: Cut, top: Point, outer: tuple[float, float], medium: Medium
) -> list[Item]:
    """Draw how high the ceiling is where it is highest, outside of the height at the left end."""
    (s, z), em = top, medium.em_mm
    x, base = outer[0] - em * (_UNDER_EM + HIGHEST_EM), floor_z(scene.room.room, cut.place(s))
    words = f"{format_short(z - base, scene.plan.units)} highest"
    marks = [*level_line(x, s, z), *upright(x, base, z, words, em)]
    return [Group(tuple(marks), "height-of-room", (("highest", f"{z - base:.2f}"),))]


def end_heights(
    scene: Scene,
    cut: Cut,
    inner: Sequence[tuple[float, float]],
    outer: tuple[float, float],
    medium: Medium,
) -> list[Item]:
    """Draw the clear height beside both ends."""
    em, units = medium.em_mm, scene.plan.units
    items: list[Item] = []
    for s, x, inwards in (
        (inner[0][0], outer[0] - em * _UNDER_EM, 1.0),
        (inner[-1][1], outer[1] + em * _UNDER_EM, -1.0),
    ):
        near = cut.place(s + inwards * _BESIDE_MM)
        clear = _clear_at_wall(scene, cut, s, inwards)
        if not np.isfinite(clear):
            continue
        base = floor_z(scene.room.room, near)
        items += level_line(min(x, s), max(x, s), base + clear)
        data = (("clear", f"{clear:.2f}"), ("x", f"{near[0]:.2f}"), ("y", f"{near[1]:.2f}"))
        words = format_short(clear, units)
        marks = upright(x, base, base + clear, words, em, after=inwards < 0)
        items.append(Group(tuple(marks), "height-of-room", data))
    return items
