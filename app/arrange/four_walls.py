"""Try the four walls: where along each wall a station would stand best, judged and ranked."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app.arrange.better import burden
from app.arrange.effort import (
    FOUR_WALLS_STEPS,
    FULL,
    OFFER_GRID_MM,
    PLACES_JUDGED_AT_MOST,
    QUICK,
    work_of,
)
from app.arrange.tries import free_shifts, members, turned_about
from app.arrange.where_it_fits import costs
from app.budget import Budget
from app.checks.run import run
from app.model.kit import Pose
from app.placing.core import Core
from app.scene.build import Scene
from app.scene.free_floor import free_floor_m2
from app.scene.walls import WallShape
from app.units import QUARTER_TURN_DEG

Floats = NDArray[np.float64]

JUDGED_AT_A_WALL = 4
"""Places along one wall that go before the full judge: the core has ranked them."""
STARTS_FROM_A_WALL = 3
"""Distances from a wall that are tried: against it, and a step or two off it."""


@dataclass(frozen=True, slots=True)
class Place:
    """The best place of a station along one wall: new poses, and what would be wrong there.

    `free_m2` is the largest open floor that is left in one piece; `weight` is that of the cares
    together, as shares of what is wanted.
    """

    wall: str
    sentence: str
    poses: Mapping[str, Pose]
    stops: int
    cares: int
    free_m2: float
    weight: float = 0.0


def four_walls(scene: Scene, root: str, budget: Budget | None = None) -> tuple[Place, ...]:
    """Return the best place of a station with its back to each wall, the best wall first.

    A wall along which it cannot stand is left out. In a large plan fewer places are judged along
    each wall, as many along one as along the next. Raises KeyError for an unknown station.
    """
    budget = budget or Budget(FOUR_WALLS_STEPS)
    each = work_of(scene, QUICK + FULL)
    walls = max(len(scene.room.walls), 1)
    most = min(PLACES_JUDGED_AT_MOST, budget.left // (each * walls))
    core = Core.of(scene)
    places = [
        place
        for wall, name in zip(scene.room.walls, scene.fixed_names, strict=False)
        if (place := _best_along(scene, root, wall, name, most, budget, core)) is not None
    ]
    return tuple(sorted(places, key=lambda place: (place.stops, place.weight)))


def _best_along(
    scene: Scene,
    root: str,
    wall: WallShape,
    name: str,
    most: int,
    budget: Budget,
    core: Core,
) -> Place | None:
    placed = scene.placed[root]
    facing = math.degrees(math.atan2(wall.inward[1], wall.inward[0])) - QUARTER_TURN_DEG
    about = turned_about(scene, root, facing - placed.pose.angle_deg)
    turned = scene.moved(about)
    back = placed.extent.depth_mm / 2
    shifts = np.array(list(_shifts(turned, root, wall, back))).reshape(-1, 2)
    shifts = shifts[free_shifts(turned, root, shifts)] if len(shifts) else shifts
    best: tuple[tuple[int, float], Mapping[str, Pose], int] | None = None
    for dx, dy in _promising(core, root, about[root], shifts, most):
        poses: Mapping[str, Pose] = {
            piece_id: Pose.within(
                about[piece_id].x_mm + dx, about[piece_id].y_mm + dy, about[piece_id].angle_deg
            )
            for piece_id in members(scene, root)
        }
        there = scene.moved(poses)
        if best is not None:
            if not budget.allows(work_of(there, QUICK)):
                break
            # what the slow checks say besides never makes a place better
            if burden(run(there, full=False)) >= best[0]:
                continue
        if not budget.allows(work_of(there, FULL)):
            break
        after = run(there, weighed=True)
        cost = burden(after)
        if best is None or cost < best[0]:
            best = cost, poses, sum(snag.severity == "care" for snag in after)
    if best is None:
        if len(shifts):
            budget.leave_out(name)
        return None
    (stops, weight), poses, cares = best
    free_m2 = free_floor_m2(scene.moved(poses))
    sentence = f"At {name}: in the whole plan {costs(stops, cares, free_m2, scene.plan.units)}."
    return Place(wall.id, sentence, poses, stops, cares, free_m2, weight)


def _promising(core: Core, root: str, turned: Pose, shifts: Floats, most: int) -> list[list[float]]:
    """Return the shifts that are judged: what the core admits, by what it leaves short there.

    Where it admits none, some from all along the wall.
    """
    if not len(shifts):
        return []
    layout = core.layout(core.stations)
    points = shifts + np.array((turned.x_mm, turned.y_mm))
    free = np.flatnonzero(core.admits(root, turned.angle_deg, points, layout))
    few = min(most, JUDGED_AT_A_WALL)
    if not len(free):
        return list(_spread(shifts, few).tolist())
    short = core.shortfall(root, turned.angle_deg, points[free], layout)
    order = np.argsort(short.round(2), kind="stable")
    return list(shifts[free[order[:few]]].tolist())


def _shifts(
    scene: Scene, root: str, wall: WallShape, back_mm: float
) -> Iterator[tuple[float, float]]:
    """Yield the shifts that put the back of a turned station against a wall, or a little off."""
    x, y = scene.placed[root].at
    step = OFFER_GRID_MM
    ax, ay = wall.along
    ix, iy = wall.inward
    # what is made for a wall touches it
    few = 1 if scene.placed[root].kit.for_wall else STARTS_FROM_A_WALL
    offs = [back_mm + step * number for number in range(few)]
    for far in np.arange(0.0, math.dist(wall.start, wall.end) + step, step):
        sx, sy = wall.start[0] + ax * far, wall.start[1] + ay * far
        for off in offs:
            yield sx + ix * off - x, sy + iy * off - y


def _spread(shifts: Floats, most: int) -> Floats:
    """Thin places out evenly to as many as are judged."""
    if len(shifts) <= most:
        return shifts
    picked = np.linspace(0, len(shifts) - 1, most).round().astype(int)
    thinned: Floats = shifts[picked]
    return thinned
