"""What places lack of the room that is wanted, for many places at once: boxes along the walls.

A rough figure that steers the search: things that stand askew count with the box about them. The
judge has the last word on every layout that is kept.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray

from app.arranging.measures import burden_of
from app.arranging.open_floor import base_angle_deg
from app.arranging.problem import Problem
from app.arranging.standing import is_carrier, is_floor, keeps_its_floor
from app.checks.layers import is_layer
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
Row = tuple[Floats, int, float, float, float, bool]
"""A space in the making: its box, kind, sign, edge, what is wanted, whether it begins a group."""
SHAPES_AT_MOST = 4096
"""Stations at turns that are remembered: every turn of every station of a large plan."""


@dataclass(frozen=True, slots=True, eq=False)
class Boxes:
    """A station at a turn about its carrier, in the frame of the longest wall, in mm.

    `solids` are (n, 6): least x and y, greatest x and y, bottom and top. `spaces` are alike, with
    `kind`, the `edge` they begin at (along x or y, signed by `sign`), what is `wanted`, and whether
    it `begins` a group: of a piece that is got at from either of some sides, one is enough.
    `outlines` are the carriers' own boxes, (stations, 4). `reserved` are the boxes in which
    nothing else stands, (m, 4): of carriers that keep their floor, and of bars, which are `hung`.
    `solid_of`, `space_of` and `reserved_of` say whose each is; the first `free` stations may be
    moved.
    """

    solids: Floats
    spaces: Floats
    kind: NDArray[np.intp]
    sign: Floats
    edge: Floats
    wanted: Floats
    begins: NDArray[np.bool_]
    outlines: Floats
    reserved: Floats
    hung: NDArray[np.bool_]
    solid_of: NDArray[np.intp]
    space_of: NDArray[np.intp]
    reserved_of: NDArray[np.intp]
    free: int = 0


class Lacks:
    """Measures what stations lack, for one problem."""

    def __init__(self, problem: Problem) -> None:
        self.problem = problem
        self.base = base_angle_deg(problem.scene)
        self._boxes = lru_cache(maxsize=SHAPES_AT_MOST)(self._made)
        self._put = lru_cache(maxsize=SHAPES_AT_MOST)(self._put_at)
        self._free = frozenset(problem.free)
        self._last: tuple[Layout, str, Boxes, Floats] | None = None
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
        rest, already = self._rest(layout, root)
        own = _summed(mine, _lacking(mine, at, np.concatenate([self._walls, rest.solids])[None]))
        solids = _moved(mine.solids, at)
        beside = np.maximum(already, _lacking(rest, np.zeros((1, 2)), solids))
        taken = _summed(rest, beside) - _summed(rest, already)
        taken += NESTED * _nested(mine, at, rest)
        if len(self._sweeps):
            met = _meets(solids[:, :, None, :], self._sweeps[None, None])
            taken += IN_A_SWEEP * met.any(axis=(1, 2))
        lack: Floats = own + taken
        return lack

    def outline(self, root: str, turn_deg: float) -> Floats:
        """Return the box about a carrier at a turn: least and greatest x and y from its middle."""
        outline: Floats = self._boxes(root, round(turn_deg, 3)).outlines[0]
        return outline

    def whole(self, layout: Layout) -> float:
        """Return what a whole layout lacks: each space counts once."""
        every, lacking = self._rest(layout, "")
        lack = float(_summed(every, lacking)[0])
        lack += NESTED * _nested_pairs(every)
        free = every.solid_of < every.free
        if len(self._sweeps) and free.any():
            met = _meets(every.solids[free][:, None], self._sweeps[None]).any(axis=1)
            lack += IN_A_SWEEP * len(set(every.solid_of[free][met].tolist()))
        return lack

    def _rest(self, layout: Layout, root: str) -> tuple[Boxes, Floats]:
        """Return all stations of a layout but one as one, and what their spaces lack, (1, n).

        Those that may be moved come first.
        """
        if self._last is None or self._last[0] is not layout or self._last[1] != root:
            free = [
                self._placed(layout, other)
                for other in layout.at
                if other != root and other in self._free
            ]
            still = [boxes for other, boxes in self._still.items() if other != root]
            rest = _joined([*free, *still], len(free))
            solids = np.concatenate([self._walls, rest.solids])
            owners = np.concatenate([np.full(len(self._walls), -1), rest.solid_of])
            lacking = _lacking(rest, np.zeros((1, 2)), solids[None], owners)
            self._last = layout, root, rest, lacking
        return self._last[2:]

    def _placed(self, layout: Layout, root: str) -> Boxes:
        at = layout.at[root]
        return self._put(root, round(at.turn_deg, 3), at.x_mm, at.y_mm)

    def _put_at(self, root: str, turn_deg: float, x_mm: float, y_mm: float) -> Boxes:
        at = turned_points(np.array([(x_mm, y_mm)]), -self.base)[0]
        return _put(self._boxes(root, turn_deg), at)

    def _at_home(self, root: str) -> Boxes:
        placed = self.problem.scene.placed[root]
        return self._put_at(root, round(placed.pose.angle_deg, 3), *placed.at)

    def _made(self, root: str, turn_deg: float) -> Boxes:
        scene = self.problem.scene
        carrier = scene.placed[root]
        by = turn_deg - carrier.pose.angle_deg
        solids: list[Floats] = []
        rows: list[Row] = []
        hung: list[Floats] = []
        for placed in scene.stations[root]:
            shift = np.array(placed.at) - np.array(carrier.at)

            def boxed(polygon: shapely.Polygon, shift: Floats = shift) -> Floats:
                xy = turned_points(shapely.get_coordinates(polygon) + shift, by - self.base)
                return np.concatenate([xy.min(axis=0), xy.max(axis=0)])

            (low, high), shape = placed.rest_mm, placed.shape
            prisms = zip(shape.cores, shape.low_mm, shape.high_mm, strict=True)
            # what is stood on takes no room
            for core, bottom, top in () if is_layer(placed) else prisms:
                heights = (bottom + placed.lift_mm + low, top + placed.lift_mm + high)
                solids.append(np.concatenate([boxed(core), heights]))
            rows += self._spaces(placed, root, by, boxed)
            if placed.kit.bar is not None and placed is not carrier:
                hung.append(boxed(placed.shape.footprint))
        outline = boxed_outline(carrier, by - self.base)
        stands = is_carrier(carrier) and not is_floor(carrier) and keeps_its_floor(carrier)
        reserved = [*([outline] if stands else []), *hung]
        return Boxes(
            np.array(solids).reshape(-1, 6),
            np.array([row[0] for row in rows]).reshape(-1, 6),
            np.array([row[1] for row in rows], dtype=np.intp),
            np.array([row[2] for row in rows]),
            np.array([row[3] for row in rows]),
            np.array([row[4] for row in rows]),
            np.array([row[5] for row in rows], dtype=bool),
            outline[None],
            np.array(reserved).reshape(-1, 4),
            np.arange(len(reserved)) >= len(reserved) - len(hung),
            np.zeros(len(solids), dtype=np.intp),
            np.zeros(len(rows), dtype=np.intp),
            np.zeros(len(reserved), dtype=np.intp),
        )

    def _spaces(self, placed: Placed, root: str, by: float, boxed: object) -> list[Row]:
        rows: list[Row] = []
        people = self.problem.plan.people
        seated = placed.kit.group == "Benches" and placed.piece.id != root
        either = False
        # those of which one is enough come last, side by side: one group
        for shape in sorted(placed.shape.spaces, key=lambda each: each.space.either):
            space = shape.space
            refused = bool(people) and space.movement is not None
            if seated or (
                refused and all(p.wish_for(space.movement or "") == "no" for p in people)
            ):
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
                    not (space.either and either),
                )
            )
            either = space.either
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
    return replace(
        boxes,
        solids=boxes.solids + shift,
        spaces=boxes.spaces + shift,
        edge=boxes.edge + boxes.sign * along,
        outlines=boxes.outlines + shift[:4],
        reserved=boxes.reserved + shift[:4],
    )


def _joined(each: Sequence[Boxes], free: int) -> Boxes:
    """Return some stations as one."""
    if not each:
        none, whole = np.zeros(0), np.zeros(0, dtype=np.intp)
        rows = np.zeros((0, 6))
        flat, hung = np.zeros((0, 4)), np.zeros(0, dtype=bool)
        return Boxes(
            rows, rows, whole, none, none, none, hung, flat, flat, hung, whole, whole, whole
        )
    numbers = range(len(each))
    return Boxes(
        np.concatenate([one.solids for one in each]),
        np.concatenate([one.spaces for one in each]),
        np.concatenate([one.kind for one in each]),
        np.concatenate([one.sign for one in each]),
        np.concatenate([one.edge for one in each]),
        np.concatenate([one.wanted for one in each]),
        np.concatenate([one.begins for one in each]),
        np.concatenate([one.outlines for one in each]),
        np.concatenate([one.reserved for one in each]),
        np.concatenate([one.hung for one in each]),
        np.repeat(numbers, [len(one.solids) for one in each]),
        np.repeat(numbers, [len(one.spaces) for one in each]),
        np.repeat(numbers, [len(one.reserved) for one in each]),
        free,
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


def _nested(mine: Boxes, at: Floats, rest: Boxes) -> Floats:
    """Return how often a station stands in what others keep at each of some places, (n,)."""
    low = np.maximum((mine.reserved[None, :, :2] + at[:, None])[:, :, None], rest.reserved[:, :2])
    high = np.minimum((mine.reserved[None, :, 2:] + at[:, None])[:, :, None], rest.reserved[:, 2:])
    met = (high - low > published("layout.gaps.touch-mm")).all(axis=3)
    met &= ~(mine.hung[:, None] & rest.hung)
    return np.asarray(met.sum(axis=(1, 2)), dtype=np.float64)


def _nested_pairs(every: Boxes) -> int:
    """Return how many pairs of stations stand in what one another keeps."""
    low = np.maximum(every.reserved[:, None, :2], every.reserved[None, :, :2])
    high = np.minimum(every.reserved[:, None, 2:], every.reserved[None, :, 2:])
    met = (high - low > published("layout.gaps.touch-mm")).all(axis=2)
    met &= ~(every.hung[:, None] & every.hung) & (every.reserved_of[:, None] != every.reserved_of)
    return int(np.triu(met, 1).sum())


def _summed(boxes: Boxes, lacking: Floats) -> Floats:
    """Return what the stations that lack something count, (n,), of each group the roomiest side."""
    if not lacking.shape[1]:
        return np.zeros(len(lacking))
    begins = np.flatnonzero(boxes.begins)
    best = np.minimum.reduceat(lacking, begins, axis=1)
    # the spaces of a station lie side by side
    owners = boxes.space_of[begins]
    first = np.flatnonzero(np.diff(owners, prepend=-1))
    whole = np.add.reduceat(best, first, axis=1)
    worst = np.maximum.reduceat(best, first, axis=1)
    return np.asarray(burden_of(whole, worst).sum(axis=1), dtype=np.float64)


def _lacking(
    boxes: Boxes, at: Floats, solids: Floats, owners: NDArray[np.intp] | None = None
) -> Floats:
    """Return what each space of stations lacks, by the nearest box in it, (n, spaces).

    `at` are places of the stations, (n or 1, 2); `solids` are (1 or n, boxes, 6). What belongs to
    one of `owners` is in no space of its own.
    """
    count = max(len(at), len(solids))
    lacking = np.zeros((count, len(boxes.spaces)))
    if not solids.shape[1] or not len(boxes.spaces):
        return lacking
    # places, spaces, boxes
    space = boxes.spaces[None, :, None, :]
    x, y = at[:, 0, None, None], at[:, 1, None, None]
    box = solids[:, None, :, :]
    in_x = np.minimum(space[..., 2] + x, box[..., 2]) - np.maximum(space[..., 0] + x, box[..., 0])
    in_y = np.minimum(space[..., 3] + y, box[..., 3]) - np.maximum(space[..., 1] + y, box[..., 1])
    in_z = np.minimum(space[..., 5], box[..., 5]) - np.maximum(space[..., 4], box[..., 4])
    met = np.minimum(np.minimum(in_x, in_y), in_z) > TOLERANCE_MM
    if owners is not None:
        met &= boxes.space_of[:, None] != owners
    places, spaces, things = np.nonzero(met)
    if not len(places):
        return lacking
    here = at[places if len(at) > 1 else np.zeros_like(places)]
    free = _free_mm(
        boxes, spaces, here, solids[places if len(solids) > 1 else np.zeros_like(places), things]
    )
    share = np.clip(1 - free / boxes.wanted[spaces], 0.0, 1.0)
    np.maximum.at(lacking, (places, spaces), share)
    return lacking


def _free_mm(boxes: Boxes, spaces: NDArray[np.intp], at: Floats, solids: Floats) -> Floats:
    """Return how far boxes leave spaces free that they are in: one space, place and box each."""
    kind, x, y = boxes.kind[spaces], at[:, 0], at[:, 1]
    own = boxes.outlines[boxes.space_of[spaces]]
    dx = np.maximum(solids[:, 0] - (own[:, 2] + x), (own[:, 0] + x) - solids[:, 2])
    dy = np.maximum(solids[:, 1] - (own[:, 3] + y), (own[:, 1] + y) - solids[:, 3])
    ring = np.hypot(np.maximum(dx, 0.0), np.maximum(dy, 0.0))
    sign = boxes.sign[spaces]
    along = kind == STRIP_X
    low = np.where(along, solids[:, 0], solids[:, 1])
    high = np.where(along, solids[:, 2], solids[:, 3])
    near = np.where(sign > 0, low, -high)
    strip = near - (boxes.edge[spaces] + sign * np.where(along, x, y))
    return np.where(kind == RING, ring, np.where(kind == AREA, 0.0, strip))
