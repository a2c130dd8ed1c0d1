"""Where fittings hang: in even rows, else in straight ones, else one by one."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from weakref import WeakKeyDictionary

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from app.library.finishes import Fitting
from app.published.register import published
from app.scene.build import Scene
from app.scene.room import RoomShape
from app.scene.shapes import turn
from app.takeoff.light_hindrances import blocked, ceiling_over, keep_out, off_walls, open_leaves
from app.takeoff.light_rows import Grid, even_middles, straight_rows, uneven

STEP_MM = 150
"""Grid of the places that are tried for a fitting: finer than a fitting is wide."""

DRAWN_TOGETHER = (1.0, 0.85, 0.7)
"""How close rows and fittings in them are tried, as a share of what would be even to the walls."""
SHIFTED_AT_MOST = 0.35
"""How far a pattern is shifted, as a share of what is between two fittings: further, and one wall
gets the light of the other."""
NEARLY_AS_EVEN = math.log(2)
"""A pattern may be so much less even than the evenest, as a logarithm: twice as far between rows as
within them still lights a room."""
SHADED_MM = 600.0
"""How far a fitting of a straight row is rather moved than that an open garage door shades it: an
arm's length, for it lights the room while the door is shut."""
LOWER = 2.0
"""How far a fitting of a straight row is rather moved than that it hangs a mm lower:
under a slope or the eaves it is in the way of a head before it lights the room."""
FITTINGS_PLACED_AT_MOST = 60
"""Fittings that are placed one by one: more than any room of a house has, few enough to wait."""

Place = tuple[float, float]


@dataclass(frozen=True, slots=True)
class Places:
    """Middles of fittings in mm of the room, their turn, and how many had to hang over a use.

    `even` tells that they hang in even rows, `straight` in straight ones that are not, `shaded` are
    the numbers, from 1 on, of those that hang over a garage door when it is open.
    """

    at: tuple[Place, ...]
    angle_deg: float
    over: int
    even: bool = False
    shaded: tuple[int, ...] = ()
    straight: bool = False


def places(scene: Scene, fitting: Fitting, count: int) -> Places:
    """Spread so many fittings over the room; fewer come back where there is no place for more."""
    angle = _angle(scene)
    room, hard, soft = off_walls(scene), blocked(scene, fitting), keep_out(scene, fitting)
    leaves = open_leaves(scene)
    # Each is asked about every place; all are made here, so no other thread has them.
    for area in (room, hard, soft, leaves):
        shapely.prepare(area)
    even = _even_rows(scene, fitting, count, angle, (room, hard, soft, leaves))
    if even is not None and not even.over:
        return even
    u0, u1, v0, v1 = _extent(scene, angle)
    lines = np.array(list(_rows(scene, fitting, v0, v1, STEP_MM)))
    along = _along(fitting, u0, u1)
    if not along.size or not lines.size:
        return Places((), angle, 0)
    middles = _turned(np.stack(np.meshgrid(along, lines, indexing="ij"), -1).reshape(-1, 2), angle)
    shapes = outlines(fitting, middles, angle)
    free = shapely.contains_properly(room, shapes) & ~shapely.intersects(hard, shapes)
    calm = free & ~shapely.intersects(soft, shapes)
    dark = shapely.intersects(leaves, shapes)
    high = ceiling_over(scene, middles)
    cost = np.where(calm, dark * SHADED_MM + LOWER * (high.max() - high), np.inf)
    cost = cost.reshape(len(along), len(lines)).T
    straight = _straight(Grid(along, lines, cost), count, (u0, u1, v0, v1), fitting)
    if straight:
        at, over = _turned(np.array(straight), angle), 0
    else:
        numbers, over = _one_by_one(scene, (middles, shapes), (calm, free), count, angle)
        if even is not None and (len(numbers) < count or even.over <= over):
            return even
        at = middles[numbers].reshape(-1, 2)
    at = np.array(sorted(at.tolist())).reshape(-1, 2)
    shaded = np.flatnonzero(shapely.intersects(leaves, outlines(fitting, at, angle))) + 1
    spots = tuple((float(x), float(y)) for x, y in at)
    return Places(spots, angle, over, False, tuple(shaded.tolist()), bool(straight))


def _straight(
    grid: Grid, count: int, extent: tuple[float, float, float, float], fitting: Fitting
) -> list[tuple[float, float]]:
    """Return middles in straight rows, end to end or side by side, whichever is moved less."""
    u0, u1, v0, v1 = extent
    size = (fitting.length_mm + STEP_MM, fitting.width_mm + STEP_MM)
    less = 2 * NEARLY_AS_EVEN
    ended = straight_rows(grid, count, extent, size, less)
    across = Grid(grid.lines, grid.along, grid.cost_mm.T)
    sided = straight_rows(across, count, (v0, v1, u0, u1), size[::-1], less)
    return ended[1] if ended[0] <= sided[0] else [(u, v) for v, u in sided[1]]


