"""The smallest move of a station that clears a snag and adds no stop.

Shifts along eight directions and to the points of a grid are tried, the smallest first. Most are
thrown out for meeting something solid, more by the checks that hang on the place alone; what is
left goes before the full judge.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from app.arrange.effort import (
    MESH_MM,
    MOVES_JUDGED_AT_MOST,
    RING_MM,
    RINGS,
    ROUNDING_MM,
    WORK_AT_MOST,
)
from app.arrange.on_walls import for_wall, keeps_wall, shifts_on_walls
from app.arrange.tries import free_shifts, movable, shifted, turned_about
from app.checks.bars import bars
from app.checks.boilers import boilers
from app.checks.doors import doors
from app.checks.outside import under_ceiling
from app.checks.room_to_use import room_to_use
from app.checks.run import run
from app.checks.shut_offs import shut_offs
from app.checks.snag import SEVERITIES, Snag, lower
from app.model.kit import Pose
from app.scene.build import Scene
from app.scene.tolerance import ROUNDING
from app.units import INCH_MM, QUARTER_TURN_DEG
from app.wording import Phrase, joined, phrase

DIRECTIONS = 8
"""Rays along which moves are tried: along the walls, which people can measure, and between."""


Floats = NDArray[np.float64]
_SCREEN = (under_ceiling, room_to_use, shut_offs, boilers, doors, bars)
_OFF_WALL = "off-the-wall"


@dataclass(frozen=True, slots=True)
class Move:
    """New poses of one station, in words: "Move the rack 270 right."."""

    sentence: str
    poses: Mapping[str, Pose]
    distance_mm: float


def _no_pause() -> None:
    """Go on at once."""


@dataclass(slots=True)
class Mover:
    """Looks for moves in one scene; what it learns of a station serves all its snags.

    `pause` is called between tries, so that somebody dragging meanwhile is served first. A plan
    so large that the search would take minutes gets ways out only for its first snags: each try
    costs as much as the plan has solids, and the sum is bounded.
    """

    scene: Scene
    before: tuple[Snag, ...]
    pause: Callable[[], None] = _no_pause
    _work: float = 0.0
    _ways: dict[str, Floats] = field(default_factory=dict)
    _screens: dict[tuple[str, float, float], tuple[Snag, ...]] = field(default_factory=dict)

    @property
    def tired(self) -> bool:
        """Return whether the search has done all the work it may."""
        return self._work > WORK_AT_MOST

    def judging(self) -> None:
        """Count one judgement of the plan, after letting others go first."""
        self._work += len(self.scene.solids.owner)
        self.pause()

    def smallest(self, snag: Snag) -> Move | None:
        """Find the smallest move or quarter turn that clears a snag; None if none is found."""
        roots = [
            root
            for root in dict.fromkeys(self.scene.placed[p].root for p in snag.pieces)
            if movable(self.scene, root)
        ]
        moves = [move for root in roots for move in self._shifts(root, snag)]
        # A turn changes how the room is used, so it comes only where no shift does.
        if moves:
            return min(moves, key=lambda move: move.distance_mm)
        for root in roots:
            self.pause()
            poses = turned_about(self.scene, root, QUARTER_TURN_DEG)
            if clears(self.scene, poses, snag, self.before):
                name = lower(self.scene.placed[root].name)
                return Move(f"Turn the {name} a quarter.", poses, 0.0)
        return None

    def _shifts(self, root: str, snag: Snag) -> Iterator[Move]:
        """Yield the smallest shift of a station that clears a snag, if there is one."""
        if root not in self._ways:
            self.pause()
            # What hangs on a wall is tried along walls alone: anywhere else it would come down.
            walled = for_wall(self.scene, root)
            every = (shifts_on_walls if walled else _to_try)(self.scene, root)
            # All tries against all solids in one go, the cheapest test first; what is free serves
            # every snag of the station.
            self._ways[root] = every[free_shifts(self.scene, root, every)]
        judged = 0
        for dx, dy in self._ways[root]:
            if self.tired:
                return
            # The bound below is on tries before the full judge; what the screen throws out costs
            # far less.
            if not self._passes_screen(root, float(dx), float(dy), snag):
                continue
            if self._clears(root, snag, float(dx), float(dy)):
                yield self._come_back(root, snag, float(dx), float(dy))
                return
            judged += 1
            if judged >= MOVES_JUDGED_AT_MOST:
                return

    def _passes_screen(self, root: str, dx: float, dy: float, snag: Snag) -> bool:
        """Judge a shift by the checks that hang on the place alone."""
        unmoved = (root, 0.0, 0.0)
        if unmoved not in self._screens:
            self._screens[unmoved] = _screen(self.scene)
        key = (root, dx, dy)
        if key not in self._screens:
            self.judging()
            self._screens[key] = _screen(self.scene.moved(shifted(self.scene, root, dx, dy)))
        # What the screen finds of the plan as it stands is no news; checks see more alone than
        # after `run` has put things together.
        return better(self._screens[key], snag, self.before + self._screens[unmoved])

    def _come_back(self, root: str, snag: Snag, dx: float, dy: float) -> Move:
        """Come back from a shift that clears towards the place where it no longer does."""
        step = _step_mm(self.scene)
        length = math.hypot(dx, dy)
        ux, uy = dx / length, dy / length
        low, high = 0, max(math.ceil(length / step), 1)
        # Rounded up to a whole step it may have gone too far, into the next thing.
        if not self._clears(root, snag, ux * high * step, uy * high * step):
            low = high
        # Halving asks the judge seven times for a metre. Between two places that clear there may be
        # one that does not; then the move is longer than it must be, never wrong.
        while high - low > 1:
            middle = (low + high) // 2
            clear = self._clears(root, snag, ux * middle * step, uy * middle * step)
            low, high = (low, middle) if clear else (middle, high)
        far = high * step if low < high else length
        end = (ux * far, uy * far)
        # whole steps are easier to set out with a tape; away from where it does not clear
        whole = tuple(math.copysign(math.ceil(abs(d) / step - ROUNDING) * step, d) for d in end)
        if self._clears(root, snag, whole[0], whole[1]):
            end = (whole[0], whole[1])
        name = lower(self.scene.placed[root].name)
        poses = shifted(self.scene, root, *end)
        sentence = phrase("Move the {} {}.", name, _in_words(self.scene, *end))
        return Move(sentence.worded(self.scene.plan.units), poses, math.hypot(*end))

    def _clears(self, root: str, snag: Snag, dx: float, dy: float) -> bool:
        self.judging()
        return clears(self.scene, shifted(self.scene, root, dx, dy), snag, self.before)


def _screen(scene: Scene) -> tuple[Snag, ...]:
    return tuple(snag for check in _SCREEN for snag in check(scene))


def clears(scene: Scene, poses: Mapping[str, Pose], snag: Snag, before: tuple[Snag, ...]) -> bool:
    """Return whether new poses clear a snag and add no stop, by the full judge.

    The slower checks are asked only about what the others accept.
    """
    moved = scene.moved(poses)
    if not all(keeps_wall(moved, root) for root in {moved.placed[one].root for one in poses}):
        return False
    # Most tries fail the quick checks; routes and what is used in turn cost as much again.
    return better(run(moved, full=False), snag, before) and better(run(moved), snag, before)


def better(after: tuple[Snag, ...], snag: Snag, before: tuple[Snag, ...]) -> bool:
    """Return whether a verdict lacks a snag, and any as bad of its kind, and has no new stop.

    Nor may what is made for a wall hang free that did not before.
    """
    rank = SEVERITIES.index(snag.severity)
    for other in after:
        if other.key == snag.key:
            return False
        # Out of one thing and into the next is the same trouble under another key.
        same = other.code == snag.code and other.pieces[:1] == snag.pieces[:1]
        if same and snag.pieces and SEVERITIES.index(other.severity) <= rank:
            return False
    known = {other.key for other in before if other.severity == "stop" or other.code == _OFF_WALL}
    return all(
        other.key in known or (other.severity != "stop" and other.code != _OFF_WALL)
        for other in after
    )


def hangs_on_place(snag: Snag) -> bool:
    """Return whether a snag is of a kind that moving something can clear."""
    return bool(snag.pieces) and snag.hangs_on_place


def _to_try(scene: Scene, root: str) -> Floats:
    """Return shifts in mm, (n, 2), the smallest first: eight rays and a grid over the room."""
    ring = RING_MM
    count = RINGS
    rays = np.arange(1, count + 1)[:, None, None] * ring * _directions(scene)[None, :, :]
    x0, y0, x1, y1 = scene.room.free.bounds
    mesh = MESH_MM
    across = np.arange(-np.ceil((x1 - x0) / mesh), np.ceil((x1 - x0) / mesh) + 1) * mesh
    down = np.arange(-np.ceil((y1 - y0) / mesh), np.ceil((y1 - y0) / mesh) + 1) * mesh
    xs, ys = np.meshgrid(across, down)
    grid = np.stack([xs.ravel(), ys.ravel()], axis=1)
    every = np.vstack([rays.reshape(-1, 2), grid[(grid != 0).any(axis=1)]])
    ordered: Floats = every[np.argsort(np.hypot(every[:, 0], every[:, 1]), kind="stable")]
    return ordered


def _directions(scene: Scene) -> Floats:
    """Return eight unit vectors: along and across the longest wall and between; straight first."""
    # People measure from walls, and most rooms are square to their longest.
    longest = max(scene.room.walls, key=lambda wall: math.dist(wall.start, wall.end))
    base = math.atan2(longest.along[1], longest.along[0])
    count = DIRECTIONS
    order = [*range(0, count, 2), *range(1, count, 2)]
    angles = [base + 2 * math.pi * i / count for i in order]
    return np.array([[math.cos(angle), math.sin(angle)] for angle in angles])


def _step_mm(scene: Scene) -> float:
    """Return the step in which a move is told: whole on the household's own tape."""
    feet = scene.plan.units == "feet"
    return float(INCH_MM / 2) if feet else ROUNDING_MM


def _in_words(scene: Scene, dx: float, dy: float) -> Phrase:
    """Say a shift as it looks on the plan: "270 right", "120 left and 400 to the back"."""
    near = _step_mm(scene) / 2
    parts = []
    if abs(dx) >= near:
        parts.append(phrase("{:bare} {}", abs(dx), "right" if dx > 0 else "left"))
    if abs(dy) >= near:
        parts.append(phrase("{:bare} to the {}", abs(dy), "front" if dy > 0 else "back"))
    return joined(" and ", parts)
