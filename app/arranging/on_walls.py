"""What every wall has against a thing that hangs: no place of it mends that."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from app.arranging.standing import wall_faces
from app.placing.core import Core
from app.placing.standing import Standing, station_poses
from app.scene.build import Scene

Floats = NDArray[np.float64]
STEP_MM = 100.0
"""How far apart the places along a wall are that are asked: a hand's breadth."""


def along_walls(core: Core, root: str, step_mm: float = STEP_MM) -> Iterator[tuple[float, Floats]]:
    """Yield for each stretch of wall the turn and places at which a thing for a wall is on it."""
    scene = core.scene
    deep = scene.placed[root].extent.depth_mm
    for number, (start, end) in zip(*wall_faces(scene), strict=True):
        wall = scene.room.walls[number]
        offs = np.arange(step_mm / 2, math.dist(start, end), step_mm)
        points = start + offs[:, None] * np.array(wall.along) + np.array(wall.inward) * deep / 2
        yield core.wall_turns[number], points


def on_each_wall(core: Core, root: str) -> Iterator[Scene]:
    """Yield a scene for each stretch of wall that has room for what is made for a wall.

    It hangs in the middle of where the core admits it, with all else where it is.
    """
    scene, bare = core.scene, core.layout()
    for turn, points in along_walls(core, root):
        free = points[core.admits(root, turn, points, bare)]
        if len(free):
            x, y = free[len(free) // 2]
            yield scene.moved(station_poses(scene, root, Standing(turn, float(x), float(y))))
