"""The largest open floor in one piece: a rectangle along the walls with nothing standing in it."""

from __future__ import annotations

import math
from collections.abc import Container, Iterable, Mapping
from dataclasses import dataclass
from functools import partial

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.affinity import translate
from shapely.geometry.base import BaseGeometry

from app.arranging.standing import is_floor
from app.placing.standing import Standing, station_poses
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.overhead import lower_part
from app.scene.routes import head_mm
from app.scene.shapes import turned_points
from app.scene.tolerance import TOLERANCE_MM
from app.units import MM_PER_M

Floats = NDArray[np.float64]
SLAB_MM = 250
"""How finely what is not square to the walls is cut up: a step of floor is lost at most."""
CUT_GRID_MM = 0.001
"""Corners of what is cut up are moved to this grid, far below a tape: then no cut fails."""
SQUARE_PART = 0.999
"""Share of its box that a thing fills to count as that box."""


@dataclass(frozen=True, slots=True)
class OpenFloor:
    """A rectangle of floor: its corners, (4, 2) in mm, and its two sides."""

    corners: tuple[tuple[float, float], ...]
    long_mm: float
    short_mm: float

    @property
    def middle(self) -> tuple[float, float]:
        """The middle of the rectangle."""
        xs, ys = zip(*self.corners, strict=True)
        return sum(xs) / len(xs), sum(ys) / len(ys)

    @property
    def polygon(self) -> Polygon:
        """The rectangle."""
        return Polygon(self.corners)

    @property
    def words(self) -> str:
        """Its sides in metres: "2.3 × 1.2"."""
        return f"{self.long_mm / MM_PER_M:.1f} × {self.short_mm / MM_PER_M:.1f}"

    def share(self, people: int) -> float:
        """Return how much of what some people want it is, from 0 to 1."""
        short, long = (published(f"layout.open-floor.{side}-mm") for side in ("short", "long"))
        area = self.long_mm * self.short_mm / (long * short * max(people, 1))
        return min(1.0, self.short_mm / short) * min(1.0, area)


def base_angle_deg(scene: Scene) -> float:
    """Return the direction of the longest wall, from 0 to 90."""
    wall = max(scene.room.walls, key=lambda w: math.dist(w.start, w.end))
    return math.degrees(math.atan2(wall.along[1], wall.along[0])) % 90


def open_floor(scene: Scene, without: Container[str] = ()) -> OpenFloor | None:
    """Return the largest open floor, None where there is none.

    Nothing stands or hangs low in it but mats, and one can stand up in it; it lies in no door's
    swing and not where somebody falls off a belt. Of what is wide enough for one person the largest
    counts, else the widest.
    The stations of the carriers `without` are taken away first.
    """
    angle = base_angle_deg(scene)
    return within(floor_bounds(scene), _taken(scene, angle, without), angle)


def floor_bounds(scene: Scene) -> tuple[float, float, float, float]:
    """Return the box about the floor in the frame of the longest wall."""
    return scene.memo(
        ("floor bounds",), lambda: _turned_back(scene.room.free, base_angle_deg(scene)).bounds
    )


def within(
    bounds: tuple[float, float, float, float], boxes: Floats, angle_deg: float
) -> OpenFloor | None:
    """Return the largest open floor in a box beside what is taken, (n, 4) along the walls."""
    x0, y0, x1, y1 = bounds
    xs = np.unique(np.clip(np.concatenate([(x0, x1), boxes[:, 0], boxes[:, 2]]), x0, x1))
    ys = np.unique(np.clip(np.concatenate([(y0, y1), boxes[:, 1], boxes[:, 3]]), y0, y1))
    if len(xs) < 2 or len(ys) < 2:
        return None
    span = _largest(xs, ys, _filled(xs, ys, boxes))
    if span is None:
        return None
    a, b, c, d = span
    ring = turned_points(np.array([(a, b), (c, b), (c, d), (a, d)]), angle_deg)
    sides = sorted((c - a, d - b))
    return OpenFloor(tuple((float(x), float(y)) for x, y in ring), sides[1], sides[0])


