"""The smallest move of a station that clears a finding, or else the one that helps most.

Shifts along eight directions and to the points of a grid are tried, the smallest first. Most are
thrown out for meeting something solid, more by the checks that hang on the place alone; what is
left goes before the full judge, who decides.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache, partial
from operator import ge, gt

import numpy as np
from numpy.typing import NDArray

from app.arrange.better import weight_of
from app.arrange.effort import (
    MOVES_JUDGED_AT_MOST,
    NUDGE_MM,
    ROUNDING_MM,
    WAYS_OUT_STEPS,
)
from app.arrange.guide import Guide, Level, Way, best_first, knows
from app.arrange.on_walls import for_wall, shifts_on_walls
from app.arrange.sense import may_move, sensible
from app.arrange.shifts import directions, spread, to_try
from app.arrange.speakers import Speakers
from app.arrange.trial import Effect, Rank, Trials
from app.arrange.tries import shifted
from app.budget import Budget
from app.checks.snag import Snag
from app.model.fronts import front_of
from app.model.kit import Pose
from app.recent import Recent
from app.scene.build import Scene
from app.scene.tolerance import HALF_MM, ROUNDING
from app.units import INCH_MM
from app.wording import Phrase, joined, lower, phrase

NEAR_AT_MOST = 2
"""Stations beside a finding that names none that may move: one of them is in the way."""
NEAR_MM = 1000.0
"""How near such a station stands: about the depth of floor that is kept free before anything."""
UNSEEN_JUDGED_AT_MOST = 72
"""Of those how many are looked at: so a shift of a metre is still found in a crowded room."""


Floats = NDArray[np.float64]
LEVELS: tuple[Level, ...] = ("clean", "clears")
"""What clears a finding, the better first."""
JUDGED_AT_A_LEVEL = 5
"""Places of one level that go before the judge: the core has said what a place decides."""
CONFIRMED_AT_MOST = 3
"""Of those how many are asked for ways on foot, which takes longer than all else."""
APART_MM = 100.0
"""How far a place lies from one that was no help, at least."""
APART_SHARE = 0.25
"""The same as a part of the move: what is a stride off is no other place a hand's breadth on."""
CLEARED_WITHIN_MM = 1000.0
"""A finding is rather cleared by a move of no more than this, a stride, than made milder nearby."""
LOOKED_AT_AT_MOST = 120
"""Places that are looked at for whether anybody would put a thing there."""
TRIED_AT_MOST = 256
"""Tries that are kept with what was said of them: one place is tried at every level, and a station
at the same turns and walls for each of its findings. A garage full of kit has some two hundred."""


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
    guide: Guide = field(init=False)
    speakers: Speakers = field(init=False)
    _ways: dict[str, Floats] = field(default_factory=dict)
    _there: Recent[frozenset[tuple[str, float, float, float]], Scene] = field(
        default_factory=lambda: Recent(TRIED_AT_MOST)
    )

    def __post_init__(self) -> None:
        self.trials = Trials.of(self.scene, self.before, self.budget)
        self.guide = Guide(self.scene, _step_mm(self.scene), self.budget)
        self.speakers = Speakers(self.scene, self.trials)

    def next(self, scene: Scene, before: tuple[Snag, ...]) -> Mover:
        """Return who goes on in the plan after a step; the work already done counts."""
        return Mover(scene, before, self.budget)

    def roots(self, snag: Snag) -> tuple[str, ...]:
        """Return the stations that may be moved for a finding: those that it names.

        Where none of them may, those that stand nearest: what blocks the way to a tap is not named.
        """
        named = dict.fromkeys(self.scene.placed[piece].root for piece in snag.pieces)
        movable = tuple(root for root in named if self.may_move(root))
        if movable or not snag.pieces:
            return movable
        about = self.scene.placed[snag.pieces[0]].footprint
        away = sorted(
            (placed.footprint.distance(about), root)
            for root, (placed, *_) in self.scene.stations.items()
            if root not in named and self.may_move(root)
        )
        return tuple(root for far, root in away[:NEAR_AT_MOST] if far <= NEAR_MM)

    def may_move(self, root: str) -> bool:
        """Return whether a station may be moved at all."""
        return may_move(self.scene, root)

    def shift(self, snag: Snag) -> Move | None:
        """Find the smallest shift that clears a finding, else that which helps most."""
        best: Move | None = None
        for root in self.roots(snag):
            move = self.shift_of(root, snag)
            if move is not None and (best is None or move.rank < best.rank):
                best = move
        return best

    def moved(self, poses: Mapping[str, Pose]) -> Scene:
        """Return the scene with some pieces elsewhere: the same one as long as it is kept."""
        key = frozenset((one, at.x_mm, at.y_mm, at.angle_deg) for one, at in poses.items())
        return self._there.made(key, lambda: self.scene.moved(poses))

    def effect(self, poses: Mapping[str, Pose], snag: Snag) -> Effect | None:
        """Judge new poses of whole stations; None if they do not help with a finding."""
        moved = self.moved(poses)
        return self.trials.effect(moved, snag) if self.is_sane(moved, poses) else None

    def is_sane(self, moved: Scene, poses: Mapping[str, Pose]) -> bool:
        """Return whether stations that were moved stand as people would put them."""
        roots = {moved.placed[one].root for one in poses}
        return all(sensible(self.scene, moved, root) for root in roots)

    def shift_of(self, root: str, snag: Snag) -> Move | None:
        """Find the best shift of one station: the smallest that clears for nothing, if any."""
        if not knows(snag):
            return self._unseen_shift(root, snag)
        angle = self.scene.placed[root].pose.angle_deg
        way = self.guide.way(root, angle, snag)
        walled = for_wall(self.scene, root)
        rays = np.zeros((0, 2)) if walled else directions(self.scene)
        # What hangs on a wall is tried along walls alone: anywhere else it would come down.
        best = self.searched(
            snag,
            way,
            self.every(root),
            rays,
            lambda dx, dy: shifted(self.scene, root, dx, dy),
            root,
        )
        return None if best is None else self._move(root, *best)

    def searched(
        self,
        snag: Snag,
        way: Way,
        every: Floats,
        rays: Floats,
        put: Callable[[float, float], Mapping[str, Pose]],
        root: str,
    ) -> tuple[float, float, Effect] | None:
        """Find the best shift at one turn of a station: the smallest that clears for nothing.

        A stop is rather made a care nearby than cleared far off. Where nothing clears, it is what
        leaves least. `put` gives the poses of a shift.
        """
        if not self.budget.allows(len(every) + 1):
            return None
        guide, near = self.guide, math.inf
        shifts_of = cache(lambda level: guide.shifts(way, level, rays, every))
        milder = shifts_of("milder")
        if snag.severity == "stop":
            first = next(self._sane(milder, put, root), None)
            if first is None:
                return None
            near = max(CLEARED_WITHIN_MM, 2 * math.hypot(*first[:2]))
        for within in dict.fromkeys((near, math.inf)):
            for level in LEVELS:
                best = self._first_of(_within(shifts_of(level), within), put, snag, root)
                if best is not None:
                    return best
            partly = _within(milder, within)
            if len(partly):
                by_rank = best_first(partly, guide.short(root, way, partly))
                best = self._first_of(by_rank, put, snag, root)
                if best is not None:
                    return best
        return None

    def _first_of(
        self,
        shifts: Floats,
        put: Callable[[float, float], Mapping[str, Pose]],
        snag: Snag,
        root: str,
    ) -> tuple[float, float, Effect] | None:
        """Judge some shifts in their order; return the first that costs nothing, else the best.

        Ways on foot are asked last, of the best alone. What lies near a place that was no help is
        passed over.
        """
        passed: list[tuple[tuple[float, ...], int, float, float, Scene]] = []
        no_help: list[tuple[float, float]] = []
        refused = 0
        for dx, dy, moved in self._sane(shifts, put, root):
            apart = max(APART_MM, APART_SHARE * math.hypot(dx, dy))
            if any(math.dist((dx, dy), other) < apart for other in no_help):
                continue
            if len(passed) + len(no_help) >= JUDGED_AT_A_LEVEL or self.budget.over:
                break
            if refused >= CONFIRMED_AT_MOST:
                break
            if not self.speakers.helps(moved, snag):
                no_help.append((dx, dy))
                continue
            effect = self.trials.quick_effect(moved, snag)
            if effect is None:
                no_help.append((dx, dy))
                continue
            if effect.is_free:
                whole = self.trials.effect(moved, snag, asked=True)
                if whole is not None and whole.is_free:
                    return dx, dy, whole
                refused += 1
                no_help.append((dx, dy))
                continue
            passed.append((effect.rank, len(passed), dx, dy, moved))
        # the smallest come first, so of two that do as much the first stays
        for _, _, dx, dy, moved in sorted(passed)[:CONFIRMED_AT_MOST]:
            whole = self.trials.effect(moved, snag, asked=True)
            if whole is not None:
                return dx, dy, whole
        return None

    def _sane(
        self, shifts: Floats, put: Callable[[float, float], Mapping[str, Pose]], root: str
    ) -> Iterator[tuple[float, float, Scene]]:
        """Yield the shifts after which a station stands as people would put it, in their order."""
        for dx, dy in shifts[:LOOKED_AT_AT_MOST].tolist():
            moved = self.moved(put(dx, dy))
            if sensible(self.scene, moved, root):
                yield dx, dy, moved

    def every(self, root: str) -> Floats:
        """Return the shifts of a station that are tried, (n, 2) in mm, the smallest first."""
        if root not in self._ways:
            walled = for_wall(self.scene, root)
            self._ways[root] = (shifts_on_walls if walled else to_try)(self.scene, root)
        return self._ways[root]

    def _unseen_shift(self, root: str, snag: Snag) -> Move | None:
        """Find a shift for a finding that the core does not know, by the check that speaks of it.

        Nothing that the core knows may get worse.
        """
        way = self.guide.way(root, self.scene.placed[root].pose.angle_deg, None)
        every = self.every(root)
        if not self.budget.allows(len(every) + 1):
            return None
        free = every[way.allows(every, "clean")]
        if not len(free):
            free = every[way.allows(every, "milder")]
        best: tuple[float, float, Effect] | None = None
        count = 0
        ways = _far_enough_first(spread(free, directions(self.scene)), snag)
        for dx, dy in ways[:UNSEEN_JUDGED_AT_MOST].tolist():
            if self.budget.over or (best is not None and _is_near_enough(best, snag, dx, dy)):
                break
            moved = self.moved(shifted(self.scene, root, dx, dy))
            if not sensible(self.scene, moved, root) or not self.speakers.helps(moved, snag):
                continue
            count += 1
            # the smallest come first, so of two that do as much the first stays
            better = partial(gt, best[2].rank) if best is not None else _any
            effect = self.trials.effect(moved, snag, wanted=better)
            if effect is not None:
                best = dx, dy, effect
                if effect.is_free:
                    break
            if count >= MOVES_JUDGED_AT_MOST:
                break
        return None if best is None else self._come_back(root, snag, *best)

    def _come_back(self, root: str, snag: Snag, dx: float, dy: float, effect: Effect) -> Move:
        """Come back from a shift that helps towards the place where it no longer helps as much."""
        step = _step_mm(self.scene)
        length = math.hypot(dx, dy)
        ux, uy = dx / length, dy / length
        low, high = 0, max(math.ceil(length / step), 1)
        best = effect

        def as_good(x: float, y: float) -> Effect | None:
            moved = self.moved(shifted(self.scene, root, x, y))
            if not sensible(self.scene, moved, root) or not self.speakers.helps(moved, snag):
                return None
            return self.trials.effect(moved, snag, wanted=partial(ge, effect.rank))

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
        return self._move(root, *end, best)

    def _move(self, root: str, dx: float, dy: float, effect: Effect) -> Move:
        name = lower(self.scene.placed[root].name)
        sentence = phrase("Move the {} {}.", name, shift_words(self.scene, dx, dy))
        poses = shifted(self.scene, root, dx, dy)
        return Move(sentence.worded(self.scene.plan.units), poses, math.hypot(dx, dy), effect)


