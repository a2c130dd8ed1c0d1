"""Shifts that are tried of any station: rays, a grid over the room, and some spread over both."""

from __future__ import annotations

import math

import numpy as np
import shapely
from numpy.typing import NDArray

from app.arrange.effort import MESH_MM, RING_MM, RINGS, ROUNDING_MM
from app.checks.snag import Snag
from app.model.fronts import front_of
from app.scene.build import Scene
from app.scene.tolerance import HALF_MM, ROUNDING
from app.units import INCH_MM
from app.wording import Phrase, joined, phrase

Floats = NDArray[np.float64]
DIRECTIONS = 8
"""Rays along which moves are tried: along the walls, which people can measure, and between."""
ALIKE_DECIMALS = 6
"""Decimals of a mm to which distances of shifts are told apart: less is what a turn leaves over."""
FAR_MM = (50, 100, 200, 300, 450, 650, 750, 1000, 1300, 1700, 2200, 3000)
"""Distances of shifts for findings that only the full judge sees, such as ways on foot."""


def to_try(scene: Scene, root: str) -> Floats:
    """Return shifts in mm, (n, 2), the smallest first: eight rays and a grid over the room."""
    ring = RING_MM
    count = RINGS
    ways = directions(scene)
    # whole steps along and across the walls: a slanting one is as much longer
    ways[DIRECTIONS // 2 :] *= math.sqrt(2)
    rays = np.arange(1, count + 1)[:, None, None] * ring * ways[None, :, :]
    # along the walls as well: a room that is turned has the same places
    axes = axes_of(ways)
    wide, deep = np.ptp(shapely.get_coordinates(scene.room.free) @ axes.T, axis=0)
    mesh = MESH_MM
    across, down = (
        np.arange(-n, n + 1) * mesh
        for n in (math.ceil(size / mesh - ROUNDING) for size in (wide, deep))
    )
    us, vs = np.meshgrid(across, down)
    grid = np.stack([us.ravel(), vs.ravel()], axis=1)
    every = np.vstack([rays.reshape(-1, 2), grid[(grid != 0).any(axis=1)] @ axes])
    far = np.hypot(every[:, 0], every[:, 1]).round(ALIKE_DECIMALS)
    ordered: Floats = every[np.argsort(far, kind="stable")]
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


def within(shifts: Floats, far_mm: float) -> Floats:
    """Return shifts of no more than so many mm."""
    some: Floats = shifts[np.hypot(shifts[:, 0], shifts[:, 1]) <= far_mm + ROUNDING]
    return some


def far_enough_first(shifts: Floats, snag: Snag) -> Floats:
    """Return shifts, those first that are no shorter than what is missing: no other can clear."""
    if snag.unit != "mm" or snag.measured is None or snag.required is None:
        return shifts
    missing = abs(snag.required - snag.measured)
    short = np.hypot(shifts[:, 0], shifts[:, 1]) < missing - ROUNDING_MM
    ordered: Floats = shifts[np.argsort(short, kind="stable")]
    return ordered


def best_first(shifts: Floats, short: Floats) -> Floats:
    """Sort shifts by what they leave short, in steps too small to matter, then the smallest."""
    far = np.hypot(shifts[:, 0], shifts[:, 1])
    ordered: Floats = shifts[np.lexsort((far, short.round(1)))]
    return ordered


def taped(shifts: Floats, directions: Floats) -> Floats:
    """Return how much there is to measure of shifts, along and across the first of some directions.

    Without directions it is how far each goes.
    """
    if not len(directions):
        return np.hypot(shifts[:, 0], shifts[:, 1])
    # of a room that is turned by rounding no less than of one that is not
    lengths: Floats = np.abs(shifts @ axes_of(directions).T).sum(axis=1).round(1)
    return lengths


def axes_of(directions: Floats) -> Floats:
    """Return unit vectors along the first of some directions and across it, (2, 2)."""
    ux, uy = directions[0]
    return np.array(((ux, uy), (-uy, ux)))


def step_mm(scene: Scene) -> float:
    """Return the step in which a move is told: whole on the household's own tape."""
    feet = scene.plan.units == "feet"
    return float(INCH_MM / 2) if feet else ROUNDING_MM


def shift_words(scene: Scene, dx: float, dy: float) -> Phrase:
    """Say a shift as one sees it from the door: "270 right", "120 left and 400 to the back"."""
    near = step_mm(scene) / 2
    ways = front_of(scene.plan).words(dx, dy)
    parts = [phrase("{:bare} {}", length, word) for length, word in ways if length >= near]
    if not parts and max(ways)[0] >= HALF_MM:
        # less than a tape shows: where to is all there is to say
        return phrase("a hair {}", max(ways)[1])
    return joined(" and ", parts)
