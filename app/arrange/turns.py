"""Ways out that turn a station, put it at another wall or swap it with another one."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from functools import partial

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString

from app.arrange.moves import Move, Mover
from app.arrange.on_walls import ends_off, keeps_wall, shifts_on_walls
from app.arrange.roundness import is_round, turns_into_itself
from app.arrange.sense import NEAR_A_WALL_MM, backed, may_move
from app.arrange.shifts import shift_words
from app.arrange.trial import Wanted, any_rank
from app.arrange.tries import members, turned_about
from app.checks.behind import wall_behind, wall_name
from app.checks.snag import Snag, is_many
from app.model.kit import Pose
from app.scene.build import Placed, Scene
from app.scene.shapes import turn
from app.scene.tolerance import TOLERANCE_MM
from app.scene.walls import WallShape
from app.units import QUARTER_TURN_DEG
from app.wording import lower, phrase

QUARTERS = (1, -1, 2)
"""Turns by a quarter either way come first, then half round."""
FREE_TURNS_DEG = (15.0, -15.0, 30.0, -30.0, 45.0, -45.0)
"""Turns that are no quarters, for a slanting wall or a corner: as fine as people set things down
by eye, the smallest first."""
NEAR_SHIFTS_MM = (0.0, 200.0, -200.0, 400.0, -400.0, 800.0, -800.0, 1200.0, -1200.0)
"""How far along and across a turned station is shifted as well: what was between two things seldom
fits there turned."""
SWAPS_AT_MOST = 6
"""Stations with which one is swapped in trying, the nearest in size first."""
ALIKE_TURNS = 0.01
"""Turns nearer than this part of a quarter are called alike: nobody sees a degree."""


def turned(mover: Mover, snag: Snag, wanted: Wanted = any_rank) -> Iterator[Move]:
    """Yield the turns in place that help, quarters before free angles, then turns with a shift.

    What has no `wanted` rank is no help.
    """
    for root in mover.roots(snag):
        for quarters in QUARTERS:
            yield from _turned(mover, snag, root, quarters * QUARTER_TURN_DEG, wanted)
        for angle in FREE_TURNS_DEG:
            yield from _turned(mover, snag, root, angle, wanted)
        for quarters in QUARTERS[:2]:
            yield from _turned_and_shifted(mover, snag, root, quarters, wanted)


def at_other_walls(mover: Mover, snag: Snag, wanted: Wanted = any_rank) -> Iterator[Move]:
    """Yield the best place at each other wall of what stands or hangs at a wall.

    What has no `wanted` rank is no help.
    """
    scene = mover.scene
    for root in mover.roots(snag):
        placed = scene.placed[root]
        if not (placed.kit.for_wall or backed(scene, root)):
            continue
        now, gap = wall_behind(scene, placed)
        off_it = not keeps_wall(scene, root)
        # what hangs on no wall yet comes to the nearest, whichever way it faces now
        walls = (
            sorted(scene.room.walls, key=partial(_away_mm, placed))
            if off_it
            else (scene.room.walls)
        )
        for wall in walls:
            if (wall.id == now.id and not off_it) or mover.budget.over:
                continue
            facing = math.degrees(math.atan2(wall.inward[1], wall.inward[0])) - QUARTER_TURN_DEG
            poses = turned_about(scene, root, facing - placed.pose.angle_deg)
            there = mover.moved(poses)
            every = shifts_on_walls(there, root)
            on_it = every[_on(wall, there.placed[root], every)]
            off = np.array(wall.inward) * (0.0 if placed.kit.for_wall else min(gap, NEAR_A_WALL_MM))
            best = _best(mover, snag, root, poses, on_it + off, wanted)
            if best is not None:
                (dx, dy), move = best
                turn = turned_words(scene, root, facing - placed.pose.angle_deg)
                back = "their" if is_many(placed.name) else "its"
                name, shift = wall_name(scene, wall), shift_words(scene, dx, dy)
                words = phrase("Move the {} {}.", lower(placed.name), shift)
                if turn:
                    words = phrase(
                        "{}, {} back to {}, and move {} {}.", turn, back, name, _it(placed), shift
                    )
                yield Move(
                    words.worded(scene.plan.units), move.poses, move.distance_mm, move.effect
                )


def _away_mm(placed: Placed, wall: WallShape) -> float:
    return LineString([wall.start, wall.end]).distance(placed.footprint)


def swapped(mover: Mover, snag: Snag, wanted: Wanted = any_rank) -> Iterator[Move]:
    """Yield swaps of a station with another one that help, backs staying where backs were.

    What has no `wanted` rank is no help.
    """
    scene = mover.scene
    for root in mover.roots(snag):
        mine = scene.placed[root]
        others = [
            scene.placed[other]
            for other in scene.stations
            if other != root
            and may_move(scene, other)
            and scene.placed[other].kit.for_wall == mine.kit.for_wall
            and scene.placed[other].kit.key != mine.kit.key
            # what lies under the other is in no place that the other could take
            and not shapely.intersects(scene.placed[other].footprint, mine.footprint)
        ]
        size = mine.extent.width_mm + mine.extent.depth_mm
        others.sort(key=lambda p: abs(p.extent.width_mm + p.extent.depth_mm - size))
        for other in others[:SWAPS_AT_MOST]:
            if mover.budget.over:
                return
            poses = {
                **_into_place_of(scene, root, other.piece.id),
                **_into_place_of(scene, other.piece.id, root),
            }
            # what speaks of the finding is asked first: most swaps do nothing for it
            there = mover.moved(poses)
            if not mover.speakers.helps(there, snag, partial(mover.is_sane, there, poses)):
                continue
            effect = mover.effect(poses, snag, wanted)
            if effect is not None:
                words = f"Swap the {lower(mine.name)} and the {lower(other.name)}."
                yield Move(words, poses, math.dist(mine.at, other.at), effect)


def _it(placed: Placed) -> str:
    return "them" if is_many(placed.name) else "it"


def net_move_words(scene: Scene, root: str, pose: Pose) -> str:
    """Say how a station comes to a pose from where it stands, as one move."""
    placed = scene.placed[root]
    shift = shift_words(scene, pose.x_mm - placed.at[0], pose.y_mm - placed.at[1])
    name, words = (
        lower(placed.name),
        turned_words(scene, root, pose.angle_deg - placed.pose.angle_deg),
    )
    if not words:
        advice = phrase("Move the {} {}.", name, shift)
    elif not shift.values:
        advice = phrase("{}.", words)
    else:
        advice = phrase("{} and move {} {}.", words, _it(placed), shift)
    return advice.worded(scene.plan.units)


def _turn_words(angle: float) -> str:
    """Say a turn: "a quarter", "half round", "by 30 degrees clockwise"; nothing for none."""
    half = 2 * QUARTER_TURN_DEG
    turns = (angle + half) % (2 * half) - half
    quarters = abs(turns) / QUARTER_TURN_DEG
    if quarters < ALIKE_TURNS:
        return ""
    if abs(quarters - 1) < ALIKE_TURNS:
        return "a quarter"
    if abs(quarters - 2) < ALIKE_TURNS:
        return "half round"
    way = "clockwise" if turns > 0 else "the other way round"
    return f"by {abs(turns):.0f} degrees {way}"


def turned_words(scene: Scene, root: str, angle: float) -> str:
    """Return what turning a station is called, without a full stop; nothing for no turn.

    What is round is not seen to turn: it is used from another side.
    """
    name, words = lower(scene.placed[root].name), _turn_words(angle)
    if not words or not is_round(scene, root):
        return words and f"Turn the {name} {words}"
    if words == "half round":
        return f"Use the {name} from the opposite side"
    if words == "a quarter":
        return f"Use the {name} from a quarter further round"
    return f"Use the {name} from {words.removeprefix('by ').replace('degrees', 'degrees further')}"


def _turned(mover: Mover, snag: Snag, root: str, angle: float, wanted: Wanted) -> Iterator[Move]:
    if turns_into_itself(mover.scene, root, angle):
        return
    poses = turned_about(mover.scene, root, angle)
    there = mover.moved(poses)
    sane = partial(mover.is_sane, there, poses)
    if mover.budget.over or not mover.speakers.helps(there, snag, sane):
        return
    effect = mover.effect(poses, snag, wanted)
    if effect is not None:
        yield Move(f"{turned_words(mover.scene, root, angle)}.", poses, 0.0, effect)


def _turned_and_shifted(
    mover: Mover, snag: Snag, root: str, quarters: int, wanted: Wanted
) -> Iterator[Move]:
    scene, angle = mover.scene, quarters * QUARTER_TURN_DEG
    if turns_into_itself(scene, root, angle):
        return
    poses = turned_about(scene, root, angle)
    xs, ys = np.meshgrid(NEAR_SHIFTS_MM, NEAR_SHIFTS_MM)
    grid = np.stack([xs.ravel(), ys.ravel()], axis=1)
    shifts = grid[np.argsort(np.hypot(*grid.T), kind="stable")][1:]
    best = _best(mover, snag, root, poses, shifts, wanted)
    if best is not None:
        (dx, dy), move = best
        words = phrase(
            "{} and move {} {}.",
            turned_words(scene, root, angle),
            _it(scene.placed[root]),
            shift_words(scene, dx, dy),
        ).worded(scene.plan.units)
        yield Move(words, move.poses, move.distance_mm, move.effect)


def _best(
    mover: Mover,
    snag: Snag,
    root: str,
    turned: Mapping[str, Pose],
    shifts: NDArray[np.float64],
    wanted: Wanted,
) -> tuple[tuple[float, float], Move] | None:
    """Return the best shift of a turned station, the first of those that do as much."""
    way = mover.guide.way(root, turned[root].angle_deg, snag)
    nearest = mover.searched(
        snag, way, shifts, np.zeros((0, 2)), lambda dx, dy: _by(turned, (dx, dy)), root, wanted
    )
    if nearest is None:
        return None
    dx, dy, effect = nearest
    return (dx, dy), Move("", _by(turned, (dx, dy)), math.hypot(dx, dy), effect)


def _by(poses: Mapping[str, Pose], shift: tuple[float, float]) -> dict[str, Pose]:
    dx, dy = shift
    return {
        piece_id: Pose.within(pose.x_mm + dx, pose.y_mm + dy, pose.angle_deg)
        for piece_id, pose in poses.items()
    }


def _on(wall: WallShape, placed: Placed, shifts: NDArray[np.float64]) -> NDArray[np.bool_]:
    """Return which shifts, (n, 2), bring a back onto the line of a wall."""
    off: NDArray[np.float64] = shifts @ np.array(wall.inward) + max(ends_off(placed, wall))
    return np.asarray(np.abs(off) <= TOLERANCE_MM)


def _into_place_of(scene: Scene, root: str, other: str) -> dict[str, Pose]:
    """Return the poses of a station at the place of another, its back where the other's was."""
    mine, theirs = scene.placed[root], scene.placed[other]
    poses = turned_about(scene, root, theirs.pose.angle_deg - mine.pose.angle_deg)
    dx, dy = turn(0.0, (mine.extent.depth_mm - theirs.extent.depth_mm) / 2, theirs.pose.angle_deg)
    shift = theirs.at[0] + dx - mine.at[0], theirs.at[1] + dy - mine.at[1]
    return {
        piece: pose for piece, pose in _by(poses, shift).items() if piece in members(scene, root)
    }
