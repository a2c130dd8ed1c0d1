"""Where a station of a starter set stands: found by the judge, where nothing new is a stop."""

from __future__ import annotations

import math
from collections.abc import Iterator

import shapely
from shapely.geometry.base import BaseGeometry

from app.arrange.effort import FULL, PLACES_JUDGED_AT_MOST, QUICK, work_of
from app.arrange.places import all_over, free_poses, off_doors, wall_poses
from app.budget import Budget
from app.changes.commands import adds, apply
from app.checks.run import run
from app.checks.snag import Snag
from app.library.anchors import Extent, place
from app.library.kit import KitType, kit_types
from app.library.starters import Carried, Station
from app.model.kit import Piece, Pose
from app.model.plan import Plan
from app.model.room_walls import fresh_id
from app.scene.build import Scene, build_scene
from app.scene.shapes import turn
from app.units import MM_PER_M
from app.wording import Phrase, phrase

Cost = tuple[int, int, float]
NOT_JUDGED = phrase("the plan is too large to judge a place for it in time")
_MM2_PER_M2 = MM_PER_M**2


def find_place(
    plan: Plan, station: Station, key: str, budget: Budget
) -> tuple[Piece, ...] | Phrase:
    """Return the pieces of a station at the best place that was judged, or why there is none."""
    scene = build_scene(plan)
    kit = kit_types()[key]
    x0, y0, x1, y1 = _box(station, kit)
    middle = (x0 + x1) / 2, (y0 + y1) / 2
    lift = plan.room.floor.covering.thickness_mm
    free = wall_poses if kit.for_wall else free_poses
    every = free(scene, x1 - x0, y1 - y0, lift, lift + kit.height_mm)
    if not every and kit.for_wall:
        return phrase("no wall has {:bare} x {:mm} free for its back", x1 - x0, y1 - y0)
    if not every:
        return phrase("no free floor of {:bare} x {:mm} under its height", x1 - x0, y1 - y0)
    places = all_over(off_doors(scene, every, x1 - x0, y1 - y0), PLACES_JUDGED_AT_MOST)
    if not places:
        return phrase("the only free floor for it is where a door swings")
    names = piece_ids(plan, station, key)
    there = build_scene(
        apply(plan, adds(station_pieces(station, kit, names, Pose(x_mm=0, y_mm=0))))
    )
    if not budget.allows(work_of(scene, FULL)):
        return NOT_JUDGED
    known = {about(snag) for snag in run(scene)}
    others = shapely.union_all([other.footprint for other in scene.order])
    tried: list[tuple[Cost, int, Pose]] = []
    for number, (x, y, angle) in enumerate(places):
        dx, dy = turn(*middle, angle)
        pose = Pose(x_mm=x - dx, y_mm=y - dy, angle_deg=angle)
        if not budget.allows(work_of(there, QUICK)):
            break
        cost = _cost(_at(there, station, kit, names, pose), known, names[0], others, full=False)
        tried.append((cost, number, pose))
    # the ways on foot take long to judge: first comes what is best without them
    best: tuple[Cost, Pose] | None = None
    in_turn = sorted(tried, key=lambda one: one[:2])
    for cheap, _, pose in in_turn:
        if cheap[0] or (best is not None and best[0] <= cheap):
            break
        if not budget.allows(work_of(there, FULL)):
            break
        cost = _cost(_at(there, station, kit, names, pose), known, names[0], others, full=True)
        if not cost[0] and (best is None or cost < best[0]):
            best = cost, pose
    if best is None and not budget.allows(work_of(there, FULL)):
        return NOT_JUDGED
    if best is None:
        first = _at(there, station, kit, names, in_turn[0][2])
        new = [one for one in run(first) if one.severity == "stop" and about(one) not in known]
        return phrase("no place without a stop; at the best of them: {}", new[0].wording)
    return station_pieces(station, kit, names, best[1])


def _at(scene: Scene, station: Station, kit: KitType, names: tuple[str, ...], pose: Pose) -> Scene:
    moved = station_pieces(station, kit, names, pose)
    return scene.moved({piece.id: piece.pose for piece in moved})


def _cost(
    scene: Scene, known: set[tuple[object, ...]], mine: str, others: BaseGeometry, full: bool
) -> Cost:
    """Count new stops and cares, and measure what lies on the floor of others, in square metres.

    A mat may lie where somebody skips, but need not.
    """
    new = [snag.severity for snag in run(scene, full) if about(snag) not in known]
    shared = scene.placed[mine].footprint.intersection(others).area / _MM2_PER_M2
    return new.count("stop"), new.count("care"), round(shared, 1)


def about(snag: Snag) -> tuple[object, ...]:
    """Return what a snag is about: what nobody can do here stays one thing wherever it is tried."""
    if snag.person is not None and snag.movement is not None:
        return snag.severity, snag.code, snag.person, snag.movement
    return (snag.severity, snag.key)


def piece_ids(plan: Plan, station: Station, key: str) -> tuple[str, ...]:
    """Return new ids for the pieces of a station whose carrier is of a type, the carrier first."""
    taken = {piece.id for piece in plan.pieces}
    names = []
    for kind in station.types(key):
        names.append(fresh_id(kind, taken))
        taken.add(names[-1])
    return tuple(names)


def station_pieces(
    station: Station, kit: KitType, names: tuple[str, ...], pose: Pose
) -> tuple[Piece, ...]:
    """Return the pieces of a station with its carrier, of a kit type, at a pose."""
    carrier = Piece(id=names[0], type=kit.key, pose=pose)
    extent = _extent(kit)
    rest = [
        Piece(
            id=name,
            type=carried.type,
            pose=_on(pose, carried, extent),
            carried_by=carrier.id,
            plate_mm=carried.plate_mm,
        )
        for name, carried in zip(names[1:], station.carries, strict=True)
    ]
    return (carrier, *rest)


def _on(pose: Pose, carried: Carried, extent: Extent) -> Pose:
    dx, dy = turn(0.0, place(carried.y, extent), pose.angle_deg)
    return Pose(
        x_mm=pose.x_mm + dx, y_mm=pose.y_mm + dy, angle_deg=pose.angle_deg + carried.angle_deg
    )


def _box(station: Station, kit: KitType) -> tuple[float, float, float, float]:
    """Return the box of a station in the frame of its carrier: least and greatest x and y in mm.

    The room that the carrier needs behind it is within.
    """
    extent = _extent(kit)
    boxes = [(0.0, extent.width_mm, extent.depth_mm), *_carried_boxes(station, extent)]
    half_width = max(width for _, width, _ in boxes) / 2
    behind = [space.recommended_mm for space in kit.spaces if space.side == "back"]
    return (
        -half_width,
        min(
            -extent.depth_mm / 2 - max(behind, default=0.0),
            *(y - depth / 2 for y, _, depth in boxes),
        ),
        half_width,
        max(y + depth / 2 for y, _, depth in boxes),
    )


def _carried_boxes(station: Station, extent: Extent) -> Iterator[tuple[float, float, float]]:
    """Yield where the middle of each carried piece is, its width and its depth as it lies."""
    for carried in station.carries:
        kit = kit_types()[carried.type]
        angle = math.radians(carried.angle_deg)
        cos, sin = abs(math.cos(angle)), abs(math.sin(angle))
        yield (
            place(carried.y, extent),
            kit.width_mm * cos + kit.depth_mm * sin,
            kit.width_mm * sin + kit.depth_mm * cos,
        )


def _extent(kit: KitType) -> Extent:
    return Extent(kit.width_mm, kit.depth_mm, kit.height_mm)
