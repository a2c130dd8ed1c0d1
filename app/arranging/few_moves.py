"""Few moves of the present layout, gone through in order: of one station, then of two, of three.

First the ways out of the stops, one after another, as somebody would take them by hand. Where moves
are not counted that is all: it finds what a lazy household would do. Where they are, then a beam
search (Lowerre 1976) over how many stations have moved: from each layout of a level each stop
is asked for its way out and every station is moved by itself to the places that promise most; the
best layouts with one more moved are where the next level begins. Last pairs, of which one is found
fault with and the other makes way for it. Each expansion is one step of the search.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass
from random import Random
from typing import Literal

from app.arrange.effort import WAYS_OUT_STEPS
from app.arrange.moves import Mover
from app.arrange.remedy import Remedy
from app.arrange.trial import Effect
from app.arrange.ways_out import remedy_for
from app.arranging.neighbourhoods import MOVES_FEW, few_moved
from app.arranging.problem import Problem, same_place
from app.arranging.proposals import Place, Proposals
from app.arranging.state import State
from app.budget import Budget
from app.changes.commands import apply
from app.checks.run import run
from app.checks.snag import Snag
from app.placing.layout import Layout
from app.scene.build import build_scene

WIDTH = 3
"""Layouts of a level from which a search goes on: each costs a step for every station, and four
searches go on from others by their chance."""
PLACES_OF_PAIR = 2
"""Places of the first of a pair at which the second is set down: the one that promises most, and
one elsewhere."""
MAKE_WAY_AT_MOST = 6
"""Stations that are tried for making way for one, the nearest first: what stands farther off is
in nobody's way."""
JUDGED = 3
"""Layouts of an expansion that are judged: a guess knows nothing of ways on foot."""
Guess = Callable[[Layout], float | None]
Judged = Callable[[Layout, float | None], State]


@dataclass(frozen=True, slots=True)
class _Try:
    """One expansion: from which layout, and which stations are moved; by a way out if none."""

    kind: Literal["way", "one", "pair"]
    state: State
    roots: tuple[str, ...] = ()
    snag: Snag | None = None


