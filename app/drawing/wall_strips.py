"""Light strip of the fit-out as it runs through the room: for plan, sections and picture."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np
import shapely

from app.drawing.figure_room import socket_at
from app.model.finishing import StripRun
from app.scene.build import Scene

_OFF_MM = 30.0
"""How far off the face of its wall it is drawn on the plan: on it the line of the wall hides it."""


@dataclass(frozen=True, slots=True)
class Lit:
    """One run of strip: its corners in the room, x and y in mm, and up from the bare floor."""

    run: StripRun
    corners: tuple[tuple[float, float, float], ...]


def lit_runs(scene: Scene) -> Iterator[Lit]:
    """Yield every run of light strip; one along the ceiling is as high as that is over it."""
    walls = {wall.id: wall for wall in scene.room.walls}
    for run in scene.plan.fit_out.strips:
        if run.wall is None:
            at = np.array([shapely.Point(point) for point in run.points], dtype=object)
            clear, _ = scene.room.shut.clear(at)
            high = [z if math.isfinite(z) else 0.0 for z in clear.tolist()]
            yield Lit(run, tuple((x, y, z) for (x, y), z in zip(run.points, high, strict=True)))
        elif run.wall in walls:
            wall = walls[run.wall]
            ix, iy = wall.inward
            corners = []
            for along, z in run.points:
                x, y = socket_at(wall, along)
                corners.append((x + ix * _OFF_MM, y + iy * _OFF_MM, z))
            yield Lit(run, tuple(corners))
