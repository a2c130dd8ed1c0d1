"""Where does it fit: places far from one another for a new thing, and what each costs in room."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from functools import partial

import shapely

from app.arrange.effort import FULL, OFFER_GRID_MM, OFFER_STEPS, work_of
from app.arrange.offer import (
    IN_THE_MIDDLE,
    NEW,
    by_promise,
    newly,
    offered_in,
    stops_with_bar,
    tallest_mm,
)
from app.arrange.places import Place, all_over, asked_behind_mm, free_poses, off_doors, wall_poses
from app.budget import Budget
from app.checks.run import run
from app.library.own import kits_of
from app.model.kit import Pose
from app.placing.core import Core
from app.scene.build import Scene
from app.scene.free_floor import free_floor_m2
from app.scene.shapes import turn
from app.scene.tolerance import TOLERANCE_MM, falls_short
from app.units import Units
from app.wording import area_words

SHOWN_AT_MOST = 5
"""Places that are shown: with more their outlines lie over one another in a room."""
OFF_THE_WALLS = "Off the walls"
JUDGED_AT_MOST = 8
"""Places that go before the full judge while a hand waits."""


@dataclass(frozen=True, slots=True)
class Spot:
    """One place for a new thing: where that is in words, and what is new to mind there.

    `stops` includes those of the usual bar of a rack; `free_m2` is the largest open floor that is
    left in one piece.
    """

    pose: Pose
    where: str
    stops: int
    cares: int
    free_m2: float
    weight: float = 0.0

    def sentence(self, units: Units) -> str:
        """Return the place and what it costs: "At the left wall: nothing in its way; ..."."""
        return f"{self.where}: {costs(self.stops, self.cares, self.free_m2, units)}."


def costs(stops: int, cares: int, free_m2: float, units: Units) -> str:
    """Say what a place costs: how much is wrong there, and the open floor that is left."""
    counts = [
        f"{count} {word}{'' if count == 1 else 's'}"
        for count, word in ((stops, "stop"), (cares, "care"))
        if count
    ]
    new = " and ".join(counts)
    return f"{new or 'nothing in its way'}; {area_words(free_m2, units)} of open floor left"


def where_it_fits(
    scene: Scene,
    sizes_mm: tuple[float, float, float],
    type_key: str | None = None,
    budget: Budget | None = None,
) -> tuple[Spot, ...]:
    """Return places for a box of a width, depth and height, or a kit type of these sizes.

    The best comes first: with the fewest stops, then the least to mind, a place in the middle of
    the room counting as much, then the most open floor.
    Any two are farther apart than the thing is long, or face another way. Where places without a
    stop were found, none with one is told.
    """
    budget = budget or Budget(OFFER_STEPS)
    width_mm, depth_mm, height_mm = sizes_mm
    if falls_short(tallest_mm(scene), height_mm):
        return ()
    kit = kits_of(scene.plan).get(type_key or "")
    lift = scene.plan.room.floor.covering.thickness_mm
    with_it = offered_in(scene, sizes_mm, type_key)
    behind_mm = asked_behind_mm(with_it.placed[NEW])
    walled = kit is not None and kit.for_wall
    poses = wall_poses if walled else partial(free_poses, behind_mm=behind_mm)
    places = poses(scene, width_mm, depth_mm, lift, lift + height_mm)
    if not places or not budget.allows(work_of(scene, FULL) + len(places)):
        return ()
    before = run(scene)
    spots: list[Spot] = []
    for x, y, angle in _apart(scene, with_it, places, (width_mm, depth_mm)):
        pose = Pose(x_mm=x, y_mm=y, angle_deg=angle)
        there = with_it.moved({NEW: pose})
        if not budget.allows(work_of(there, FULL)):
            budget.leave_out("places on the floor")
            break
        stops, _, cares, _, weight = newly(before, run(there))
        with_bar = stops_with_bar(before, there, pose, budget) if not stops else 0
        stops += with_bar or 0
        where = _where(there, pose, depth_mm)
        spots.append(Spot(pose, where, stops, cares, free_m2=free_floor_m2(there), weight=weight))
    spots.sort(key=_rank)
    good = [spot for spot in spots if not spot.stops]
    return tuple((good or spots)[:SHOWN_AT_MOST])


def _rank(spot: Spot) -> tuple[int, float, bool, float]:
    off = spot.where == OFF_THE_WALLS
    return spot.stops, spot.weight + IN_THE_MIDDLE * off, off, -round(spot.free_m2, 1)


def _apart(
    scene: Scene, with_it: Scene, places: Sequence[Place], sizes_mm: tuple[float, float]
) -> list[Place]:
    """Return the places to judge: the most promising, off doors first, none beside another."""
    core = Core.of(with_it)
    clear = off_doors(scene, places, *sizes_mm, ways_in=True)
    known = set(clear)
    ranked = [*by_promise(core, clear), *by_promise(core, [p for p in places if p not in known])]
    far = max(sizes_mm)
    picked: list[Place] = []
    for place in ranked or all_over(places, JUDGED_AT_MOST):
        if all(math.dist(place[:2], other[:2]) >= far for other in picked):
            picked.append(place)
        if len(picked) == JUDGED_AT_MOST:
            break
    return picked


def _where(scene: Scene, pose: Pose, depth_mm: float) -> str:
    """Say where the offered piece is: at the wall behind its back, else at the nearest one."""
    walls = list(zip(scene.room.walls, scene.fixed_names, strict=False))
    near_mm = max(OFFER_GRID_MM, asked_behind_mm(scene.placed[NEW]) + TOLERANCE_MM)
    lines = [shapely.LineString((wall.start, wall.end)) for wall, _ in walls]
    dx, dy = turn(0.0, -depth_mm / 2, pose.angle_deg)
    back = shapely.Point(pose.x_mm + dx, pose.y_mm + dy)
    for part in (back, scene.placed[NEW].footprint):
        away = shapely.distance(lines, part)
        nearest = int(away.argmin())
        if away[nearest] <= near_mm:
            return f"At {walls[nearest][1]}"
    return OFF_THE_WALLS
