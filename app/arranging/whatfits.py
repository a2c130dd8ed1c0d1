"""What fits into a room as it stands: every kit type with its use, and the largest of each kind."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from app.arrange.joining import usual_bar, ways_in
from app.arrange.places import asked_behind_mm
from app.arranging.open_floor import OpenFloor, open_floor
from app.arranging.shares import spread
from app.arranging.standing import is_carrier, is_floor
from app.budget import Budget
from app.changes.commands import adds, apply
from app.checks.headroom import person_name
from app.checks.run import run
from app.checks.snag import Snag
from app.library.kit import KitType, kit_types
from app.library.own import kits_of
from app.model.kit import Piece, Pose
from app.model.phases import without
from app.model.plan import Plan
from app.model.situations import OUT
from app.placing.core import Core
from app.published.register import overridden
from app.scene.build import Placed, Scene, build_scene
from app.scene.shapes import turned_points
from app.scene.tolerance import TOLERANCE_MM

NEW = "would-fit"
NEW_BAR = "would-fit-bar"
PLACES = 150
"""Places of each kit type that are asked, beside the corners of what is free: a step apart."""
Spot = tuple[float, float]
Floats = NDArray[np.float64]
PLACES_OVER = 9
"""Places each way at which a thing is tried over a spot: an eighth of its size apart."""
ALL_OF_IT = 1e-3
"""Share of what is wanted that may be lacking where a use is full: less than a millimetre."""
ONE_SPACE = 1.0
"""What may be lacking where a use is tight: in all as much as one space that is wholly taken."""
NOT_BOUGHT = "Of the house"
RACKS = "Racks"
MIDDLE = Pose(x_mm=0, y_mm=0)


@dataclass(frozen=True, slots=True)
class Fit:
    """Whether a kit type fits beside what stands there.

    `use` is "full" with all the room it asks for, "tight" with a little less, "crowded" where it
    stands but is hardly used, "none" where there is no place. `people` can use it there by height;
    `lacking` is the sum of what is missing, in shares.
    """

    kit: KitType
    use: str
    pose: Pose | None
    people: tuple[str, ...]
    lacking: float


@dataclass(frozen=True, slots=True)
class ForRack:
    """Which bars and which benches can be used in a rack where it stands.

    Each in place of what is in it, without a stop that is not there now.
    """

    name: str
    bars: tuple[KitType, ...]
    benches: tuple[KitType, ...]


@dataclass(frozen=True, slots=True)
class Fits:
    """All that fits: the kit types in the order of the library, and the largest of three kinds.

    `racks` are those that stand, with what fits each.
    """

    kit: tuple[Fit, ...]
    tallest_rack_mm: float | None
    longest_bar: KitType | None
    mat: OpenFloor | None
    racks: tuple[ForRack, ...] = ()


def fits(plan: Plan, spot: Spot | None = None, budget: Budget | None = None) -> Fits:
    """Return what fits into a room beside all that is on the plan.

    With a `spot`, a place in mm of the room, only what can stand over it; the largest of each kind
    are of the whole room all the same. A budget has a step for each type; what it does not reach
    is not among the answers.
    """
    with overridden({one.id: one.value for one in plan.overrides}):
        scene = build_scene(plan)
        return Fits(
            _each(scene, spot, budget),
            _tallest_rack(scene),
            _longest_bar(scene),
            open_floor(scene),
            tuple(for_racks(scene)),
        )


@dataclass(frozen=True, slots=True)
class AtSpot:
    """What can stand over a spot of a room: each kit type, and how high it is there.

    `clear_mm` is None beyond the walls; `taken` names what stands there already.
    """

    spot: Spot
    kit: tuple[Fit, ...]
    clear_mm: float | None
    taken: tuple[str, ...] = ()


def at_spot(plan: Plan, spot: Spot, budget: Budget | None = None) -> AtSpot:
    """Return what fits over a spot, a place in mm of the room; nothing where one cannot stand."""
    with overridden({one.id: one.value for one in plan.overrides}):
        scene = build_scene(plan)
        point = shapely.Point(spot)
        if not scene.room.free.covers(point):
            return AtSpot(spot, (), None)
        taken = tuple(
            placed.name
            for placed in scene.order
            if is_carrier(placed) and placed.footprint.covers(point)
        )
        heights, _ = scene.room.shut.clear(np.array([point.buffer(TOLERANCE_MM)], dtype=object))
        clear_mm = float(heights[0]) - plan.room.floor.covering.thickness_mm
        return AtSpot(spot, _each(scene, spot, budget), clear_mm, taken)


def _each(scene: Scene, spot: Spot | None, budget: Budget | None) -> tuple[Fit, ...]:
    """Return how each kit type fits into a scene, in the order of the library."""
    kits = [
        kit
        for kit in kit_types().values()
        if kit.group != NOT_BOUGHT and (kit.bar is None or kit.rests) and kit.solids
    ]
    known = {s.key for s in run(scene) if s.severity == "stop"}
    budget = budget or Budget(len(kits))
    return tuple(_fit(scene, kit, known, spot) for kit in kits if budget.allows())


def _fit(scene: Scene, kit: KitType, known: set[str], spot: Spot | None) -> Fit:
    piece = Piece(id=NEW, type=kit.key, pose=MIDDLE)
    best: tuple[float, Pose] | None = None
    for with_it in _with_bars(scene, [piece]):
        best = _best_place(with_it, spot)
        if best is not None:
            break
    if best is None:
        return Fit(kit, "none", None, (), 1.0)
    lacking, pose = best
    here = build_scene(apply(scene.plan, adds([Piece(id=NEW, type=kit.key, pose=pose)])))
    verdict = run(here)
    if any(s.severity == "stop" and s.hangs_on_place and s.key not in known for s in verdict):
        return Fit(kit, "none", None, (), 1.0)
    use = "full" if lacking <= ALL_OF_IT else "tight" if lacking <= ONE_SPACE else "crowded"
    return Fit(kit, use, pose, _people(here, verdict), lacking)


def _with_bars(scene: Scene, pieces: Sequence[Piece]) -> Iterator[Scene]:
    """Yield the scene with a new piece; a rack with its usual bar on each pair of hooks first."""
    alone = build_scene(apply(scene.plan, adds(list(pieces))))
    usual = usual_bar(alone, alone.placed[NEW])
    for pose in usual[1] if usual else ():
        bar = Piece(id=NEW_BAR, type=usual[0].key, pose=pose, carried_by=NEW) if usual else None
        if bar is not None:
            yield build_scene(apply(scene.plan, adds([*pieces, bar])))
    if not usual:
        yield alone


def _best_place(scene: Scene, spot: Spot | None = None) -> tuple[float, Pose] | None:
    """Return the place of the new piece at which least is lacking, and how much.

    With a `spot` it stands over that.
    """
    core = Core.of(scene)
    layout = core.layout([root for root in core.free if root != NEW])
    best: tuple[float, Pose] | None = None
    points = spread(scene, PLACES)
    for turn in core.turns(NEW):
        # what is in something solid wherever it is over the spot need not be asked of the core
        beside = points if spot is None else _free_over(scene, turn, spot)
        if not len(beside):
            continue
        corners = np.asarray(core.free_points(NEW, turn, layout)).reshape(-1, 2)
        if spot is not None:
            corners = _over(scene, turn, corners, spot)
        every = np.concatenate([corners, beside])
        free = every[core.admits(NEW, turn, every, layout)]
        if not len(free):
            continue
        lacks = core.shortfall(NEW, turn, free, layout)
        k = int(np.argmin(lacks))
        if best is None or lacks[k] < best[0] - ALL_OF_IT:
            pose = Pose(x_mm=float(free[k, 0]), y_mm=float(free[k, 1]), angle_deg=turn)
            best = float(lacks[k]), pose
        if best[0] <= ALL_OF_IT:
            break
    return best


def _free_over(scene: Scene, turn_deg: float, spot: Spot) -> Floats:
    """Return the places of the new piece at which it stands over a spot, free of what is solid.

    Some beside one another, and those where it touches a wall or a piece, or is as far off as it
    asks for behind it.
    """
    placed = scene.placed[NEW]
    half = np.array([placed.extent.width_mm, placed.extent.depth_mm]) / 2
    here = turned_points(np.array([spot]), -turn_deg)[0]
    outlines = [scene.room.free, *(p.footprint for p in scene.order if p is not placed)]
    local = [turned_points(shapely.get_coordinates(one), -turn_deg) for one in outlines]
    lines = np.concatenate([local[0], *(np.stack([x.min(0), x.max(0)]) for x in local[1:])])
    behind_mm = asked_behind_mm(placed)
    mesh = here + np.linspace(-1.0, 1.0, PLACES_OVER)[:, None] * half
    axes = []
    for axis, off in ((0, 0.0), (1, behind_mm)):
        touching = [lines[:, axis] + half[axis] + off, lines[:, axis] - half[axis]]
        every = np.unique(np.concatenate([mesh[:, axis], *touching]).round(2))
        axes.append(every[np.abs(every - here[axis]) <= half[axis] + TOLERANCE_MM])
    points = np.stack(np.meshgrid(*axes), axis=2).reshape(-1, 2)
    over = _over(scene, turn_deg, turned_points(points, turn_deg), spot)
    # a mat may lie under what stands there: the core knows what
    return over if is_floor(placed) else over[_stands(scene, placed, turn_deg, over)]


def _over(scene: Scene, turn_deg: float, points: Floats, spot: Spot) -> Floats:
    """Return those of some places at which the outline of the new piece is over a spot."""
    placed = scene.placed[NEW]
    outline = placed.shape.footprint.buffer(TOLERANCE_MM)
    away = turned_points(np.array(spot) - points, placed.pose.angle_deg - turn_deg)
    over: Floats = points[shapely.contains_xy(outline, away[:, 0], away[:, 1])]
    return over


def _stands(scene: Scene, placed: Placed, turn_deg: float, points: Floats) -> NDArray[np.bool_]:
    """Return at which places a piece is in the room and in nothing solid, whatever it asks for."""
    by = turn_deg - placed.pose.angle_deg
    own = [number for number, one in enumerate(scene.order) if one.root == placed.root]
    free = np.ones(len(points), dtype=bool)
    for core, low_mm, high_mm in zip(
        placed.shape.cores, placed.shape.low_mm, placed.shape.high_mm, strict=True
    ):
        left = np.flatnonzero(free)
        ring = turned_points(shapely.get_coordinates(core.exterior), by)
        parts = np.asarray(shapely.polygons(points[left][:, None, :] + ring[None]), dtype=object)
        inside = np.asarray(shapely.covers(scene.room.within, parts), dtype=bool)
        of, hit = scene.tree.query(parts)
        solids = scene.solids
        low, high = low_mm + placed.lift_mm, high_mm + placed.lift_mm
        met = np.minimum(solids.high_mm[hit], high) - np.maximum(solids.low_mm[hit], low)
        others = (met > TOLERANCE_MM) & ~np.isin(solids.owner[hit], own)
        of, hit = of[others], hit[others]
        inside[of[shapely.intersects(parts[of], solids.cores[hit])]] = False
        free[left] = inside
    return free


def _people(scene: Scene, verdict: Sequence[Snag]) -> tuple[str, ...]:
    """Return those who hit nothing in any movement that they want at the new piece."""
    low = {
        snag.person
        for snag in verdict
        if snag.lacks == "height" and snag.severity == "stop" and NEW in snag.pieces
    }
    units = scene.plan.units
    return tuple(person_name(p, units) for p in scene.plan.people if p.id not in low)


def for_racks(scene: Scene) -> Iterator[ForRack]:
    """Yield for each rack that stands the bars and benches that can be used in it."""
    for host in scene.order:
        if host.kit.group != RACKS or host.root != host.piece.id or host.piece.state == OUT:
            continue
        fitting: dict[bool, list[KitType]] = {True: [], False: []}
        for kit in kits_of(scene.plan).values():
            if any(_goes_in(scene, host, kit, pose) for pose in ways_in(host, kit)):
                fitting[kit.bar is not None].append(kit)
        yield ForRack(host.name, tuple(fitting[True]), tuple(fitting[False]))


def _goes_in(scene: Scene, host: Placed, kit: KitType, pose: Pose) -> bool:
    """Return whether a bar or bench in a rack brings no stop that its place has to do with.

    What the rack holds of the same kind is taken out first.
    """
    mates = scene.stations[host.piece.id]
    instead = {
        mate.piece.id
        for mate in mates
        if mate is not host
        and (mate.kit.bar is not None) == (kit.bar is not None)
        and mate.kit.group == kit.group
    }
    rest = without(scene.plan, instead)
    known = {s.key for s in run(build_scene(rest)) if s.severity == "stop"}
    piece = Piece(id=NEW, type=kit.key, pose=pose, carried_by=host.piece.id)
    verdict = run(build_scene(apply(rest, adds([piece]))))
    return not any(
        s.severity == "stop" and s.hangs_on_place and s.key not in known and NEW in s.pieces
        for s in verdict
    )


def _tallest_rack(scene: Scene) -> float | None:
    """Return how tall a rack can be at the best of the places where one can stand."""
    lowest = min(
        (kit for kit in kit_types().values() if kit.group == RACKS and kit.fixing == "bolt"),
        key=lambda kit: kit.height_mm,
    )
    piece = Piece(id=NEW, type=lowest.key, pose=MIDDLE)
    with_it = build_scene(apply(scene.plan, adds([piece])))
    core = Core.of(with_it)
    layout = core.layout([root for root in core.free if root != NEW])
    tallest: float | None = None
    outline = with_it.placed[NEW].footprint
    for turn in core.turns(NEW):
        every = np.concatenate(
            [
                np.asarray(core.free_points(NEW, turn, layout)).reshape(-1, 2),
                spread(with_it, PLACES),
            ]
        )
        free = every[core.admits(NEW, turn, every, layout)]
        if not len(free):
            continue
        turned = shapely.affinity.rotate(outline, turn, origin=(0, 0))
        areas = np.array([shapely.affinity.translate(turned, x, y) for x, y in free], dtype=object)
        clear, _ = scene.room.shut.clear(areas)
        top = float(np.max(clear)) - scene.plan.room.floor.covering.thickness_mm
        tallest = top if tallest is None else max(tallest, top)
    return tallest


def _longest_bar(scene: Scene) -> KitType | None:
    """Return the longest bar of the library that has a place on a rack, with room at its ends."""
    kits = kit_types()
    racks = [kit for kit in kits.values() if kit.group == RACKS and kit.fixing == "bolt"]
    rack = min(racks, key=lambda kit: kit.height_mm)
    bars = sorted(
        (kit for kit in kits.values() if kit.bar is not None and not kit.rests),
        key=lambda kit: -kit.width_mm,
    )
    piece = Piece(id=NEW, type=rack.key, pose=MIDDLE)
    alone = build_scene(apply(scene.plan, adds([piece])))
    usual = usual_bar(alone, alone.placed[NEW])
    if usual is None:
        return None
    for kit in bars:
        if kit.bar is None or usual[0].bar is None or kit.bar.shaft_mm < usual[0].bar.shaft_mm:
            continue
        for pose in usual[1]:
            bar = Piece(id=NEW_BAR, type=kit.key, pose=pose, carried_by=NEW)
            if _best_place(build_scene(apply(scene.plan, adds([piece, bar])))) is not None:
                return kit
    return None
