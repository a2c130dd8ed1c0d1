"""Shifts that are tried of any station: rays, a grid over the room, and some spread over both."""

from __future__ import annotations

import math

import numpy as np
from numpy.typing import NDArray

from app.arrange.effort import MESH_MM, RING_MM, RINGS
from app.scene.build import Scene

Floats = NDArray[np.float64]
DIRECTIONS = 8
"""Rays along which moves are tried: along the walls, which people can measure, and between."""
FAR_MM = (50, 100, 200, 300, 450, 650, 750, 1000, 1300, 1700, 2200, 3000)
"""Distances of shifts for findings that only the full judge sees, such as ways on foot."""


def to_try(scene: Scene, root: str) -> Floats:
    """Return shifts in mm, (n, 2), the smallest first: eight rays and a grid over the room."""
    ring = RING_MM
    count = RINGS
    rays = np.arange(1, count + 1)[:, None, None] * ring * directions(scene)[None, :, :]
    x0, y0, x1, y1 = scene.room.free.bounds
    mesh = MESH_MM
    across = np.arange(-np.ceil((x1 - x0) / mesh), np.ceil((x1 - x0) / mesh) + 1) * mesh
    down = np.arange(-np.ceil((y1 - y0) / mesh), np.ceil((y1 - y0) / mesh) + 1) * mesh
    xs, ys = np.meshgrid(across, down)
    grid = np.stack([xs.ravel(), ys.ravel()], axis=1)
    every = np.vstack([rays.reshape(-1, 2), grid[(grid != 0).any(axis=1)]])
    ordered: Floats = every[np.argsort(np.hypot(every[:, 0], every[:, 1]), kind="stable")]
    return ordered


def directions(scene: Scene) -> Floats:
    """Return eight unit vectors: along and across the longest wall and between; straight first."""
    # People measure from walls, and most rooms are square to their longest.
    longest = max(scene.room.walls, key=lambda wall: math.dist(wall.start, wall.end))
    base = math.atan2(longest.along[1], longest.along[0])
    count = DIRECTIONS
    order = [*range(0, count, 2), *range(1, count, 2)]
    angles = [base + 2 * math.pi * i / count for i in order]
    return np.array([[math.cos(angle), math.sin(angle)] for angle in angles])


def spread(ways: Floats, directions: Floats) -> Floats:
    """Thin shifts out to those nearest to some distances in each direction, the smallest first."""
    if not len(ways):
        return ways
    wished = np.array(FAR_MM)[:, None, None] * directions[None, :, :]
    apart = np.linalg.norm(wished.reshape(-1, 1, 2) - ways[None, :, :], axis=2)
    nearest = apart.argmin(axis=1)
    # what lies half way to the next distance stands for none
    near = apart[np.arange(len(nearest)), nearest] <= MESH_MM
    picked: Floats = ways[np.unique(nearest[near])]
    return picked
