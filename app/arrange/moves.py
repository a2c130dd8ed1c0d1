"""The smallest move of a station that clears a finding, or else the one that helps most.

Shifts along eight directions and to the points of a grid are tried, the smallest first. Most are
thrown out for meeting something solid, more by the checks that hang on the place alone; what is
left goes before the full judge, who decides.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from app.arrange.better import NOTHING, Weight, mends, outcome, weight_of
from app.arrange.effort import (
    MESH_MM,
    MOVES_JUDGED_AT_MOST,
    NUDGE_MM,
    RING_MM,
    RINGS,
    ROUNDING_MM,
    SCREENED,
    SCREENED_AT_MOST,
    WAYS_OUT_STEPS,
    work_of,
)
from app.arrange.on_walls import for_wall, shifts_on_walls
from app.arrange.sense import may_move, sensible
from app.arrange.trial import Effect, Trials
from app.arrange.tries import free_shifts, shifted
from app.budget import Budget
from app.checks.bars import bars
from app.checks.boilers import boilers
from app.checks.doors import doors
from app.checks.outside import outside, under_ceiling
from app.checks.room_to_use import room_to_use
from app.checks.shut_offs import shut_offs
from app.checks.snag import Snag, lower
from app.model.kit import Pose
from app.scene.build import Scene
from app.scene.tolerance import ROUNDING
from app.units import INCH_MM
from app.wording import Phrase, joined, phrase

DIRECTIONS = 8
"""Rays along which moves are tried: along the walls, which people can measure, and between."""
NEAR_AT_MOST = 2
"""Stations beside a finding that names none that may move: one of them is in the way."""
NEAR_MM = 1000.0
"""How near such a station stands: about the depth of floor that is kept free before anything."""
FAR_MM = (50, 100, 200, 300, 450, 650, 750, 1000, 1300, 1700, 2200, 3000)
"""Distances of shifts for findings that only the full judge sees, such as ways on foot."""
UNSEEN_JUDGED_AT_MOST = 72
"""Of those how many it judges: so a shift of a metre is still found in a crowded room."""


Floats = NDArray[np.float64]
_AS_IT_IS: tuple[str, tuple[float, ...]] = ("", ())
_SCREEN = (outside, under_ceiling, room_to_use, shut_offs, boilers, doors, bars)


@dataclass(frozen=True, slots=True)
class Move:
    """New poses of stations, in words, "Move the rack 270 right.", and what they do."""

    sentence: str
    poses: Mapping[str, Pose]
    distance_mm: float
    effect: Effect

    @property
    def rank(self) -> tuple[float, ...]:
        """How good it is, the best first: by what it does, then by how little is moved."""
        return (*self.effect.rank, self.distance_mm)


@dataclass(slots=True)
class Mover:
    """Looks for moves in one scene; what it learns of a station serves all its snags.

    A plan so large that the search would take minutes gets ways out only for its first snags: each
    try costs as much as the plan has solids, and the sum is bounded.
    """

    scene: Scene
    before: tuple[Snag, ...]
    budget: Budget = field(default_factory=lambda: Budget(WAYS_OUT_STEPS))
    trials: Trials = field(init=False)
    _ways: dict[str, Floats] = field(default_factory=dict)
    _screens: dict[tuple[str, tuple[float, ...]], tuple[Snag, ...] | None] = field(
        default_factory=dict
    )

    def __post_init__(self) -> None:
        self.trials = Trials.of(self.scene, self.before, self.budget)

    def next(self, scene: Scene, before: tuple[Snag, ...]) -> Mover:
        """Return who goes on in the plan after a step; the work already done counts."""
        return Mover(scene, before, self.budget)

    def free(self, scene: Scene, root: str, shifts: Floats) -> Floats:
        """Return those shifts of a station of a scene at which it meets nothing solid."""
        if not len(shifts) or not self.budget.allows(len(shifts)):
            return shifts[:0]
        return shifts[free_shifts(scene, root, shifts)]

    def roots(self, snag: Snag) -> tuple[str, ...]:
        """Return the stations that may be moved for a finding: those that it names.

        Where none of them may, those that stand nearest: what blocks the way to a tap is not named.
        """
        named = dict.fromkeys(self.scene.placed[piece].root for piece in snag.pieces)
        movable = tuple(root for root in named if self._may_move(root))
        if movable or not snag.pieces:
            return movable
        about = self.scene.placed[snag.pieces[0]].footprint
        away = sorted(
            (placed.footprint.distance(about), root)
            for root, (placed, *_) in self.scene.stations.items()
            if root not in named and self._may_move(root)
        )
        return tuple(root for far, root in away[:NEAR_AT_MOST] if far <= NEAR_MM)

    def _may_move(self, root: str) -> bool:
        return may_move(self.scene, root)

    def shift(self, snag: Snag) -> Move | None:
        """Find the smallest shift that clears a finding, else that which helps most."""
        best: Move | None = None
        for root in self.roots(snag):
            move = self._shift(root, snag)
            if move is not None and (best is None or move.rank < best.rank):
                best = move
        return best

    def effect(self, poses: Mapping[str, Pose], snag: Snag) -> Effect | None:
        """Judge new poses of whole stations; None if they do not help with a finding."""
        moved = self.scene.moved(poses)
        roots = {moved.placed[one].root for one in poses}
        if not all(sensible(self.scene, moved, root) for root in roots):
            return None
        return self.trials.effect(moved, snag)

    def _shift(self, root: str, snag: Snag) -> Move | None:
        """Find the best shift of one station: the smallest that clears for nothing, if any."""
        if root not in self._ways:
            # What hangs on a wall is tried along walls alone: anywhere else it would come down.
            walled = for_wall(self.scene, root)
            every = (shifts_on_walls if walled else _to_try)(self.scene, root)
            # All tries against all solids in one go, the cheapest test first; what is free serves
            # every snag of the station.
            self._ways[root] = self.free(self.scene, root, every)
        best: tuple[float, float, Effect] | None = None
        for dx, dy in self._promising(root, snag):
            if self.budget.over or (best is not None and _is_near_enough(best, snag, dx, dy)):
                break
            effect = self.effect(shifted(self.scene, root, dx, dy), snag)
            # the smallest come first, so of two that do as much the first stays
            if effect is not None and (best is None or effect.rank < best[2].rank):
                best = dx, dy, effect
                if effect.is_free:
                    break
        return None if best is None else self._come_back(root, snag, *best)

    def _promising(self, root: str, snag: Snag) -> Iterator[tuple[float, float]]:
        """Yield the shifts that the checks of the place alone let pass, as many as are judged.

        Those that leave nothing of the finding come as they are found, the smallest first; then
        those that leave least.
        """
        ways = self._ways[root]
        most = MOVES_JUDGED_AT_MOST
        kind = self.trials.kind(snag)
        if kind not in map(self.trials.kind, self._unmoved()):
            ways, most = _spread(ways, _directions(self.scene)), UNSEEN_JUDGED_AT_MOST
        partly: list[tuple[Weight, int, float, float]] = []
        count = 0
        for number, (x, y) in enumerate(ways[:SCREENED_AT_MOST].tolist()):
            if self.budget.over or count >= most:
                break
            poses = shifted(self.scene, root, x, y)
            rest = self.screened(root, poses, (x, y), snag)
            if rest == NOTHING:
                count += 1
                yield x, y
            elif rest is not None:
                partly.append((Weight(rest.severity, round(rest.share, 2)), number, x, y))
        for _, _, x, y in sorted(partly)[: most - count]:
            yield x, y

    def screened(
        self, root: str, poses: Mapping[str, Pose], about: tuple[float, ...], snag: Snag
    ) -> Weight | None:
        """Judge new poses by the checks that hang on the place alone: what is left of a finding.

        None if they do not help by these, or cost more. `about` tells the poses of a station apart.
        """
        key = (root, about)
        if key not in self._screens:
            moved = self.scene.moved(poses)
            sane = sensible(self.scene, moved, root)
            if sane and not self.budget.allows(work_of(moved, SCREENED)):
                return None
            self._screens[key] = screen(moved) if sane else None
        after = self._screens[key]
        if after is None:
            return None
        # What the screen finds of the plan as it stands is no news; checks see more alone than
        # after `run` has put things together.
        known = (*self.before, *self._unmoved())
        if not mends(outcome(known, after, self.trials.stations), snag, self.trials.stations):
            return None
        kind = self.trials.kind(snag)
        left = (weight_of(one) for one in after if self.trials.kind(one) == kind)
        return max((weight for weight in left if weight.severity), default=NOTHING)

    def _unmoved(self) -> tuple[Snag, ...]:
        """Return what the screen finds in the plan as it stands."""
        if _AS_IT_IS not in self._screens and self.budget.allows(work_of(self.scene, SCREENED)):
            self._screens[_AS_IT_IS] = screen(self.scene)
        return self._screens.get(_AS_IT_IS) or ()

    def _come_back(self, root: str, snag: Snag, dx: float, dy: float, effect: Effect) -> Move:
        """Come back from a shift that helps towards the place where it no longer helps as much."""
        step = _step_mm(self.scene)
        length = math.hypot(dx, dy)
        ux, uy = dx / length, dy / length
        low, high = 0, max(math.ceil(length / step), 1)
        best = effect

        def as_good(x: float, y: float) -> Effect | None:
            there = self.effect(shifted(self.scene, root, x, y), snag)
            return there if there is not None and there.rank <= effect.rank else None

        # Rounded up to a whole step it may have gone too far, into the next thing.
        if as_good(ux * high * step, uy * high * step) is None:
            low = high
        # Halving asks the judge seven times for a metre. Between two places that clear there may be
        # one that does not; then the move is longer than it must be, never wrong.
        while high - low > 1:
            middle = (low + high) // 2
            there = as_good(ux * middle * step, uy * middle * step)
            low, high = (low, middle) if there else (middle, high)
        far = high * step if low < high else length
        end = (ux * far, uy * far)
        # whole steps are easier to set out with a tape; away from where it does not clear
        whole = tuple(math.copysign(math.ceil(abs(d) / step - ROUNDING) * step, d) for d in end)
        for x, y in ((0.0, whole[1]), (whole[0], 0.0), whole, end):
            if not (x or y):
                continue
            there = as_good(x, y)
            if there is not None:
                end, best = (x, y), there
                break
        else:
            end = (dx, dy)
        name = lower(self.scene.placed[root].name)
        sentence = phrase("Move the {} {}.", name, shift_words(self.scene, *end))
        poses = shifted(self.scene, root, *end)
        return Move(sentence.worded(self.scene.plan.units), poses, math.hypot(*end), best)


def screen(scene: Scene) -> tuple[Snag, ...]:
    """Judge by the checks that hang on the place alone."""
    return tuple(snag for check in _SCREEN for snag in check(scene))


def _is_near_enough(best: tuple[float, float, Effect], snag: Snag, dx: float, dy: float) -> bool:
    """Return whether a shift is so far that a nearer one which takes a stop away is preferred."""
    x, y, effect = best
    milder = effect.rank[0] < weight_of(snag).severity
    return milder and math.hypot(dx, dy) > max(NUDGE_MM, 2 * math.hypot(x, y))


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


def _spread(ways: Floats, directions: Floats) -> Floats:
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


def _step_mm(scene: Scene) -> float:
    """Return the step in which a move is told: whole on the household's own tape."""
    feet = scene.plan.units == "feet"
    return float(INCH_MM / 2) if feet else ROUNDING_MM


def shift_words(scene: Scene, dx: float, dy: float) -> Phrase:
    """Say a shift as it looks on the plan: "270 right", "120 left and 400 to the back"."""
    near = _step_mm(scene) / 2
    parts = []
    if abs(dx) >= near:
        parts.append(phrase("{:bare} {}", abs(dx), "right" if dx > 0 else "left"))
    if abs(dy) >= near:
        parts.append(phrase("{:bare} to the {}", abs(dy), "front" if dy > 0 else "back"))
    return joined(" and ", parts)
