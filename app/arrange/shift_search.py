"""The search among shifts of one station: the smallest that clears a finding for nothing.

Most are thrown out for meeting something solid, more by the checks that hang on the place alone;
what is left goes before the full judge, who decides.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field
from functools import cache, partial
from itertools import product
from operator import ge, itemgetter

import numpy as np
from numpy.typing import NDArray

from app.arrange.effort import WAYS_OUT_STEPS
from app.arrange.guide import PLACE_DECIMALS, Guide, Level, Way
from app.arrange.on_walls import for_wall, shifts_on_walls
from app.arrange.sense import sensible
from app.arrange.shifts import (
    axes_of,
    best_first,
    directions,
    step_mm,
    to_try,
    within,
)
from app.arrange.speakers import Speakers
from app.arrange.trial import WORTH_MOVING_SHARE, Effect, Trials, Wanted, any_rank
from app.budget import Budget
from app.checks.snag import Snag
from app.model.kit import Pose
from app.recent import Recent
from app.scene.build import Scene
from app.scene.tolerance import ROUNDING

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
TRIMMED_AT_MOST = 4
"""Shorter ones of a slanting shift that are judged: halved so often, 250 mm come to some 20."""
STRAIGHT = 4
"""Of the directions those along and across the walls, which come first."""
TRIED_AT_MOST = 256
"""Tries that are kept with what was said of them: one place is tried at every level, and a station
at the same turns and walls for each of its findings. A garage full of kit has some two hundred."""


@dataclass(slots=True)
class ShiftSearch:
    """Tries shifts of one station after another in one scene, and judges those that may help."""

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
        self.guide = Guide(self.scene, step_mm(self.scene), self.budget)
        self.speakers = Speakers(self.scene, self.trials)

    def moved(self, poses: Mapping[str, Pose]) -> Scene:
        """Return the scene with some pieces elsewhere: the same one as long as it is kept."""
        key = frozenset((one, at.x_mm, at.y_mm, at.angle_deg) for one, at in poses.items())
        return self._there.made(key, lambda: self.scene.moved(poses))

    def effect(
        self, poses: Mapping[str, Pose], snag: Snag, wanted: Wanted = any_rank
    ) -> Effect | None:
        """Judge new poses of whole stations; None if they do not help as much as is wanted."""
        moved = self.moved(poses)
        if not self.is_sane(moved, poses):
            return None
        return self.trials.effect(moved, snag, wanted=wanted)

    def is_sane(self, moved: Scene, poses: Mapping[str, Pose]) -> bool:
        """Return whether stations that were moved stand as people would put them."""
        roots = {moved.placed[one].root for one in poses}
        return all(sensible(self.scene, moved, root) for root in roots)

    def searched(
        self,
        snag: Snag,
        way: Way,
        every: Floats,
        rays: Floats,
        put: Callable[[float, float], Mapping[str, Pose]],
        root: str,
        wanted: Wanted = any_rank,
    ) -> tuple[float, float, Effect] | None:
        """Find the best shift at one turn of a station: the smallest that clears for nothing.

        A stop is rather made a care nearby than cleared far off. Where nothing clears, it is what
        leaves least. `put` gives the poses of a shift; one whose rank is not `wanted` is no help.
        """
        if not self.budget.allows(len(every) + 1):
            return None
        guide, near = self.guide, math.inf
        first_of = partial(self._first_of, put=put, snag=snag, root=root, wanted=wanted)
        shifts_of = cache(lambda level: guide.shifts(way, level, rays, every))
        milder = shifts_of("milder")
        if snag.severity == "stop":
            first = next(self._sane(milder, put, root), None)
            if first is None:
                return None
            near = max(CLEARED_WITHIN_MM, 2 * math.hypot(*first[:2]))
        for far_mm in dict.fromkeys((near, math.inf)):
            for level in LEVELS:
                best = first_of(within(shifts_of(level), far_mm), clearing=True)
                if best is not None:
                    return self._trimmed(best, way, level, put, snag, root)
            partly = within(milder, far_mm)
            if len(partly):
                by_rank = best_first(partly, guide.short(root, way, partly))
                best = first_of(by_rank)
                if best is not None:
                    return self._by_what_lacks(snag, rays, put, root, best)
        best = None
        if snag.severity == "stop":
            # what leaves least by the core may be refused for what that does not know: before a
            # thing is left out the smallest moves are judged too
            best = first_of(within(milder, near))
        return self._by_what_lacks(snag, rays, put, root, best)

    def _by_what_lacks(
        self,
        snag: Snag,
        rays: Floats,
        put: Callable[[float, float], Mapping[str, Pose]],
        root: str,
        best: tuple[float, float, Effect] | None = None,
    ) -> tuple[float, float, Effect] | None:
        """Find a shift by what a working space lacks, or by some of that, along the walls.

        The grid of other shifts is coarse, and nobody moves a thing by more than it lacks. Too
        little on one side is shared between two where the other side can spare half of it, or is
        given what it can spare. `best` is what else helps: it stays where none is better.
        """
        wanted = snag.required if snag.need is None else snag.need
        if snag.space is None or snag.measured is None or wanted is None:
            return best
        step, lacks = step_mm(self.scene), wanted - snag.measured
        whole = math.ceil(lacks / step - ROUNDING) * step
        half = round(lacks / 2 / step) * step
        # each by itself: short ones lie near one another, and one that is no help speaks for none
        for far, ray in product((whole, half), rays[:STRAIGHT]):
            # what the core refuses may be another finding of the same thing, which stays as it is
            found = self._first_of(far * ray[np.newaxis], put, snag, root)
            if found is not None and (best is None or found[-1].rank < best[-1].rank):
                best = found
        if best is None and snag.severity != "stop":
            least = math.ceil(lacks * WORTH_MOVING_SHARE / step - ROUNDING) * step
            for ray in rays[:STRAIGHT]:
                best = best or self._as_far_as_it_helps((least, half), ray, put, snag, root)
        return best

    def _as_far_as_it_helps(
        self,
        between_mm: tuple[float, float],
        ray: Floats,
        put: Callable[[float, float], Mapping[str, Pose]],
        snag: Snag,
        root: str,
    ) -> tuple[float, float, Effect] | None:
        """Return the longest shift along a ray that still costs nothing, None where none does.

        It is looked for between what is worth a move and what is known to go too far.
        """
        step = step_mm(self.scene)
        low, high = (round(far / step) for far in between_mm)
        best = self._first_of(low * step * ray[np.newaxis], put, snag, root)
        while best is not None and high - low > 1:
            middle = (low + high) // 2
            found = self._first_of(middle * step * ray[np.newaxis], put, snag, root)
            low, high, best = (low, middle, best) if found is None else (middle, high, found)
        return best

    def _trimmed(
        self,
        best: tuple[float, float, Effect],
        way: Way,
        level: Level,
        put: Callable[[float, float], Mapping[str, Pose]],
        snag: Snag,
        root: str,
    ) -> tuple[float, float, Effect]:
        """Return a slanting shift with the less of both ways as short as will do as well.

        The grid it comes from is coarse: a hand's breadth off a wall may be enough.
        """
        dx, dy, effect = best
        # along and across the walls, whichever way these lie
        axes = axes_of(directions(self.scene))
        u, v = (axes @ (dx, dy)).round(PLACE_DECIMALS).tolist()
        less = min(abs(u), abs(v))
        if less <= APART_MM:
            return best
        shorter = np.arange(0.0, less, step_mm(self.scene))
        fixed = np.full(len(shorter), max(u, v, key=abs))
        sign = math.copysign(1.0, min(u, v, key=abs))
        tries = np.column_stack((fixed, sign * shorter))
        tries = (tries if abs(u) >= abs(v) else tries[:, ::-1]) @ axes
        allowed = tries[way.allows(tries, level)].tolist()
        # what the core does not know it is halved for, as far as that is worth its judgements
        low, high = -1, len(allowed)
        passed: list[tuple[float, float, Scene]] = []
        for _ in range(TRIMMED_AT_MOST):
            middle = (low + high) // 2
            if high - low < 2:
                break
            moved = self.moved(put(*allowed[middle]))
            sane = sensible(self.scene, moved, root)
            if sane and self.trials.quick_effect(moved, snag, partial(ge, effect.rank)):
                high = middle
                passed.append((*allowed[middle], moved))
            else:
                low = middle
        # ways on foot are asked last: of the shortest, then of the next longer
        for x, y, moved in reversed(passed):
            whole = self.trials.effect(moved, snag, True, partial(ge, effect.rank))
            if whole is not None:
                return x, y, whole
        return best

    def _first_of(
        self,
        shifts: Floats,
        put: Callable[[float, float], Mapping[str, Pose]],
        snag: Snag,
        root: str,
        clearing: bool = False,
        wanted: Wanted = any_rank,
    ) -> tuple[float, float, Effect] | None:
        """Judge some shifts in their order; return the first that costs nothing, else the best.

        Ways on foot are asked last, of the best alone. What lies near a place that was no help is
        passed over, and of shifts that are `clearing` what lies near one that has its price: a
        hand's breadth on it costs as much.
        """
        passed: list[tuple[tuple[float, ...], int, float, float, Scene, Effect | None]] = []
        no_help: list[tuple[float, float]] = []
        judged = 0
        refused = 0
        for dx, dy, moved in self._sane(shifts, put, root):
            apart = max(APART_MM, APART_SHARE * math.hypot(dx, dy))
            if any(math.dist((dx, dy), other) < apart for other in no_help):
                continue
            if judged >= JUDGED_AT_A_LEVEL or self.budget.over:
                break
            if refused >= CONFIRMED_AT_MOST:
                break
            judged += 1
            no_help.append((dx, dy))
            if not self.speakers.helps(moved, snag):
                continue
            effect = self.trials.quick_effect(moved, snag, wanted)
            if effect is None:
                continue
            if not clearing:
                no_help.pop()
            if effect.is_free:
                whole = self.trials.effect(moved, snag, True, wanted)
                if whole is not None and whole.is_free:
                    return dx, dy, whole
                if whole is not None and not clearing:
                    # what it costs on foot it is worth all the same, where nothing else costs less
                    passed.append((whole.rank, len(passed), dx, dy, moved, whole))
                refused += 1
                no_help.append((dx, dy))
                continue
            passed.append((effect.rank, len(passed), dx, dy, moved, None))
        # the smallest come first, so of two that do as much the first stays
        for _, _, dx, dy, moved, known in sorted(passed, key=itemgetter(0, 1))[:CONFIRMED_AT_MOST]:
            whole = known or self.trials.effect(moved, snag, asked=True)
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
