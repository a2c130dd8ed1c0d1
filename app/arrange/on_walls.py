"""What is made for a wall keeps its back on one, wherever a way out moves it."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from app.arrange.effort import ROUNDING_MM
from app.arrange.places import off_openings
from app.checks.behind import wall_behind
from app.published.register import published
from app.scene.build import Placed, Scene
from app.scene.shapes import turn
from app.scene.tolerance import TOLERANCE_MM
from app.scene.walls import WallShape


def for_wall(scene: Scene, root: str) -> bool:
    """Return whether a station is made to have its back on a wall."""
    return scene.placed[root].kit.for_wall


def keeps_wall(scene: Scene, root: str) -> bool:
    """Return whether a station stands as it is made to: what is for no wall always does."""
    placed = scene.placed[root]
    if not placed.kit.for_wall:
        return True
    wall, _ = wall_behind(scene, placed)
    most = published("fixing.off-wall-mm")
    return faces_away(placed, wall) and max(ends_off(placed, wall)) <= most


def shifts_on_walls(scene: Scene, root: str) -> NDArray[np.float64]:
    """Return shifts in mm, (n, 2), the smallest first, that bring a back along walls behind it.

    Only walls that the piece faces straight away from count: it is not turned.
    """
    placed = scene.placed[root]
    width = placed.extent.width_mm
    lift = scene.plan.room.floor.covering.thickness_mm
    between = lift, lift + placed.extent.height_mm
    step = ROUNDING_MM
    rows = [np.zeros((0, 2))]
    for wall in scene.room.walls:
        if not faces_away(placed, wall):
            continue
        along, inward = np.array(wall.along), np.array(wall.inward)
        now = float((np.array(placed.at) - np.array(wall.start)) @ along)
        long = math.dist(wall.start, wall.end)
        first, last = (
            math.ceil((width / 2 - now) / step),
            math.floor((long - width / 2 - now) / step),
        )
        far: NDArray[np.float64] = now + np.arange(first, last + 1, dtype=np.float64) * step
        far = off_openings(scene, wall, far, width, between)
        rows.append((far - now)[:, None] * along - min(ends_off(placed, wall)) * inward)
    every = np.vstack(rows)
    every = every[np.hypot(every[:, 0], every[:, 1]) > TOLERANCE_MM]
    order = np.argsort(np.hypot(every[:, 0], every[:, 1]), kind="stable")
    ordered: NDArray[np.float64] = every[order]
    return ordered


def ends_off(placed: Placed, wall: WallShape) -> tuple[float, float]:
    """Return how far the two ends of a back are off the line of a wall, in mm."""
    w, d = placed.extent.width_mm / 2, placed.extent.depth_mm / 2
    ends = [turn(x, -d, placed.pose.angle_deg) for x in (-w, w)]
    off = [
        (placed.at[0] + x - wall.start[0]) * wall.inward[0]
        + (placed.at[1] + y - wall.start[1]) * wall.inward[1]
        for x, y in ends
    ]
    return off[0], off[1]


def faces_away(placed: Placed, wall: WallShape) -> bool:
    """Return whether a piece could lie with all of its back on a wall as it is turned now."""
    one, other = ends_off(placed, wall)
    x, y = turn(0.0, 1.0, placed.pose.angle_deg)
    away = x * wall.inward[0] + y * wall.inward[1] > 0
    return away and abs(one - other) <= published("fixing.off-wall-mm")
