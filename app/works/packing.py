"""Standing things in a part of the floor: along its edges, heavy and large ones first, a way kept.

A constructive packing: the largest first, each at the corner that touches most of what is there
already (the touching-perimeter rule of A. Lodi, S. Martello and D. Vigo, Heuristic and
metaheuristic approaches for a class of two-dimensional bin packing problems, 1999), and only where
a way stays open.
"""

from __future__ import annotations

import heapq
import math
from collections.abc import Callable, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
import shapely.ops
from numpy.typing import NDArray
from shapely import LineString, Polygon
from shapely.geometry.base import BaseGeometry

CANDIDATES_TRIED = 14
"""Corners that are tried for one thing, the snuggest first: a way is asked for at each."""

CLOSE_MM = 700
"""A thing counts as reached over another one, or a row, that stands before it."""

TINY_MM = 1.0
"""What lies nearer touches: corners are turned and turned back."""


@dataclass(frozen=True, slots=True)
class Thing:
    """What is to stand somewhere: its sides in mm and how high it is."""

    id: str
    name: str
    width_mm: float
    depth_mm: float
    height_mm: float


@dataclass(frozen=True, slots=True)
class Stood:
    """A thing in its place: the rectangle, and whether it is turned by a quarter."""

    thing: Thing
    box: Polygon
    turned: bool


@dataclass(frozen=True, slots=True)
class Ground:
    """Where things may stand (`floor`), where one may walk, the doors, and where one works.

    `wet` must be left by the way. Without doors nobody walks here: the part that is worked on has
    the only one, and is left by it.
    """

    floor: BaseGeometry
    walk: BaseGeometry
    doors: tuple[LineString, ...]
    wet: Polygon
    way_mm: float
    on_foot: tuple[bool, ...] = ()
    """Of each door whether it is for people: a garage door is opened where there is no other."""
    lowest_mm: float = math.inf
    """The lowest that hangs over the room: what is no higher stands anywhere."""
    clear: Callable[[NDArray[np.object_]], NDArray[np.float64]] | None = None
    """The clear height over each of some boxes, in mm."""


def stand(ground: Ground, things: Sequence[Thing]) -> tuple[list[Stood], list[Thing]]:
    """Stand things on the ground; return those that stand and those that find no room."""
    stood: list[Stood] = []
    left_over: list[Thing] = []
    left: BaseGeometry = ground.floor
    for thing in sorted(things, key=lambda one: (-one.width_mm * one.depth_mm, one.id)):
        place = _place(ground, left, stood, thing)
        if place is None:
            left_over.append(thing)
            continue
        stood.append(place)
        left = left.difference(place.box)
    return stood, left_over


def _place(
    ground: Ground, left: BaseGeometry, stood: Sequence[Stood], thing: Thing
) -> Stood | None:
    places: list[tuple[float, Polygon, bool]] = []
    grown = left.buffer(TINY_MM / 2, join_style="mitre")
    edge = left.boundary.buffer(TINY_MM, quad_segs=1)
    for turned in (False, True):
        wide, deep = thing.width_mm, thing.depth_mm
        if turned:
            if wide == deep:
                continue
            wide, deep = deep, wide
        boxes = _corners(left, wide, deep)
        if not len(boxes):
            continue
        shapely.prepare(grown)
        inside = boxes[shapely.covers(grown, boxes)]
        if thing.height_mm > ground.lowest_mm and ground.clear is not None and len(inside):
            inside = inside[ground.clear(inside) >= thing.height_mm]
        rings = shapely.boundary(inside)
        shares = shapely.length(shapely.intersection(rings, edge)) / shapely.length(rings)
        places += [
            (-round(float(share), 3), box, turned)
            for share, box in zip(shares, inside, strict=True)
        ]
    places.sort(key=lambda one: (one[0], _far(ground, one[1])))
    boxes_there = [one.box for one in stood]
    for _, box, turned in places[:CANDIDATES_TRIED]:
        if not ground.doors or way(ground, [*boxes_there, box]) is not None:
            return Stood(thing, box, turned)
    return None


def _far(ground: Ground, box: Polygon) -> float:
    """Return how near a box is to the doors, less than nothing: the farthest place first."""
    return -min((door.distance(box) for door in ground.doors), default=0.0)


