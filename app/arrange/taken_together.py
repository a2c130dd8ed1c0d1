"""Ways out of several findings, taken one after the other: what one moves leaves the other room.

Each is found with all else standing as it stands. Who follows one row after the other would push
a bicycle to the very edge of a run-off and then the belt after it. What is met so goes on by as
much as the other goes, where that costs nothing more; else the later row says so.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import partial
from operator import ge

import numpy as np
import shapely

from app.arrange.better import CARE, NOTHING, Weight, weight_of, weights
from app.arrange.effort import SCREENED, work_of
from app.arrange.moves import Move, Mover, as_remedy
from app.arrange.remedy import Remedy
from app.arrange.shifts import shift_words
from app.arrange.trial import Effect
from app.arrange.tries import shifted
from app.checks.run import run_places
from app.checks.snag import Snag
from app.model.kit import Pose
from app.scene.build import Scene
from app.scene.tolerance import TOLERANCE_MM
from app.wording import lower, phrase

Box = tuple[float, float, float, float]
Accepts = Callable[[Snag, Remedy, Effect], bool]


@dataclass(frozen=True, slots=True)
class Taken:
    """A way out that moves stations, and what it does."""

    snag: Snag
    remedy: Remedy
    effect: Effect
    scene: Scene

    def poses(self, was: Scene) -> Mapping[str, Pose]:
        """Return where it brings the pieces of its stations."""
        return {
            piece_id: placed.pose
            for piece_id, placed in self.scene.placed.items()
            if was.placed[piece_id].root in self.remedy.moved
        }

    def shift(self, was: Scene) -> tuple[float, float] | None:
        """Return by how much it shifts its one station in mm, None where it does more than that."""
        if len(self.remedy.moved) != 1:
            return None
        (root,) = self.remedy.moved
        before, after = was.placed[root].pose, self.scene.placed[root].pose
        if after.angle_deg != before.angle_deg:
            return None
        return after.x_mm - before.x_mm, after.y_mm - before.y_mm


@dataclass(slots=True)
class TakenTogether:
    """Looks at ways out two by two; what goes on is asked whether it is still accepted."""

    mover: Mover
    accepts: Accepts
    _said: dict[int, Mapping[str, Weight]] = field(default_factory=dict)
    _kept: list[Scene] = field(default_factory=list)

    def settled(self, offered: list[Taken]) -> list[Taken]:
        """Return ways out, in the order of their rows, so that they can all be taken.

        Where the later of two clears the earlier finding for nothing, it is the way out of both.
        """
        found = list(offered)
        for later in range(len(found)):
            for earlier in range(later):
                one, other = found[earlier], found[later]
                if not self._spoil(one, other):
                    continue
                if other.effect.is_free and self.mover.trials.clears_too(other.effect, one.snag):
                    found[earlier] = replace(other, snag=one.snag)
                elif not self._goes_on(found, earlier, later):
                    found[later] = _said_so(other, one)
        return found

    def _goes_on(self, found: list[Taken], earlier: int, later: int) -> bool:
        """Let one of two go on by as much as the other goes; return whether one could."""
        for one, other in ((earlier, later), (later, earlier)):
            on = self._carried(found[one], found[other])
            if on is None or self._spoil(on, found[other]):
                continue
            rest = (taken for i, taken in enumerate(found) if i != one)
            if all(self._spoil(found[one], taken) or not self._spoil(on, taken) for taken in rest):
                found[one] = on
                return True
        return False

    def _carried(self, one: Taken, other: Taken) -> Taken | None:
        """Return a way out that goes on by as much as another goes, None where that costs more."""
        scene = self.mover.scene
        mine, its = one.shift(scene), other.shift(scene)
        if mine is None or its is None:
            return None
        (root,) = one.remedy.moved
        dx, dy = mine[0] + its[0], mine[1] + its[1]
        poses = shifted(scene, root, dx, dy)
        effect = self.mover.effect(poses, one.snag, partial(ge, one.effect.rank))
        if effect is None or effect.scene is None or not effect.remaining <= one.effect.remaining:
            return None
        name = lower(scene.placed[root].name)
        sentence = phrase("Move the {} {}.", name, shift_words(scene, dx, dy))
        said = sentence.worded(scene.plan.units)
        remedy = as_remedy(scene, Move(said, poses, math.hypot(dx, dy), effect))
        if not self.accepts(one.snag, remedy, effect):
            return None
        return Taken(one.snag, remedy, effect, effect.scene)

    def _spoil(self, one: Taken, other: Taken) -> bool:
        """Return whether two ways out, both taken, leave something between what they move.

        That is what neither leaves there by itself.
        """
        scene, trials = self.mover.scene, self.mover.trials
        if one.remedy.moved & other.remedy.moved or not self._may_meet(one, other):
            return False
        if not trials.budget.allows(work_of(scene, SCREENED)):
            return False
        both = scene.moved({**one.poses(scene), **other.poses(scene)})
        between = [
            snag
            for snag in run_places(both)
            if weight_of(snag).severity >= CARE
            and self._stations(snag) & one.remedy.moved
            and self._stations(snag) & other.remedy.moved
        ]
        now = weights(between, trials.stations)
        if not now:
            return False
        was = self._weights(scene)
        alone = self._weights(one.scene), self._weights(other.scene)
        return any(
            weight.exceeds(
                _expected(was.get(place, NOTHING), *(each.get(place, NOTHING) for each in alone))
            )
            for place, weight in now.items()
        )

    def _stations(self, snag: Snag) -> frozenset[str]:
        """Return the stations that a finding is about, with what takes the room."""
        stations = self.mover.trials.stations
        named = (*snag.pieces, snag.against or "")
        return frozenset(stations[piece] for piece in named if piece in stations)

    def _weights(self, scene: Scene) -> Mapping[str, Weight]:
        if id(scene) not in self._said:
            # as long as it is kept no other has its place in memory
            self._kept.append(scene)
            self._said[id(scene)] = weights(run_places(scene), self.mover.trials.stations)
        return self._said[id(scene)]

    def _may_meet(self, one: Taken, other: Taken) -> bool:
        """Return whether what two ways out move comes near one another, with the room it needs."""
        (ax, ay, bx, by), (cx, cy, dx, dy) = (
            _box(taken.scene, taken.remedy.moved) for taken in (one, other)
        )
        apart = TOLERANCE_MM
        return ax < dx + apart and cx < bx + apart and ay < dy + apart and cy < by + apart


def _expected(was: Weight, one: Weight, other: Weight) -> Weight:
    """Return what two ways out leave at a place where neither meets what the other does."""
    eased = [weight for weight in (one, other) if was.exceeds(weight)]
    return min(eased) if eased else max(was, one, other)


def _box(scene: Scene, roots: frozenset[str]) -> Box:
    """Return the box about some stations and their working spaces in mm."""
    numbers = [i for i, placed in enumerate(scene.order) if placed.root in roots]
    there = [some.cores[np.isin(some.owner, numbers)] for some in (scene.solids, scene.spaces)]
    x0, y0, x1, y1 = shapely.total_bounds(np.concatenate(there)).tolist()
    return x0, y0, x1, y1


def _said_so(taken: Taken, first: Taken) -> Taken:
    """Return a way out that says with which other one it cannot be taken as it stands."""
    remedy = taken.remedy
    if remedy.sentence.endswith(_LOOK_AGAIN):
        return taken
    plain = remedy.sentence.removesuffix(".")
    sentence = f"{plain}; what mends “{first.snag.who}” needs room there too{_LOOK_AGAIN}"
    return replace(taken, remedy=replace(remedy, sentence=sentence))


_LOOK_AGAIN = ": after that look here again."
