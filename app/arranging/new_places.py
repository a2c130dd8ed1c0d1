"""Where a new piece may stand in a room: the places at which least is lacking."""

from __future__ import annotations

import math
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from app.arrange.places import asked_behind_mm
from app.arranging.shares import spread
from app.arranging.standing import is_disc, is_floor
from app.model.kit import Pose
from app.placing.core import Core
from app.scene.build import Placed, Scene
from app.scene.shapes import turned_points
from app.scene.tolerance import TOLERANCE_MM

Spot = tuple[float, float]
Floats = NDArray[np.float64]
NEW = "would-fit"
PLACES = 150
"""Places of each kit type that are asked, beside the corners of what is free: a step apart."""
PLACES_OVER = 9
"""Places each way at which a thing is tried over a spot: an eighth of its size apart."""
ALL_OF_IT = 1e-3
"""Share of what is wanted that may be lacking where a use is full: less than a millimetre."""
TRIES = 3
"""Places of each type that are judged in full: at the first the way to something else may be gone
or a bar lose its end, and one of two more often has room."""
APART_MM = 600.0
"""How far apart these are: as wide as the way of a person."""
PLACES_A_TURN = 40
"""Places at each turn among which these are: more only repeat them."""


def best_places(
    scene: Scene, spot: Spot | None = None, most: int = TRIES
) -> list[tuple[float, Pose]]:
    """Return places of the new piece, each with how much is lacking there, the best first.

    Of those that lack as little the ones with the back nearest to a wall come first, and all are
    so far apart that something else may be in the way there. With a `spot` it stands over that.
    """
    core = Core.of(scene)
    layout = core.layout([root for root in core.free if root != NEW])
    found: list[tuple[float, float, Pose]] = []
    points = spread(scene, PLACES)
    for turn in core.turns(NEW):
        # what is in something solid wherever it is over the spot need not be asked of the core
        beside = points if spot is None else _free_over(scene, turn, spot)
        if not len(beside):
            continue
        corners = np.asarray(core.free_points(NEW, turn, layout)).reshape(-1, 2)
        if spot is not None:
            corners = _over(scene, turn, corners, spot)
        every = np.concatenate([corners, beside])
        free = every[core.admits(NEW, turn, every, layout)]
        if not len(free):
            continue
        lacks = core.shortfall(NEW, turn, free, layout)
        off = _behind_mm(scene, turn, free)
        for k in np.lexsort((off, _in_steps(lacks)))[:PLACES_A_TURN]:
            pose = Pose(x_mm=float(free[k, 0]), y_mm=float(free[k, 1]), angle_deg=turn)
            found.append((float(lacks[k]), float(off[k]), pose))
    found.sort(key=lambda one: (_in_steps(one[0]), one[1]))
    chosen: list[tuple[float, Pose]] = []
    for lacking, _, pose in found:
        if len(chosen) == most:
            break
        at = pose.x_mm, pose.y_mm
        if all(math.dist(at, (o.x_mm, o.y_mm)) >= APART_MM for _, o in chosen):
            chosen.append((lacking, pose))
    return chosen


def _in_steps(lacking: Any) -> Any:
    """Return what is lacking in steps so small that two places in one step are alike."""
    return np.floor(np.asarray(lacking) / ALL_OF_IT)


def _behind_mm(scene: Scene, turn_deg: float, points: Floats) -> Floats:
    """Return how far the back of the new piece is off a wall at some places.

    What lies on the floor or has no back is as good anywhere.
    """
    placed = scene.placed[NEW]
    if is_floor(placed) or is_disc(placed):
        return np.zeros(len(points))
    back = turned_points(np.array([(0.0, -placed.extent.depth_mm / 2)]), turn_deg)[0]
    off: Floats = shapely.distance(scene.room.free.boundary, shapely.points(points + back))
    return off


def _free_over(scene: Scene, turn_deg: float, spot: Spot) -> Floats:
    """Return the places of the new piece at which it stands over a spot, free of what is solid.

    Some beside one another, and those where it touches a wall or a piece, or is as far off as it
    asks for behind it.
    """
    placed = scene.placed[NEW]
    half = np.array([placed.extent.width_mm, placed.extent.depth_mm]) / 2
    here = turned_points(np.array([spot]), -turn_deg)[0]
    outlines = [scene.room.free, *(p.footprint for p in scene.order if p is not placed)]
    local = [turned_points(shapely.get_coordinates(one), -turn_deg) for one in outlines]
    lines = np.concatenate([local[0], *(np.stack([x.min(0), x.max(0)]) for x in local[1:])])
    behind_mm = asked_behind_mm(placed)
    mesh = here + np.linspace(-1.0, 1.0, PLACES_OVER)[:, None] * half
    axes = []
    for axis, off in ((0, 0.0), (1, behind_mm)):
        touching = [lines[:, axis] + half[axis] + off, lines[:, axis] - half[axis]]
        every = np.unique(np.concatenate([mesh[:, axis], *touching]).round(2))
        axes.append(every[np.abs(every - here[axis]) <= half[axis] + TOLERANCE_MM])
    points = np.stack(np.meshgrid(*axes), axis=2).reshape(-1, 2)
    over = _over(scene, turn_deg, turned_points(points, turn_deg), spot)
    # a mat may lie under what stands there: the core knows what
    return over if is_floor(placed) else over[_stands(scene, placed, turn_deg, over)]


def _over(scene: Scene, turn_deg: float, points: Floats, spot: Spot) -> Floats:
    """Return those of some places at which the outline of the new piece is over a spot."""
    placed = scene.placed[NEW]
    outline = placed.shape.footprint.buffer(TOLERANCE_MM)
    away = turned_points(np.array(spot) - points, placed.pose.angle_deg - turn_deg)
    over: Floats = points[shapely.contains_xy(outline, away[:, 0], away[:, 1])]
    return over


def _stands(scene: Scene, placed: Placed, turn_deg: float, points: Floats) -> NDArray[np.bool_]:
    """Return at which places a piece is in the room and in nothing solid, whatever it asks for."""
    by = turn_deg - placed.pose.angle_deg
    own = [number for number, one in enumerate(scene.order) if one.root == placed.root]
    free = np.ones(len(points), dtype=bool)
    for core, low_mm, high_mm in zip(
        placed.shape.cores, placed.shape.low_mm, placed.shape.high_mm, strict=True
    ):
        left = np.flatnonzero(free)
        ring = turned_points(shapely.get_coordinates(core.exterior), by)
        parts = np.asarray(shapely.polygons(points[left][:, None, :] + ring[None]), dtype=object)
        inside = np.asarray(shapely.covers(scene.room.within, parts), dtype=bool)
        of, hit = scene.tree.query(parts)
        solids = scene.solids
        low, high = low_mm + placed.lift_mm, high_mm + placed.lift_mm
        met = np.minimum(solids.high_mm[hit], high) - np.maximum(solids.low_mm[hit], low)
        others = (met > TOLERANCE_MM) & ~np.isin(solids.owner[hit], own)
        of, hit = of[others], hit[others]
        inside[of[shapely.intersects(parts[of], solids.cores[hit])]] = False
        free[left] = inside
    return free
