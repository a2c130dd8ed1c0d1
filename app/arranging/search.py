"""The search for layouts: build one greedily, then take some of it apart and put it together again.

Large neighbourhood search (Shaw 1998) by record-to-record travel (Dueck 1993): a step takes a few
stations out and sets them down again at places drawn along the lines of the room; a layout is gone
on from if it is no worse than the best by more than a little, which goes to nothing and back while
steps are made. What found no place in a first layout comes earlier in the next, as in squeaky wheel
optimization (Joslin and Clements 1999). The core refuses at once where the judge would give a stop;
what is worth keeping goes before the full judge.

A search hangs on its number, its seed and the steps it has made, on nothing else: no schedule
knows how long it will run, so more steps never lose what fewer have found.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from random import Random

import numpy as np

from app.arranging.best_layouts import BestLayouts, Looks
from app.arranging.candidates import Drawer
from app.arranging.choosing import ENOUGH, different
from app.arranging.closing import Closing
from app.arranging.few_moves import FewMoves
from app.arranging.judging import Judging
from app.arranging.lack import Lacks
from app.arranging.lacking_kinds import LackingKinds
from app.arranging.merit import Merits
from app.arranging.neighbourhoods import (
    FEWER_MOVES,
    Kind,
    Neighbourhoods,
    few_are_enough,
    in_order,
    one_of,
    swapped,
    taken_out,
    worth_of,
)
from app.arranging.problem import Problem
from app.arranging.proposals import Proposals
from app.arranging.standby import SHARERS
from app.arranging.state import A_STOP, State, time_to_mend, to_mend, would_be_shown
from app.placing.layout import Layout

WORSE = 4.0
"""How far below its best a search goes on, in points of the score: about a care, so that one is
taken on for what it may lead to."""
BREATH = 40
"""In how many steps that goes to nothing, then anew: a step moves one of a dozen stations."""
ANEW_SHARE = 0.4
"""How often a search begins anew altogether; else it goes on from its best, half of it apart."""
STALE_AT = 80
"""Steps without a better best after which a search begins anew somewhere else: two breaths."""
FRUITLESS_AT = 15
"""Steps after which a search that moves few gives that up for good, where none of them led to a
layout without a stop: in a heap of kit no few moves are enough."""
SOUGHT_EVERY = 4
"""Every so many steps another kind of layout is looked for, where there are too few to choose
from: half of those in which else one that would be shown is mended."""
SOUGHT_FROM = 24
"""Steps before that: first what was met in passing is lined up, which is a choice more often."""
MISSING = 1000.0
"""What a square metre of what found no place takes: more than any score."""
DOUBT = 2.0
"""How far the core's own figures may lie from the judge's, in points of the score: of 120 layouts
that looked worse by more than that four were better."""
LEFT_OUT_SHARE = 0.2
"""How often what may be left out is left out on purpose, of what a step sets down."""
FIRST_LAYOUTS = 3
"""Layouts made from nothing: with the best of them a search begins; one costs as much as a step."""
JUDGED_WHERE_BLIND = 3
"""Layouts judged in a step where the present one has a stop no guess knows of: half of them."""


class Search:
    """One of several independent searches for a problem.

    One with `left_out` looks for layouts of the rest, exactly as if there were nothing else: so
    what may be left out never makes what is found of the rest worse.
    """

    def __init__(
        self, problem: Problem, seed: int, number: int, left_out: frozenset[str] = frozenset()
    ) -> None:
        homeless = frozenset[str]() if problem.task.moves_at_most is not None else problem.homeless
        may_be = {root: worth for root, worth in problem.worths.items() if root not in homeless}
        self.worths = {} if left_out else may_be
        self.left_out = left_out | homeless
        self.problem = problem = problem.without(self.left_out)
        self.kind = number % FEWER_MOVES
        # one that keeps to few moves seeks no wall till it has given that up
        self.seeks = number + 1 if self.kind == 2 else (number + 1) // 2
        self.from_present = number > 0 and self.kind == 0
        # layouts are told apart by who found them and when
        moves = min(problem.task.moves_at_most or 0, len(problem.free))
        kinds = 2 * moves + bool(left_out)
        self.number = number + SHARERS * kinds
        self.rng = Random(f"{seed}/{number}")
        self.draws = np.random.default_rng((seed, number))
        self.drawer = Drawer(problem)
        self.lacks = Lacks(problem)
        merits = Merits(problem, self.drawer, self.lacks)
        self.proposals = Proposals(problem, self.drawer, merits, self.rng, self.draws)
        self.judging = Judging(
            problem, self.drawer, self.lacks, self.worths, self.left_out, self.number, self._asked
        )
        self.steps = self.since = 0
        self.squeaks = dict.fromkeys(problem.free, 0.0)
        judging = self.judging
        self.closing = Closing(problem, self.drawer, merits, judging.guess, judging.judged)
        self.in_order = FewMoves(problem, self.proposals, judging.guess, judging.judged)
        self.lacking = LackingKinds(problem, self.proposals, number)
        self.other: State | None = None
        self.sought_kind: tuple[str, str] | None = None
        self.neighbourhoods = Neighbourhoods()
        self.kind_of_step: Kind = "one"
        self.may_move_more = problem.task.moves_at_most is None
        few = self.kind == 2 and few_are_enough(problem.core, problem.present)
        self.few = few or not self.may_move_more
        self.state: State | None = None
        self._begun, self._fruitless_at = 0, FRUITLESS_AT
        self.top: State | None = None
        self.top_value = -math.inf

    @property
    def layouts(self) -> BestLayouts:
        """The best layouts it has found."""
        return self.judging.layouts

    @property
    def fewest_missing(self) -> tuple[str, ...]:
        """The smallest set of stations that it found no place for."""
        return self.judging.fewest_missing

    def step(self) -> None:
        """Make one step."""
        self.steps += 1
        self.judging.step = self.steps
        if self.state is None:
            self.state = self._begin()
            self.since = 0
            return
        if time_to_mend(self.steps) and self._mend():
            return
        new, was = self._again(self.state), self.state
        if new is not None and (new.value >= was.value or new.value >= self._least()):
            self.state = new
        moved = self.state.layout.at != was.layout.at
        gained = worth_of(self.state.value, was.value, self.top_value, moved)
        self.neighbourhoods.learn(self.kind_of_step, gained)
        self.since += 1
        if self.state.value > self.top_value:
            self.top, self.top_value = self.state, self.state.value
            self.since = 0
        if self.steps > self._fruitless_at and self.fewest_missing:
            self.proposals.wall = None
        if self.few and self.may_move_more and self.steps > FRUITLESS_AT and self.fewest_missing:
            self.few, self.state, self.top, self.top_value = False, None, None, -math.inf
            self._fruitless_at = self.steps + FRUITLESS_AT
        elif self.since > STALE_AT:
            self._leave()

    def _mend(self) -> bool:
        """Go through a layout that would be shown, or move one station of it; say if there was any.

        What becomes the best of all is gone on from.
        """
        if self.few:
            return False
        chosen = different(self.layouts)
        shown = would_be_shown(chosen, self.judging.kept, self.layouts)
        if not shown:
            return False
        self.judging.forget()
        lacks = len(chosen) < ENOUGH and self.steps % SOUGHT_EVERY == 0
        if lacks and self.steps > SOUGHT_FROM and self._sought([one.looks for one in chosen]):
            return True
        new = self.closing.step(shown) or self._mended(shown)
        if new is not None and new.value > self.top_value:
            self.state = self.top = new
            self.top_value, self.since = new.value, 0
        return True

    def _sought(self, shown: Sequence[Looks]) -> bool:
        """Make a step for a kind of layout that is lacking; return whether any is.

        It goes on from the best of that kind, where there is one, and knows nothing of the rest.
        """
        judging, wall = self.judging, self.proposals.wall
        was, top, step = self.state, self.top_value, self.kind_of_step
        before, kind = self.sought_kind, self.lacking.sought(shown)
        if kind is None:
            return False
        if kind != before:
            known = [state for looks, state in judging.kept.items() if looks.place[:2] == kind]
            self.other = max(known, key=lambda one: one.value, default=None)
        self.sought_kind = judging.kind = kind
        self.proposals.wall = self.lacking.wall_of(kind)
        self.state = self.other
        self.top_value = -math.inf if self.other is None else self.other.value
        new = self._first() if self.other is None else self._again(self.other)
        if new is not None and (self.other is None or new.value >= self.other.value):
            self.other = new
        judging.kind, self.proposals.wall = None, wall
        self.state, self.top_value, self.kind_of_step = was, top, step
        return True

    def _mended(self, shown: Sequence[State]) -> State | None:
        """Move one station of one of some layouts, mostly one that stands poorly."""
        was, mended = self.state, to_mend(shown, self.rng)
        assert mended is not None
        standing = [root for root in self.problem.free if root in mended.layout.at]
        astray = [*mended.adrift, *self.proposals.merits.apart(mended.layout)]
        suspect = [root for root in (*mended.worst, *astray) if root in standing]
        root = one_of(self.rng, suspect, standing)
        self.state = mended
        new = self._pushed(mended, root) if root in astray else None
        new = new or self._filled(mended.layout.without(root), [*mended.missing, root])
        self.state = was
        return new

    def _pushed(self, state: State, root: str) -> State | None:
        """Stand a station with its back to a wall and put what stood there elsewhere."""
        layout, out = self.proposals.to_a_wall(state.layout, root) or (None, ())
        if layout is None:
            return None
        if not out and not state.missing:
            return self._with_missing([layout], ())
        return self._filled(layout, self._order([*state.missing, *out]))

    def _asked(self) -> float:
        """Return what a layout must be worth to be judged in full."""
        return -math.inf if self.state is None else min(self.state.value, self._least())

    def _least(self) -> float:
        """Return what a layout must be worth to go on from it: little below the best so far."""
        return self.top_value - WORSE * (1 - self.steps % BREATH / BREATH)

    def _leave(self) -> None:
        """Leave where nothing gets better: with half of the best taken apart, or begin anew."""
        self.since = 0
        kicked = self.top
        if kicked is None or self.few or self.rng.random() < ANEW_SHARE:
            self.state, self.top, self.top_value = None, None, -math.inf
            return
        standing = [root for root in self.problem.free if root in kicked.layout.at]
        layout = kicked.layout
        out = self.rng.sample(standing, max(1, len(standing) // 2))
        for root in out:
            layout = layout.without(root)
        self.state = self._filled(layout, self._order([*kicked.missing, *out])) or kicked
        if self.state.value == -math.inf:
            self.state = kicked

    def _begin(self) -> State | None:
        """Return a first layout: the present one, as far as it may stand, or a new one."""
        self._begun += 1
        self.proposals.seek(0 if self.few else self.seeks, self._begun - 1)
        if self.few or (self._begun == 1 and self.from_present):
            return self.in_order.begin()
        return self._first()

    def _first(self) -> State | None:
        """Return the most promising of some layouts made from nothing, one after another."""
        empty, free = self.problem.core.layout(), self.problem.free
        made = [self._put_down(empty, self._order(free)) for _ in range(FIRST_LAYOUTS)]
        if not free:
            return None
        fewest = min((missing for _, missing in made), key=self._floor_m2)
        whole = [one for tried, missing in made if missing == fewest for one in tried]
        return self._with_missing(whole, fewest)

    def _floor_m2(self, roots: Sequence[str]) -> float:
        return sum(self.problem.sizes[root] for root in roots)

    def _order(self, roots: Sequence[str]) -> list[str]:
        return in_order(self.rng, roots, self.problem.sizes, self.squeaks)

    def _again(self, state: State) -> State | None:
        """Take some stations out and put them down again; None if that leads nowhere."""
        if self.few:
            return self._few_moved(state)
        out = self._taken_out(state)
        if self.kind_of_step == "wall" and out and not state.missing:
            return self._pushed(state, self.rng.choice(state.adrift or out))
        layout, was, near = state.layout, state.layout, self.rng.random() < 0.3
        if self.kind_of_step == "swap" and len(out) > 1:
            was, near = swapped(layout, *out[:2]), True
        for root in out:
            layout = layout.without(root)
        order = self._order(list(dict.fromkeys([*state.missing, *out])))
        if self.worths and self.rng.random() < LEFT_OUT_SHARE:
            optional = [root for root in order if root in self.worths]
            order = [root for root in order if root not in optional[:1]] or order
        return self._filled(layout, order, near, was)

    def _few_moved(self, state: State) -> State | None:
        """Move a few stations of the present layout, first in order, then by chance."""
        if not self.in_order.over:
            self.judging.forget()
            return self.in_order.step()
        out = self.in_order.within(self._taken_out(state))
        layout = self.in_order.at_random(self.rng, state.layout, out)
        return self._filled(layout, self._order(out), was=state.layout)

    def _taken_out(self, state: State) -> list[str]:
        """Return stations to take out, after the kind of step that is to be made."""
        layout, crowded = state.layout, bool(state.missing)
        standing = [root for root in self.problem.free if root in layout.at]
        if not standing:
            return []
        kind = self.kind_of_step = self.neighbourhoods.draw(self.rng)
        worst = [root for root in state.worst if root in standing]
        return taken_out(kind, self.rng, layout, standing, worst, crowded)

    def _filled(
        self,
        layout: Layout,
        order: Sequence[str],
        near: bool = False,
        was: Layout | None = None,
    ) -> State | None:
        """Set stations down one after another; the last one where the whole scores best."""
        return self._with_missing(*self._put_down(layout, order, near, was)) if order else None

    def _put_down(
        self,
        layout: Layout,
        order: Sequence[str],
        near: bool = False,
        was: Layout | None = None,
    ) -> tuple[list[Layout], tuple[str, ...]]:
        """Return layouts that differ by where the last of some stations stands, what is missing."""
        missing = [r for r in self.problem.free if r not in layout.at and r not in order]
        for number, root in enumerate(order, 1):
            places = self.proposals.places(layout, root, was if near else None)
            if not places:
                missing.append(root)
                self.squeaks[root] += self.problem.sizes[root]
            elif number == len(order):
                chosen = self.proposals.to_score(places, number == 1)
                tried = [layout.put(root, turn, point) for _, turn, point in chosen]
                return tried, tuple(missing)
            else:
                _, turn_deg, point = places[0]
                layout = layout.put(root, turn_deg, point)
        return [layout], tuple(missing)

    def _with_missing(self, layouts: Sequence[Layout], missing: tuple[str, ...]) -> State:
        """Return the best of some layouts in which something is missing that must be there or not.

        An empty room is no layout.
        """
        may_be = all(root in self.worths for root in missing)
        if not may_be or len(missing) == len(self.problem.free):
            return self._partial(layouts[0], missing)
        return self._best_of(layouts, missing)

    def _partial(self, layout: Layout, missing: tuple[str, ...]) -> State:
        if len(missing) < len(self.fewest_missing):
            self.judging.fewest_missing = missing
        return State(layout, missing, -MISSING * self._floor_m2(missing))

    def _best_of(self, layouts: Sequence[Layout], missing: tuple[str, ...]) -> State:
        """Return the most promising of some whole layouts, judged if it would be kept.

        What the rough figures make worse than would be kept is not judged at all.
        """
        self.judging.forget()
        least, state, blind = -math.inf, self.state, False
        if state is not None and state.guess is not None:
            slack = max(0.0, state.value - self._least())
            # of a stop that the core does not know, as where no way leads on foot, a guess is blind
            blind = state.guess - state.value > A_STOP / 2
            least = (state.value if blind else state.guess) - slack - DOUBT
        promising: list[tuple[float, Layout]] = []
        for layout in layouts:
            guess = self.judging.guess(layout, missing, least)
            if guess is not None and (blind or not promising or guess > least):
                promising.append((guess, layout))
                least = least if blind else guess
        promising = sorted(promising, key=lambda one: -one[0])[: JUDGED_WHERE_BLIND if blind else 1]
        judged = [self.judging.judged(layout, guess, missing) for guess, layout in promising]
        nothing = State(layouts[0], missing, -math.inf)
        return max(judged, key=lambda one: one.value, default=nothing)
