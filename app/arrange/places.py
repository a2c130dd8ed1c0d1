"""Free places in a room: for a box anywhere, for one with its back on a wall, clear of doors."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import Polygon

from app.arrange.effort import OFFER_GRID_MM
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.shapes import turn
from app.scene.tolerance import HALF_MM, ROUNDING, TOLERANCE_MM, falls_short
from app.scene.walls import WallShape
from app.units import QUARTER_TURN_DEG

QUARTERS = 4
"""Ways in which a piece may face along the walls of a square room."""


FLOOR = frozenset({"mat"})
"""Parts of what is only floor: it has no back."""
LONG_SHARE = 1.5
"""How much deeper than wide a piece is that may stand with its side to the wall as well."""
BOX_POINTS = 5
"""Points of the ring of a box, the first once more at its end: only a box has a back and sides."""
Place = tuple[float, float, float]


def grid(scene: Scene) -> NDArray[np.float64]:
    """Return points all over the room, (n, 2) in mm."""
    step = OFFER_GRID_MM
    x0, y0, x1, y1 = scene.room.free.bounds
    xs, ys = np.meshgrid(np.arange(x0, x1 + step, step), np.arange(y0, y1 + step, step))
    return np.stack([xs.ravel(), ys.ravel()], axis=1)


def free_poses(
    scene: Scene,
    width_mm: float,
    depth_mm: float,
    low_mm: float,
    high_mm: float,
    behind_mm: float = 0.0,
) -> list[Place]:
    """Return poses at which a box meets nothing solid, (x, y, degrees), those at a wall first.

    At a wall is as far off it as the box asks for behind it.
    """
    longest = max(scene.room.walls, key=lambda wall: math.dist(wall.start, wall.end))
    base = math.degrees(math.atan2(longest.along[1], longest.along[0]))
    quarter = QUARTER_TURN_DEG
    poses: list[tuple[float, float, float, float]] = []
    for i in range(QUARTERS):
        angle = base + i * quarter
        centres = np.vstack([grid(scene), _along_walls(scene, depth_mm + 2 * behind_mm, angle)])
        free = _free(scene, centres, angle, (width_mm, depth_mm), (low_mm, high_mm))
        backs = centres + np.array(turn(0.0, -depth_mm / 2, angle))
        away = shapely.distance(shapely.points(backs), scene.room.free.exterior)
        poses += [
            (abs(float(away[k]) - behind_mm), float(centres[k, 0]), float(centres[k, 1]), angle)
            for k in np.flatnonzero(free)
        ]
    poses.sort(key=lambda place: place[0])
    return _spread(poses, max(width_mm, depth_mm) / 2)


def _along_walls(scene: Scene, depth_mm: float, angle_deg: float) -> NDArray[np.float64]:
    """Return middles of boxes that stand with their backs against a wall of this direction."""
    step = OFFER_GRID_MM
    front = turn(0.0, 1.0, angle_deg)
    rows = [np.zeros((0, 2))]
    for wall in scene.room.walls:
        if front[0] * wall.inward[0] + front[1] * wall.inward[1] < 1 - ROUNDING:
            continue
        along = np.arange(0.0, math.dist(wall.start, wall.end), step)
        start = np.array(wall.start) + np.array(wall.inward) * depth_mm / 2
        rows.append(start + along[:, None] * np.array(wall.along))
    return np.vstack(rows)


def _spread(poses: list[tuple[float, float, float, float]], apart_mm: float) -> list[Place]:
    """Thin places out so that those judged lie all over the room, best first."""
    picked: list[Place] = []
    # Only those in the cells round about can be too near: in a hall there are some hundred thousand
    # places, and each with each would take hours.
    cells: defaultdict[tuple[float, int, int], list[tuple[float, float]]] = defaultdict(list)
    for _, x, y, angle in poses:
        across, down = math.floor(x / apart_mm), math.floor(y / apart_mm)
        near = (
            there
            for i in (across - 1, across, across + 1)
            for j in (down - 1, down, down + 1)
            for there in cells.get((angle, i, j), ())
        )
        if all(math.dist((x, y), there) >= apart_mm for there in near):
            cells[angle, across, down].append((x, y))
            picked.append((x, y, angle))
    return picked


def wall_poses(
    scene: Scene, width_mm: float, depth_mm: float, low_mm: float, high_mm: float
) -> list[Place]:
    """Return poses of a box with the whole of its back on one wall, off openings, wall by wall."""
    poses: list[Place] = []
    for wall in scene.room.walls:
        angle = math.degrees(math.atan2(-wall.inward[0], wall.inward[1]))
        far = _along(scene, wall, width_mm, low_mm, high_mm)
        back = np.array(wall.start) + far[:, None] * np.array(wall.along)
        centres = back + np.array(wall.inward) * depth_mm / 2
        free = _free(scene, centres, angle, (width_mm, depth_mm), (low_mm, high_mm))
        rows = [(0.0, float(x), float(y), angle) for x, y in centres[free]]
        poses += _spread(rows, width_mm / 2)
    return poses


def _along(
    scene: Scene, wall: WallShape, width_mm: float, low_mm: float, high_mm: float
) -> NDArray[np.float64]:
    """Return how far along a wall the middle of a back can be: within it, before no opening."""
    long = math.dist(wall.start, wall.end)
    last = long - width_mm / 2
    if falls_short(last, width_mm / 2):
        return np.zeros(0)
    far = np.append(np.arange(width_mm / 2, last, OFFER_GRID_MM), last)
    return off_openings(scene, wall, far, width_mm, (low_mm, high_mm))


def off_openings(
    scene: Scene,
    wall: WallShape,
    far: NDArray[np.float64],
    width_mm: float,
    between_mm: tuple[float, float],
) -> NDArray[np.float64]:
    """Keep those middles of a back, in mm along a wall, at which it is before no opening."""
    low_mm, high_mm = between_mm
    for shape in scene.room.openings:
        sill = shape.opening.sill_mm
        low, high = max(sill, low_mm), min(sill + shape.opening.height_mm, high_mm)
        if shape.wall.id != wall.id or high - low <= TOLERANCE_MM:
            continue
        sides = (shape.left, shape.right)
        ends = [float(np.dot(np.subtract(side, wall.start), wall.along)) for side in sides]
        far = far[(far + width_mm / 2 <= min(ends)) | (far - width_mm / 2 >= max(ends))]
    return far


def _free(
    scene: Scene,
    centres: NDArray[np.float64],
    angle_deg: float,
    size_mm: tuple[float, float],
    between_mm: tuple[float, float],
) -> NDArray[np.bool_]:
    """Return at which middles, (n, 2) in mm, a box is in the room and meets nothing solid."""
    if not len(centres):
        return np.zeros(0, dtype=bool)
    low_mm, high_mm = between_mm
    w, d = (size / 2 - HALF_MM for size in size_mm)
    ring = np.array([turn(x, y, angle_deg) for x, y in ((-w, -d), (w, -d), (w, d), (-w, d))])
    boxes = np.asarray(shapely.polygons(centres[:, None, :] + ring[None, :, :]), dtype=object)
    free = np.asarray(shapely.covers(scene.room.within, boxes))
    # the cheapest question first, and the next only of what is left
    left = np.flatnonzero(free)
    of, hit = scene.tree.query(boxes[left])
    solids = scene.solids
    met = np.minimum(solids.high_mm[hit], high_mm) - np.maximum(solids.low_mm[hit], low_mm)
    of, hit = left[of[met > TOLERANCE_MM]], hit[met > TOLERANCE_MM]
    free[of[shapely.intersects(boxes[of], solids.cores[hit])]] = False
    left = np.flatnonzero(free)
    clear, _ = scene.room.shut.clear(boxes[left])
    free[left] = ~falls_short(clear, high_mm)
    return free


def off_doors(
    scene: Scene,
    places: Sequence[Place],
    width_mm: float,
    depth_mm: float,
    ways_in: bool = False,
) -> list[Place]:
    """Leave out the places at which a box would lie where a door swings or comes up.

    With `ways_in` also those on the floor before a door or gap that people come in by.
    """
    kept_clear = [sweep.polygon for shape in scene.room.openings for sweep in shape.sweeps]
    for shape in scene.room.openings if ways_in else ():
        if shape.opening.kind == "window" or shape.opening.is_garage_door:
            continue
        deep = np.array(shape.inward) * shape.opening.width_mm
        left, right = np.array(shape.left), np.array(shape.right)
        kept_clear.append(Polygon([left, right, right + deep, left + deep]))
    taken = shapely.union_all(kept_clear).buffer(-HALF_MM)
    w, d = width_mm / 2, depth_mm / 2
    corners = ((-w, -d), (w, -d), (w, d), (-w, d))
    boxes = [
        Polygon([(x + dx, y + dy) for dx, dy in (turn(*corner, angle) for corner in corners)])
        for x, y, angle in places
    ]
    meets = shapely.intersects(np.array(boxes, dtype=object), taken)
    return [place for place, met in zip(places, meets, strict=True) if not met]


def asked_behind_mm(placed: Placed) -> float:
    """Return how much room a piece asks for behind it, as recommended."""
    spaces = [one.space for one in placed.shape.spaces]
    return max((one.recommended_mm for one in spaces if one.side == "back"), default=0.0)


def off_the_walls(scene: Scene, placed: Placed, places: Sequence[Place]) -> NDArray[np.bool_]:
    """Return at which places a piece stands with its back to no wall, nor its side if it is long.

    What has no back stands nowhere better than elsewhere.
    """
    extent, shape = placed.extent, placed.shape
    if (
        not len(places)
        or not len(shape.cores)
        or set(shape.parts) <= FLOOR
        or len(shape.footprint.exterior.coords) > BOX_POINTS
    ):
        return np.zeros(len(places), dtype=bool)
    beyond = max(published("layout.backs.most-mm"), asked_behind_mm(placed)) + TOLERANCE_MM
    behind = [(0.0, -extent.depth_mm / 2 - beyond)]
    if extent.depth_mm >= LONG_SHARE * extent.width_mm:
        behind += [(sign * (extent.width_mm / 2 + beyond), 0.0) for sign in (-1, 1)]
    points = shapely.points(
        [
            [(x + dx, y + dy) for dx, dy in (turn(*one, angle) for one in behind)]
            for x, y, angle in places
        ]
    )
    inside = np.asarray(shapely.covers(scene.room.free, points), dtype=bool)
    return np.asarray(inside.all(axis=1), dtype=bool)


def all_over(places: Sequence[Place], most: int) -> list[Place]:
    """Return as many places as are judged: half of them nearest to walls, half from all over."""
    if len(places) <= most:
        return list(places)
    near = list(places[: most // 2])
    rest = places[most // 2 :]
    step = max(1, math.ceil(len(rest) / (most - most // 2)))
    return near + list(rest[::step])