class Floors:
    """The open floor of layouts of one scene, without a scene for each of them.

    What a station takes lies about its carrier the same wherever it stands.
    """

    def __init__(self, scene: Scene, free: Iterable[str]) -> None:
        self.scene = scene
        self.angle_deg = base_angle_deg(scene)
        self.free = frozenset(free)
        still = [_by_the_room(scene, self.angle_deg)]
        still += [_by_a_piece(p) for p in scene.order if p.root not in self.free]
        self._still = np.concatenate([_boxes(taken, self.angle_deg) for taken in still])
        self._taken: dict[tuple[str, float], Floats] = {}

    def of(self, standing: Mapping[str, Standing]) -> OpenFloor | None:
        """Return the open floor where those that may be moved stand so, and the rest as it does."""
        rows = [self._still]
        for root, at in standing.items():
            if root not in self.free:
                continue
            key = root, at.turn_deg
            if key not in self._taken:
                self._taken[key] = self._about(root, at.turn_deg)
            shift = turned_points(np.array([(at.x_mm, at.y_mm)]), -self.angle_deg)[0]
            rows.append(self._taken[key] + np.tile(shift, 2))
        return within(floor_bounds(self.scene), np.concatenate(rows), self.angle_deg)

    def _about(self, root: str, turn_deg: float) -> Floats:
        """Return what a station takes at a turn about its carrier, (n, 4) in mm."""
        poses = station_poses(self.scene, root, Standing(turn_deg, 0.0, 0.0))
        there = self.scene.moved(poses)
        return np.concatenate(
            [_boxes(_by_a_piece(there.placed[piece]), self.angle_deg) for piece in poses]
        )


def _taken(scene: Scene, angle_deg: float, without: Container[str]) -> Floats:
    """Return boxes along the walls over what is no open floor, (n, 4) in mm.

    What a piece takes where it stands is remembered: a search moves one or two of many.
    """
    boxes = [
        scene.memo(("floor taken",), lambda: _boxes(_by_the_room(scene, angle_deg), angle_deg))
    ]
    for placed in scene.order:
        if placed.root in without:
            continue
        key = ("floor taken by", placed.piece.id, *placed.at, placed.pose.angle_deg)
        boxes.append(scene.memo(key, partial(_by_one, placed, angle_deg)))
    return np.concatenate(boxes)


def _by_one(placed: Placed, angle_deg: float) -> Floats:
    return _boxes(_by_a_piece(placed), angle_deg)


def _by_the_room(scene: Scene, angle_deg: float) -> list[BaseGeometry]:
    taken: list[BaseGeometry] = [polygon for _, polygon in scene.room.columns]
    for shape in scene.room.openings:
        if not shape.opening.is_garage_door:
            taken += [sweep.polygon for sweep in shape.sweeps]
    taken += _too_low(scene)
    free = _turned_back(scene.room.free, angle_deg)
    outside = _turned_back(shapely.box(*free.bounds).difference(free), -angle_deg)
    return [*taken, *(part for part in shapely.get_parts(outside) if part.area > 1)]


def _too_low(scene: Scene) -> list[BaseGeometry]:
    """Return the floor over which a ceiling or what hangs below it is too low to train.

    On open floor one hops and stretches: the tallest must have a hop and the air over it, or two
    metres. Where no such floor is in the room, standing up as on a way is enough, and where nobody
    does that either it is no floor less open. The garage doors are as while somebody trains.
    """
    lows = [published("layout.open-floor.low-mm")]
    if scene.plan.people:
        hop_mm = published("skip.jump-mm") + published("headroom.margin-mm")
        stood_mm = published("route.overhead-spare-mm")
        lows = [min(lows[0], head_mm(scene) + over_mm) for over_mm in (hop_mm, stood_mm)]
    for low in lows:
        parts = [lower_part(item, low) for item in scene.room.training.items]
        rest = scene.room.free.difference(shapely.union_all(parts))
        if rest.area >= published("layout.open-floor.short-mm") ** 2:
            return parts
    return []


