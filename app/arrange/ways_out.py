"""A way out of each finding of a plan: what is offered for each, and what is said of the rest."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from functools import cached_property

from app.arrange.effort import FULL, WAYS_OUT_STEPS, work_of
from app.arrange.left_open import left_open
from app.arrange.moved_first import MovedFirst
from app.arrange.moves import Mover
from app.arrange.remedy import Remedy, WaysOut
from app.arrange.swaps import proposals
from app.arrange.taken_together import Taken, TakenTogether
from app.arrange.trial import Effect
from app.arrange.way_out_search import Accept, Search, whatever
from app.budget import Budget
from app.checks.run import run
from app.checks.snag import Snag
from app.scene.build import Scene

NOT_LOOKED_AT = "Not looked at: the plan is so large that the search ended before it came to this."
NOT_ALL_TRIED = "Not everything was tried: the plan is so large that the search ended before."


def remedies(
    scene: Scene, snags: Iterable[Snag], budget: Budget | None = None
) -> Mapping[str, Remedy]:
    """Return a remedy for each snag that has one, by key; see `ways_out`."""
    return ways_out(scene, snags, budget).remedies


def ways_out(scene: Scene, snags: Iterable[Snag], budget: Budget | None = None) -> WaysOut:
    """Look for a way out of each snag, in both rounds; see `Rounds`."""
    return Rounds(scene, snags, budget or Budget(WAYS_OUT_STEPS)).both


class Rounds:
    """Looks for a way out of each snag. The scene is that of its own plan.

    What one way out clears as well is offered once, with the first of them. What the budget does
    not reach is said. What a care is worth that one change does not mend is looked for in a second
    round, which takes longer than the first: that can be shown by itself.
    """

    def __init__(self, scene: Scene, snags: Iterable[Snag], budget: Budget) -> None:
        self.scene, self.budget = scene, budget
        self.snags = [one for one in snags if one.severity != "note" or one.lacks == "kit"]
        self._offered: dict[str, Remedy] = {}
        self._tried: dict[str, str] = {}
        self._effects: list[tuple[Snag, Effect]] = []
        self._open: list[tuple[Search, MovedFirst]] = []
        self._cut_short: set[str] = set()
        self._settled: set[str] = set()
        self._mover: Mover | None = None

    @cached_property
    def first(self) -> WaysOut:
        """What the first round finds; of what is left for the second nothing is said."""
        if not self.budget.allows(work_of(self.scene, FULL)):
            return WaysOut({}, {snag.key: NOT_LOOKED_AT for snag in self.snags})
        self._mover = mover = Mover(self.scene, run(self.scene), self.budget)
        for snag in self.snags:
            by = next(
                (
                    (one, "mends" if effect.clears else "helps with")
                    for one, effect in self._effects
                    if mover.trials.clears_too(effect, snag)
                ),
                None,
            )
            # what is used with another thing is said all the same: it is why it stands there
            if by is not None and not (
                snag.space and any(True for _ in proposals(mover.scene, snag))
            ):
                self._tried[snag.key] = _clears_this_too(by[1], by[0])
                continue
            if self.budget.over:
                self.budget.leave_out(snag.key)
                self._tried[snag.key] = NOT_LOOKED_AT
                continue
            moved = [(one, self._offered[one.key].moved) for one, _ in self._effects]
            first = MovedFirst(mover.trials, snag, moved)
            search = Search(mover, snag, first.leaves_none, first.waits)
            self._take(search, search.one_change())
            self._open.append((search, first))
            self._note_the_end(snag)
        self._settle()
        return WaysOut(dict(self._offered), dict(self._tried))

    @cached_property
    def both(self) -> WaysOut:
        """All that is found, and what is said of the rest."""
        said = self.first
        if self._mover is None:
            return said
        for search, _ in self._open:
            if search.snag.severity != "stop" and search.snag.key not in self._settled:
                self._take(search, search.two_changes())
                self._note_the_end(search.snag)
        self._settle()
        # a way out that was found later may help with it all the same
        for search, first in self._open:
            key = search.snag.key
            if key in self._offered or key in self._settled:
                continue
            if first.left is not None:
                self._tried[key] = f"Mend “{first.left.who}” first: that moves it too."
            elif key in self._cut_short:
                self._tried[key] = NOT_ALL_TRIED
            else:
                self._tried[key] = left_open(
                    self._mover.trials, search.snag, search.kinds, self._effects
                )
        return WaysOut(self._offered, self._tried)

    def _settle(self) -> None:
        """Let what moves for one finding leave room to what moves for another."""
        mover, order = self._mover, [snag.key for snag in self.snags]
        if mover is None:
            return
        offered = [
            Taken(snag, self._offered[snag.key], effect, effect.scene)
            for snag, effect in sorted(self._effects, key=lambda one: order.index(one[0].key))
            if effect.scene is not None
            and self._offered[snag.key].moved
            and effect.scene.placed.keys() == self.scene.placed.keys()
        ]
        firsts = {search.snag.key: first for search, first in self._open}
        together = TakenTogether(mover, lambda one, *how: firsts[one.key].leaves_none(*how))
        for before, taken in zip(offered, found := together.settled(offered), strict=True):
            if taken is before:
                continue
            key = taken.snag.key
            self._settled.add(key)
            self._offered[key] = taken.remedy
        for number, taken in enumerate(found):
            by = next((one for one in found[:number] if one.effect is taken.effect), None)
            if by is not None:
                del self._offered[taken.snag.key]
                self._settled.add(taken.snag.key)
                self._tried[taken.snag.key] = _clears_this_too("mends", by.snag)
        effects = {taken.snag.key: taken.effect for taken in found}
        self._effects = [
            (one, effects.get(one.key, effect))
            for one, effect in self._effects
            if one.key in self._offered
        ]

    def _note_the_end(self, snag: Snag) -> None:
        if self.budget.over and snag.key not in self._offered and snag.key not in self._cut_short:
            self.budget.leave_out(snag.key)
            self._cut_short.add(snag.key)

    def _take(self, search: Search, remedy: Remedy | None) -> None:
        snag = search.snag
        if remedy is None or self._offered.get(snag.key) == remedy:
            return
        self._offered[snag.key] = remedy
        if search.effect is not None:
            self._effects = [one for one in self._effects if one[0] is not snag]
            self._effects.append((snag, search.effect))


def _clears_this_too(does: str, other: Snag) -> str:
    return f"What {does} “{other.who}” clears this too."


def remedy_for(snag: Snag, mover: Mover, accept: Accept = whatever) -> Remedy | None:
    """Find the way out of one snag that is accepted, or None when nothing tried here helps."""
    return Search(mover, snag, accept).best()
