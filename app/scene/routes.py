"""Walking about: the widest way on foot from each way out to where each station is used.

What stands between the height that is stepped over and head height is walked round. Working
spaces are walked through, what hangs higher is walked under.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property
from weakref import WeakKeyDictionary

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString, Polygon

from app.published.register import published, row
from app.scene.build import Scene
from app.scene.doors import OpeningShape
from app.scene.routes_graph import (
    FAR_CORNERS,
    Bools,
    Floats,
    Ints,
    Medial,
    Reach,
    Samples,
    line_to,
    medial,
    narrowed,
    nodes_at,
    reach,
    sampled,
    widest_tree,
)
from app.scene.tolerance import HALF_MM, Geometries

PLACES_ALONG = 3
"""Places along a side, in the middle of each third of it."""

MIDDLES = (np.arange(PLACES_ALONG) + 0.5) / PLACES_ALONG
"""Where these lie, as shares of the side: half a part in, then a whole part further each time."""


CORNERS = 4
"""Corners of a rectangle; its ring tells the first one twice."""


SAMPLE_MM = 120
"""How closely outlines are sampled. Twice this is less than the narrowest way of the register, so
that no way that counts passes between two samples of one outline."""


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


@dataclass(frozen=True, slots=True)
class Stand:
    """Where people stand to use a station: points on the floor, and the spaces they lie in."""

    number: int
    points: Floats
    spaces: Geometries


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
        self.graph: Medial = narrowed(whole, self.samples, len(scene.order), HALF_MM)
        within = scene.room.within
        self._inside: Bools = np.asarray(shapely.contains_xy(within, *self.graph.at.T))
        # A join no wider than the spacing may lead through an outline, between two of its samples.
        wide = self.graph.width_mm > self.samples.spacing_mm
        self._walked = wide & self._inside[self.graph.one] & self._inside[self.graph.other]
        self.tree: Ints = widest_tree(self.graph, self._walked)
        # Joins with one end outside go through doorways: walls are sampled with those cut out.
        self._crossing = np.flatnonzero(
            wide & (self._inside[self.graph.one] != self._inside[self.graph.other])
        )

    @cached_property
    def stand_nodes(self) -> tuple[Ints, ...]:
        """For each stand the nodes of the graph at its points; -1 where a point lies outside."""
        points = np.concatenate([np.zeros((0, 2)), *(stand.points for stand in self.stands)])
        nodes = nodes_at(self.graph, self.samples, points)
        ends = np.cumsum([len(stand.points) for stand in self.stands])
        return tuple(np.split(nodes, ends[:-1])) if len(ends) else ()

    @cached_property
    def _from_doors(self) -> tuple[Reach, ...]:
        return tuple(self._from_door(shape, self.tree) for shape in self.ways_out)

    def _from_door(self, shape: OpeningShape, tree: Ints, without: Bools | None = None) -> Reach:
        """Return how far one gets from an opening: its joins cross the threshold, less some."""
        graph, joins = self.graph, self._crossing
        ends = np.array([shape.left, shape.right])
        over = joins[_cross_line(graph.at[graph.one[joins]], graph.at[graph.other[joins]], ends)]
        # The walk begins indoors: what lies outside a door is not the business of this room.
        inner = np.where(self._inside[graph.one[over]], graph.one[over], graph.other[over])
        widths = graph.width_mm[over].copy()
        if without is not None:
            remaining = ~without[over]
            over, inner, widths = over[remaining], inner[remaining], widths[remaining]
        # the door itself is as wide as it is: only what stands before it counts
        both = np.stack([self._xy[graph.left[over]], self._xy[graph.right[over]]], axis=1)
        jambs = (np.abs(both[:, :, None] - ends[None, None]).max(axis=-1) < HALF_MM).any(axis=2)
        widths[jambs.all(axis=1)] = np.inf
        return reach(graph, tree, inner, widths, over)

    @cached_property
    def _xy(self) -> Floats:
        return np.concatenate([self.samples.xy, np.full((FAR_CORNERS, 2), np.inf)])

    @cached_property
    def ways(self) -> tuple[tuple[Way, ...], ...]:
        """For each stand the way from each way out, in their orders."""
        return tuple(
            tuple(self._best(from_door, nodes) for from_door in self._from_doors)
            for nodes in self.stand_nodes
        )

    def ways_avoiding(self, low: Sequence[Polygon]) -> tuple[Way, ...]:
        """Return the widest way to each stand that passes under none of these places."""
        graph = self.graph
        used = self._walked.copy()
        used[self._crossing] = True
        ends = np.stack([graph.at[graph.one], graph.at[graph.other]], axis=1)[used]
        # One shape asked about every join is far quicker than every low thing about each.
        area = shapely.union_all(low)
        shapely.prepare(area)
        under = np.zeros(len(used), dtype=bool)
        under[used] = np.asarray(shapely.intersects(area, shapely.linestrings(ends)))
        allowed = self._walked & ~under
        # A tree of its own: with joins left out the widest way may be another altogether.
        tree = widest_tree(graph, allowed)
        doors = [self._from_door(shape, tree, under) for shape in self.ways_out]
        return tuple(
            max(
                (self._best(from_door, nodes) for from_door in doors),
                key=lambda way: way.width_mm,
                default=NO_WAY,
            )
            for nodes in self.stand_nodes
        )

    def between(self, one: Floats, other: Floats) -> Way:
        """Return the widest way from any of some points to any of some others."""
        start = nodes_at(self.graph, self.samples, one)
        # Two points in one triangle are one start; a start told twice would be joined to itself.
        start = np.unique(start[start >= 0])
        start = start[self._inside[start]]
        wide = 2 * self.graph.radius_mm[start]
        reached = reach(self.graph, self.tree, start, wide, np.full(len(start), -1, dtype=np.intp))
        return self._best(reached, nodes_at(self.graph, self.samples, other))

    def _best(self, reached: Reach, nodes: Ints) -> Way:
        nodes = nodes[nodes >= 0]
        if not len(nodes):
            return NO_WAY
        node = int(nodes[reached.width_mm[nodes].argmax()])
        width, neck = float(reached.width_mm[node]), int(reached.neck[node])
        if width <= 0 or neck < 0:
            return Way(width, (), None, node) if width > 0 else NO_WAY
        sides = np.array([self.graph.left[neck], self.graph.right[neck]])
        # Beyond the samples lie the far corners, which nobody stands beside.
        sides = sides[sides < len(self.samples.xy)]
        owners = tuple(sorted({int(owner) for owner in self.samples.owner[sides]}))
        x, y = self.samples.xy[sides].mean(axis=0)
        return Way(width, owners, (float(x), float(y)), node)

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


def stands(scene: Scene) -> tuple[Stand, ...]:
    """Return the stations that people go to: those with a space deep enough to stand in.

    The carrier's own spaces count where it has any, those where it is trained at before those
    where it is loaded or opened.
    """
    spaces = scene.spaces
    least = _body_mm()
    chosen: dict[int, tuple[int, list[int]]] = {}
    for i, shape in enumerate(spaces.shapes):
        space = shape.space
        if space.side not in ("ring", "area") and space.recommended_mm < least:
            continue
        if space.heights is not None:
            continue
        owner = int(spaces.owner[i])
        root = int(scene.roots[owner])
        # Before the rack, not before the bar in it; where one trains, not where one loads.
        rank = 2 * (owner != root) + (space.kind == "access")
        best, equals = chosen.get(root, (rank, []))
        if rank < best:
            best, equals = rank, []
        if rank == best:
            equals.append(i)
        chosen[root] = best, equals
    return tuple(
        Stand(
            root,
            np.concatenate([_points(scene, i) for i in equals]),
            spaces.cores[equals],
        )
        for root, (_, equals) in sorted(chosen.items())
    )


def _body_mm() -> float:
    """Return the depth in which a person stands: as published, however wide ways are wanted."""
    return row("route.least-mm").value


def _points(scene: Scene, number: int) -> Floats:
    """Return points in a working space: along a strip half a person off the edge, else all over."""
    shape = scene.spaces.shapes[number]
    core = scene.spaces.cores[number]
    if shape.outward is not None:
        corners = np.asarray(core.exterior.coords)[:CORNERS]
        out = np.array(shape.outward)
        depth = corners @ out
        # the two corners at the piece's edge: people stand before it, not at the far end
        near = corners[np.argsort(depth, kind="stable")[:2]]
        off = min(_body_mm(), float(np.ptp(depth))) / 2
        line: Floats = near[0] + MIDDLES[:, None] * (near[1] - near[0]) + out * off
        return line
    box = np.asarray(core.minimum_rotated_rectangle.exterior.coords)[:CORNERS]
    origin, u, v = box[0], box[1] - box[0], box[-1] - box[0]
    a, b = np.meshgrid(MIDDLES, MIDDLES)
    return np.asarray(origin + a.reshape(-1, 1) * u + b.reshape(-1, 1) * v)


def in_the_way(scene: Scene) -> NDArray[np.intp]:
    """Return the solids that are walked round: pieces and columns, no walls."""
    solids = scene.solids
    covering = scene.plan.room.floor.covering.thickness_mm
    high = solids.high_mm > covering + published("route.step-over-mm") + HALF_MM
    low = solids.low_mm < head_mm(scene)
    count, walls = len(scene.order), len(scene.room.walls)
    wall = (solids.owner >= count) & (solids.owner < count + walls)
    return np.flatnonzero(high & low & ~wall)


def _outlines(scene: Scene, doors: Sequence[OpeningShape]) -> Samples:
    spacing = SAMPLE_MM
    standing = in_the_way(scene)
    solids = scene.solids
    lines, owners = [], []
    for i, wall in enumerate(scene.room.walls):
        for piece in _wall_faces(wall.start, wall.end, [d for d in doors if d.wall is wall]):
            lines.append(LineString(piece))
            owners.append(len(scene.order) + i)
    walls = np.array(lines, dtype=object)
    every = np.concatenate([shapely.get_exterior_ring(solids.cores[standing]), walls])
    owner = np.concatenate([solids.owner[standing], np.array(owners, dtype=np.intp)])
    return sampled(every, owner, spacing)


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


def _cross_line(one: Floats, other: Floats, line: Floats) -> Bools:
    """Return which stretches cross a straight line between two points; touching counts."""
    a, b = line
    along = b - a

    def side(at: Floats) -> Floats:
        result: Floats = along[0] * (at[:, 1] - a[1]) - along[1] * (at[:, 0] - a[0])
        return result

    here, there = side(one), side(other)
    apart = here - there
    share = here / np.where(apart == 0, 1, apart)
    at = one + share[:, None] * (other - one)
    place = ((at - a) * along).sum(axis=1) / (along * along).sum()
    # Half a millimetre beyond both jambs: a join along the wall's end must not slip past the door.
    edge = HALF_MM / math.hypot(*along)
    crosses: Bools = (here * there <= 0) & (apart != 0) & (place >= -edge) & (place <= 1 + edge)
    return crosses
