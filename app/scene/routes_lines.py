"""The ways on foot as lines to draw: where each runs, its narrowest place from side to side."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Point, STRtree
from shapely.geometry.base import BaseGeometry

from app.scene.routes import Routes, Way, near_any

At = tuple[float, float]

AREAS_AT_A_TIME = 62
"""Areas that are told apart by the bits of one number, its sign left out."""


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
    end = _stood_at(paths, stand, way.node)
    # the first of them lies on the threshold
    points = (*((float(x), float(y)) for x, y in graph.at[nodes]), end)
    widths = (*(float(width) for width in reached.width_mm[nodes[1:]]), way.width_mm)
    join = int(reached.neck[way.node])
    neck = _neck(paths, join) if join >= 0 and math.isfinite(way.width_mm) else None
    return Track(stand, door, way, points, widths, neck)


def _stood_at(paths: Routes, stand: int, node: int) -> At:
    x, y = paths.stands[stand].points[int((paths.stand_nodes[stand] == node).argmax())]
    return float(x), float(y)


def pass_under(
    paths: Routes, stands: Sequence[int], areas: Sequence[BaseGeometry]
) -> tuple[frozenset[int], ...]:
    """Return for each of some stands which areas the widest way to it meets, by their places.

    Ways to many stands run together most of the way: what a stretch meets is found once, and
    handed on to all that is reached by it.
    """
    by_door: dict[int, list[tuple[int, int]]] = {}
    for stand in stands:
        every = paths.ways[stand]
        door = max(range(len(every)), key=lambda i: every[i].width_mm)
        if every[door].node >= 0:
            by_door.setdefault(door, []).append((stand, every[door].node))
    met: dict[int, set[int]] = {stand: set() for stand in stands}
    for first in range(0, len(areas), AREAS_AT_A_TIME):
        some = areas[first : first + AREAS_AT_A_TIME]
        tree = STRtree(some)
        for door, ways in by_door.items():
            nodes = np.array([node for _, node in ways], dtype=np.intp)
            ends = np.array([_stood_at(paths, *way) for way in ways])
            last = _met(tree, some, np.stack([paths.graph.at[nodes], ends], axis=1))
            bits = _met_so_far(paths, door, tree, some)[nodes] | last
            for (stand, _), passed in zip(ways, bits.tolist(), strict=True):
                met[stand].update(first + i for i in range(len(some)) if passed >> i & 1)
    return tuple(frozenset(met[stand]) for stand in stands)


def _met_so_far(
    paths: Routes, door: int, tree: STRtree, areas: Sequence[BaseGeometry]
) -> NDArray[np.int64]:
    """Return for each node which areas the way to it from a way out meets, a bit for each."""
    graph, reached = paths.graph, paths.reached(door)
    count = len(graph.at)
    up = reached.up[:count]
    # behind those on the threshold lies nothing of the way
    nodes = np.flatnonzero((up >= 0) & (up < count))
    bits = np.zeros(count, dtype=np.int64)
    bits[nodes] = _met(tree, areas, np.stack([graph.at[up[nodes]], graph.at[nodes]], axis=1))
    # doubling the stride takes as many rounds as the longest way has binary digits
    stride = np.where((up < 0) | (up >= count), np.arange(count), up)
    while (stride[stride] != stride).any():
        bits |= bits[stride]
        stride = stride[stride]
    bits |= bits[stride]
    return bits


def _met(
    tree: STRtree, areas: Sequence[BaseGeometry], ends: NDArray[np.float64]
) -> NDArray[np.int64]:
    """Return which areas each of some stretches, (n, 2, 2) in mm, meets, a bit for each."""
    # few stretches lie near what is low: lines are made of those alone
    some = np.flatnonzero(near_any(ends[:, 0], ends[:, 1], areas))
    bits = np.zeros(len(ends), dtype=np.int64)
    if len(some):
        line, area = tree.query(shapely.linestrings(ends[some]), predicate="intersects")
        np.bitwise_or.at(bits, some[line], np.int64(1) << area)
    return bits


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
