"""What layouts of one search are worth: guessed by the core's figures, judged where it counts."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import replace

from app.arranging.best_layouts import (
    BestLayouts,
    JudgedLayout,
    Looks,
    looks_of,
    place_of,
    rank_of,
    seen_of,
)
from app.arranging.candidates import Drawer
from app.arranging.lack import Lacks
from app.arranging.open_floor import OpenFloor
from app.arranging.problem import Problem
from app.arranging.scenes import Scenes
from app.arranging.score import Score, score, score_of_at_least
from app.arranging.state import CARE, State, found_fault_with, value_of
from app.checks.run import run
from app.placing.layout import Layout
from app.scene.build import Scene

NOT_OF_THE_KIND = 25.0
"""What a layout loses in points of the score while another kind is sought: more than any kind
that would be shown lies below the best, less than a stop."""


class Judging:
    """Guesses, judges and scores the layouts of one search, and keeps the best of each kind.

    `asked` says what a layout must be worth to be judged in full, ways on foot and all, where it is
    not the best of its kind. While a `kind` is sought, the wall of the largest and the half of the
    room with the open floor, all else is worth less; what is kept is kept by what it is worth.
    """

    def __init__(
        self,
        problem: Problem,
        drawer: Drawer,
        lacks: Lacks,
        worths: Mapping[str, float],
        left_out: frozenset[str],
        number: int,
        asked: Callable[[], float],
    ) -> None:
        self.problem = problem
        self.drawer = drawer
        self.lacks = lacks
        self.worths = worths
        self.left_out = left_out
        self.number = number
        self.asked = asked
        self.step = 0
        self.kind: tuple[str, str] | None = None
        self.layouts = BestLayouts()
        self.kept: dict[Looks, State] = {}
        self.fewest_missing: tuple[str, ...] = problem.free
        self.scenes = Scenes(problem)
        self._scored: dict[int, tuple[Layout, Scene, Score]] = {}

    def forget(self) -> None:
        """Let go of the scores of what was guessed before."""
        self._scored.clear()

    def guess(
        self, layout: Layout, missing: tuple[str, ...] = (), least: float = -math.inf
    ) -> float | None:
        """Return about what a layout is worth, without the judge; None if it is less than that."""
        short = self.lacks.whole(layout)
        beside = self._worth(missing) - CARE * short
        scene = self.scenes.at(self.scenes.poses(layout), missing)
        wishes = self.problem.task.wishes
        guessed = score_of_at_least(least - beside, scene, (), False, short, wishes)
        if guessed is None:
            return None
        self._scored[id(layout)] = layout, scene, guessed
        largest = self.problem.without(missing).largest
        return guessed.total + beside - self._off_kind(scene, largest, guessed.floor)

    def judged(
        self, layout: Layout, guess: float | None = None, missing: tuple[str, ...] = ()
    ) -> State:
        """Judge and score a whole layout; what is the best of its kind by the full judge."""
        poses, rest = self.scenes.poses(layout), self.problem.without(missing)
        worth = self._worth(missing)
        scored = self._scored.get(id(layout))
        scene, known = scored[1:] if scored else (self.scenes.at(poses, missing), None)
        self.scenes.judged(poses, missing, scene)
        verdict = run(scene, full=False)
        stops = rest.stops(verdict)
        wishes = self.problem.task.wishes
        whole = score(scene, verdict, with_ways=False, wishes=wishes, known=known)
        looks = looks_of(scene, rest.largest, whole.floor, (*self.left_out, *missing))
        off_kind = self._off_kind(scene, rest.largest, whole.floor)
        moved = rest.moved(poses)
        value = value_of(whole, verdict, stops) + worth - off_kind
        rank = rank_of(len(stops), whole.total + worth, self.number, self.step)
        new, found = self.layouts.would_be_new(looks, len(moved), rank), None
        if new or value >= self.asked():
            # ways take longer than all the rest, and only take from what was found so far
            verdict = run(scene, weighed=True)
            stops = rest.stops(verdict)
            whole = score(scene, verdict, wishes=wishes, known=whole)
            value = value_of(whole, verdict, stops) + worth - off_kind
            # all of them, as the table of the layouts and the desk count
            cares = sum(snag.severity == "care" for snag in verdict)
            seen = seen_of(scene, rest.largest, whole.floor, rest.free)
            where = self.number, self.step, seen
            known_as = poses, whole.total, len(stops), cares, moved, looks, whole.parts, worth
            found = JudgedLayout(*known_as, *where)
            self.layouts.add(found)
        if not stops:
            self.fewest_missing = ()
        adrift = tuple(root for root in layout.at if self.drawer.adrift(root, layout))
        worst = tuple(dict.fromkeys([*found_fault_with(scene, verdict), *adrift]))
        state = State(layout, missing, value, worst, guess, adrift)
        if found is not None and self.layouts.by_looks[looks] is found:
            self.kept[looks] = replace(state, value=value + off_kind)
        return state

    def _worth(self, missing: Sequence[str]) -> float:
        """Return what those stations are worth that are there and might have been left out."""
        return sum(worth for root, worth in self.worths.items() if root not in missing)

    def _off_kind(self, scene: Scene, largest: str | None, floor: OpenFloor | None) -> float:
        sought = self.kind
        of_it = sought is None or place_of(scene, largest, floor) == sought
        return 0.0 if of_it else NOT_OF_THE_KIND
