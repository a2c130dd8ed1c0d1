"""From which walls a floor may be laid, and which way its pieces may lie there."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

from app.model.base import json_of
from app.model.flooring import FloorLaying
from app.scene.build import Scene
from app.takeoff.effort import STARTS_TRIED
from app.takeoff.floor_region import Start, joints_of, start_of, walls_by_length


def fronts_of(scene: Scene, laying: FloorLaying) -> Iterator[Start]:
    """Return one start for each direction of rows and way that the pieces may lie."""
    fixed = start_of(scene, laying)
    shifted = laying.first_mm is not None or laying.first_row_mm is not None
    walls = [w for w in walls_by_length(scene) if w.id == fixed.wall]
    if laying.start_wall is None and not shifted:
        walls = walls_by_length(scene)[:STARTS_TRIED]
    square = laying.length_mm == laying.width_mm
    alongs = (True,) if square else (True, False) if laying.along is None else (laying.along,)
    # Square pieces in straight joints look the same from a wall at right angles.
    turns = square and joints_of(laying) != "staggered"
    seen: list[tuple[float, float]] = []
    for wall in walls:
        ix, iy = wall.inward
        across = [abs(ix * y - iy * x) for x, y in seen]
        if any(a < _PARALLEL or (turns and a > 1 - _PARALLEL) for a in across):
            continue
        seen.append(wall.inward)
        plain = start_of(
            scene, FloorLaying.model_validate({**json_of(laying), "start_wall": wall.id})
        )
        for along in alongs:
            yield replace(plain, along=along)


_PARALLEL = 1e-4
"""Walls whose directions differ by less than this (a sine) are laid from alike."""
