"""The smallest move of a station that clears a finding, or else the one that helps most.

Shifts along eight directions and to the points of a grid are tried, the smallest first. Most are
thrown out for meeting something solid, more by the checks that hang on the place alone; what is
left goes before the full judge, who decides.
"""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from functools import partial
from operator import ge, gt

import numpy as np
from numpy.typing import NDArray

from app.arrange.better import weight_of
from app.arrange.effort import (
    MOVES_JUDGED_AT_MOST,
    NUDGE_MM,
)
from app.arrange.guide import knows
from app.arrange.on_walls import for_wall, keeps_wall
from app.arrange.remedy import Remedy
from app.arrange.sense import may_move, sensible
from app.arrange.shift_search import ShiftSearch
from app.arrange.shifts import (
    directions,
    far_enough_first,
    shift_words,
    spread,
    step_mm,
)
from app.arrange.trial import Effect, any_rank, with_its_price
from app.arrange.tries import shifted
from app.changes.commands import SAYS_LIMIT
from app.changes.commands import moves as moved_to
from app.checks.snag import Snag
from app.model.kit import Pose
from app.scene.build import Scene
from app.scene.tolerance import ROUNDING
from app.wording import lower, phrase

NEAR_AT_MOST = 2
"""Stations beside a finding that names none that may move: one of them is in the way."""
NEAR_MM = 1000.0
"""How near such a station stands: about the depth of floor that is kept free before anything."""
UNSEEN_JUDGED_AT_MOST = 72
"""Of those how many are looked at: so a shift of a metre is still found in a crowded room."""


Floats = NDArray[np.float64]
BOTH_AT_MOST = 2
"""Other findings of a station of which it is asked whether one shift clears both."""


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


def as_remedy(scene: Scene, move: Move) -> Remedy:
    """Return a move as what is offered for a finding, with its price."""
    priced = with_its_price(move.sentence, move.effect, scene.plan.units)
    return Remedy(
        priced,
        (moved_to(scene.plan, move.poses, name="mend", says=priced[:SAYS_LIMIT]),),
        clears=move.effect.left is None,
        moved=frozenset(scene.placed[piece].root for piece in move.poses),
        plain=move.sentence,
    )


@dataclass(slots=True)
class Mover(ShiftSearch):
    """Looks for moves in one scene; what it learns of a station serves all its snags.

    A plan so large that the search would take minutes gets ways out only for its first snags: each
    try costs as much as the plan has solids, and the sum is bounded.
    """

    _shifts: dict[tuple[str, str], Move | None] = field(default_factory=dict)

    def next(self, scene: Scene, before: tuple[Snag, ...]) -> Mover:
        """Return who goes on in the plan after a step; the work already done counts."""
        return Mover(scene, before, self.budget)

    def has_shifted(self, snag: Snag) -> bool:
        """Return whether shifts were looked for on behalf of a finding, also for another's sake."""
        return any(key == snag.key for _, key in self._shifts)

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
        # what is off its wall comes to the nearest of all, turned if need be: no mere shift
        for root in (one for one in self.roots(snag) if keeps_wall(self.scene, one)):
            move = self.shift_of(root, snag)
            if move is not None and (best is None or move.rank < best.rank):
                best = move
        if best is None or not best.effect.clears:
            return best
        return self._for_both(best, snag) or best

    def _for_both(self, best: Move, snag: Snag) -> Move | None:
        """Return a shift of the same station that clears another finding of it as well, if any.

        Nobody is told to push a thing to the left for one row and to the right for the next.
        """
        (root,) = {self.scene.placed[piece].root for piece in best.poses}
        others = [
            other
            for other in self.before
            if other.severity != "note"
            and hangs_on_place(other)
            and knows(other)
            and self.scene.placed[other.pieces[0]].root == root
            and not self.trials.clears_too(best.effect, other)
        ]
        for other in others[:BOTH_AT_MOST]:
            move = self.shift_of(root, other)
            if move is None or not move.effect.is_free:
                continue
            effect = self.effect(move.poses, snag)
            if effect is not None and effect.is_free:
                return replace(move, effect=effect)
        return None

    def shift_of(self, root: str, snag: Snag) -> Move | None:
        """Find the best shift of one station: the smallest that clears for nothing, if any."""
        key = root, snag.key
        if key not in self._shifts:
            self._shifts[key] = self._found_shift(root, snag)
        return self._shifts[key]

    def _found_shift(self, root: str, snag: Snag) -> Move | None:
        # of headroom the core knows where somebody may train, not where what hangs there may be
        hangs = snag.meets == "height" and root != self.scene.placed[snag.pieces[0]].root
        if hangs or not knows(snag):
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
        ways = far_enough_first(spread(free, directions(self.scene)), snag)
        for dx, dy in ways[:UNSEEN_JUDGED_AT_MOST].tolist():
            if self.budget.over or (best is not None and _is_near_enough(best, snag, dx, dy)):
                break
            moved = self.moved(shifted(self.scene, root, dx, dy))
            if not sensible(self.scene, moved, root) or not self.speakers.helps(moved, snag):
                continue
            count += 1
            # the smallest come first, so of two that do as much the first stays
            better = partial(gt, best[2].rank) if best is not None else any_rank
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
        step = step_mm(self.scene)
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


def _is_near_enough(best: tuple[float, float, Effect], snag: Snag, dx: float, dy: float) -> bool:
    """Return whether a shift is so far that a nearer one which takes a stop away is preferred."""
    x, y, effect = best
    milder = effect.rank[0] < weight_of(snag).severity
    return milder and math.hypot(dx, dy) > max(NUDGE_MM, 2 * math.hypot(x, y))


def hangs_on_place(snag: Snag) -> bool:
    """Return whether a snag is of a kind that moving something can clear."""
    return bool(snag.pieces) and snag.hangs_on_place