class FewMoves:
    """The moves of so many stations at most, one expansion at a time, until all is gone through."""

    def __init__(
        self, problem: Problem, proposals: Proposals, guess: Guess, judged: Judged
    ) -> None:
        self.problem = problem
        self.limit = min(problem.task.moves_at_most or MOVES_FEW, len(problem.free))
        self.proposals = proposals
        self.guess = guess
        self.judged = judged
        self._queue: deque[_Try] = deque()
        self._pairs: list[_Try] = []
        self._level: int | None = None
        self._by_hand: State | None = None
        self._found: list[State] = []

    def begin(self) -> State:
        """Begin with the present layout, once; return it, judged."""
        present = self.judged(self.problem.present, self.guess(self.problem.present))
        if not self._found:
            self._found = [present]
            self._go_on()
        return present

    @property
    def over(self) -> bool:
        """Whether all is gone through."""
        return not self._queue

    def step(self) -> State | None:
        """Make one expansion and return the best layout it led to; None if it led nowhere."""
        one = self._queue.popleft()
        found = self._way_out(one) if one.kind == "way" else self._moved(one)
        if found is not None:
            self._found.append(found)
        self._go_on()
        return found

    def at_random(self, rng: Random, layout: Layout, out: Sequence[str]) -> Layout:
        """Return a layout in which some have no place, and others went back till it is few."""
        return few_moved(rng, self.problem.present, layout, out, self.limit, self.problem.seated)

    def within(self, out: Iterable[str]) -> list[str]:
        """Return as many of some stations as may move, with those that are seated anyway."""
        chosen = list[str]()
        for root in out:
            if len({*chosen, root} | self.problem.seated) <= self.limit:
                chosen.append(root)
        return chosen

    def _go_on(self) -> None:
        """See to what is tried next, till nothing is left to try."""
        while not self._queue and self._level is None:
            best = max(self._found, key=lambda one: one.value)
            if best is self._by_hand:
                if self.problem.task.moves_at_most is None:
                    return
                self._level = 0
                self._queue.extend(self._ones(self._found[:1]))
            else:
                self._by_hand = best
                self._queue.extend(self._ways(best))
        while not self._queue and self._level is not None and self._level < self.limit:
            self._level += 1
            states = self._best_of_level(self._level)
            for state in states:
                self._queue.extend(self._ways(state))
            self._queue.extend(self._ones(states))
        if not self._queue:
            # what takes most tries and helps most seldom comes last
            self._queue, self._pairs = deque(self._pairs), []

    def _best_of_level(self, level: int) -> list[State]:
        """Return the best layouts with so many moved, one for each choice of these."""
        best: dict[frozenset[str], State] = {}
        for state in sorted(self._found, key=lambda one: -one.value):
            moved = self._elsewhere(state.layout)
            if len(moved) == level:
                best.setdefault(moved, state)
        return list(best.values())[:WIDTH]

    def _ways(self, state: State) -> Iterator[_Try]:
        """Yield a way out of each stop of a layout."""
        scene = self.problem.at(state.layout.poses(self.problem.free))
        return (_Try("way", state, snag=snag) for snag in self.problem.stops(run(scene)))

    def _ones(self, states: Sequence[State]) -> Iterator[_Try]:
        """Yield each station of some layouts, what stands poorly first; pairs are put off."""
        for state in states:
            moved, free = self.moved(state.layout), self.problem.free
            poor = [root for root in state.worst if root in free]
            for root in dict.fromkeys([*poor, *free]):
                if len(moved | {root}) <= self.limit:
                    yield _Try("one", state, (root,))
            for root in poor:
                for other in self._near(state, root):
                    if len(moved | {root, other}) <= self.limit:
                        self._pairs.append(_Try("pair", state, (root, other)))

    def moved(self, layout: Layout) -> frozenset[str]:
        """Return the stations that stand elsewhere than at present, and those that are seated."""
        return self._elsewhere(layout) | self.problem.seated

    def _elsewhere(self, layout: Layout) -> frozenset[str]:
        present = self.problem.present.at
        return frozenset(root for root, at in present.items() if layout.at.get(root) != at)

    def _near(self, state: State, root: str) -> list[str]:
        here = state.layout.at[root]

        def away(other: str) -> float:
            there = state.layout.at[other]
            return (there.x_mm - here.x_mm) ** 2 + (there.y_mm - here.y_mm) ** 2

        others = [one for one in self.problem.free if one != root]
        return sorted(others, key=away)[:MAKE_WAY_AT_MOST]

    def _way_out(self, one: _Try) -> State | None:
        """Move as the way out of a stop does, where it moves stations and does nothing else."""
        assert one.snag is not None
        problem = self.problem
        plan = problem.plan_with(one.state.layout.poses(problem.free))
        scene = build_scene(plan)
        budget = Budget(WAYS_OUT_STEPS)

        def moves_alone(remedy: Remedy, _: Effect) -> bool:
            roots = remedy.moved
            changes = [change for command in remedy.commands for change in command.changes]
            return (
                bool(roots)
                and roots <= set(problem.free)
                and all(change.path[-1] == "pose" for change in changes)
                and len(self.moved(one.state.layout) | roots) <= self.limit
            )

        remedy = remedy_for(one.snag, Mover(scene, run(scene), budget), moves_alone)
        if remedy is None:
            return None
        for command in remedy.commands:
            plan = apply(plan, command)
        poses = {piece.id: piece.pose for piece in plan.pieces}
        layout = one.state.layout
        for root in sorted(remedy.moved):
            pose = poses[root]
            layout = layout.put(root, pose.angle_deg, (pose.x_mm, pose.y_mm))
            there = layout.poses([root])
            if not all(same_place(there[piece], poses[piece]) for piece in there):
                # something of a station moved by itself
                return None
        return self._best([layout])

    def _moved(self, one: _Try) -> State | None:
        """Set one or two stations down anew, where the whole is best."""
        layout = one.state.layout
        for root in one.roots:
            layout = layout.without(root)
        *before, last = one.roots
        bases = [layout]
        for root in before:
            places = self.proposals.places(layout, root, None)
            bases = [layout.put(root, turn, at) for _, turn, at in _apart(places)]
        tried = []
        for base in bases:
            places = self.proposals.places(base, last, None)
            chosen = self.proposals.to_score(places, not before)
            tried += [base.put(last, turn, at) for _, turn, at in chosen]
        return self._best(tried) if tried else None

    def _best(self, layouts: Sequence[Layout]) -> State:
        """Return the best of some layouts of which those that promise most are judged."""
        guessed = sorted(((self.guess(one) or 0.0, n) for n, one in enumerate(layouts)))[::-1]
        judged = [self.judged(layouts[n], guess) for guess, n in guessed[:JUDGED]]
        return max(judged, key=lambda state: state.value)


def _apart(places: Sequence[Place]) -> list[Place]:
    """Return the place that promises most, and the best of those at another turn."""
    first = list(places[:1])
    other = [one for one in places if first and one[1] != first[0][1]]
    return (first + other)[:PLACES_OF_PAIR]
