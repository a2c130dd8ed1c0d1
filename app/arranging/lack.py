"""What places lack of the room that is wanted, for many places at once: boxes along the walls.

A rough figure that steers the search: things that stand askew count with the box about them. The
judge has the last word on every layout that is kept.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from functools import lru_cache
from itertools import combinations

import numpy as np
import shapely
from numpy.typing import NDArray

from app.arranging.open_floor import base_angle_deg
from app.arranging.problem import Problem
from app.arranging.standing import is_carrier, is_floor, is_on_floor
from app.placing.layout import Layout
from app.published.register import published
from app.scene.build import Placed
from app.scene.shapes import turn, turned_points
from app.scene.tolerance import SKY_MM, TOLERANCE_MM

Floats = NDArray[np.float64]
STRIP_X, STRIP_Y, RING, AREA = range(4)
NESTED = 1.0
"""What it counts to stand in the outline of something else: as a space that is wholly taken."""
IN_A_SWEEP = 0.5
"""What it counts to stand where a garage door swings: half a space that is wholly taken."""
EITHER_SHARE = 0.5
"""What one taken side counts of a piece that is got on from either of two."""
SHAPES_AT_MOST = 4096
"""Stations at turns that are remembered: every turn of every station of a large plan."""


@dataclass(frozen=True, slots=True, eq=False)
class Boxes:
    """A station at a turn about its carrier, in the frame of the longest wall, in mm.

    `solids` are (n, 6): least x and y, greatest x and y, bottom and top. `spaces` are alike, with
    `kind`, the `edge` they begin at (along x or y, signed by `sign`), what is `wanted`, and whether
    one of several is enough. `outline` is the carrier's own box for rings.
    """

    solids: Floats
    spaces: Floats
    kind: NDArray[np.intp]
    sign: Floats
    edge: Floats
    wanted: Floats
    weight: Floats
    outline: Floats
    stands: bool


class Lacks:
    """Measures what stations lack, for one problem."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.base = base_angle_deg(problem.scene)
        self._boxes = lru_cache(maxsize=SHAPES_AT_MOST)(self._made)
        scene = problem.scene
        self._walls = self._fixed_boxes()
        self._sweeps = self._local_boxes(
            [
                (sweep.polygon, sweep.low_mm, sweep.high_mm)
                for shape in scene.room.openings
                if shape.opening.is_garage_door
                for sweep in shape.sweeps
            ]
        )
        self._still = {
            root: self._at_home(root) for root in scene.stations if root not in problem.free
        }

    def lacking(self, root: str, turn_deg: float, points: Floats, layout: Layout) -> Floats:
        """Return what is lacking with a station at each of some places, both ways, (n,).

        The sum of shares: what its own spaces lack and what it takes from those of others.
        """
        mine = self._boxes(root, round(turn_deg, 3))
        at = turned_points(points, -self.base)
        others = self._others(layout, root)
        own = _short(mine, at, np.concatenate([self._walls, *(boxes.solids for boxes in others)]))
        solids = _moved(mine.solids, at)
        taken = np.zeros(len(at))
        for boxes in others:
            taken += _short_each(boxes, solids) + NESTED * _nested(mine, at, boxes)
        if len(self._sweeps):
            met = _meets(solids[:, :, None, :], self._sweeps[None, None])
            taken += IN_A_SWEEP * met.any(axis=(1, 2))
        return own + taken

    def outline(self, root: str, turn_deg: float) -> Floats:
        """Return the box about a carrier at a turn: least and greatest x and y from its middle."""
        return self._boxes(root, round(turn_deg, 3)).outline[:4]

    def whole(self, layout: Layout) -> float:
        """Return what a whole layout lacks: each space counts once."""
        lack = 0.0
        placed = {
            root: self._placed(layout, root) for root in layout.at if root in self.problem.free
        }
        everything = placed | self._still
        here = np.zeros((1, 2))
        for one, other in combinations(everything.values(), 2):
            lack += NESTED * float(_nested(one, here, other)[0])
        for root, boxes in everything.items():
            rest = [other.solids for name, other in everything.items() if name != root]
            solids = np.concatenate([self._walls, *rest])
            lack += float(_short(boxes, here, solids)[0])
            if len(self._sweeps) and root in placed and len(boxes.solids):
                met = _meets(boxes.solids[:, None], self._sweeps[None])
                lack += IN_A_SWEEP * bool(met.any())
        return lack

    def _others(self, layout: Layout, root: str) -> list[Boxes]:
        placed = [
            self._placed(layout, other)
            for other in layout.at
            if other != root and other in self.problem.free
        ]
        return [*placed, *self._still.values()]

    def _placed(self, layout: Layout, root: str) -> Boxes:
        at = layout.at[root]
        return _put(
            self._boxes(root, round(at.turn_deg, 3)),
            turned_points(np.array([(at.x_mm, at.y_mm)]), -self.base)[0],
        )

    def _at_home(self, root: str) -> Boxes:
        placed = self.problem.scene.placed[root]
        at = turned_points(np.array([placed.at]), -self.base)[0]
        return _put(self._boxes(root, round(placed.pose.angle_deg, 3)), at)

    def _made(self, root: str, turn_deg: float) -> Boxes:
        scene = self.problem.scene
        carrier = scene.placed[root]
        by = turn_deg - carrier.pose.angle_deg
        solids: list[Floats] = []
        rows: list[tuple[Floats, int, float, float, float, float]] = []
        for placed in scene.stations[root]:
            shift = np.array(placed.at) - np.array(carrier.at)

            def boxed(polygon: shapely.Polygon, shift: Floats = shift) -> Floats:
                xy = turned_points(shapely.get_coordinates(polygon) + shift, by - self.base)
                return np.concatenate([xy.min(axis=0), xy.max(axis=0)])

            low, high = placed.rest_mm
            for core, bottom, top in zip(
                placed.shape.cores, placed.shape.low_mm, placed.shape.high_mm, strict=True
            ):
                heights = (bottom + placed.lift_mm + low, top + placed.lift_mm + high)
                solids.append(np.concatenate([boxed(core), heights]))
            rows += self._spaces(placed, root, by, boxed)
        outline = np.concatenate([boxed_outline(carrier, by - self.base), (0.0, 0.0)])
        return Boxes(
            np.array(solids).reshape(-1, 6),
            np.array([row[0] for row in rows]).reshape(-1, 6),
            np.array([row[1] for row in rows], dtype=np.intp),
            np.array([row[2] for row in rows]),
            np.array([row[3] for row in rows]),
            np.array([row[4] for row in rows]),
            np.array([row[5] for row in rows]),
            outline,
            is_carrier(carrier) and not is_floor(carrier) and is_on_floor(carrier),
        )

    def _spaces(
        self, placed: Placed, root: str, by: float, boxed: object
    ) -> list[tuple[Floats, int, float, float, float, float]]:
        rows = []
        people = self.problem.plan.people
        seated = placed.kit.group == "Benches" and placed.piece.id != root
        for shape in placed.shape.spaces:
            space = shape.space
            refused = bool(people) and space.movement is not None
            if seated or (refused and all(p.said(space.movement or "") == "no" for p in people)):
                continue
            box = boxed(shape.polygon)  # type: ignore[operator]
            kind, sign, edge = RING if space.side == "ring" else AREA, 1.0, 0.0
            if shape.outward is not None:
                x, y = turn(*shape.outward, by - self.base)
                kind = STRIP_X if abs(x) > abs(y) else STRIP_Y
                sign = math.copysign(1.0, x if kind == STRIP_X else y)
                low, high = (box[0], box[2]) if kind == STRIP_X else (box[1], box[3])
                edge = low if sign > 0 else -high
            heights = shape.heights_mm
            if space.heights is not None:
                heights = (heights[0] + placed.lift_mm, heights[1] + placed.lift_mm)
            rows.append(
                (
                    np.concatenate([box, heights]),
                    kind,
                    sign,
                    edge,
                    max(space.recommended_mm, 1.0),
                    EITHER_SHARE if space.either else 1.0,
                )
            )
        return rows

    def _fixed_boxes(self) -> Floats:
        """Return boxes of the walls that run along the frame, and of columns."""
        room = self.problem.scene.room
        things = []
        for wall in room.walls:
            x, y = turn(*wall.along, -self.base)
            if min(abs(x), abs(y)) < TOLERANCE_MM / 1000:
                things.append((wall.polygon, 0.0, float(SKY_MM)))
        things += [(polygon, 0.0, float(SKY_MM)) for _, polygon in room.columns]
        return self._local_boxes(things)

    def _local_boxes(self, things: list[tuple[shapely.Polygon, float, float]]) -> Floats:
        rows = []
        for polygon, low, high in things:
            xy = turned_points(shapely.get_coordinates(polygon), -self.base)
            rows.append(np.concatenate([xy.min(axis=0), xy.max(axis=0), (low, high)]))
        return np.array(rows, dtype=np.float64).reshape(-1, 6)


