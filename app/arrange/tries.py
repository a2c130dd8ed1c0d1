"""Many poses of one station at once: which of them meet nothing solid.

A try is a shift of a whole station in mm. Trying only throws out what cannot be; what is left
still goes before the full judge.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
import shapely
import shapely.affinity
from numpy.typing import NDArray

from app.checks.layers import is_floor
from app.checks.shut_offs import SHUT_OFFS
from app.model.kit import Pose
from app.scene.build import Scene
from app.scene.shapes import turn
from app.scene.tolerance import heights_meet

Floats = NDArray[np.float64]


def members(scene: Scene, root: str) -> tuple[str, ...]:
    """Return the pieces of a station."""
    return tuple(piece_id for piece_id, placed in scene.placed.items() if placed.root == root)


def movable(scene: Scene, root: str) -> bool:
    """Return whether a station may be moved: nothing of it stays or is pinned down.

    Where mains, gas and water are shut off is the house's, whether its file says so or not.
    """
    return not any(
        placed.piece.stays or placed.piece.pinned or placed.kit.key in SHUT_OFFS
        for placed in scene.stations[root]
    )


def shifted(scene: Scene, root: str, dx: float, dy: float) -> Mapping[str, Pose]:
    """Return the poses of a station moved by so many mm."""
    return {
        piece_id: Pose.within(
            scene.placed[piece_id].pose.x_mm + dx,
            scene.placed[piece_id].pose.y_mm + dy,
            scene.placed[piece_id].pose.angle_deg,
        )
        for piece_id in members(scene, root)
    }


def turned_about(scene: Scene, root: str, angle_deg: float) -> Mapping[str, Pose]:
    """Return the poses of a station turned about the middle of its carrier, clockwise as drawn."""
    cx, cy = scene.placed[root].at
    poses = {}
    for piece_id in members(scene, root):
        pose = scene.placed[piece_id].pose
        dx, dy = turn(pose.x_mm - cx, pose.y_mm - cy, angle_deg)
        poses[piece_id] = Pose.within(cx + dx, cy + dy, pose.angle_deg + angle_deg)
    return poses


def _floor_inside(scene: Scene, numbers: list[int], shifts: Floats) -> NDArray[np.bool_]:
    """Return at which shifts the floor that a station without solids takes lies in the room."""
    floors = [
        core
        for core, shape, owner in zip(
            scene.spaces.cores, scene.spaces.shapes, scene.spaces.owner, strict=True
        )
        if owner in numbers and is_floor(shape.space)
    ]
    inside = np.ones(len(shifts), dtype=bool)
    for floor in floors:
        moved = [shapely.affinity.translate(floor, dx, dy) for dx, dy in shifts.tolist()]
        inside &= np.asarray(shapely.covers(scene.room.within, np.array(moved, dtype=object)))
    return inside


def free_shifts(scene: Scene, root: str, shifts: Floats) -> NDArray[np.bool_]:
    """Return which shifts, (n, 2) in mm, keep a station in the room and out of all other solids."""
    numbers = [i for i, placed in enumerate(scene.order) if placed.root == root]
    solids = scene.solids
    mine = np.flatnonzero(np.isin(solids.owner, numbers))
    if not len(mine):
        return _floor_inside(scene, numbers, shifts)
    xy, index = shapely.get_coordinates(solids.cores[mine], return_index=True)
    counts = np.bincount(index)
    # One array for all tries: the geometry library takes thousands of polygons as fast as a hundred
    # calls take one.
    everywhere = (xy[None, :, :] + shifts[:, None, :]).reshape(-1, 2)
    rings = np.repeat(np.arange(len(shifts) * len(mine)), np.tile(counts, len(shifts)))
    made = shapely.polygons(shapely.linearrings(everywhere, indices=rings))
    cores = np.asarray(made, dtype=object)
    free = np.asarray(shapely.covers(scene.room.within, cores))
    of, hit = scene.tree.query(cores)
    # A station does not meet itself: it moves as one.
    keep = ~np.isin(solids.owner[hit], numbers)
    of, hit = of[keep], hit[keep]
    own = mine[of % len(mine)]
    keep = heights_meet(
        solids.low_mm[own], solids.high_mm[own], solids.low_mm[hit], solids.high_mm[hit]
    )
    of, hit = of[keep], hit[keep]
    met = shapely.intersects(cores[of], solids.cores[hit])
    free[of[met]] = False
    return np.asarray(free.reshape(len(shifts), len(mine)).all(axis=1))
