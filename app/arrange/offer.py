"""Will this one fit: where a box of three sizes can stand, before it is placed or bought."""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray

from app.arrange.joining import usual_bar
from app.checks.run import run
from app.checks.snag import Snag
from app.library.own import kits_of
from app.model.commands import adds, apply
from app.model.kit import Piece, Pose
from app.published.register import published
from app.scene.build import Scene, build_scene
from app.scene.shapes import turn
from app.scene.tolerance import HALF_MM, TOLERANCE_MM
from app.wording import phrase

PLAIN = "other-thing"
_NEW = "offered"
_BAR = "offered-bar"

# stops, stops with the usual bar of a rack hung on it, cares, notes
_Cost = tuple[int, int, int, int]


@dataclass(frozen=True, slots=True)
class Offer:
    """Whether an offered piece fits, in one sentence, with the best place and the tallest box."""

    fits: bool
    sentence: str
    place: Pose | None
    tallest_mm: float


def fits(
    scene: Scene,
    width_mm: float,
    depth_mm: float,
    height_mm: float,
    type_key: str | None = None,
) -> Offer:
    """Look for a place for a box of these sizes, or for a kit type with these sizes.

    A kit type is judged with its working spaces; a bare box only by what it would stand in. Of
    the places for a rack, those come first where the bar hung on it later is in nothing's way.
    """
    tallest, units = _tallest_mm(scene), scene.plan.units
    lift = scene.plan.room.floor.covering.thickness_mm
    if height_mm > tallest + TOLERANCE_MM:
        said = phrase(
            "It is {:mm} too high: {:bare} is the tallest here.", height_mm - tallest, tallest
        )
        return Offer(False, said.told(units), None, tallest)
    poses = free_poses(scene, width_mm, depth_mm, lift, lift + height_mm)
    if not len(poses):
        said = phrase(
            "There is no free floor of {:bare} x {:bare} for it here.", width_mm, depth_mm
        )
        return Offer(False, said.told(units), None, tallest)
    before = run(scene)
    most = int(published("arrange.offer-judged-at-most"))
    wide = _width_with_bar_mm(scene, type_key, width_mm)
    first = free_poses(scene, wide, depth_mm, lift, lift + height_mm) if wide > width_mm else []
    best: tuple[_Cost, Pose] | None = None
    for number, (x, y, angle) in enumerate((*first[:most], *poses[:most])):
        if best is not None and best[0][:2] == (0, 0) and number >= len(first[:most]):
            break
        pose = Pose(x_mm=x, y_mm=y, angle_deg=angle)
        piece = Piece(
            id=_NEW,
            type=type_key if type_key and type_key in kits_of(scene.plan) else PLAIN,
            pose=pose,
            width_mm=width_mm,
            depth_mm=depth_mm,
            height_mm=height_mm,
        )
        with_it = build_scene(apply(scene.plan, adds([piece])))
        stops, cares, notes = _worse(before, run(with_it))
        if best is not None and best[0] <= (stops, 0, cares, notes):
            continue
        cost = stops, _stops_with_bar(before, with_it), cares, notes
        if best is None or cost < best[0]:
            best = (cost, pose)
        if not any(cost):
            break
    assert best is not None
    (stops, _, cares, _), pose = best
    room = phrase("{:mm} are left above it", tallest - height_mm)
    if not stops and not cares:
        said = phrase("It fits, with nothing in its way; {}.", room)
        return Offer(True, said.told(units), pose, tallest)
    if not stops:
        said = phrase("It fits, but tightly: {} more to take care of; {}.", cares, room)
        return Offer(True, said.told(units), pose, tallest)
    words = "There is floor for it, but not to use it: something else would have to go."
    return Offer(False, words, pose, tallest)


def _width_with_bar_mm(scene: Scene, type_key: str | None, width_mm: float) -> float:
    """Give how wide a rack is with its usual bar and the room beyond the ends of that; else 0."""
    kit = kits_of(scene.plan).get(type_key or "")
    if kit is None:
        return 0.0
    middle = Pose(x_mm=0, y_mm=0)
    piece = Piece(id=_NEW, type=kit.key, pose=middle, width_mm=width_mm)
    found = usual_bar(scene, build_scene(apply(scene.plan, adds([piece]))).placed[_NEW])
    if found is None:
        return 0.0
    bar, _ = found
    ends = [space.least_mm or 0.0 for space in bar.spaces if space.side in ("left", "right")]
    return bar.width_mm + 2 * max(ends, default=0.0)


