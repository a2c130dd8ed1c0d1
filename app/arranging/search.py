"""The search for layouts: build one greedily, then take some of it apart and put it together again.

Large neighbourhood search (Shaw 1998) with late acceptance (Burke and Bykov 2017): a step takes a
few stations out and sets them down again at places drawn along the lines of the room; a layout is
kept if it is no worse than the one some steps ago. What found no place in a first layout comes
earlier in the next, as in squeaky wheel optimization (Joslin and Clements 1999). The core refuses
at once where the judge would give a stop; what is worth keeping goes before the full judge.

A search hangs on its number, its seed and the steps it has made, on nothing else: no schedule
knows how long it will run, so more steps never lose what fewer have found.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from random import Random

import numpy as np
from numpy.typing import NDArray

from app.arranging.candidates import Drawer
from app.arranging.found import Finds, Found, looks_of, rank_of
from app.arranging.lack import Lacks
from app.arranging.measures import lacking
from app.arranging.merit import Merits
from app.arranging.neighbourhoods import Kind, Neighbourhoods, swapped, taken_out, worth_of
from app.arranging.open_floor import OpenFloor
from app.arranging.problem import Problem
from app.arranging.score import Score, score, score_of_at_least
from app.arranging.standby import SHARERS
from app.checks.run import run
from app.model.kit import Pose
from app.placing.layout import Layout
from app.scene.build import Scene

Floats = NDArray[np.float64]
LATE = 12
"""How many steps ago the layout was that a new one must not be worse than."""
ANEW_SHARE = 0.4
"""How often a search begins anew altogether; else it goes on from its best, half of it apart."""
STALE_AT = 80
"""Steps without anything better after which a search begins anew somewhere else."""
PLACES_SCORED = 2
"""Places of the last station of a step at which the whole layout is scored: the rest of them look
worse already."""
A_STOP = 40.0
"""What a stop takes from a score: more than all cares together could."""
CARE = 3.0
"""What the search takes from a score for all that cares lack, besides what the score does: where
there are many, one less would hardly be felt."""
MISSING = 1000.0
"""What a square metre of what found no place takes: more than any score."""
TURNS_SHARE = 0.75
"""Share of its turns that a station is tried at in a step."""
NOISE = 2.0
"""How far the choice among places strays, in points of the score: about what the smaller
preferences come to."""
DOUBT = 4.0
"""How far the core's own figures may lie from the judge's, in points of the score."""
SHUFFLE = 0.5
"""How far the order by size strays: by half of a size up or down."""
LEFT_OUT_SHARE = 0.2
"""How often what may be left out is left out on purpose, of what a step sets down."""
FEWER_MOVES = 3
"""Every so many searches one keeps to few moves from the present layout."""
MOVES_FEW = 4
"""How many stations such a search moves at most."""


@dataclass(frozen=True, slots=True)
class State:
    """A layout in the search: what stands where, what does not, and what it is worth.

    `missing` is what found no place and what was left out.
    """

    layout: Layout
    missing: tuple[str, ...]
    value: float
    worst: tuple[str, ...] = ()
    guess: float | None = None


class Search:
    """One of several independent searches for a problem.

    One with `left_out` looks for layouts of the rest, exactly as if there were nothing else: so
    what may be left out never makes what is found of the rest worse.
    """

    def __init__(
        self, problem: Problem, seed: int, number: int, left_out: frozenset[str] = frozenset()
    ) -> None:
        self.worths = {} if left_out else problem.worths
        self.left_out = left_out
        self.problem = problem = problem.without(left_out)
        self.kind = number % FEWER_MOVES
        self.from_present = number > 0 and self.kind == 0
        # layouts are told apart by who found them and when
        self.number = number + SHARERS * bool(left_out)
        self.rng = Random(f"{seed}/{number}")
        self.draws = np.random.default_rng((seed, number))
        self.drawer = Drawer(problem)
        self.lacks = Lacks(problem)
        self.merits = Merits(problem, self.drawer, self.lacks)
        self.finds = Finds()
        self.steps = 0
        self.squeaks = dict.fromkeys(problem.free, 0.0)
        self.sizes = {root: problem.size_m2(root) for root in problem.free}
        self.present = problem.core.layout(problem.free)
        self.neighbourhoods = Neighbourhoods()
        self.kind_of_step: Kind = "one"
        self.few = problem.task.moves_at_most is not None or self.kind == 2
        self.state: State | None = None
        self.late: list[float] = []
        self.since = 0
        self.fewest_missing: tuple[str, ...] = problem.free
        self._begun = 0
        self.way_lost = 0.0
        self._scored: dict[int, tuple[Layout, Scene, Score]] = {}
        self.top: State | None = None
        self.top_value = -math.inf

    def step(self) -> None:
        """Make one step."""
        self.steps += 1
        if self.state is None:
            self.state = self._begin()
            self.late = [self.state.value if self.state else -math.inf] * LATE
            self.since = 0
            return
        new, was = self._again(self.state), self.state
        if new is None:
            self.since += 1
        else:
            slot = self.steps % LATE
            self.since = 0 if new.value > was.value else self.since + 1
            if new.value >= was.value or new.value >= self.late[slot]:
                self.state = new
            self.late[slot] = max(self.late[slot], self.state.value)
        moved = self.state.layout.at != was.layout.at
        gained = worth_of(self.state.value, was.value, self.top_value, moved)
        self.neighbourhoods.learn(self.kind_of_step, gained)
        if self.state.value > self.top_value:
            self.top, self.top_value = self.state, self.state.value
        if self.since > STALE_AT:
            self._leave()

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
        self.late = [self.state.value] * LATE

    def _begin(self) -> State | None:
        """Return a first layout: the present one, as far as it may stand, or a new one."""
        self._begun += 1
        if self.few or (self._begun == 1 and self.from_present):
            return self._judged(self.present, self._guess(self.present))
        return self._filled(self.problem.core.layout(), self._order(self.problem.free))

    def _order(self, roots: Sequence[str]) -> list[str]:
        """Return stations, large ones first, those that found no place lately before them."""

        def key(root: str) -> float:
            stray = self.rng.uniform(1 - SHUFFLE, 1 + SHUFFLE)
            return -(self.sizes[root] * stray + self.squeaks[root])

        return sorted(roots, key=key)

    def _again(self, state: State) -> State | None:
        """Take some stations out and put them down again; None if that leads nowhere."""
        if self.few:
            return self._few_moved(state)
        out = self._taken_out(state)
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
        """Move a few stations of the present layout; the others stand as they do."""
        limit = min(self.problem.task.moves_at_most or MOVES_FEW, len(self.problem.free))
        moved = [r for r in self.problem.free if not self._at_home(state.layout, r)]
        out = self._taken_out(state)[:limit]
        while len(set(moved) | set(out)) > limit:
            # one that was moved goes back to where it stands
            back = self.rng.choice([r for r in moved if r not in out] or moved)
            moved.remove(back)
        layout = self.problem.core.layout(
            [r for r in self.problem.free if r not in out and r not in moved]
        )
        for root in moved:
            at = state.layout.at.get(root)
            if at is not None and root not in out:
                layout = layout.put(root, at.turn_deg, (at.x_mm, at.y_mm))
        return self._filled(layout, self._order(out), was=state.layout)

    def _at_home(self, layout: Layout, root: str) -> bool:
        return layout.at.get(root) == self.present.at.get(root)

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
        away = [r for r in self.problem.free if r not in layout.at and r not in order]
        missing = list(away)
        for root in order[:-1]:
            places = self._places(layout, root, was if near else None)
            if not places:
                missing.append(root)
                self.squeaks[root] += self.sizes[root]
                continue
            _, turn_deg, point = places[0]
            layout = layout.put(root, turn_deg, point)
        if not order:
            return None
        last = order[-1]
        places = self._places(layout, last, was if near else None)
        if not places:
            self.squeaks[last] += self.sizes[last]
            return self._with_missing([layout], (*missing, last))
        tried = [layout.put(last, turn, point) for _, turn, point in places[:PLACES_SCORED]]
        return self._with_missing(tried, tuple(missing))

    def _with_missing(self, layouts: Sequence[Layout], missing: tuple[str, ...]) -> State:
        """Return the best of some layouts in which something is missing that must be there or not.

        An empty room is no layout.
        """
        may_be = all(root in self.worths for root in missing)
        if not may_be or len(missing) == len(self.problem.free):
            return self._partial(layouts[0], missing)
        return self._best_of(layouts, missing)

    def _places(
        self, layout: Layout, root: str, near: Layout | None
    ) -> list[tuple[float, float, tuple[float, float]]]:
        """Return places for a station, (merit, turn, point), the most promising first."""
        core, rng = self.problem.core, self.rng
        places: list[tuple[float, float, tuple[float, float]]] = []
        floor = self.merits.open_floor(layout)
        every = self.drawer.turns[root]
        turns = rng.sample(every, max(1, math.ceil(len(every) * TURNS_SHARE)))
        here = near.at.get(root) if near is not None else None
        for turn in turns:
            points = self.drawer.draw(self.draws, root, turn, layout)
            if here is not None and turn == here.turn_deg:
                at = here.x_mm, here.y_mm
                points = self.drawer.aside(self.draws, root, turn, layout, at)
            elif here is not None and rng.random() < 0.7:
                points = points[np.abs(points - (here.x_mm, here.y_mm)).max(axis=1) < 600]
            places += self._merits(layout, root, turn, points, floor)
        if not places:
            # nothing by luck: then the corners of what is free at all
            for turn in turns:
                points = core.free_points(root, turn, layout)
                places += self._merits(layout, root, turn, np.asarray(points).reshape(-1, 2), floor)
        places.sort(key=lambda one: -one[0])
        return places

    def _merits(
        self,
        layout: Layout,
        root: str,
        turn_deg: float,
        points: Floats,
        floor: OpenFloor | None,
    ) -> list[tuple[float, float, tuple[float, float]]]:
        """Return the places that the core admits with what they promise."""
        if not len(points):
            return []
        core = self.problem.core
        points = points[core.admits(root, turn_deg, points, layout)]
        if not len(points):
            return []
        merit = self.merits.of(root, turn_deg, points, layout, floor)
        merit = merit + self.draws.normal(0.0, NOISE, len(points))
        return [
            (float(m), turn_deg, (float(x), float(y)))
            for m, (x, y) in zip(merit, points, strict=True)
        ]

    def _partial(self, layout: Layout, missing: tuple[str, ...]) -> State:
        if len(missing) < len(self.fewest_missing):
            self.fewest_missing = missing
        return State(layout, missing, -MISSING * sum(self.sizes[root] for root in missing))

    def _best_of(self, layouts: Sequence[Layout], missing: tuple[str, ...]) -> State:
        """Return the most promising of some whole layouts, judged if it would be kept.

        What the rough figures make worse than would be kept is not judged at all.
        """
        self._scored.clear()
        least, state = -math.inf, self.state
        if state is not None and state.guess is not None:
            slack = max(0.0, state.value - self.late[self.steps % LATE])
            least = state.guess - slack - DOUBT
        best: Layout | None = None
        for layout in layouts:
            guess = self._guess(layout, missing, least)
            if guess is not None and (best is None or guess > least):
                best, least = layout, guess
        if best is None:
            return State(layouts[0], missing, -math.inf)
        return self._judged(best, least, missing)

    def _poses(self, layout: Layout) -> dict[str, Pose]:
        return layout.poses(root for root in self.problem.free if root in layout.at)

    def _worth(self, missing: Sequence[str]) -> float:
        """Return what those stations are worth that are there and might have been left out."""
        return sum(worth for root, worth in self.worths.items() if root not in missing)

    def _guess(
        self, layout: Layout, missing: tuple[str, ...] = (), least: float = -math.inf
    ) -> float | None:
        """Return about what a layout is worth, without the judge; None if it is less than that."""
        short = self.lacks.whole(layout)
        beside = self._worth(missing) - CARE * short
        scene = self.problem.without(missing).at(self._poses(layout))
        wishes = self.problem.task.wishes
        guessed = score_of_at_least(least - beside, scene, (), False, short, wishes)
        if guessed is None:
            return None
        self._scored[id(layout)] = layout, scene, guessed
        return guessed.total + beside

    def _judged(
        self, layout: Layout, guess: float | None = None, missing: tuple[str, ...] = ()
    ) -> State:
        """Judge and score a whole layout; what is the best of its kind by the full judge."""
        poses, rest = self._poses(layout), self.problem.without(missing)
        worth = self._worth(missing)
        _, scene, known = self._scored.get(id(layout)) or (layout, rest.at(poses), None)
        verdict = run(scene, full=False)
        stops = rest.stops(verdict)
        wishes = self.problem.task.wishes
        quick = score(scene, verdict, with_ways=False, wishes=wishes, known=known)
        looks = looks_of(scene, rest.largest, quick.floor, (*self.left_out, *missing))
        moved = rest.moved(poses)
        # the way in counts as good as it last was: else every layout would look better than it is
        expected = quick.total - self.way_lost
        rank = rank_of(len(stops), expected + worth, self.number, self.steps)
        total = expected
        if self.finds.would_be_new(looks, len(moved), rank):
            verdict = run(scene)
            stops = rest.stops(verdict)
            whole = score(scene, verdict, wishes=wishes, known=quick)
            total = whole.total
            self.way_lost = quick.total - total if not stops else self.way_lost
            cares = len(rest.cares(verdict))
            where = self.number, self.steps
            parts = whole.parts
            self.finds.add(
                Found(poses, total, len(stops), cares, moved, looks, parts, worth, *where)
            )
        if not stops:
            self.fewest_missing = ()
        value = total + worth - A_STOP * len(stops) - CARE * lacking(verdict)
        worst = [snag for snag in verdict if snag.severity != "note" and snag.hangs_on_place]
        placed = self.problem.scene.placed
        roots = dict.fromkeys(
            placed[piece].root for snag in worst for piece in snag.pieces if piece in placed
        )
        adrift = [root for root in layout.at if self.drawer.adrift(root, layout)]
        return State(layout, missing, value, tuple(dict.fromkeys([*roots, *adrift])), guess)
