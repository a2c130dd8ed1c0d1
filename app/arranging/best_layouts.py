"""The best layouts of a search: the best of each kind, by what a person would notice."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from itertools import combinations

import numpy as np
from shapely import LineString, get_coordinates

from app.arranging.open_floor import OpenFloor, base_angle_deg
from app.arranging.standing import is_floor
from app.arranging.used_together import go_together
from app.checks.together import together, trained_at
from app.model.kit import Pose
from app.scene.build import Scene
from app.scene.shapes import turn, turned_points

BEHIND_SHARE = 0.7
"""How far a back must look to a wall to have it behind it: by less than 45 degrees aside."""
HALF = 0.5
AT_A_WALL_MM = 500.0
"""How far off a wall a piece still stands at it, to who looks into the room."""


PAIRED_AT_MOST = 3
"""Largest stations of which pairs are told apart: who trains beside whom at these is what two
people choose a layout by; with more nearly every layout would be a kind of its own."""


@dataclass(frozen=True, slots=True)
class Looks:
    """What a person would notice of a layout: the wall of the largest piece, where floor is open.

    `half` is the half of the room in which the open floor lies; `left_out` are the carriers of the
    stations that are not in it. `pairs` are those of the largest stations at which two people can
    train at once; where one person trains there are none.
    """

    wall: str
    half: str
    left_out: tuple[str, ...] = ()
    pairs: frozenset[frozenset[str]] = frozenset()

    @property
    def place(self) -> tuple[str, str, tuple[str, ...]]:
        """What is noticed but the pairs."""
        return self.wall, self.half, self.left_out

    def gives(self, other: Looks) -> bool:
        """Return whether a layout gives all that another gives: no pair lacks that it has."""
        return self.place == other.place and self.pairs >= other.pairs


@dataclass(frozen=True, slots=True)
class Seen:
    """Where the largest piece and the open floor are, by which a layout is told from another.

    `at` is the middle of the largest and `floor_at` that of the floor along the room, both as
    shares of how long the room is; `turn_deg` is how the largest is turned. `places` are the
    middles of what may be moved, in mm from that of the room, along its longest wall and across.
    """

    at: tuple[float, float] | None
    turn_deg: float
    floor_at: float | None
    places: Mapping[str, tuple[float, float]] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class JudgedLayout:
    """A layout that went through the full judge: its poses, score and what was counted.

    `worth` is that of the pieces in it that might have been left out, in points of the score;
    `moved` are the carriers that leave their places; `number` and `step` say which search found it
    and when, so that of equals the first one stays.
    """

    poses: Mapping[str, Pose]
    total: float
    stops: int
    cares: int
    moved: tuple[str, ...]
    looks: Looks
    parts: Mapping[str, float]
    worth: float = 0.0
    number: int = 0
    step: int = 0
    seen: Seen | None = None

    @property
    def key(self) -> str:
        """What it is called in forms and between programs: which search found it, and when."""
        return f"{self.number}.{self.step}"

    @property
    def value(self) -> float:
        """What it is worth in all: its score, and what it has that might have been left out."""
        return self.total + self.worth

    @property
    def rank(self) -> tuple[float, ...]:
        """How good it is, the best first: stops, then what it is worth."""
        return rank_of(self.stops, self.value, self.number, self.step)


def rank_of(stops: int, value: float, number: int, step: int) -> tuple[float, ...]:
    """Return the rank of a layout, the best first; of equals the one found first."""
    return (stops, -round(value, 6), number, step)


@dataclass(slots=True)
class BestLayouts:
    """The best layouts by their looks, and by how many pieces move."""

    by_looks: dict[Looks, JudgedLayout] = field(default_factory=dict)
    by_moves: dict[int, JudgedLayout] = field(default_factory=dict)

    def would_be_new(self, looks: Looks, moved: int, rank: tuple[float, ...]) -> bool:
        """Return whether a layout of this rank is the best of its kind so far."""
        known = min(
            (one for key, one in self.by_looks.items() if key.gives(looks)),
            key=lambda one: one.rank,
            default=None,
        )
        fewer = [one for count, one in self.by_moves.items() if count <= moved]
        best = min(fewer, key=lambda one: one.rank, default=None)
        return known is None or rank < known.rank or best is None or rank < best.rank

    def add(self, layout: JudgedLayout) -> None:
        """Keep a layout if it is the best of its kind."""
        key = layout.looks
        if key not in self.by_looks or layout.rank < self.by_looks[key].rank:
            self.by_looks[key] = layout
        count = len(layout.moved)
        if count not in self.by_moves or layout.rank < self.by_moves[count].rank:
            self.by_moves[count] = layout

    def join(self, others: Iterable[JudgedLayout]) -> None:
        """Keep the best of what others found as well; the order of asking makes no difference."""
        for layout in others:
            self.add(layout)

    @property
    def every(self) -> tuple[JudgedLayout, ...]:
        """All layouts kept, the best first."""
        layouts = {id(one): one for one in [*self.by_looks.values(), *self.by_moves.values()]}
        return tuple(sorted(layouts.values(), key=lambda one: one.rank))

    @property
    def best(self) -> JudgedLayout | None:
        """The best of all."""
        return self.every[0] if self.by_looks else None


def looks_of(
    scene: Scene, largest: str | None, floor: OpenFloor | None, left_out: Iterable[str] = ()
) -> Looks:
    """Return what a person notices of a scene; `largest` is the carrier told apart by its wall."""
    wall, half = place_of(scene, largest, floor)
    return Looks(wall, half, tuple(sorted(left_out)), pairs_of(scene))


def place_of(scene: Scene, largest: str | None, floor: OpenFloor | None) -> tuple[str, str]:
    """Return the wall of the largest and the half with the open floor; empty for none."""
    wall = "" if largest is None else nearest_wall(scene, largest)
    return wall, "" if floor is None else halves(scene)[_along(scene, floor.middle) >= HALF]


def halves(scene: Scene) -> tuple[str, str]:
    """Return what the two halves of a room are called: it is parted across its longer side."""
    x0, y0, x1, y1 = scene.room.free.bounds
    return ("left", "right") if x1 - x0 >= y1 - y0 else ("back", "front")


def seen_of(
    scene: Scene, largest: str | None, floor: OpenFloor | None, free: Iterable[str] = ()
) -> Seen:
    """Return where the largest piece, the open floor and all that may be moved are in a scene."""
    x0, y0, x1, y1 = scene.room.free.bounds
    long_mm = max(x1 - x0, y1 - y0)
    floor_at = None if floor is None else _along(scene, floor.middle)
    places = _places(scene, [root for root in free if root in scene.placed])
    if largest is None:
        return Seen(None, 0.0, floor_at, places)
    placed = scene.placed[largest]
    x, y = placed.at
    at = (x - x0) / long_mm, (y - y0) / long_mm
    return Seen(at, placed.pose.angle_deg, floor_at, places)


def _places(scene: Scene, roots: Sequence[str]) -> dict[str, tuple[float, float]]:
    """Return the middles of carriers from the middle of the room, along its longest wall."""
    base = base_angle_deg(scene)
    room = turned_points(get_coordinates(scene.room.free.exterior), -base)
    middle = (room.min(axis=0) + room.max(axis=0)) / 2
    at = np.array([scene.placed[root].at for root in roots]).reshape(-1, 2)
    return {
        root: (float(x), float(y))
        for root, (x, y) in zip(roots, turned_points(at, -base) - middle, strict=True)
    }


def _along(scene: Scene, at: tuple[float, float]) -> float:
    """Return how far along the longer side of a room a place lies, as a share of it."""
    x0, y0, x1, y1 = scene.room.free.bounds
    (x, y), (wide, deep) = at, (x1 - x0, y1 - y0)
    return (x - x0) / wide if wide >= deep else (y - y0) / deep


def pairs_of(scene: Scene) -> frozenset[frozenset[str]]:
    """Return the pairs of the largest stations at which two people of a plan can train at once.

    A bench and the dumbbells that are lifted on it are one.
    """
    if len(scene.plan.people) < 2:
        return frozenset()
    groups = scene.memo(("largest stations",), lambda: _largest(scene))
    pairing, one = together(scene), go_together(scene.order)
    pairs = [pair for pair in combinations(groups, 2) if pairing.at_once(*pair)]
    return frozenset(frozenset(pair) for pair in pairs) - one


def _largest(scene: Scene) -> tuple[str, ...]:
    """Return the carriers of the largest stations where people train that are no bare floor."""
    placed = [scene.order[number] for number in trained_at(scene)]
    stand = [one for one in placed if not is_floor(one)]
    stand.sort(key=lambda one: (-one.footprint.area, one.piece.id))
    return tuple(one.piece.id for one in stand[:PAIRED_AT_MOST])


def nearest_wall(scene: Scene, root: str) -> str:
    """Return the id of the wall that a carrier stands at: that behind it, else the nearest."""
    placed = scene.placed[root]
    back = turn(0.0, -1.0, placed.pose.angle_deg)
    walls = scene.room.walls
    lines = [LineString([wall.start, wall.end]) for wall in walls]
    away = [line.distance(placed.footprint) for line in lines]
    behind = [
        number
        for number, wall in enumerate(walls)
        if back[0] * wall.inward[0] + back[1] * wall.inward[1] < -BEHIND_SHARE
        and away[number] <= AT_A_WALL_MM
    ]
    return walls[min(behind or range(len(walls)), key=lambda number: away[number])].id
