"""The ways on foot as lines to draw: where each runs, its narrowest place from side to side."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import LineString, Point, STRtree
from shapely.geometry.base import BaseGeometry

from app.scene.routes import Routes, Way

At = tuple[float, float]

_ON_THE_WAY = -1
"""In place of a stand's number: a stretch of the way itself, which serves all stands beyond it."""


@dataclass(frozen=True, slots=True)
class Neck:
    """A narrowest place: the gap from side to side, or a disc where it is no straight gap.

    `join` is its number in the graph of the ways. One of `gap` and `disc` (middle, then its
    diameter in mm) is given.
    """

    join: int
    gap: tuple[At, At] | None
    disc: tuple[At, float] | None


@dataclass(frozen=True, slots=True)
class Track:
    """One way from a way out to a stand, by their numbers.

    `points` run from the threshold to where one stands. `widths_mm` has one figure for each
    stretch between two points: the narrowest place from the threshold to its end.
    """

    stand: int
    door: int
    way: Way
    points: tuple[At, ...]
    widths_mm: tuple[float, ...]
    neck: Neck | None


def track(paths: Routes, stand: int, door: int) -> Track | None:
    """Return the widest way to a stand from a way out; None where there is none."""
    way = paths.ways[stand][door]
    if way.node < 0:
        return None
    graph, reached = paths.graph, paths.reached(door)
    nodes, at = [], way.node
    while 0 <= at < len(graph.at):
        nodes.append(at)
        at = int(reached.up[at])
    nodes.reverse()
    start = _threshold(paths, door, int(reached.through[nodes[0]]))
    end = _stood_at(paths, stand, way.node)
    points = (start, *((float(x), float(y)) for x, y in graph.at[nodes]), end)
    widths = (*(float(width) for width in reached.width_mm[nodes]), way.width_mm)
    join = int(reached.neck[way.node])
    neck = _neck(paths, join) if join >= 0 and math.isfinite(way.width_mm) else None
    return Track(stand, door, way, points, widths, neck)


def _threshold(paths: Routes, door: int, join: int) -> At:
    """Return the middle of the gap by which a way comes in."""
    samples, sides = paths.samples, np.array([paths.graph.left[join], paths.graph.right[join]])
    if (sides < len(samples.xy)).all():
        x, y = samples.xy[sides].mean(axis=0)
        return float(x), float(y)
    shape = paths.ways_out[door]
    return (shape.left[0] + shape.right[0]) / 2, (shape.left[1] + shape.right[1]) / 2


def _stood_at(paths: Routes, stand: int, node: int) -> At:
    x, y = paths.stands[stand].points[int((paths.stand_nodes[stand] == node).argmax())]
    return float(x), float(y)


def pass_under(
    paths: Routes, stands: Sequence[int], areas: Sequence[BaseGeometry]
) -> tuple[frozenset[int], ...]:
    """Return for each of some stands which areas the widest way to it meets, by their places.

    Ways to many stands run together most of the way: each stretch is asked about once, and what it
    meets is handed on to all that is reached by it.
    """
    graph, count = paths.graph, len(paths.graph.at)
    ends: list[tuple[At, At]] = []
    numbers: dict[tuple[int, int, int], int] = {}
    ways: dict[int, tuple[int, int]] = {}

    def stretch(door: int, node: int, stand: int, one: At, other: At) -> None:
        numbers[door, node, stand] = len(ends)
        ends.append((one, other))

    def place(node: int) -> At:
        x, y = graph.at[node]
        return float(x), float(y)

    for stand in stands:
        every = paths.ways[stand]
        door = max(range(len(every)), key=lambda i: every[i].width_mm)
        node = every[door].node
        if node < 0:
            continue
        ways[stand] = door, node
        stretch(door, node, stand, place(node), _stood_at(paths, stand, node))
        reached = paths.reached(door)
        while (door, node, _ON_THE_WAY) not in numbers:
            before = int(reached.up[node])
            first = not 0 <= before < count
            start = _threshold(paths, door, int(reached.through[node])) if first else place(before)
            stretch(door, node, _ON_THE_WAY, start, place(node))
            if first:
                break
            node = before
    met = [0] * len(ends)
    if ends:
        tree = STRtree(np.asarray(shapely.linestrings(np.array(ends)), dtype=object))
        for area, number in tree.query(np.array(areas, dtype=object), predicate="intersects").T:
            met[int(number)] |= 1 << int(area)
    so_far: dict[tuple[int, int], int] = {}
    result = []
    for stand in stands:
        if stand not in ways:
            result.append(frozenset[int]())
            continue
        door, node = ways[stand]
        up, back = paths.reached(door).up, []
        while 0 <= node < count and (door, node) not in so_far:
            back.append(node)
            node = int(up[node])
        passed = so_far.get((door, node), 0)
        for on in reversed(back):
            passed |= met[numbers[door, on, _ON_THE_WAY]]
            so_far[door, on] = passed
        node = ways[stand][1]
        under = so_far[door, node] | met[numbers[door, node, stand]]
        result.append(frozenset(i for i in range(len(areas)) if under >> i & 1))
    return tuple(result)


def _neck(paths: Routes, join: int) -> Neck:
    """Measure a narrowest place anew, between the two stretches of outline beside it."""
    graph, samples = paths.graph, paths.samples
    left, right = int(graph.left[join]), int(graph.right[join])
    width = float(graph.width_mm[join])
    if max(left, right) < len(samples.xy):
        line = shapely.shortest_line(_beside(paths, left), _beside(paths, right))
        if abs(line.length - width) < samples.spacing_mm / 2:
            (ax, ay), (bx, by) = line.coords
            return Neck(join, ((ax, ay), (bx, by)), None)
    ends = (int(graph.one[join]), int(graph.other[join]))
    x, y = graph.at[min(ends, key=lambda node: float(graph.radius_mm[node]))]
    return Neck(join, None, ((float(x), float(y)), width))


def _beside(paths: Routes, sample: int) -> LineString | Point:
    samples = paths.samples
    places = dict.fromkeys((int(samples.before[sample]), sample, int(samples.after[sample])))
    points = samples.xy[list(places)]
    return LineString(points) if len(points) > 1 else Point(points[0])