def _any(_: Rank) -> bool:
    return True


def _within(shifts: Floats, far_mm: float) -> Floats:
    """Return shifts of no more than so many mm."""
    some: Floats = shifts[np.hypot(shifts[:, 0], shifts[:, 1]) <= far_mm + ROUNDING]
    return some


def _is_near_enough(best: tuple[float, float, Effect], snag: Snag, dx: float, dy: float) -> bool:
    """Return whether a shift is so far that a nearer one which takes a stop away is preferred."""
    x, y, effect = best
    milder = effect.rank[0] < weight_of(snag).severity
    return milder and math.hypot(dx, dy) > max(NUDGE_MM, 2 * math.hypot(x, y))


def _far_enough_first(shifts: Floats, snag: Snag) -> Floats:
    """Return shifts, those first that are no shorter than what is missing: no other can clear."""
    if snag.unit != "mm" or snag.measured is None or snag.required is None:
        return shifts
    missing = abs(snag.required - snag.measured)
    short = np.hypot(shifts[:, 0], shifts[:, 1]) < missing - ROUNDING_MM
    ordered: Floats = shifts[np.argsort(short, kind="stable")]
    return ordered


def hangs_on_place(snag: Snag) -> bool:
    """Return whether a snag is of a kind that moving something can clear."""
    return bool(snag.pieces) and snag.hangs_on_place


def _step_mm(scene: Scene) -> float:
    """Return the step in which a move is told: whole on the household's own tape."""
    feet = scene.plan.units == "feet"
    return float(INCH_MM / 2) if feet else ROUNDING_MM


def shift_words(scene: Scene, dx: float, dy: float) -> Phrase:
    """Say a shift as one sees it from the door: "270 right", "120 left and 400 to the back"."""
    near = _step_mm(scene) / 2
    ways = front_of(scene.plan).words(dx, dy)
    parts = [phrase("{:bare} {}", length, word) for length, word in ways if length >= near]
    if not parts and max(ways)[0] >= HALF_MM:
        # less than a tape shows: where to is all there is to say
        return phrase("a hair {}", max(ways)[1])
    return joined(" and ", parts)
