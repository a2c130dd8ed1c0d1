"""Where fittings can hang: between joists, off walls, beside heads, ropes, bars and bags."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence, Set
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Point, Polygon
from shapely.geometry.base import BaseGeometry

from app.library.anchors import place
from app.library.finishes import Fitting
from app.library.movements import movements
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.shapes import turn
from app.scene.swept import held_by, parts, put

STEP_MM = 150
"""Grid of the places that are tried for a fitting: finer than a fitting is wide."""


FITTINGS_PLACED_AT_MOST = 60
"""Fittings that are placed one by one: more than any room of a house has, few enough to wait."""


UPWARD = frozenset(
    {
        "standing-press",
        "dumbbell-press",
        "pull-up",
        "skip",
        "kettlebell-overhead",
        "kettlebell-swing",
        "box-jump",
        "bag",
    }
)
BETWEEN = frozenset({"pull-up", "skip", "bag"})
"""What still matters for a fitting that hangs wholly between joists: hands never rise there."""

Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Places:
    """Middles of fittings in mm of the room, their turn, and how many had to hang over a use."""

    at: tuple[Place, ...]
    angle_deg: float
    over: int


def places(scene: Scene, fitting: Fitting, count: int) -> Places:
    """Spread so many fittings over the room; fewer come back where there is no place for more."""
    angle = _angle(scene)
    tries = list(_tries(scene, fitting, angle))
    if not tries:
        return Places((), angle, 0)
    middles = np.array(tries)
    shapes = _outlines(fitting, middles, angle)
    room, hard, soft = _room(scene), _blocked(scene, fitting), keep_out(scene, fitting)
    # Each is asked about every place; all three are made here, so no other thread has them.
    for area in (room, hard, soft):
        shapely.prepare(area)
    free = shapely.contains_properly(room, shapes) & ~shapely.intersects(hard, shapes)
    calm = free & ~shapely.intersects(soft, shapes)
    apart = math.sqrt(scene.room.free.area / count) / 2
    chosen: list[int] = []
    over = 0
    for ideal in _spread(scene, count, angle):
        away = np.hypot(*(middles - ideal).T)
        for allowed, far in ((calm, apart), (calm, 0.0), (free, 0.0)):
            number = _nearest(away, allowed & _clear_of(middles, chosen, far), shapes, chosen)
            if number is not None:
                chosen.append(number)
                over += not calm[number]
                break
    return Places(tuple(sorted(tries[number] for number in chosen)), angle, over)


def _nearest(
    away: np.ndarray[tuple[int], np.dtype[np.float64]],
    allowed: np.ndarray[tuple[int], np.dtype[np.bool_]],
    shapes: np.ndarray[tuple[int], np.dtype[np.object_]],
    chosen: Sequence[int],
) -> int | None:
    open_ = allowed.copy()
    if chosen:
        taken = shapely.union_all(shapes[list(chosen)])
        shapely.prepare(taken)
        open_ &= ~shapely.intersects(taken, shapes)
    if not open_.any():
        return None
    return int(np.argmin(np.where(open_, away, np.inf)))


def _clear_of(
    middles: np.ndarray[tuple[int, int], np.dtype[np.float64]], chosen: Sequence[int], far: float
) -> np.ndarray[tuple[int], np.dtype[np.bool_]]:
    """Return which places are so far from every one chosen, that no two crowd together."""
    clear = np.ones(len(middles), dtype=bool)
    for number in chosen:
        clear &= np.hypot(*(middles - middles[number]).T) >= far
    return clear


def _angle(scene: Scene) -> float:
    """Return the turn of the fittings: along the joists, else along the longest wall."""
    joists = scene.plan.room.ceiling.joists
    if joists is not None:
        return joists.direction_deg
    longest = max(scene.room.walls, key=lambda wall: math.dist(wall.start, wall.end))
    return math.degrees(math.atan2(longest.along[1], longest.along[0]))


def _extent(scene: Scene, angle: float) -> tuple[float, float, float, float]:
    """Return the room's least and greatest coordinate along and across the fittings."""
    back = [turn(x, y, -angle) for x, y in shapely.get_coordinates(scene.room.free)]
    along, across = [p[0] for p in back], [p[1] for p in back]
    return min(along), max(along), min(across), max(across)


