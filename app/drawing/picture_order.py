"""In which order the faces of a picture are drawn, so that what is nearer covers what lies behind.

Every pair of faces that overlap on the paper is asked which is nearer there: depth is linear over a
face, so the corners of what they share tell. What is behind is drawn first (the priority order of
Newell, Newell and Sancha, A solution to the hidden surface problem, 1972). Two faces that run into
one another are cut where they meet; of things that lie in a circle, each before the next, one is
cut along the outline of the other. Nothing else is cut, and no hidden part is computed.
"""

from __future__ import annotations

import heapq
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import STRtree
from shapely.geometry.base import BaseGeometry

from app.drawing.picture_behind import Floats, Pairs, overlap, related, sided
from app.drawing.picture_clip import (
    BESIDE_MM,
    SPECK_MM2,
    Outline,
    cut_ring,
    few_corners,
    halves,
    on_side,
    outlined,
)
from app.drawing.picture_faces import Face

CUTS_A_FACE = 4
"""How many cuts of circles there may be for each face of a picture, lest one without end be cut
for ever; no sample of ours needs more than one for a hundred faces."""


@dataclass(frozen=True, slots=True, eq=False)
class Part:
    """What is drawn of a face at one time: all of it, or what a cut has left; with its strokes."""

    face: Face
    area: BaseGeometry
    edges: Floats


@dataclass(frozen=True, eq=False)
class Compared:
    """Parts of faces, none of which runs into another, and which of them hides which.

    `behind` are pairs (n, 2): the first is behind the second wherever they overlap.
    """

    parts: tuple[Part, ...]
    areas: NDArray[np.object_]
    planes: Floats
    behind: Pairs

    def moved(self, owners: frozenset[str], others: Compared) -> Compared:
        """Return it with other parts for some things: only those are compared, and cut, anew."""
        stay = np.array([part.face.owner not in owners for part in self.parts], dtype=bool)
        number, old = np.cumsum(stay) - 1, np.flatnonzero(stay)
        areas = np.concatenate([self.areas[old], others.areas])
        planes = np.concatenate([self.planes[old], others.planes])
        one, other = STRtree(self.areas[old]).query(others.areas, predicate="intersects")
        behind, crossing = related(areas, planes, one + len(old), other)
        renumbered = number[self.behind[stay[self.behind].all(axis=1)]]
        every = np.concatenate([renumbered, others.behind + len(old), behind])
        parts = [*(self.parts[i] for i in old), *others.parts]
        return _uncrossed(parts, areas, planes, every, crossing, len(old))

    def shifted(self, right_mm: float, down_mm: float, nearer_mm: float) -> Compared:
        """Return it elsewhere: moved on the paper, and towards the eye."""
        by = np.array([right_mm, down_mm])
        areas = shapely.transform(self.areas, lambda xy: xy + by)
        planes = self.planes.copy()
        planes[:, 0] += nearer_mm - planes[:, 1:] @ by
        parts = tuple(
            Part(part.face, area, part.edges + by)
            for part, area in zip(self.parts, areas, strict=True)
        )
        return Compared(parts, areas, planes, self.behind)

    @cached_property
    def ordered(self) -> tuple[Part, ...]:
        """Everything in the order in which it is drawn, things that belong together at one go."""
        return tuple(_Sorting(self).parts())


def compared(faces: Sequence[Face]) -> Compared:
    """Compare faces with one another."""
    areas, planes = flats_of(faces), planes_of(faces)
    # sides of one solid hide nothing of one another
    numbers: dict[int, int] = {}
    body = np.array(
        [numbers.setdefault(id(face.body or face), len(numbers)) for face in faces], dtype=np.intp
    )
    # boxes that meet will do: what outlines share is asked of all at one go
    one, other = STRtree(areas).query(areas)
    once = (one < other) & (body[one] != body[other])
    behind, crossing = related(areas, planes, one[once], other[once])
    parts = [Part(face, face.flat, face.edges) for face in faces]
    return _uncrossed(parts, areas, planes, behind, crossing, 0)