def _one_by_one(
    scene: Scene,
    tried: tuple[
        np.ndarray[tuple[int, ...], np.dtype[np.float64]],
        np.ndarray[tuple[int], np.dtype[np.object_]],
    ],
    allowed: tuple[
        np.ndarray[tuple[int], np.dtype[np.bool_]], np.ndarray[tuple[int], np.dtype[np.bool_]]
    ],
    count: int,
    angle: float,
) -> tuple[list[int], int]:
    """Return for each fitting in turn the nearest place to where an even pattern has it.

    `tried` are middles and outlines of the places, `allowed` which are over no use and which are
    free at all. Returned are their numbers and how many had to hang over a use.
    """
    middles, shapes = tried
    calm, free = allowed
    apart = math.sqrt(scene.room.free.area / count) / 2
    chosen: list[int] = []
    over = 0
    for ideal in _spread(scene, count, angle):
        away = np.hypot(*(middles - ideal).T)
        for may, far in ((calm, apart), (calm, 0.0), (free, 0.0)):
            number = _nearest(away, may & _clear_of(middles, chosen, far), shapes, chosen)
            if number is not None:
                chosen.append(number)
                over += not calm[number]
                break
    return chosen, over


@dataclass(frozen=True, slots=True)
class _Pattern:
    """Even rows that hang free: middles in mm, how many over open garage doors, how far moved."""

    spots: np.ndarray[tuple[int, int], np.dtype[np.float64]]
    dark: int
    moved_mm: float


@dataclass(frozen=True, slots=True)
class _Patterns:
    """Every pattern of so many fittings that hangs free in a room, and all their outlines."""

    each: tuple[_Pattern, ...]
    shapes: np.ndarray[tuple[int], np.dtype[np.object_]]


_known: WeakKeyDictionary[RoomShape, dict[tuple[str, int, float], _Patterns]] = WeakKeyDictionary()
"""What hangs on the room alone: a drop moves what is kept clear of, and asks again."""


def _even_rows(
    scene: Scene,
    fitting: Fitting,
    count: int,
    angle: float,
    areas: tuple[BaseGeometry, BaseGeometry, BaseGeometry, BaseGeometry],
) -> Places | None:
    """Return the best pattern of even rows as a whole, shifted as far as need be; None without one.

    `areas` are the room, what blocks, what is better kept out of, and open garage doors. Of the
    patterns that are nearly as even as the evenest the one over the fewest uses counts, then the
    one with fewest over an open door, then the least shifted.
    """
    room, hard, soft, leaves = areas
    known = _known.setdefault(scene.room, {})
    key = fitting.key, count, angle
    if key not in known:
        known[key] = _patterns(scene, fitting, count, angle, (room, hard, leaves))
    patterns = known[key]
    if not patterns.each:
        return None
    over = shapely.intersects(soft, patterns.shapes).reshape(-1, count).sum(axis=1).tolist()
    used, best = min(
        zip(over, patterns.each, strict=True),
        key=lambda one: (one[0], one[1].dark, one[1].moved_mm),
    )
    shaded = np.flatnonzero(shapely.intersects(leaves, outlines(fitting, best.spots, angle)))
    middles = tuple((float(x), float(y)) for x, y in best.spots)
    return Places(middles, angle, used, True, tuple((shaded + 1).tolist()))


def _patterns(
    scene: Scene,
    fitting: Fitting,
    count: int,
    angle: float,
    areas: tuple[BaseGeometry, BaseGeometry, BaseGeometry],
) -> _Patterns:
    """Return the patterns that hang free of what blocks, within the room."""
    room, hard, leaves = areas
    u0, u1, v0, v1 = _extent(scene, angle)
    long, wide = u1 - u0, v1 - v0
    lines = np.array(list(_rows(scene, fitting, v0, v1, STEP_MM)))
    ranked = _ranked(count, long, wide)
    found: list[_Pattern] = []
    bodies = [np.zeros(0, dtype=object)]
    for rows in ranked:
        # rows with as many each; with one more in some only where that is the evenest of all
        if count % rows and rows != ranked[0]:
            continue
        if not len(lines):
            break
        in_row = math.ceil(count / rows)
        pattern = np.array(list(_pattern(count, rows, (u0, u1, v0, v1))))
        middle = np.array([(u0 + u1) / 2, (v0 + v1) / 2])
        changes = np.array(list(_changes(long / in_row, wide / rows, fitting, rows)))
        if not len(changes):
            continue
        at = middle + (pattern - middle) * changes[:, None, :2] + changes[:, None, 2:]
        at[..., 1] = lines[np.abs(at[..., 1, None] - lines).argmin(axis=-1)]
        spots = _turned(at, angle)
        shapes = outlines(fitting, spots.reshape(-1, 2), angle)
        free = ~shapely.intersects(hard, shapes) & shapely.contains_properly(room, shapes)
        dark = shapely.intersects(leaves, shapes).reshape(-1, count).sum(axis=1)
        # two rows may not come to lie between the same two joists
        own_lines = np.array([len(np.unique(one)) == rows for one in at[..., 1]])
        high = ceiling_over(scene, spots.reshape(-1, 2)).reshape(-1, count)
        # where no ceiling is known nothing hangs lower than elsewhere
        known = np.isfinite(high)
        lower = np.where(known, high.max(initial=0.0, where=known) - high, 0.0).mean(axis=1)
        hung = np.asarray(free.reshape(-1, count).all(axis=1)) & own_lines
        for number in np.flatnonzero(hung).tolist():
            along, across, du, dv = changes[number].tolist()
            moved = abs(du) + abs(dv) + (1 - along) * long + (1 - across) * wide
            moved += LOWER * float(lower[number])
            ordered = np.array(sorted(spots[number].tolist()))
            found.append(_Pattern(ordered, int(dark[number]), moved))
            bodies.append(shapes[number * count : (number + 1) * count])
    return _Patterns(tuple(found), np.concatenate(bodies))