def _tries(scene: Scene, fitting: Fitting, angle: float) -> Iterator[Place]:
    u0, u1, v0, v1 = _extent(scene, angle)
    step = STEP_MM
    half = fitting.length_mm / 2
    rows = list(_rows(scene, fitting, v0, v1, step))
    u = u0 + half + published("lighting.off-wall-mm")
    while u <= u1 - half:
        for v in rows:
            yield turn(u, v, angle)
        u += step


def _rows(scene: Scene, fitting: Fitting, v0: float, v1: float, step: float) -> Iterator[float]:
    joists = scene.plan.room.ceiling.showing
    if joists is None or fitting.width_mm > joists.spacing_mm - joists.width_mm:
        v = v0 + step
        while v < v1:
            yield v
            v += step
        return
    v = v0 + joists.first_mm - joists.spacing_mm / 2
    while v < v1:
        if v > v0:
            yield v
        v += joists.spacing_mm


def _spread(scene: Scene, count: int, angle: float) -> Iterator[Place]:
    """Return the middles of an even pattern of rows over the room."""
    u0, u1, v0, v1 = _extent(scene, angle)
    long, wide = u1 - u0, v1 - v0

    def uneven(rows: int) -> float:
        return abs(math.log((wide / rows) / (long / math.ceil(count / rows))))

    rows = min(range(1, count + 1), key=uneven)
    for row in range(rows):
        in_row = count // rows + (row < count % rows)
        for i in range(in_row):
            u = u0 + long * (2 * i + 1) / (2 * in_row)
            yield turn(u, v0 + wide * (2 * row + 1) / (2 * rows), angle)


def _outlines(
    fitting: Fitting, middles: np.ndarray[tuple[int, int], np.dtype[np.float64]], angle: float
) -> np.ndarray[tuple[int], np.dtype[np.object_]]:
    """Return the outline of a fitting about each of many middles, (n, 2): all in one call."""
    a, b = fitting.length_mm / 2, fitting.width_mm / 2
    corners = ((-a, -b), (a, -b), (a, b), (-a, b))
    turned = np.array([turn(x, y, angle) for x, y in corners])
    return np.asarray(shapely.polygons(middles[:, None, :] + turned[None, :, :]), dtype=object)


def _room(scene: Scene) -> BaseGeometry:
    return scene.room.free.buffer(-published("lighting.off-wall-mm"), join_style="mitre")


def _blocked(scene: Scene, fitting: Fitting) -> BaseGeometry:
    """Return what no fitting can hang at: low things, columns, doors that rise as high as it hangs.

    A door that opens well below it only shades it while it is open.
    """
    decks = scene.plan.room.ceiling.finished
    corners = scene.room.free.exterior.coords
    hangs = min(plane.height_at(*at) for plane in decks for at in plane.outline or corners)
    under = hangs - fitting.depth_mm
    everything = [polygon for thing, polygon in scene.room.low if thing.kind != "light"]
    everything += [polygon for _, polygon in scene.room.columns]
    for shape in scene.room.openings:
        everything += [
            hanging.polygon
            for hanging in (*shape.always, *shape.when_open)
            if hanging.top_mm > under
        ]
    return shapely.union_all(everything)


def keep_out(scene: Scene, fitting: Fitting) -> BaseGeometry:
    """Return the floor under hands, ropes and bags, and about the heads of those who lie."""
    beside = published("lighting.beside-mm")
    joists = scene.plan.room.ceiling.showing
    recessed = joists is not None and joists.depth_mm >= fitting.depth_mm
    areas: list[BaseGeometry] = []
    for placed in scene.order:
        if not placed.in_use:
            continue
        areas += [
            area.buffer(beside) for area in _upward(scene, placed, BETWEEN if recessed else UPWARD)
        ]
        if placed.kit.group == "Benches":
            dx, dy = turn(0.0, -placed.extent.depth_mm / 2, placed.pose.angle_deg)
            head = Point(placed.at[0] + dx, placed.at[1] + dy)
            areas.append(head.buffer(published("lighting.bench-head-mm")))
    return shapely.union_all(areas)


def _upward(scene: Scene, placed: Placed, moves: Set[str]) -> Iterator[Polygon]:
    held = held_by(scene, placed.root)
    for use in placed.kit.uses:
        if use.movement not in moves or use.movement not in movements():
            continue
        x, y = (place(anchor, placed.extent) for anchor in use.at)
        for part in parts(use.movement, held):
            yield put(part.area, placed, (x, y))