def _uncrossed(
    parts: Sequence[Part],
    areas: NDArray[np.object_],
    planes: Floats,
    behind: Pairs,
    crossing: Pairs,
    fixed: int,
) -> Compared:
    """Cut what runs into another; the first `fixed` parts stay as they are."""
    size = shapely.area(areas)
    # of two that are new the smaller is cut
    swap = (crossing[:, 0] < fixed) | (
        (crossing[:, 1] >= fixed) & (size[crossing[:, 0]] > size[crossing[:, 1]])
    )
    crossing = np.where(swap[:, None], crossing[:, ::-1], crossing)
    gaps: dict[int, list[Floats]] = {}
    for cut, by in crossing.tolist():
        gaps.setdefault(cut, []).append(planes[by] - planes[cut])
    whose: list[Part] = []
    outlines: list[Outline] = []
    strokes: list[Floats] = []
    come_of: list[int] = []
    for i, part in enumerate(parts):
        some = _cut(part, areas[i], gaps[i]) if i in gaps else []
        for outline, edges in some or [(part.area, part.edges)]:
            whose.append(part)
            outlines.append(outline)
            strokes.append(edges)
            come_of.append(i)
    shapes = outlined(outlines)
    made = [
        part if edges is part.edges and shape is part.area else Part(part.face, shape, edges)
        for part, shape, edges in zip(whose, shapes, strokes, strict=True)
    ]
    origin = np.array(come_of, dtype=np.intp)
    cut_areas = shapes.copy()
    cut_areas[origin < fixed] = areas[origin[origin < fixed]]
    first = np.searchsorted(origin, np.arange(len(parts)))
    count = np.bincount(origin, minlength=len(parts))
    plain = (count[behind] == 1).all(axis=1)
    low, high = _combined(behind[~plain], first, count)
    real = overlap(cut_areas, low, high)
    every = [first[behind[plain]], np.column_stack([low, high])[real]]
    one, other = _combined(crossing, first, count)
    real, nearer = sided(cut_areas, planes[origin[other]] - planes[origin[one]], one, other)
    pairs, nearer = np.column_stack([one, other])[real], nearer[real]
    every.append(np.where(nearer[:, None], pairs, pairs[:, ::-1]))
    return Compared(tuple(made), cut_areas, planes[origin], np.concatenate(every))


def _combined(pairs: Pairs, first: Pairs, count: Pairs) -> tuple[Pairs, Pairs]:
    """Return every pair of parts of which the one comes of the first, the other of the second."""
    rows = [
        (a, b)
        for i, j in pairs.tolist()
        for a in range(first[i], first[i] + count[i])
        for b in range(first[j], first[j] + count[j])
    ]
    table = np.array(rows, dtype=np.intp).reshape(-1, 2)
    return table[:, 0], table[:, 1]


def flats_of(faces: Sequence[Face]) -> NDArray[np.object_]:
    """Return the outlines of faces on the paper, made sound where they are not."""
    flats = np.array([face.flat for face in faces], dtype=object)
    wrong = ~shapely.is_valid(flats)
    flats[wrong] = shapely.make_valid(flats[wrong])
    return flats


def planes_of(faces: Sequence[Face]) -> Floats:
    """Return the planes of faces, (n, 3)."""
    return np.array([face.plane for face in faces], dtype=np.float64).reshape(-1, 3)