def _stops_with_bar(before: tuple[Snag, ...], scene: Scene) -> int:
    """Count the stops that are new with the usual bar on the offered rack, on its best hooks."""
    found = usual_bar(scene, scene.placed[_NEW])
    fewest = math.inf
    for pose in found[1] if found else ():
        assert found is not None
        bar = Piece(id=_BAR, type=found[0].key, pose=pose, carried_by=_NEW)
        stops, _, _ = _worse(before, run(build_scene(apply(scene.plan, adds([bar])))))
        fewest = min(fewest, stops)
        if not fewest:
            break
    return int(fewest) if found else 0


def _worse(before: tuple[Snag, ...], after: tuple[Snag, ...]) -> tuple[int, int, int]:
    known = {snag.key for snag in before}
    new = [snag.severity for snag in after if snag.key not in known]
    return new.count("stop"), new.count("care"), new.count("note")


def _tallest_mm(scene: Scene) -> float:
    """Give the tallest thing that can stand anywhere in the room, on the covering."""
    overhead = scene.room.shut
    grid = _grid(scene)
    half = published("arrange.offer-grid-mm") / 2
    boxes = np.asarray(shapely.box(*(grid - half).T, *(grid + half).T), dtype=object)
    inside = np.asarray(shapely.covers(scene.room.within, boxes))
    clear, _ = overhead.clear(boxes[inside])
    known = clear[np.isfinite(clear)]
    top = float(known.max()) if len(known) else 0.0
    return max(top - scene.plan.room.floor.covering.thickness_mm, 0.0)


def _grid(scene: Scene) -> NDArray[np.float64]:
    step = published("arrange.offer-grid-mm")
    x0, y0, x1, y1 = scene.room.free.bounds
    xs, ys = np.meshgrid(np.arange(x0, x1 + step, step), np.arange(y0, y1 + step, step))
    return np.stack([xs.ravel(), ys.ravel()], axis=1)


def free_poses(
    scene: Scene, width_mm: float, depth_mm: float, low_mm: float, high_mm: float
) -> list[tuple[float, float, float]]:
    """Give poses at which a box meets nothing solid, (x, y, degrees), those at a wall first."""
    longest = max(scene.room.walls, key=lambda wall: math.dist(wall.start, wall.end))
    base = math.degrees(math.atan2(longest.along[1], longest.along[0]))
    quarter = math.degrees(math.pi / 2)
    found: list[tuple[float, float, float, float]] = []
    for i in range(2 * 2):
        angle = base + i * quarter
        w, d = width_mm / 2 - HALF_MM, depth_mm / 2 - HALF_MM
        ring = np.array([turn(x, y, angle) for x, y in ((-w, -d), (w, -d), (w, d), (-w, d))])
        centres = np.vstack([_grid(scene), _along_walls(scene, depth_mm, angle)])
        boxes = np.asarray(shapely.polygons(centres[:, None, :] + ring[None, :, :]), dtype=object)
        free = np.asarray(shapely.covers(scene.room.within, boxes))
        of, hit = scene.tree.query(boxes)
        solids = scene.solids
        met = np.minimum(solids.high_mm[hit], high_mm) - np.maximum(solids.low_mm[hit], low_mm)
        of, hit = of[met > TOLERANCE_MM], hit[met > TOLERANCE_MM]
        free[of[shapely.intersects(boxes[of], solids.cores[hit])]] = False
        clear, _ = scene.room.shut.clear(boxes)
        free &= clear >= high_mm - TOLERANCE_MM
        backs = centres + np.array(turn(0.0, -depth_mm / 2, angle))
        away = shapely.distance(shapely.points(backs), scene.room.free.exterior)
        found += [
            (float(away[k]), float(centres[k, 0]), float(centres[k, 1]), angle)
            for k in np.flatnonzero(free)
        ]
    found.sort(key=lambda place: place[0])
    return _spread(found, max(width_mm, depth_mm) / 2)


def _along_walls(scene: Scene, depth_mm: float, angle_deg: float) -> NDArray[np.float64]:
    """Give middles of boxes that stand with their backs against a wall of this direction."""
    step = published("arrange.offer-grid-mm")
    front = turn(0.0, 1.0, angle_deg)
    rows = [np.zeros((0, 2))]
    for wall in scene.room.walls:
        if front[0] * wall.inward[0] + front[1] * wall.inward[1] < 1 - math.ulp(1) ** (1 / 2):
            continue
        along = np.arange(0.0, math.dist(wall.start, wall.end), step)
        start = np.array(wall.start) + np.array(wall.inward) * depth_mm / 2
        rows.append(start + along[:, None] * np.array(wall.along))
    return np.vstack(rows)


def _spread(
    found: list[tuple[float, float, float, float]], apart_mm: float
) -> list[tuple[float, float, float]]:
    """Thin places out so that those judged lie all over the room, best first."""
    kept: list[tuple[float, float, float]] = []
    for _, x, y, angle in found:
        if all(a != angle or math.dist((x, y), (u, v)) >= apart_mm for u, v, a in kept):
            kept.append((x, y, angle))
    return kept
