"""Where things stand, as tape distances from the corners of the room.

A point is where two circles about corners cross. They cross well between 30 and 150 degrees: at 30
an error of 1 mm on a tape moves the point by up to 4 mm, flatter crossings soon by centimetres. The
mirror image of the point across the line of the two corners is told apart by a third distance.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import lru_cache

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from app.drawing.primitives import Point
from app.drawing.sheets.bolts import drilled_at, is_overhead
from app.drawing.sheets.wall_marks import TAPE_MM, WallMark, needed, wall_marks
from app.scene.build import Placed, Scene
from app.scene.naming import corner_name
from app.scene.shapes import turn
from app.takeoff.floor_region import laid_round, let_in
from app.wording import in_a_row, lower

LEAST_CROSSING_DEG, MOST_CROSSING_DEG = 30.0, 150.0
_NEAR_MM = 100.0
"""Of a corner that is nearer to a point than this the circle is too small to draw with a tape."""
_TELLS_MM = 60.0
"""A check tells the two crossings apart when its distances to them differ by this much: far more
than anybody misreads."""
_DOUBT_MM = 60.0
"""A crossing so far outside the room is taken for one in it by somebody with a tape at a wall."""
_ROUND_SHARE = 0.84
"""A base that fills less of its rectangle than this is round: a circle fills 0.785 of it."""
_TOUCH_MM = 2.0
_SLIT_MM = 40.0
"""Into a slit narrower than this between a wall and what stays no tape is laid: a hand holds it;
common practice, no source."""
_PAIRS_KEPT = 64
"""Of so many counts of corners and marks their pairs are kept: more are seldom seen at once."""
_OFF_FLOOR_MM = 400.0
"""What begins higher than this hangs on a wall and is set out on the sheet of the walls."""


@dataclass(frozen=True, slots=True)
class Tape:
    """A distance in mm from a corner of the room, counted from 0 in the order of the walls.

    Beyond the last corner it is from a mark along a wall, and beyond those from one on the floor
    that is set before, counted on in their order.
    """

    corner: int
    mm: float


@dataclass(frozen=True, slots=True)
class SetOut:
    """One point on the floor with the two tapes that find it and the third that proves it."""

    name: str
    what: str
    at: Point
    first: Tape
    second: Tape
    check: Tape | None


@dataclass(frozen=True, slots=True)
class Taped:
    """All points of a room that can be taped, and the names of those that cannot.

    `along` are the marks on the walls that are set for them first.
    """

    points: tuple[SetOut, ...]
    missing: tuple[str, ...]
    corners: int = 0
    along: tuple[WallMark, ...] = ()

    def origin(self, tape: Tape) -> str:
        """Return what a tape is held to: a corner, or a mark that is set before."""
        if tape.corner < self.corners:
            return corner_name(tape.corner)
        if not self.is_mark(tape):
            return wall_mark_name(tape.corner - self.corners)
        return self.points[tape.corner - self.corners - len(self.along)].name

    def is_mark(self, tape: Tape) -> bool:
        """Return whether a tape is held to a mark on the floor."""
        return tape.corner >= self.corners + len(self.along)


def corners_of(scene: Scene) -> tuple[Point, ...]:
    """Return the corners of the finished faces, in the order of the walls."""
    return tuple(wall.start for wall in scene.room.walls)


def wall_mark_name(index: int) -> str:
    """Return what a mark along a wall is called on the sheet: W1, W2 ..."""
    return f"W{index + 1}"


def taped(scene: Scene, numbers: dict[str, int]) -> Taped:
    """Return how each corner of each piece on the floor, and each fixing, is found with a tape.

    Fixings are those in the floor, and those under the ceiling as marked below them; what hangs on
    a wall is set out on the sheet of the walls.
    """
    corners, along = corners_of(scene), wall_marks(scene)
    origins = [*corners, *(mark.at for mark in along)]
    # where a wall is longer than a tape, none is asked to be longer than that
    longest = TAPE_MM if along else math.inf
    sight, inside = sight_of(scene), scene.room.free.buffer(_DOUBT_MM)
    points: list[SetOut] = []
    later: list[tuple[str, str, Point]] = []
    for placed in sorted(scene.order, key=lambda one: numbers[one.piece.id]):
        for letter, what, at in marks_of(placed, scene):
            name = f"{numbers[placed.piece.id]}{letter}"
            tapes = tapes_to(at, origins, sight, longest)
            if tapes is None or _in_doubt(at, tapes, origins, inside):
                later.append((name, f"{placed.name}{what}", at))
            else:
                points.append(SetOut(name, f"{placed.name}{what}", at, *tapes))
    missing: list[str] = []
    # what corners alone do not find is taped from them and from marks that are set by then
    for name, what, at in later:
        known = [*origins, *(point.at for point in points)]
        for reach in sorted({longest, math.inf}):
            tapes = tapes_to(at, known, sight, reach)
            if tapes is not None and not _in_doubt(at, tapes, known, inside):
                points.append(SetOut(name, what, at, *tapes))
                break
        else:
            missing.append(name)
    return _without_idle(Taped(tuple(points), tuple(missing), len(corners), along))


def _without_idle(of: Taped) -> Taped:
    """Return it without the marks along walls that nothing is taped from."""
    tapes = [t for p in of.points for t in (p.first, p.second, p.check) if t is not None]
    kept = needed(of.along, {t.corner - of.corners for t in tapes})
    numbers = {of.corners + old: of.corners + new for new, old in enumerate(kept)}
    fewer = len(of.along) - len(kept)

    def renumbered(tape: Tape) -> Tape:
        if tape.corner < of.corners:
            return tape
        return Tape(numbers.get(tape.corner, tape.corner - fewer), tape.mm)

    points = tuple(
        SetOut(
            p.name, p.what, p.at, renumbered(p.first), renumbered(p.second),
            None if p.check is None else renumbered(p.check),
        )
        for p in of.points
    )  # fmt: skip
    return Taped(points, of.missing, of.corners, tuple(of.along[i] for i in kept))


def marks_of(placed: Placed, scene: Scene) -> list[tuple[str, str, Point]]:
    """Return the marks of a piece: letter, what it is, and place. None for what hangs on a wall."""
    if stands_on_floor(placed, scene):
        return [*base_points(placed), *_fixing_points(placed, scene, "f", "fixing")]
    if is_overhead(placed):
        return _fixing_points(placed, scene, "h", "under its fixing in the ceiling")
    return []


def _fixing_points(
    placed: Placed, scene: Scene, letter: str, what: str
) -> list[tuple[str, str, Point]]:
    return [
        (f"{letter}{number}", f", {what}", at)
        for number, at in enumerate(drilled_at(scene, placed), start=1)
        if scene.room.free.covers(shapely.Point(at))
    ]


def _in_doubt(
    at: Point, tapes: tuple[Tape, Tape, Tape | None], origins: Sequence[Point], inside: BaseGeometry
) -> bool:
    """Return whether no check tells a point from its mirror image, which is inside as well."""
    first, second, check = tapes
    if check is not None:
        return False
    other = mirrored(at, origins[first.corner], origins[second.corner])
    return bool(inside.covers(shapely.Point(other)))


def stands_on_floor(placed: Placed, scene: Scene) -> bool:
    """Return whether a piece is marked on the floor: by itself, on feet, and within the room."""
    if placed.kit.bar is not None or placed.piece.carried_by is not None:
        return False
    lows = [float(low) for low in placed.shape.low_mm]
    on_feet = min(lows, default=0.0) < _OFF_FLOOR_MM
    return on_feet and scene.room.free.buffer(1).covers(shapely.Point(placed.at))


def base_points(placed: Placed) -> list[tuple[str, str, Point]]:
    """Return the points of a piece that are marked: its four corners, or the middle of a round."""
    half_w, half_d = placed.extent.width_mm / 2, placed.extent.depth_mm / 2
    footprint = placed.footprint
    if footprint.area < _ROUND_SHARE * 4 * half_w * half_d and abs(half_w - half_d) < 1:
        return [("m", ", its middle", placed.at)]
    made = []
    for letter, (x, y), what in (
        ("a", (-half_w, -half_d), "back left"),
        ("b", (half_w, -half_d), "back right"),
        ("c", (half_w, half_d), "front right"),
        ("d", (-half_w, half_d), "front left"),
    ):
        dx, dy = turn(x, y, placed.pose.angle_deg)
        made.append((letter, f", {what}", (placed.at[0] + dx, placed.at[1] + dy)))
    return made


def tapes_to(
    at: Point, corners: Sequence[Point], sight: BaseGeometry, longest_mm: float = math.inf
) -> tuple[Tape, Tape, Tape | None] | None:
    """Return the two best tapes to a point and one to check them; None where no two cross well.

    A tape runs along a straight line that stays within `sight`, the floor without what stays.
    """
    away = [math.dist(corner, at) for corner in corners]
    near = [i for i, mm in enumerate(away) if _NEAR_MM <= mm <= longest_mm]
    lines = np.array([(corners[i], at) for i in near]).reshape(-1, 2, 2)
    clear = shapely.covers(sight, shapely.linestrings(lines))
    reach = [near[k] for k in np.flatnonzero(clear)]
    long = np.array([away[i] for i in reach])
    bearings = np.array([math.atan2(corners[i][1] - at[1], corners[i][0] - at[0]) for i in reach])
    one, other = _pairs(len(reach))
    angle = _between_deg(bearings[one], bearings[other])
    well = (angle >= LEAST_CROSSING_DEG) & (angle <= MOST_CROSSING_DEG)
    if not well.any():
        return None
    # a quarter turn is best; ten degrees off it weigh as much as a metre of tape
    cost = np.abs(angle - 90) * 100 + (long[one] + long[other])
    best = np.where(well, cost, np.inf).argmin()
    i, j = reach[one[best]], reach[other[best]]
    mirror = mirrored(at, corners[i], corners[j])
    check = _check_tape(at, mirror, corners, [k for k in reach if k not in (i, j)])
    return Tape(i, away[i]), Tape(j, away[j]), check


@lru_cache(maxsize=_PAIRS_KEPT)
def _pairs(count: int) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    """Return the first and the second of each two of so many, in the order of the first."""
    return np.triu_indices(count, 1)


def _check_tape(
    at: Point, other: Point, origins: Sequence[Point], among: Sequence[int]
) -> Tape | None:
    """Return the tape that tells a point best from another one; None where none tells them."""
    apart = [(abs(math.dist(origins[k], at) - math.dist(origins[k], other)), k) for k in among]
    most = max(apart, default=None)
    if most is None or most[0] < _TELLS_MM:
        return None
    return Tape(most[1], math.dist(origins[most[1]], at))


def _between_deg(
    one_rad: NDArray[np.float64], other_rad: NDArray[np.float64]
) -> NDArray[np.float64]:
    """Return the angles between bearings, 0 to 180: at them circles about two corners cross."""
    turned: NDArray[np.float64] = np.abs(np.degrees(one_rad - other_rad)) % 360
    between: NDArray[np.float64] = np.minimum(turned, 360 - turned)
    return between


def mirrored(at: Point, start: Point, end: Point) -> Point:
    """Return the other crossing of the two circles: the point mirrored at the line of corners."""
    line = np.array(end) - np.array(start)
    off = np.array(at) - np.array(start)
    along = float(off @ line / (line @ line))
    foot = np.array(start) + along * line
    x, y = 2 * foot - np.array(at)
    return float(x), float(y)


def sight_of(scene: Scene) -> BaseGeometry:
    """Return the floor that a tape may cross: the room without columns and what stays."""
    blocked = [polygon for _, polygon in scene.room.columns]
    blocked += [placed.footprint for placed in scene.order if placed.piece.stays]
    # a tape may lie along a wall and along the side of what stays
    free: BaseGeometry = scene.room.free.buffer(2, join_style="mitre")
    for area in blocked:
        free = free.difference(area.buffer(-2, join_style="mitre"))
    outer = scene.room.free.boundary
    blocked = [area for area in blocked if _TOUCH_MM < area.distance(outer) < _SLIT_MM]
    if blocked:
        # nobody lays a tape into the slit behind a freezer
        wide = free.buffer(-_SLIT_MM / 2, join_style="mitre").buffer(
            _SLIT_MM / 2 + 2, join_style="mitre"
        )
        near = shapely.union_all(blocked).buffer(_SLIT_MM, join_style="mitre")
        free = free.difference(
            free.difference(wide).intersection(near).buffer(-2, join_style="mitre")
        )
    shapely.prepare(free)
    return free


def marked_before(scene: Scene) -> str:
    """Say what has marks and no floor under it: on the finished floor there is a hole for them."""
    every = (
        placed
        for laying in scene.plan.fit_out.floors
        for placed in (*laid_round(scene, laying), *let_in(scene, laying))
    )
    names = list(dict.fromkeys(lower(one.name) for one in every if marks_of(one, scene)))
    if not names:
        return ""
    return (
        "What the floor is laid round is marked on the bare floor, before it is laid: "
        f"{in_a_row(names)}."
    )
