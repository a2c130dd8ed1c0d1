"""The floor that one covering is to lie on, and where a fitter would start."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeVar

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon
from shapely.geometry.base import BaseGeometry

from app.errors import Fault, PlanError
from app.model.flooring import FloorLaying, Joints
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.resting import passes_by
from app.scene.tolerance import TOLERANCE_MM, Geometries
from app.scene.walls import WallShape
from app.takeoff.calling import floor_called

Shaped = TypeVar("Shaped", bound=BaseGeometry)

THIRD = 0.3333
"""Rows that go on by a third of a piece."""


@dataclass(frozen=True, slots=True)
class Start:
    """Where the first piece lies and how the others follow.

    `from_right` tells from which end of the wall, with one's face to it; `along` whether the long
    side lies along the wall. Where it was sought, `rows_at` is where a joint between rows lies,
    `phases` where a joint of each row does (mm in the frame of the wall; both go on by a piece),
    and `stagger` how far each row goes on from the one before, in pieces. `wider_mm` is how much
    more than the least gap stays free at the walls at the ends of the rows, and at those along
    them, so that whole pieces fit.
    """

    wall: str
    from_right: bool
    along: bool
    joints: Joints
    rows_at: float | None = None
    phases: tuple[float, ...] = ()
    stagger: float = 1 / 2
    wider_mm: tuple[float, float] = (0.0, 0.0)


@dataclass(frozen=True, slots=True)
class Frame:
    """Coordinates of a start: u along its wall from left to right, v into the room, in mm.

    A plain turn of the plan, never mirrored, so that a cut drawn in it is seen from above.
    """

    origin: tuple[float, float]
    inward: tuple[float, float]

    def into(self, shape: Shaped) -> Shaped:
        """Return a shape of the plan in this frame."""
        ix, iy = self.inward
        ox, oy = self.origin

        def turn(xy: NDArray[np.float64]) -> NDArray[np.float64]:
            x, y = xy[:, 0] - ox, xy[:, 1] - oy
            return np.column_stack((iy * x - ix * y, ix * x + iy * y))

        turned: Shaped = shapely.transform(shape, turn)
        return turned

    def back(self, shape: Shaped) -> Shaped:
        """Return a shape of this frame on the plan."""
        turned: Shaped = shapely.transform(shape, self._turn_back)
        return turned

    def all_back(self, shapes: Geometries) -> Geometries:
        """Return several shapes of this frame on the plan, together in a fraction of the time."""
        turned: Geometries = shapely.transform(shapes, self._turn_back)
        return turned

    def _turn_back(self, uv: NDArray[np.float64]) -> NDArray[np.float64]:
        ix, iy = self.inward
        ox, oy = self.origin
        u, v = uv[:, 0], uv[:, 1]
        return np.column_stack((ox + iy * u + ix * v, oy - ix * u + iy * v))


def frame_of(wall: WallShape) -> Frame:
    """Return the frame of a wall, its origin at the end on the left."""
    ix, iy = wall.inward
    right = (iy, -ix)
    ends = sorted((wall.start, wall.end), key=lambda p: p[0] * right[0] + p[1] * right[1])
    return Frame(ends[0], wall.inward)


def gap_of(laying: FloorLaying) -> float:
    """Return gap all round in mm: typed, else the register's. Raises PlanError below nothing."""
    gap = published("flooring.gap-mm") if laying.gap_mm is None else laying.gap_mm
    if gap < 0:
        raise PlanError(Fault(floor_called(laying), "the gap along the walls is less than nothing"))
    return gap


def door_stop_of(laying: FloorLaying) -> float:
    """Return how far from a garage door's line the floor ends, mm: typed, else what it needs.

    That is the register's least, and room for the steepest ramp at its edge.
    """
    typed = laying.door_stop_mm
    if typed is not None:
        return typed
    ramp = laying.thickness_mm * published("flooring.ramp-run-least")
    return max(published("flooring.door-stop-mm"), ramp)


def laid_round(scene: Scene, laying: FloorLaying) -> tuple[Placed, ...]:
    """Return the staying pieces that stand on the floor and that nothing is laid under."""
    return tuple(
        placed
        for placed in scene.order
        if passes_by(scene.plan, placed.piece, laying)
        and len(placed.shape.low_mm)
        and placed.shape.low_mm.min() + placed.rest_mm[0] < TOLERANCE_MM
    )


def let_in(scene: Scene, laying: FloorLaying) -> tuple[Placed, ...]:
    """Return the pieces that are let into a floor, such as a lifting platform."""
    return tuple(placed for placed in scene.order if placed.piece.id in laying.flush)


def floor_to_cover(scene: Scene, laying: FloorLaying) -> BaseGeometry:
    """Return the floor inside the gap, round columns and what stays; within the zone, if any.

    Up to what is let in it reaches without a gap.

    Slits too narrow to lay anything in are left out. Raises PlanError when nothing is left.
    """
    around = [placed.footprint for placed in laid_round(scene, laying)]
    flush = [placed.footprint for placed in let_in(scene, laying)]
    gap, stop, slit = gap_of(laying), door_stop_of(laying), published("flooring.left-bare-mm") / 2
    outlines = (tuple(shape.wkb for shape in shapes) for shapes in (around, flush))
    # asked for each way to lay it
    covered = scene.memo(
        ("floor to cover", gap, stop, slit, laying.zone, *outlines),
        lambda: _to_cover(scene, laying, around, flush, gap, stop, slit),
    )
    if covered.is_empty:
        raise PlanError(Fault(floor_called(laying), "there is no floor left to cover"))
    return covered


