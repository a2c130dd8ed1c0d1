"""Which wall a piece hangs on, and what people call it."""

from __future__ import annotations

import math

from app.scene.build import Placed, Scene
from app.scene.naming import wall_called
from app.scene.shapes import turn
from app.scene.walls import WallShape


def wall_behind(scene: Scene, placed: Placed) -> tuple[WallShape, float]:
    """Return the wall nearest to the middle of a piece's back edge, and how far off it is in mm."""
    dx, dy = turn(0.0, -placed.extent.depth_mm / 2, placed.pose.angle_deg)
    back = placed.at[0] + dx, placed.at[1] + dy
    away = [(_distance(back, wall), i) for i, wall in enumerate(scene.room.walls)]
    gap, number = min(away)
    return scene.room.walls[number], gap


def wall_name(scene: Scene, wall: WallShape) -> str:
    """Say which wall: "the back wall", or by its letter in the drawing, "wall E"."""
    return wall_called(scene, wall.id)


def _distance(point: tuple[float, float], wall: WallShape) -> float:
    x0, y0 = wall.start
    along = wall.along
    length = math.dist(wall.start, wall.end)
    t = (point[0] - x0) * along[0] + (point[1] - y0) * along[1]
    t = min(max(t, 0.0), length)
    return math.dist(point, (x0 + t * along[0], y0 + t * along[1]))