def _corners(left: BaseGeometry, wide: float, deep: float) -> NDArray[np.object_]:
    """Return the boxes whose corner lies in a corner of what is left free."""
    points = shapely.get_coordinates(left)
    if not len(points):
        return np.array([], dtype=object)
    xs = np.unique(np.round(np.concatenate([points[:, 0], points[:, 0] - wide])))
    ys = np.unique(np.round(np.concatenate([points[:, 1], points[:, 1] - deep])))
    x, y = (grid.ravel() for grid in np.meshgrid(xs, ys))
    boxes: NDArray[np.object_] = shapely.box(x, y, x + wide, y + deep)
    return boxes


def way(ground: Ground, boxes: Sequence[Polygon]) -> Polygon | None:
    """Return where the middle of somebody may walk, from a door to where one works and to all.

    None where the way is too narrow for that.
    """
    half = ground.way_mm / 2
    things = shapely.union_all(list(boxes)) if boxes else Polygon()
    # mitred, so that a way along a straight wall is as wide as it is
    free = ground.walk.difference(things).buffer(-half + TINY_MM, join_style="mitre")
    for part in shapely.get_parts(free):
        if part.is_empty or not any(_by_door(part, door, half) for door in ground.doors):
            continue
        if part.distance(ground.wet) > half + 2 * TINY_MM + WET_GAP_MM:
            continue
        if all(part.distance(box) <= half + CLOSE_MM for box in boxes):
            walked: Polygon = part
            return walked
    return None


def way_line(ground: Ground, boxes: Sequence[Polygon]) -> LineString | None:
    """Return the shortest way from where one works to a door, for the middle of somebody.

    Over the corners of where one may walk (a visibility graph) by Dijkstra, 1959. None without.
    """
    walked = way(ground, boxes)
    if walked is None:
        return None
    half = ground.way_mm / 2
    inner = walked.simplify(TINY_MM)
    start = shapely.ops.nearest_points(inner, ground.wet.centroid)[0]
    usable = [n for n, door in enumerate(ground.doors) if _by_door(walked, door, half)]
    through = [shapely.ops.nearest_points(inner, _middle_of(ground.doors[n], half)) for n in usable]
    for_cars = [not any(ground.on_foot[n : n + 1]) for n in usable]
    goals = [(inside.x, inside.y) for inside, _ in through]
    corners = [tuple(xy) for xy in shapely.get_coordinates(inner)]
    nodes = list(dict.fromkeys([(start.x, start.y), *goals, *corners]))
    seen_from = inner.buffer(TINY_MM)
    shapely.prepare(seen_from)
    best = {0: 0.0}
    before: dict[int, int] = {}
    open_nodes = [(0.0, 0)]
    while open_nodes:
        far, at = heapq.heappop(open_nodes)
        if far > best[at]:
            continue
        lines = np.array([LineString([nodes[at], node]) for node in nodes], dtype=object)
        for other in np.flatnonzero(shapely.covers(seen_from, lines)):
            reached = far + lines[other].length
            if other != at and reached < best.get(int(other), np.inf) - TINY_MM / 2:
                best[int(other)], before[int(other)] = reached, at
                heapq.heappush(open_nodes, (reached, int(other)))
    ways = [(for_cars[n], best.get(nodes.index(goal), np.inf), n) for n, goal in enumerate(goals)]
    nearest = min(ways)[-1]
    path = [nodes.index(goals[nearest])]
    while path[-1] in before:
        path.append(before[path[-1]])
    out = through[nearest][1]
    return LineString([*(nodes[i] for i in reversed(path)), (out.x, out.y)])


WET_GAP_MM = 100
"""Things stand off the part that is worked on, so that they take no paint."""


def _by_door(part: Polygon, door: LineString, half: float) -> bool:
    """Return whether a way goes through a door, the door as wide as the way at least."""
    if door.length < 2 * half:
        return False
    return bool(part.distance(_middle_of(door, half)) <= half + 2 * TINY_MM)


def _middle_of(door: LineString, half: float) -> BaseGeometry:
    """Return where in a door somebody's middle may pass."""
    middle: BaseGeometry = shapely.ops.substring(door, half, door.length - half)
    return middle