class _Sorting:
    """The parts of faces while they are put in order."""

    def __init__(self, of: Compared) -> None:
        self._nodes = list(of.parts)
        self._areas = list(of.areas)
        self._after: list[set[int]] = [set() for _ in self._nodes]
        self._before: list[set[int]] = [set() for _ in self._nodes]
        self._done: set[int] = set()
        self._ready: dict[str, list[int]] = {}
        self._cuts_left = CUTS_A_FACE * len(self._nodes)
        for low, high in of.behind.tolist():
            self._link(low, high)

    def parts(self) -> Iterator[Part]:
        """Yield all in order; of what may come next first what belongs to the thing begun."""
        for node in range(len(self._nodes)):
            self._offer(node)
        owner = ""
        while len(self._done) < len(self._nodes):
            heap = self._ready.get(owner)
            if not heap:
                several = [(some[0], name) for name, some in self._ready.items() if some]
                if not several:
                    self._cut_circle()
                    continue
                owner = min(several)[1]
                heap = self._ready[owner]
            node = heapq.heappop(heap)
            self._done.add(node)
            yield self._nodes[node]
            for later in self._after[node]:
                self._before[later].discard(node)
                self._offer(later)

    def _add(self, part: Part) -> int:
        self._nodes.append(part)
        self._areas.append(part.area)
        self._after.append(set())
        self._before.append(set())
        return len(self._nodes) - 1

    def _link(self, low: int, high: int) -> None:
        self._after[low].add(high)
        self._before[high].add(low)

    def _meet(self, one: int, other: int) -> bool:
        common = shapely.intersection(self._areas[one], self._areas[other])
        return bool(common.area >= SPECK_MM2)

    def _offer(self, node: int) -> None:
        if not self._before[node] and node not in self._done:
            heapq.heappush(self._ready.setdefault(self._nodes[node].face.owner, []), node)

    def _cut_circle(self) -> None:
        """Cut one thing of a circle along the outline of what it lies before, the smallest."""
        node = next(i for i in range(len(self._nodes)) if i not in self._done)
        way: list[int] = []
        while node not in way:
            way.append(node)
            node = min(self._before[node])
        circle = way[way.index(node) :]
        pairs = list(zip([*circle[1:], circle[0]], circle, strict=True))
        for low, high in sorted(pairs, key=lambda pair: self._areas[pair[1]].area):
            area, by = self._areas[high], self._areas[low]
            pieces = [shapely.intersection(area, by), shapely.difference(area, by)]
            if self._cuts_left > 0 and all(piece.area >= SPECK_MM2 for piece in pieces):
                self._cuts_left -= 1
                self._part(high, pieces)
                return
        # outlines that are one within the other all round cannot lie in a circle but by rounding
        low, high = pairs[0]
        self._after[low].discard(high)
        self._before[high].discard(low)
        self._offer(high)

    def _part(self, node: int, pieces: Sequence[BaseGeometry]) -> None:
        """Put pieces in the place of a part."""
        part, lower, upper = self._nodes[node], self._before[node], self._after[node]
        self._done.add(node)
        for one in upper:
            self._before[one].discard(node)
        for one in lower:
            self._after[one].discard(node)
        for piece in pieces:
            new = self._add(_left(part, piece))
            for one in lower:
                if self._meet(one, new):
                    self._link(one, new)
            for one in upper:
                if self._meet(new, one):
                    self._link(new, one)
            self._offer(new)
        for one in upper:
            self._offer(one)


def _cut(part: Part, area: BaseGeometry, gaps: Sequence[Floats]) -> list[tuple[Outline, Floats]]:
    """Cut a part by every line on which it meets another; an outline and its strokes of each."""
    few = few_corners(area)
    if few is not None:
        pieces = cut_ring(few, part.edges.tolist(), [gap.tolist() for gap in gaps])
        if pieces is not None:
            return [(ring, np.array(edges).reshape(-1, 2, 2)) for ring, edges in pieces]
    several: list[tuple[BaseGeometry, Floats]] = [(area, part.edges)]
    for gap in gaps:
        several = [
            (half, on_side(edges, way * gap))
            for one, edges in several
            for half, way in zip(halves(one, gap), (1, -1), strict=True)
            if half is not None
        ]
    return [*several]


def _left(part: Part, area: BaseGeometry) -> Part:
    """Return what is left of a part by a cut, with the strokes on it."""
    if not len(part.edges):
        return Part(part.face, area, part.edges)
    near = shapely.buffer(area, BESIDE_MM, quad_segs=1)
    lines = shapely.get_parts(shapely.intersection(shapely.linestrings(part.edges), near))
    lines = lines[shapely.get_num_coordinates(lines) == 2]
    return Part(part.face, area, shapely.get_coordinates(lines).reshape(-1, 2, 2))
