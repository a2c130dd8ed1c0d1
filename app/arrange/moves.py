"""The smallest move of a station that clears a snag and adds no stop."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from app.arrange.tries import free_shifts, movable, shifted, turned_about
from app.checks.run import run
from app.checks.snag import SEVERITIES, Snag, lower
from app.model.kit import Pose
from app.published.register import published
from app.scene.build import Scene

_WORDS = (
    "right",
    "right and down",
    "down",
    "left and down",
    "left",
    "left and up",
    "up",
    "right and up",
)


@dataclass(frozen=True, slots=True)
class Move:
    """New poses of one station, in words: "Move the rack 270 right."."""

    sentence: str
    poses: Mapping[str, Pose]
    distance_mm: float


def smallest_move(scene: Scene, snag: Snag, before: tuple[Snag, ...]) -> Move | None:
    """Find the smallest move or quarter turn of a station that clears a snag.

    The stations of the snag's pieces are tried in eight directions of the longest wall. What is
    found has gone before the full judge: the snag is gone and no stop is new.
    """
    roots = dict.fromkeys(scene.placed[piece_id].root for piece_id in snag.pieces)
    moves = []
    for root in roots:
        if not movable(scene, root):
            continue
        move = _shift(scene, root, snag, before)
        if move is not None:
            moves.append(move)
    if moves:
        return min(moves, key=lambda move: move.distance_mm)
    for root in roots:
        if not movable(scene, root):
            continue
        quarter = math.degrees(math.pi / 2)
        poses = turned_about(scene, root, quarter)
        if clears(scene, poses, snag, before):
            name = lower(scene.placed[root].name)
            return Move(f"Turn the {name} a quarter.", poses, 0.0)
    return None


def clears(scene: Scene, poses: Mapping[str, Pose], snag: Snag, before: tuple[Snag, ...]) -> bool:
    """Tell whether new poses clear a snag and add no stop, by the full judge."""
    return better(run(scene.moved(poses)), snag, before)


def better(after: tuple[Snag, ...], snag: Snag, before: tuple[Snag, ...]) -> bool:
    """Tell whether a verdict lacks a snag, and any as bad of its kind, and has no new stop."""
    rank = SEVERITIES.index(snag.severity)
    for found in after:
        if found.key == snag.key:
            return False
        same = found.code == snag.code and found.pieces[:1] == snag.pieces[:1]
        if same and snag.pieces and SEVERITIES.index(found.severity) <= rank:
            return False
    stops = {found.key for found in before if found.severity == "stop"}
    return all(found.severity != "stop" or found.key in stops for found in after)


def _shift(scene: Scene, root: str, snag: Snag, before: tuple[Snag, ...]) -> Move | None:
    ring = published("arrange.ring-mm")
    rings = np.arange(1, int(published("arrange.rings")) + 1) * ring
    directions = _directions(scene)
    shifts = (rings[:, None, None] * directions[None, :, :]).reshape(-1, 2)
    tries = np.flatnonzero(free_shifts(scene, root, shifts))
    for number in tries[: int(published("arrange.judged-at-most"))]:
        dx, dy = shifts[number]
        if clears(scene, shifted(scene, root, dx, dy), snag, before):
            far = float(rings[number // len(directions)])
            unit = directions[number % len(directions)]
            return _smallest(scene, root, snag, before, unit, far)
    return None


def _smallest(
    scene: Scene,
    root: str,
    snag: Snag,
    before: tuple[Snag, ...],
    unit: np.typing.NDArray[np.float64],
    far_mm: float,
) -> Move:
    """Come back from a move that clears towards the place where it no longer does."""
    step = published("arrange.rounding-mm")
    low, high = 0, round(far_mm / step)
    while high - low > 1:
        middle = (low + high) // 2
        poses = shifted(scene, root, *(unit * middle * step))
        low, high = (low, middle) if clears(scene, poses, snag, before) else (middle, high)
    distance = high * step
    poses = shifted(scene, root, *(unit * distance))
    number = round(math.atan2(unit[1], unit[0]) / (math.pi / 2 / 2)) % len(_WORDS)
    name = lower(scene.placed[root].name)
    return Move(f"Move the {name} {distance:.0f} {_WORDS[number]}.", poses, distance)


def _directions(scene: Scene) -> np.typing.NDArray[np.float64]:
    """Give eight unit vectors: along and across the longest wall and between; straight first."""
    longest = max(scene.room.walls, key=lambda wall: math.dist(wall.start, wall.end))
    base = math.atan2(longest.along[1], longest.along[0])
    count = len(_WORDS)
    order = [*range(0, count, 2), *range(1, count, 2)]
    angles = [base + 2 * math.pi * i / count for i in order]
    return np.array([[math.cos(angle), math.sin(angle)] for angle in angles])