def boxed_outline(carrier: Placed, angle_deg: float) -> Floats:
    """Return the box about a carrier's outline, turned about its middle."""
    xy = turned_points(shapely.get_coordinates(carrier.shape.footprint), angle_deg)
    return np.concatenate([xy.min(axis=0), xy.max(axis=0)])


def _put(boxes: Boxes, at: Floats) -> Boxes:
    shift = np.array([at[0], at[1], at[0], at[1], 0.0, 0.0])
    along = np.where(boxes.kind == STRIP_X, at[0], at[1])
    return Boxes(
        boxes.solids + shift,
        boxes.spaces + shift,
        boxes.kind,
        boxes.sign,
        boxes.edge + boxes.sign * along,
        boxes.wanted,
        boxes.weight,
        boxes.outline + shift,
        boxes.stands,
    )


def _moved(solids: Floats, at: Floats) -> Floats:
    """Return boxes at each of some places, (places, boxes, 6)."""
    shift = np.zeros((len(at), 1, 6))
    shift[:, 0, :4] = np.concatenate([at, at], axis=1)
    moved: Floats = solids[None] + shift
    return moved


def _meets(one: Floats, other: Floats) -> NDArray[np.bool_]:
    low = np.maximum(one[..., [0, 1, 4]], other[..., [0, 1, 4]])
    high = np.minimum(one[..., [2, 3, 5]], other[..., [2, 3, 5]])
    return np.asarray((high - low > TOLERANCE_MM).all(axis=-1), dtype=bool)


