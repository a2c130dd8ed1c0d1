"""Places worth trying for a station: at walls, beside what stands already, in line with it.

The corners of a good packing lie where edges meet edges, so both coordinates are drawn from the
lines of walls, of pieces and of the room they ask for; a few are drawn freely.
"""

from __future__ import annotations

import math
from collections.abc import Iterable
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely
from numpy.random import Generator
from numpy.typing import NDArray

from app.arranging.problem import Problem
from app.arranging.standing import (
    SIDES,
    SQUARE_SHARE,
    asked_mm,
    back_at_most_mm,
    goes_to_a_wall,
    is_disc,
    is_floor,
)
from app.placing.layout import Layout
from app.placing.standing import Standing
from app.published.register import published
from app.scene.build import Placed
from app.scene.shapes import turn, turned_points
from app.scene.tolerance import TOLERANCE_MM
from app.scene.walls import WallShape

Floats = NDArray[np.float64]
FREELY_SHARE = 0.2
"""Share of coordinates that are drawn freely: enough to get off the lines, seldom needed."""
TRIES_A_TURN = 60
"""Places drawn a turn. Most are refused at once, and asking the core of many costs little more
than of one."""
TURNS_AT_MOST = 64
"""Turns in whose frame what stays is remembered: those of sixteen walls."""
STOOD_AT_MOST = 4096
"""Stations where they stood that are remembered, in the frame of each turn: a step moves one or two
of them."""
WHOLE_MM = 10.0
"""What is drawn freely is drawn in whole steps of this: nobody sets a rack down to the mm."""


_NORMALS = ((0.0, -1.0), (1.0, 0.0), (0.0, 1.0), (-1.0, 0.0))
"""The way out of each side at turn 0, in the order of `SIDES`."""


@dataclass(frozen=True, slots=True)
class Frame:
    """A station as boxes about its carrier at turn 0: least and greatest x and y, in mm.

    `carrier` is the carrier alone, `whole` with all it carries, `asked` with the room it asks for.
    `to_walls` are the sides that may stand at a wall, the back first: their numbers as in `SIDES`,
    how far each is from the middle, and how far off the wall it is at most.
    """

    carrier: Floats
    whole: Floats
    asked: Floats
    for_wall: bool
    has_back: bool
    is_disc: bool
    depth_mm: float
    width_mm: float
    behind_mm: float
    to_walls: tuple[tuple[int, float, float], ...]


def frame_of(problem: Problem, root: str) -> Frame:
    """Return the boxes of a station."""
    members = problem.scene.stations[root]
    carrier = problem.scene.placed[root]
    solids, spaces = [carrier.shape.footprint], [carrier.shape.footprint]
    for placed in members:
        shift = np.array(placed.at) - np.array(carrier.at)
        solids += [_shifted(p, shift) for p in placed.shape.polygons]
        if placed is carrier or placed.kit.bar is not None:
            spaces += [_shifted(each.polygon, shift) for each in placed.shape.spaces]
    back = -carrier.pose.angle_deg
    own = _box([carrier.shape.footprint], back)
    return Frame(
        own,
        _box(solids, back),
        _box([*solids, *spaces], back),
        carrier.kit.for_wall,
        not is_disc(carrier) and not is_floor(carrier),
        is_disc(carrier) and not is_floor(carrier),
        carrier.extent.depth_mm,
        carrier.extent.width_mm,
        asked_mm(carrier, SIDES.index("back")),
        _to_walls(carrier),
    )


def _to_walls(carrier: Placed) -> tuple[tuple[int, float, float], ...]:
    """Return the sides of a carrier that may stand at a wall; what has no back has none."""
    if is_disc(carrier) or is_floor(carrier):
        return ()
    halves = {"back": carrier.extent.depth_mm / 2, "front": carrier.extent.depth_mm / 2}
    sides = [("back", back_at_most_mm(carrier))]
    others = (side for side in SIDES if side != "back" and goes_to_a_wall(carrier, side))
    sides += [(side, published("layout.backs.most-mm")) for side in others]
    half = carrier.extent.width_mm / 2
    return tuple((SIDES.index(side), halves.get(side, half), most) for side, most in sides)


