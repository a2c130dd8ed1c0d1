"""Walking about: the widest way on foot from each way out to where each station is used.

What stands between the height that is stepped over and head height is walked round. Working
spaces are walked through, what hangs higher is walked under.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise
from weakref import WeakKeyDictionary

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Point, Polygon
from shapely.geometry.base import BaseGeometry

from app.published.register import published
from app.scene.build import Scene
from app.scene.doors import OpeningShape
from app.scene.outlines import SAMPLE_MM, outline_of, together
from app.scene.routes_graph import (
    Bools,
    Floats,
    Ints,
    Reach,
    Samples,
    line_to,
    medial,
    narrowed,
    nodes_at,
    parts_of,
    reach,
    sampled,
    widest_tree,
)
from app.scene.routes_stands import Stand, stands
from app.scene.routes_thresholds import with_thresholds
from app.scene.tolerance import HALF_MM, TOLERANCE_MM, enough_mm, falls_short


@dataclass(frozen=True, slots=True)
class Way:
    """The widest way to a place: how wide its narrowest place is, between what, and where.

    `width_mm` is 0 where there is no way, without end where nothing is near. `between` are the
    owners of the two outlines, numbered as in the scene's solids.
    """

    width_mm: float
    between: tuple[int, ...]
    where: tuple[float, float] | None
    node: int


NO_WAY = Way(0.0, (), None, -1)


class Routes:
    """All ways of one scene. Made by `routes`."""

    def __init__(self, scene: Scene) -> None:
        # no link back to the scene: the ways live as long as it does
        self._spaces, self._roots = scene.spaces, scene.roots
        self.stands: tuple[Stand, ...] = stands(scene)
        """The stations that people go to, with the places where they stand."""
        self.ways_out = ways_out(scene)
        self.samples = _outlines(scene, self.ways_out)
        whole = medial(self.samples)
        # Cores are half a millimetre smaller than the things, so between two of them a way seems a
        # millimetre wider than it is.
        count = len(scene.order)
        triangles = narrowed(whole, self.samples, count, HALF_MM)
        within: Bools = np.asarray(shapely.contains_xy(scene.room.within, *triangles.at.T))
        self._edge = scene.room.free.boundary
        self.graph, self._thresholds = with_thresholds(
            triangles, self.samples, within, self.ways_out, count
        )
        on_thresholds = np.ones(len(self.graph.at) - len(within), dtype=bool)
        self._inside: Bools = np.concatenate([within, on_thresholds])
        # A join no wider than the spacing may lead through an outline, between two of its samples.
        wide = self.graph.width_mm > self.samples.spacing_mm
        self._walked = wide & self._inside[self.graph.one] & self._inside[self.graph.other]
        self._necks: dict[int, tuple[tuple[int, ...], tuple[float, float]]] = {}

    @cached_property
    def tree(self) -> Ints:
        """The joins of the widest tree of all that is walked."""
        return widest_tree(self.graph, self._walked)

    @cached_property
    def stand_nodes(self) -> tuple[Ints, ...]:
        """For each stand the nodes of the graph at its points; -1 where a point lies outside."""
        points = np.concatenate([np.zeros((0, 2)), *(stand.points for stand in self.stands)])
        nodes = self._from_doorways(nodes_at(self.graph, self.samples, points), points)
        ends = np.cumsum([len(stand.points) for stand in self.stands])
        return tuple(np.split(nodes, ends[:-1])) if len(ends) else ()

    def _from_doorways(self, nodes: Ints, points: Floats) -> Ints:
        """Return nodes, those beyond a threshold by one on it that is stepped to from there.

        Before an open doorway the free circle about a place has its middle outside the room. From
        the place to the middle of a circle about a node on the threshold the way is free.
        """
        graph, result = self.graph, nodes.copy()
        on = np.concatenate([np.zeros(0, dtype=np.intp), *(one.nodes for one in self._thresholds)])
        if not len(on):
            return nodes
        # a place lies half a millimetre before its edge
        least = published("route.least-mm") - TOLERANCE_MM
        # a place outside every triangle has no node, which is nowhere within
        beyond_door = (nodes >= 0) & ~self._inside[nodes]
        for i in np.flatnonzero(beyond_door).tolist():
            # who cannot stand there within the room has only stepped out of the door
            if 2 * Point(points[i]).distance(self._edge) < least:
                continue
            away = graph.at[on] - points[i]
            near = on[np.hypot(*away.T) < graph.radius_mm[on]]
            if len(near):
                # not between the posts of a rack: by how many doors come to it
                reached = np.array([one.width_mm[near] for one in self._from_doors])
                doors, most = (reached >= least).sum(axis=0), reached.max(axis=0)
                result[i] = near[np.lexsort((most, doors))[-1]]
        return result

    @cached_property
    def _from_doors(self) -> tuple[Reach, ...]:
        """For each way out how far one gets; the walk begins indoors."""
        walked = np.flatnonzero(self._walked)
        return tuple(
            reach(self.graph, walked, one.nodes, one.width_mm, one.joins)
            for one in self._thresholds
        )

    @cached_property
    def ways(self) -> tuple[tuple[Way, ...], ...]:
        """For each stand the way from each way out, in their orders."""
        by_door = [self._to_stands(from_door) for from_door in self._from_doors]
        return tuple(zip(*by_door, strict=True)) if by_door else ((),) * len(self.stands)

    def reached_avoiding(self, low: Sequence[Polygon], least_mm: float) -> tuple[bool, ...]:
        """Return which stands have a way as wide as a least that passes under none of some places.

        Whether there is one is all that is asked, so no widest way is looked for.
        """
        most = enough_mm(least_mm)
        inside = np.flatnonzero(self._walked & (self.graph.width_mm >= most))
        under = self._pass_under(inside, low)
        part = parts_of(self.graph, inside[~under])
        begun = np.zeros(len(self.graph.at), dtype=bool)
        for one in self._thresholds:
            begun[part[one.nodes[one.width_mm >= most]]] = True
        return tuple(bool(begun[part[nodes[nodes >= 0]]].any()) for nodes in self.stand_nodes)

    def _pass_under(self, joins: Ints, low: Sequence[Polygon]) -> Bools:
        """Return which joins pass under any of some places."""
        graph = self.graph
        one, other = graph.at[graph.one[joins]], graph.at[graph.other[joins]]
        # Few joins lie near what is low: lines are made, and asked about, of those alone.
        near = np.flatnonzero(near_any(one, other, low))
        under = np.zeros(len(joins), dtype=bool)
        if len(near):
            # One shape asked about every join is far quicker than every low thing about each.
            area = shapely.union_all(low)
            shapely.prepare(area)
            lines = shapely.linestrings(np.stack([one[near], other[near]], axis=1))
            under[near] = shapely.intersects(area, lines)
        return under

    def between(self, one: Floats, other: Floats) -> Way:
        """Return the widest way from any of some points to any of some others."""
        start, end = self._nodes_at_both(one, other)
        # Two points in one triangle are one start; a start told twice would be joined to itself.
        start = np.unique(start[start >= 0])
        start = start[self._inside[start]]
        wide = 2 * self.graph.radius_mm[start]
        reached = reach(self.graph, self.tree, start, wide, np.full(len(start), -1, dtype=np.intp))
        return self._best(reached, end)

    def _nodes_at_both(self, one: Floats, other: Floats) -> tuple[Ints, Ints]:
        """Return the nodes at some points and at some others, looked for in one go."""
        nodes = nodes_at(self.graph, self.samples, np.concatenate([one, other]))
        return nodes[: len(one)], nodes[len(one) :]

    def is_way(self, one: Floats, other: Floats, least_mm: float) -> bool:
        """Return whether a way as wide as a least leads from any of some points to any other."""
        most = enough_mm(least_mm)
        start, end = self._nodes_at_both(one, other)
        start = start[start >= 0]
        start = start[self._inside[start] & (2 * self.graph.radius_mm[start] >= most)]
        walked = np.flatnonzero(self._walked & (self.graph.width_mm >= most))
        part = parts_of(self.graph, walked)
        return bool(np.isin(part[end[end >= 0]], part[start]).any())

    def _to_stands(self, reached: Reach) -> list[Way]:
        """Return the widest way to each stand."""
        if not self.stand_nodes:
            return []
        counts = np.array([len(nodes) for nodes in self.stand_nodes], dtype=np.intp)
        nodes, stand = np.concatenate(self.stand_nodes), np.repeat(np.arange(len(counts)), counts)
        widths = np.where(nodes < 0, -1.0, reached.width_mm[nodes])
        most = np.maximum.reduceat(widths, np.cumsum(counts) - counts)
        widest = np.flatnonzero(widths == most[stand])
        # of several as wide the first
        best = nodes[widest[np.unique(stand[widest], return_index=True)[1]]]
        return [
            self._way(*one)
            for one in zip(best.tolist(), most.tolist(), reached.neck[best].tolist(), strict=True)
        ]

    def _best(self, reached: Reach, nodes: Ints) -> Way:
        nodes = nodes[nodes >= 0]
        if not len(nodes):
            return NO_WAY
        node = int(nodes[reached.width_mm[nodes].argmax()])
        return self._way(node, float(reached.width_mm[node]), int(reached.neck[node]))

    def _way(self, node: int, width_mm: float, neck: int) -> Way:
        if width_mm <= 0:
            return NO_WAY
        if neck < 0:
            return Way(width_mm, (), None, node)
        if neck not in self._necks:
            sides = np.array([self.graph.left[neck], self.graph.right[neck]])
            # Beyond the samples lie the far corners, which nobody stands beside.
            sides = sides[sides < len(self.samples.xy)]
            owners = tuple(sorted({int(owner) for owner in self.samples.owner[sides]}))
            x, y = self.samples.xy[sides].mean(axis=0)
            self._necks[neck] = owners, (float(x), float(y))
        return Way(width_mm, *self._necks[neck], node)

    def into_mm(self, door: int, beyond_mm: float) -> float:
        """Return how wide a way leads from a way out to any place farther than that from it.

        Without end where no place of the room is so far.
        """
        shape = self.ways_out[door]
        threshold = LineString([shape.left, shape.right])
        inside = np.flatnonzero(self._inside)
        away = shapely.distance(shapely.points(self.graph.at[inside]), threshold)
        far = inside[away > beyond_mm]
        return float(self._from_doors[door].width_mm[far].max()) if len(far) else math.inf

    def reached(self, door: int) -> Reach:
        """Return how far one gets from a way out, by its place in their order."""
        return self._from_doors[door]

    def line(self, stand: int, door: int) -> LineString | None:
        """Draw the way to a stand from a way out, both by their place in the orders."""
        node = self.ways[stand][door].node
        return line_to(self.graph, self._from_doors[door], node) if node >= 0 else None

    def best(self, stand: int) -> Way:
        """Return the widest of the ways to a stand."""
        return max(self.ways[stand], key=lambda way: way.width_mm, default=NO_WAY)


_known: WeakKeyDictionary[Scene, Routes] = WeakKeyDictionary()


def routes(scene: Scene) -> Routes:
    """Return the ways of a scene; found once and kept as long as the scene."""
    paths = _known.get(scene)
    if paths is None:
        paths = _known[scene] = Routes(scene)
    return paths


def head_mm(scene: Scene) -> float:
    """Return how high the tallest head in shoes is above the bare floor, covering included.

    Without people it is the height of an ordinary way.
    """
    covering = scene.plan.room.floor.covering.thickness_mm
    tallest = max((person.stature_mm for person in scene.plan.people), default=None)
    if tallest is None:
        return covering + published("route.overhead-note-mm")
    return covering + tallest + published("body.shoe-mm")


def ways_out(scene: Scene) -> tuple[OpeningShape, ...]:
    """Return the openings by which people leave."""
    return tuple(
        shape
        for shape in scene.room.openings
        if shape.opening.way_out and shape.opening.kind != "window"
    )


def in_the_way(scene: Scene) -> NDArray[np.intp]:
    """Return the solids that are walked round: pieces and columns, no walls."""
    solids = scene.solids
    covering = scene.plan.room.floor.covering.thickness_mm
    high = falls_short(covering + published("route.step-over-mm"), solids.high_mm)
    low = solids.low_mm < head_mm(scene)
    count, walls = len(scene.order), len(scene.room.walls)
    wall = (solids.owner >= count) & (solids.owner < count + walls)
    return np.flatnonzero(high & low & ~wall)


def _outlines(scene: Scene, doors: Sequence[OpeningShape]) -> Samples:
    """Sample the outlines of all that is walked round: pieces, columns, walls less doorways."""
    solids, count = scene.solids, len(scene.order)
    standing = np.zeros(len(solids.owner), dtype=bool)
    standing[in_the_way(scene)] = True
    ends = np.searchsorted(solids.owner, np.arange(count + 1)).tolist()
    parts = [(n, standing[a:b].tobytes()) for n, (a, b) in enumerate(pairwise(ends))]
    pieces = [(n, outline_of(scene.order[n].shape, part)) for n, part in parts if any(part)]
    columns = np.flatnonzero(standing[scene.piece_solids :]) + scene.piece_solids
    lines, owners = [], []
    for i, wall in enumerate(scene.room.walls):
        for piece in _wall_faces(wall.start, wall.end, [d for d in doors if d.wall is wall]):
            lines.append(LineString(piece))
            owners.append(count + i)
    fixed = np.concatenate([shapely.get_exterior_ring(solids.cores[columns]), lines])
    owner = np.concatenate([solids.owner[columns], np.array(owners, dtype=np.intp)])
    every = [*(samples for _, samples in pieces), sampled(fixed, owner, SAMPLE_MM)]
    numbers = np.array([number for number, _ in pieces], dtype=np.intp)
    at = np.concatenate([scene.at[numbers], np.zeros((1, 2))])
    return together(every, at, np.r_[numbers, 0])


def _wall_faces(
    start: tuple[float, float], end: tuple[float, float], doors: Sequence[OpeningShape]
) -> list[list[tuple[float, float]]]:
    """Cut the doorways out of a wall's inner face."""
    cuts = []
    # By their distance from the start, so that once sorted faces and doorways alternate.
    for door in doors:
        ends = sorted((door.left, door.right), key=lambda corner: math.dist(start, corner))
        cuts.append((math.dist(start, ends[0]), ends))
    faces, at = [], start
    for _, (near, far) in sorted(cuts):
        faces.append([at, near])
        at = far
    faces.append([at, end])
    return [face for face in faces if math.dist(*face) > HALF_MM]


def near_any(one: Floats, other: Floats, areas: Sequence[BaseGeometry]) -> Bools:
    """Return which stretches between two points have a box that meets that of any of some areas."""
    # by columns: a comparison of both numbers of a point at once takes several times as long
    (ax, ay), (bx, by) = np.ascontiguousarray(one.T), np.ascontiguousarray(other.T)
    left, right, low, high = (
        np.minimum(ax, bx),
        np.maximum(ax, bx),
        np.minimum(ay, by),
        np.maximum(ay, by),
    )
    near = np.zeros(len(one), dtype=bool)
    for x0, y0, x1, y1 in shapely.bounds(np.array(areas, dtype=object)).tolist():
        near |= (left <= x1) & (right >= x0) & (low <= y1) & (high >= y0)
    return near
