"""Where a new bar or bench goes that is used in a rack: on its hooks, or to its pressing place."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass

from app.arrange.better import burden
from app.arrange.effort import FULL, OFFER_STEPS, work_of
from app.budget import Budget
from app.changes.commands import adds, apply
from app.checks.bars import rest_pose
from app.checks.between_posts import inside_mm
from app.checks.run import run
from app.library.anchors import place
from app.library.kit import BarRest, KitType, kit_types
from app.library.own import kits_of
from app.library.starters import starter_sets
from app.model.kit import Piece, Pose
from app.published.register import published
from app.scene.build import Placed, Scene, build_scene
from app.scene.shapes import turn
from app.scene.tolerance import falls_short

_RACKS = "Racks"
_BENCHES = "Benches"
_NEW = "joining"


@dataclass(frozen=True, slots=True)
class Joined:
    """The rack that a new piece is used with, and its pose there."""

    host: str
    pose: Pose


def joined(
    scene: Scene, type_key: str, chosen: str | None = None, budget: Budget | None = None
) -> Joined | None:
    """Return the place of a new bar or bench in the chosen rack, or in the only one that is free.

    Of the hooks of a rack those at which the judge finds least, as far as the budget goes; the
    first where none was judged. None for any other kit, where no rack is free for it, and where
    several are and none of them is chosen.
    """
    kit = kits_of(scene.plan)[type_key]
    if kit.rests or (kit.bar is None and kit.group != _BENCHES):
        return None
    free = [host for host in scene.order if _free(scene, host, kit)]
    mine = [host for host in free if host.piece.id == _root(scene, chosen)]
    if len(mine or free) != 1:
        return None
    (host,) = mine or free
    poses = _on_hooks(host, kit) if kit.bar else _pressing(host)
    ways = [Joined(host.piece.id, pose) for pose in poses]
    if len(ways) < 2:
        return ways[0] if ways else None
    budget = budget or Budget(OFFER_STEPS)
    best: tuple[tuple[int, float], Joined] | None = None
    for number, way in enumerate(ways):
        weight = _weight(scene, type_key, way, budget)
        if weight is None:
            budget.leave_out(f"{len(ways) - number} of {len(ways)} hooks")
            break
        if best is None or weight < best[0]:
            best = weight, way
    return ways[0] if best is None else best[1]


def usual_bar(scene: Scene, host: Placed) -> tuple[KitType, tuple[Pose, ...]] | None:
    """Return the bar that a rack is used with and how it lies on each pair of its hooks.

    It is the first bar of the library that the hooks take; None for what takes no bar.
    """
    if host.kit.group != _RACKS:
        return None
    for kit in kits_of(scene.plan).values():
        poses = tuple(_on_hooks(host, kit)) if kit.bar and not kit.rests else ()
        if poses:
            return kit, poses
    return None


def ways_in(host: Placed, kit: KitType) -> tuple[Pose, ...]:
    """Return how a bar lies on each pair of hooks of a rack, or a bench stands in it.

    Whatever is there already. Nothing for a bench that is wider than the rack inside, for what is
    neither bar nor bench, and where it is no rack.
    """
    if host.kit.group != _RACKS or not host.kit.rests or kit.rests:
        return ()
    if kit.bar is not None:
        return tuple(_on_hooks(host, kit))
    return tuple(_pressing(host)) if kit.group == _BENCHES and _takes_bench(host, kit) else ()


def _root(scene: Scene, piece_id: str | None) -> str | None:
    return scene.placed[piece_id].root if piece_id and piece_id in scene.placed else None


def _free(scene: Scene, host: Placed, kit: KitType) -> bool:
    """Return whether a rack has room for such a piece and is made for it."""
    if host.kit.group != _RACKS or host.root != host.piece.id or not host.kit.rests:
        return False
    mates = [p for p in scene.stations[host.piece.id] if p.piece.carried_by == host.piece.id]
    if kit.bar:
        return not any(p.kit.bar for p in mates) and any(True for _ in _on_hooks(host, kit))
    if any(p.kit.group == _BENCHES for p in mates):
        return False
    return _takes_bench(host, kit)


def _takes_bench(host: Placed, kit: KitType) -> bool:
    """Return whether one presses in a rack and a bench goes between its posts."""
    inside = inside_mm(host)
    takes = any("bench" in use.needs for use in host.kit.uses)
    return takes and (inside is None or not falls_short(inside, kit.width_mm))


def _on_hooks(host: Placed, kit: KitType) -> Iterator[Pose]:
    """Yield how a bar lies on each pair of hooks that it is long enough for."""
    for rest in host.kit.rests:
        if _long_enough(host, rest, kit):
            x, y, angle = rest_pose(host, rest)
            yield Pose(x_mm=x, y_mm=y, angle_deg=angle)


def _long_enough(host: Placed, rest: BarRest, kit: KitType) -> bool:
    if rest.outside_mm == 0 or kit.bar is None:
        return True
    outside = rest.outside_mm + host.extent.width_mm - host.kit.width_mm
    return kit.bar.shaft_mm - outside >= published("rack.shaft-beyond-posts-mm")


def _pressing(host: Placed) -> Iterator[Pose]:
    """Yield where one presses at a rack: between its posts as the starter sets place a bench there,
    else before them where its row says, the head beneath the bar on the hooks.
    """
    before = [use for use in host.kit.uses if "bench" in use.needs and not use.inside]
    if before:
        across, along = (place(anchor, host.extent) for anchor in before[0].at)
        dx, dy = turn(across, along, host.pose.angle_deg)
        x, y_mm = host.at[0] + dx, host.at[1] + dy
        yield Pose(x_mm=x, y_mm=y_mm, angle_deg=host.pose.angle_deg)
        return
    carried = {
        (one.y, one.angle_deg)
        for starter in starter_sets().values()
        for station in starter.stations
        if kit_types()[station.type].group == _RACKS
        for one in station.carries
        if kit_types()[one.type].group == _BENCHES
    }
    for y, angle in sorted(carried):
        dx, dy = turn(0.0, place(y, host.extent), host.pose.angle_deg)
        x, y_mm = host.at[0] + dx, host.at[1] + dy
        yield Pose(x_mm=x, y_mm=y_mm, angle_deg=host.pose.angle_deg + angle)


def _weight(scene: Scene, type_key: str, way: Joined, budget: Budget) -> tuple[int, float] | None:
    """Return the burden of the plan with the piece there; None where the budget ends."""
    piece = Piece(id=_NEW, type=type_key, pose=way.pose, carried_by=way.host)
    with_it = build_scene(apply(scene.plan, adds([piece])))
    if not budget.allows(work_of(with_it, FULL)):
        return None
    return burden(run(with_it, weighed=True))
