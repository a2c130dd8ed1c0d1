"""Which wall a piece hangs on, and what people call it."""

from __future__ import annotations

from app.scene.build import Placed, Scene
from app.scene.naming import wall_called
from app.scene.shapes import turn
from app.scene.walls import WallShape


def wall_behind(scene: Scene, placed: Placed) -> tuple[WallShape, float]:
    """Return the wall nearest to the middle of a piece's back edge, and how far off it is in mm."""
    dx, dy = turn(0.0, -placed.extent.depth_mm / 2, placed.pose.angle_deg)
    back = placed.at[0] + dx, placed.at[1] + dy
    away = [(wall.off_mm(back), i) for i, wall in enumerate(scene.room.walls)]
    gap, number = min(away)
    return scene.room.walls[number], gap


def wall_name(scene: Scene, wall: WallShape) -> str:
    """Say which wall: "the back wall", or by its letter in the drawing, "wall E"."""
    return wall_called(scene, wall.id)