class Drawer:
    """Draws places for the stations of one problem. `turns` are those of each station."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.frames = {root: frame_of(problem, root) for root in problem.free}
        self.turns = {root: problem.core.turns(root) for root in problem.free}
        scene = problem.scene
        self.corners = shapely.get_coordinates(scene.room.free.exterior)
        self._fixed = [_hull(placed) for placed in scene.order if placed.root not in problem.free]
        self._fixed += [shapely.get_coordinates(column) for _, column in scene.room.columns]
        self._of_fixed = lru_cache(maxsize=TURNS_AT_MOST)(self._ends_of_fixed)
        self._of_station = lru_cache(maxsize=STOOD_AT_MOST)(self._ends_of_station)

    def draw(
        self,
        rng: Generator,
        root: str,
        turn_deg: float,
        layout: Layout,
        count: int = TRIES_A_TURN,
        at_walls: bool = False,
    ) -> Floats:
        """Return places for a station at a turn, (n, 2) in mm; many lie where it cannot stand.

        With `at_walls` all that has a back has it there.
        """
        frame = self.frames[root]
        xs, ys = self._places_along(root, turn_deg, layout)
        local = turned_points(self.corners, -turn_deg)
        low, high = local.min(axis=0), local.max(axis=0)
        if frame.for_wall or (frame.has_back and (at_walls or rng.random() < 0.5)):
            # with the back on a wall, or as far off as the piece asks for
            away = [0.0] if frame.for_wall else [0.0, frame.behind_mm]
            walls = np.unique(local[:, 1].round(2))
            ys = (walls[:, None] + np.array(away) - frame.carrier[1]).ravel()
        picks = np.stack(
            [
                _drawn(rng, xs, low[0], high[0], count, FREELY_SHARE),
                _drawn(
                    rng,
                    ys,
                    low[1],
                    high[1],
                    count,
                    0.0 if frame.for_wall or at_walls else FREELY_SHARE,
                ),
            ],
            axis=1,
        )
        inside = ((picks > low) & (picks < high)).all(axis=1)
        return turned_points(np.unique(picks[inside], axis=0), turn_deg)

    def aside(
        self,
        rng: Generator,
        root: str,
        turn_deg: float,
        layout: Layout,
        here: tuple[float, float],
        count: int = TRIES_A_TURN,
    ) -> Floats:
        """Return places straight beside one, along either wall: a station is slid, not lifted."""
        frame = self.frames[root]
        xs, ys = self._places_along(root, turn_deg, layout)
        x, y = turned_points(np.array([here]), -turn_deg)[0]
        slid = [np.column_stack([xs, np.full(len(xs), y)])]
        if not frame.for_wall:
            slid.append(np.column_stack([np.full(len(ys), x), ys]))
        local = turned_points(self.corners, -turn_deg)
        picks = np.concatenate(slid)
        low, high = local.min(axis=0), local.max(axis=0)
        picks = np.unique(picks[((picks > low) & (picks < high)).all(axis=1)].round(2), axis=0)
        if len(picks) > count:
            picks = picks[rng.choice(len(picks), count, replace=False)]
        return turned_points(picks, turn_deg)

    def _places_along(self, root: str, turn_deg: float, layout: Layout) -> tuple[Floats, Floats]:
        """Return where a station touches a line with an edge of its own: columns and rows, mm."""
        frame = self.frames[root]
        columns, rows = self.lines_at(turn_deg, layout, root)
        boxes = (frame.carrier, frame.whole, frame.asked)
        xs = _fits(columns, [(box[0], box[2]) for box in boxes])
        return xs, _fits(rows, [(box[1], box[3]) for box in boxes])

    def lines_at(self, turn_deg: float, layout: Layout, root: str) -> tuple[Floats, Floats]:
        """Return the lines along which things lie in the frame of a turn: columns and rows."""
        ends = [self._of_fixed(turn_deg)]
        ends += [
            self._of_station(other, at, turn_deg)
            for other, at in layout.at.items()
            if other != root and other in self.frames
        ]
        walls = turned_points(self.corners, -turn_deg)
        table = np.concatenate(ends)
        columns = np.concatenate([table[:, 0], table[:, 2], walls[:, 0]])
        rows = np.concatenate([table[:, 1], table[:, 3], walls[:, 1]])
        return np.unique(columns.round(2)), np.unique(rows.round(2))

    def _ends_of_fixed(self, turn_deg: float) -> Floats:
        """Return the boxes about what stays, in the frame of a turn, (n, 4) in mm."""
        return _ends(self._fixed, turn_deg)

    def _ends_of_station(self, root: str, at: Standing, turn_deg: float) -> Floats:
        """Return the boxes about a carrier and what it asks for, in the frame of a turn, (2, 4)."""
        frame = self.frames[root]
        rings = []
        for box in (frame.carrier, frame.asked):
            ring = box[[0, 1, 2, 1, 2, 3, 0, 3]].reshape(-1, 2)
            rings.append(turned_points(ring, at.turn_deg) + np.array((at.x_mm, at.y_mm)))
        return _ends(rings, turn_deg)

    def at_wall(
        self, root: str, turn_deg: float, points: Floats, only: int | None = None
    ) -> NDArray[np.bool_]:
        """Return at which places a station's carrier is at a wall: with its back, or another side
        that may go there, or if it is round with all that it asks for. With `only` the back at the
        wall of that number counts alone.
        """
        frame = self.frames[root]
        met = np.zeros(len(points), dtype=bool)
        walls = self.problem.scene.room.walls
        for wall in walls if only is None else [walls[only]]:
            inward = np.array(wall.inward)
            if frame.is_disc:
                most = published("layout.backs.most-mm") + frame.behind_mm
                met |= _is_at(wall, points - inward * (frame.depth_mm / 2), most)
            for side, off, most in frame.to_walls if only is None else frame.to_walls[:1]:
                outward = np.array(turn(*_NORMALS[side], turn_deg))
                if -outward @ inward >= SQUARE_SHARE:
                    met |= _is_at(wall, points + outward * off, most)
        return met

    def adrift(self, root: str, layout: Layout) -> bool:
        """Return whether a station that belongs at a wall stands at none."""
        frame, at = self.frames.get(root), layout.at[root]
        if frame is None or not (frame.has_back or frame.is_disc):
            return False
        return not self.at_wall(root, at.turn_deg, np.array([(at.x_mm, at.y_mm)]))[0]


def _is_at(wall: WallShape, points: Floats, most_mm: float) -> NDArray[np.bool_]:
    """Return which points lie along a wall, no farther off than so much."""
    away = points - np.array(wall.start)
    off, along = away @ np.array(wall.inward), away @ np.array(wall.along)
    near = (off > -1) & (off <= most_mm + TOLERANCE_MM)
    met: NDArray[np.bool_] = near & (along > 0) & (along < math.dist(wall.start, wall.end))
    return met


def _drawn(
    rng: Generator, lines: Floats, low: float, high: float, count: int, freely: float
) -> Floats:
    """Return coordinates, most of them lines, some drawn freely between two bounds."""
    on_lines = lines[rng.integers(len(lines), size=count)]
    anywhere = np.round(rng.uniform(low, high, size=count) / WHOLE_MM) * WHOLE_MM
    return np.where(rng.random(count) < freely, anywhere, on_lines)


def _fits(lines: Floats, sides: Iterable[tuple[float, float]]) -> Floats:
    """Return where a middle lies for either side of some boxes to lie on one of the lines."""
    return np.concatenate([lines - end for low, high in sides for end in (low, high)])


def _ends(rings: list[Floats], turn_deg: float) -> Floats:
    """Return the boxes about some rings in the frame of a turn, (n, 4) in mm."""
    local = [turned_points(ring, -turn_deg) for ring in rings]
    return np.array([[*ring.min(axis=0), *ring.max(axis=0)] for ring in local]).reshape(-1, 4)


def _shifted(polygon: shapely.Polygon, shift: Floats) -> shapely.Polygon:
    moved: shapely.Polygon = shapely.transform(polygon, lambda xy: xy + shift)
    return moved


def _box(polygons: list[shapely.Polygon], angle_deg: float) -> Floats:
    xy = turned_points(shapely.get_coordinates(polygons), angle_deg)
    return np.concatenate([xy.min(axis=0), xy.max(axis=0)])


def _hull(placed: Placed) -> Floats:
    corners: Floats = shapely.get_coordinates(placed.footprint)
    return corners