def _changes(
    between_mm: float, rows_mm: float, fitting: Fitting, rows: int
) -> Iterator[tuple[float, float, float, float]]:
    """Yield how a pattern may be drawn together along and across, and then shifted.

    None lies on another then.
    """
    for along in DRAWN_TOGETHER:
        for across in DRAWN_TOGETHER if rows > 1 else (1.0,):
            if along * between_mm < fitting.length_mm or across * rows_mm < fitting.width_mm:
                continue
            u_steps, v_steps = (
                int(one * SHIFTED_AT_MOST // STEP_MM) for one in (between_mm, rows_mm)
            )
            for i in range(-u_steps, u_steps + 1):
                for j in range(-v_steps, v_steps + 1):
                    yield along, across, i * STEP_MM, j * STEP_MM


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
    middles: np.ndarray[tuple[int, ...], np.dtype[np.float64]], chosen: Sequence[int], far: float
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


def _along(
    fitting: Fitting, u0: float, u1: float
) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """Return where along a row the middle of a fitting may be: in steps from off the wall on."""
    half = fitting.length_mm / 2
    steps = math.floor((u1 - u0 - 2 * half - published("lighting.off-wall-mm")) / STEP_MM) + 1
    first = u0 + half + published("lighting.off-wall-mm")
    return first + STEP_MM * np.arange(max(steps, 0), dtype=np.float64)


def _ranked(count: int, long: float, wide: float) -> list[int]:
    """Return the numbers of rows that are nearly as even as the evenest, that first."""
    ranked = sorted(range(1, count + 1), key=lambda rows: uneven(count, rows, long, wide))
    most = uneven(count, ranked[0], long, wide) + NEARLY_AS_EVEN
    return [rows for rows in ranked if uneven(count, rows, long, wide) <= most]


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
    rows = min(range(1, count + 1), key=lambda rows: uneven(count, rows, long, wide))
    for u, v in _pattern(count, rows, (u0, u1, v0, v1)):
        yield turn(u, v, angle)


def _pattern(
    count: int, rows: int, extent: tuple[float, float, float, float]
) -> Iterator[tuple[float, float]]:
    """Yield the middles of rows over an extent, along and across the fittings."""
    u0, u1, v0, v1 = extent
    for row in range(rows):
        in_row = count // rows + (row < count % rows)
        for u in even_middles(in_row, u0, u1):
            yield u, even_middles(rows, v0, v1)[row]


def outlines(
    fitting: Fitting, middles: np.ndarray[tuple[int, ...], np.dtype[np.float64]], angle: float
) -> np.ndarray[tuple[int], np.dtype[np.object_]]:
    """Return the outline of a fitting about each of many middles, (n, 2): all in one call."""
    a, b = fitting.length_mm / 2, fitting.width_mm / 2
    corners = ((-a, -b), (a, -b), (a, b), (-a, b))
    turned = np.array([turn(x, y, angle) for x, y in corners])
    return np.asarray(shapely.polygons(middles[:, None, :] + turned[None, :, :]), dtype=object)


def _turned(
    at: np.ndarray[tuple[int, ...], np.dtype[np.float64]], angle_deg: float
) -> np.ndarray[tuple[int, ...], np.dtype[np.float64]]:
    """Return points, (..., 2), turned about the origin as `turn` turns one."""
    (cos, sin), (minus_sin, also_cos) = turn(1, 0, angle_deg), turn(0, 1, angle_deg)
    return np.asarray(at @ np.array([[cos, sin], [minus_sin, also_cos]]))