def _to_cover(
    scene: Scene,
    laying: FloorLaying,
    around: Sequence[BaseGeometry],
    flush: Sequence[BaseGeometry],
    gap: float,
    stop: float,
    slit: float,
) -> BaseGeometry:
    around = [*(polygon for _, polygon in scene.room.columns), *around]
    free: BaseGeometry = scene.room.free
    if around:
        free = free.difference(shapely.union_all(around))
    free = free.buffer(-gap, join_style="mitre")
    if flush:
        free = free.difference(shapely.union_all(flush))
    if stop > 0:
        free = free.difference(shapely.union_all(_at_garage_doors(scene, stop)))
    if laying.zone:
        if len(laying.zone) < _CORNERS:
            sentence = "the outline of its zone has fewer than three corners"
            raise PlanError(Fault(floor_called(laying), sentence))
        zone = Polygon(laying.zone)
        if not zone.is_valid:
            raise PlanError(Fault(floor_called(laying), "the outline of its zone crosses itself"))
        free = free.intersection(zone)
    # A slit behind a thing that stays is left bare.
    return free.buffer(-slit, join_style="mitre").buffer(slit, join_style="mitre")


_CORNERS = 3
"""What an outline has at the least."""


def floor_size(scene: Scene, laying: FloorLaying) -> tuple[float, float]:
    """Return the size of the smallest rectangle, turned as it likes, round the floor to cover."""
    around = shapely.minimum_rotated_rectangle(floor_to_cover(scene, laying))
    (x0, y0), (x1, y1), (x2, y2), *_ = shapely.get_coordinates(around)
    return math.dist((x0, y0), (x1, y1)), math.dist((x1, y1), (x2, y2))


def _at_garage_doors(scene: Scene, stop_mm: float) -> list[Polygon]:
    strips = []
    walls = {wall.id: wall for wall in scene.room.walls}
    for shape in scene.room.openings:
        if shape.opening.is_garage_door:
            wall = walls[shape.opening.wall]
            (x0, y0), (x1, y1) = wall.start, wall.end
            dx, dy = (part * stop_mm for part in wall.inward)
            strips.append(Polygon([(x0, y0), (x1, y1), (x1 + dx, y1 + dy), (x0 + dx, y0 + dy)]))
    return strips


def joints_of(laying: FloorLaying) -> Joints:
    """Return how the joints run: as typed, else staggered for mats and boards."""
    if laying.joints is not None:
        return laying.joints
    return "staggered" if laying.kind in ("mat", "board") else "straight"


def start_of(scene: Scene, laying: FloorLaying) -> Start:
    """Return the start as typed, the rest as a fitter would choose it.

    The longest straight wall without a garage door, of equal ones the one nearer to the
    training; and the end of it nearer to the training. Raises PlanError for an unknown wall.
    """
    ranked = walls_by_length(scene)
    wall = ranked[0]
    if laying.start_wall is not None:
        named = [w for w in ranked if w.id == laying.start_wall]
        if not named:
            raise PlanError(
                Fault(floor_called(laying), "the wall it starts from is not in the room")
            )
        wall = named[0]
    along = laying.along is not False
    return Start(wall.id, _end(scene, laying, wall), along, joints_of(laying))


def _end(scene: Scene, laying: FloorLaying, wall: WallShape) -> bool:
    if laying.start_end is not None:
        return laying.start_end == "right"
    u, _ = _training(scene, wall)
    # in the middle it is the left end, whichever way that was reckoned
    return u > math.dist(wall.start, wall.end) / 2 + _HAIR_MM


def walls_by_length(scene: Scene) -> list[WallShape]:
    """Return the walls in the order in which a fitter would start at them.

    It hangs on where they stand alone: of walls as good as one another neither is the first for
    being written first.
    """
    doors = {s.opening.wall for s in scene.room.openings if s.opening.is_garage_door}

    def rank(wall: WallShape) -> tuple[float, ...]:
        (ix, iy), (x, y) = wall.inward, wall.start
        # the back wall first, as the plan is drawn, then those at its sides
        stands = (-iy, -ix, x * ix + y * iy, y * ix - x * iy)
        return (
            wall.id in doors,
            -round(math.dist(wall.start, wall.end) / TOLERANCE_MM),
            round(_training(scene, wall)[1] / TOLERANCE_MM),
            *(round(one, _PLACES) for one in stands),
        )

    return sorted(scene.room.walls, key=rank)


_HAIR_MM = 0.01
"""What the middle of a room may be off by the rounding of floating point; a plan tells no less."""

_PLACES = 3
"""Directions are told apart to a thousandth, walls of one direction to a thousandth of a mm."""


def _training(scene: Scene, wall: WallShape) -> tuple[float, float]:
    """Return the middle of what people train at, in the frame of a wall."""
    points = [p.at for p in scene.order if p.kit.uses and not p.piece.stays]
    if not points:
        middle = scene.room.free.centroid
        points = [(middle.x, middle.y)]
    # summed without rounding, so that it hangs on no order
    x, y = (math.fsum(each) / len(points) for each in zip(*points, strict=True))
    at = frame_of(wall).into(shapely.Point(x, y))
    return float(shapely.get_x(at)), float(shapely.get_y(at))


def start_words(scene: Scene, start: Start) -> str:
    """Say where the first piece lies: "from the back wall, left end"."""
    names = (
        name
        for name, wall in zip(scene.fixed_names, scene.room.walls, strict=False)
        if wall.id == start.wall
    )
    return f"from {next(names)}, {'right' if start.from_right else 'left'} end"