def _by_a_piece(placed: Placed) -> list[BaseGeometry]:
    """Return what a piece takes: its outline, a bar its parts, a belt where one falls off it."""
    low = published("layout.open-floor.low-mm")
    under = placed.shape.low_mm + placed.lift_mm + placed.rest_mm[0] < low
    taken: list[BaseGeometry] = []
    if under.any() and not is_floor(placed):
        parts = placed.polygons()[under]
        taken += list(parts) if placed.kit.bar is not None else [placed.footprint]
    taken += [
        translate(each.polygon, *placed.at)
        for each in placed.shape.spaces
        if each.space.kind == "fall-off" and each.space.side in ("back", "front")
    ]
    return taken


def _boxes(taken: list[BaseGeometry], angle_deg: float) -> Floats:
    """Return boxes along the walls that cover what is taken, (n, 4) in mm; round things cut up."""
    rows: list[tuple[float, ...]] = []
    for one in taken:
        if one.is_empty:
            continue
        part = _turned_back(one, angle_deg)
        x0, y0, x1, y1 = part.bounds
        if part.area >= SQUARE_PART * (x1 - x0) * (y1 - y0) or x1 - x0 < SLAB_MM:
            rows.append(part.bounds)
            continue
        count = max(1, math.ceil((y1 - y0) / SLAB_MM))
        edges = np.linspace(y0, y1, count + 1)
        # clip_by_rect is quicker, but fails where a thin wedge ends on a line of the cut
        sides = np.full((2, count), [[x0 - 1], [x1 + 1]])
        cut = shapely.box(sides[0], edges[:-1], sides[1], edges[1:])
        slabs = shapely.intersection(part, cut, grid_size=CUT_GRID_MM)
        rows += [each.bounds for each in shapely.get_parts(slabs) if each.area > 1]
    return np.array(rows, dtype=np.float64).reshape(-1, 4)


def _filled(xs: Floats, ys: Floats, boxes: Floats) -> NDArray[np.bool_]:
    """Return which cells between the lines hold something, (rows, columns)."""
    left, right = xs[:-1] + TOLERANCE_MM, xs[1:] - TOLERANCE_MM
    low, high = ys[:-1] + TOLERANCE_MM, ys[1:] - TOLERANCE_MM
    across = (boxes[:, 0, None] < right) & (boxes[:, 2, None] > left)
    deep = (boxes[:, 1, None] < high) & (boxes[:, 3, None] > low)
    met = deep[:, :, None] & across[:, None, :]
    return np.asarray(met.any(axis=0), dtype=bool)


def _largest(
    xs: Floats, ys: Floats, filled: NDArray[np.bool_]
) -> tuple[float, float, float, float] | None:
    """Return the best rectangle of empty cells: by its width up to one person's, then its area.

    For each first row and each last one the longest run of columns that are empty in all between.
    """
    wide = published("layout.open-floor.short-mm")
    rows, columns = filled.shape
    number = np.arange(1, rows + 1)
    # the last row at or before each one in which a column holds something, counted from 1
    held = np.maximum.accumulate(np.where(filled, number[:, None], 0), axis=0)
    firsts, lasts = np.triu_indices(rows)
    blocked = held[lasts] > firsts[:, None]
    after = np.arange(1, columns + 1)
    begins = np.maximum.accumulate(np.where(blocked, after, 0), axis=1)
    widths = np.where(blocked, 0.0, xs[1:] - xs[np.minimum(begins, columns)])
    talls = (ys[lasts + 1] - ys[firsts])[:, None]
    least = np.minimum(np.minimum(widths, talls), wide)
    top = least.max()
    if top <= 0:
        return None
    area = np.where(least >= top - TOLERANCE_MM, widths * talls, 0.0)
    pair, column = np.unravel_index(int(area.argmax()), area.shape)
    return (
        float(xs[begins[pair, column]]),
        float(ys[firsts[pair]]),
        float(xs[column + 1]),
        float(ys[lasts[pair] + 1]),
    )


def _turned_back(one: BaseGeometry, angle_deg: float) -> BaseGeometry:
    if not angle_deg:
        return one
    turned: BaseGeometry = shapely.transform(one, lambda xy: turned_points(xy, -angle_deg))
    return turned