def _nested(mine: Boxes, at: Floats, other: Boxes) -> Floats:
    """Return 1.0 at each of some places where a station stands in the outline of another, (n,)."""
    if not (mine.stands and other.stands):
        return np.zeros(len(at))
    low = np.maximum(mine.outline[:2] + at, other.outline[:2])
    high = np.minimum(mine.outline[2:4] + at, other.outline[2:4])
    met = (high - low > published("layout.gaps.touch-mm")).all(axis=1)
    return np.asarray(met, dtype=np.float64)


def _short(mine: Boxes, at: Floats, solids: Floats) -> Floats:
    """Return what a station's own spaces lack at each of some places, (places,)."""
    lack = np.zeros(len(at))
    for k in range(len(mine.spaces)):
        lack += _lack(mine, k, at, solids[None])
    return lack


def _short_each(boxes: Boxes, solids: Floats) -> Floats:
    """Return what the spaces of a placed station lack for each of some sets of boxes."""
    nowhere = np.zeros((len(solids), 2))
    lack = np.zeros(len(solids))
    for k in range(len(boxes.spaces)):
        lack += _lack(boxes, k, nowhere, solids)
    return lack


def _lack(boxes: Boxes, k: int, at: Floats, solids: Floats) -> Floats:
    """Return what one space lacks: by the nearest of the boxes in it, (places,).

    `at` are places of the station, (places, 2); `solids` are (1 or places, boxes, 6).
    """
    if not solids.shape[1]:
        return np.zeros(len(at))
    space = boxes.spaces[k]
    kind, wanted = boxes.kind[k], boxes.wanted[k]
    x, y = at[:, 0, None], at[:, 1, None]
    in_x = np.minimum(space[2] + x, solids[..., 2]) - np.maximum(space[0] + x, solids[..., 0])
    in_y = np.minimum(space[3] + y, solids[..., 3]) - np.maximum(space[1] + y, solids[..., 1])
    in_z = np.minimum(space[5], solids[..., 5]) - np.maximum(space[4], solids[..., 4])
    met = (in_x > TOLERANCE_MM) & (in_y > TOLERANCE_MM) & (in_z > TOLERANCE_MM)
    if not met.any():
        return np.zeros(len(at))
    if kind == AREA:
        free = np.zeros_like(in_x)
    elif kind == RING:
        box = boxes.outline
        dx = np.maximum(solids[..., 0] - (box[2] + x), (box[0] + x) - solids[..., 2])
        dy = np.maximum(solids[..., 1] - (box[3] + y), (box[1] + y) - solids[..., 3])
        free = np.hypot(np.maximum(dx, 0.0), np.maximum(dy, 0.0))
    else:
        along = x if kind == STRIP_X else y
        low, high = (0, 2) if kind == STRIP_X else (1, 3)
        near = solids[..., low] if boxes.sign[k] > 0 else -solids[..., high]
        free = near - (boxes.edge[k] + boxes.sign[k] * along)
    share = np.where(met, np.clip(1 - free / wanted, 0.0, 1.0), 0.0)
    worst: Floats = boxes.weight[k] * share.max(axis=1)
    return worst
