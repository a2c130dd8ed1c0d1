"""The last moves of a layout: what stands a little off goes where its edges meet others.

Each station in turn is tried where its back is at a wall and its edges lie in line with walls and
with what stands there already, and in the middle of what is free between them. Then what is far
from the things it is used with changes places with what stands there. Nothing is drawn by chance:
a layout that was gone through once is as good as these moves make it.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from app.arranging.candidates import Drawer, Frame
from app.arranging.exchange import Exchange, exchanged, exchanges
from app.arranging.merit import Merits
from app.arranging.open_floor import OpenFloor
from app.arranging.problem import Problem
from app.arranging.state import State
from app.placing.layout import Layout
from app.placing.standing import Standing
from app.scene.shapes import turned_points

Floats = NDArray[np.float64]
Place = tuple[float, float, tuple[float, float]]
Guess = Callable[[Layout, tuple[str, ...], float], float | None]
Judge = Callable[[Layout, float, tuple[str, ...]], State]
A_STEP = 3
"""Stations that are gone through in one step: then it takes as long as any other step."""
TRIED = 4
"""Places of a station at which the whole layout is scored."""
APART_MM = 250
"""How far apart these are: nearer ones are told apart by the small preferences alone."""
NEAR_TRIED = 2
"""Places scored besides of those nearer to where it stands: it is only lined up."""
NUDGED_MM = (10, 25, 60, 120)
"""How far a station is shifted along or across to settle what is nearly enough."""
FLUSH_MM = 30.0
"""How near two edges are that lie in line, to the eye."""
FLUSH = 0.3
"""What an edge in line promises, in points of the score: between places that promise the same
otherwise it decides."""
GAINS = 0.05
"""Points of the score that a move must gain: less is nothing that anybody sees."""


@dataclass(slots=True)
class Closing:
    """Goes through the layouts of one search that would be shown, a few stations a step.

    `guess` and `judge` are the search's own.
    """

    problem: Problem
    drawer: Drawer
    merits: Merits
    guess: Guess
    judge: Judge
    _done: set[frozenset[tuple[str, Standing]]] = field(default_factory=set)
    _state: State | None = None
    _roots: list[str] = field(default_factory=list)
    _pairs: list[Exchange] = field(default_factory=list)

    def step(self, shown: Sequence[State]) -> State | None:
        """Go on with a layout, else begin with the best of those shown that was not gone through.

        Return it as it is now, None where all were gone through.
        """
        if self._state is None or not (self._roots or self._pairs):
            self._begin(shown)
        state = self._state
        if state is None:
            return None
        if self._roots:
            for root in self._roots[:A_STEP]:
                state = self._better(state, self._lined_up(state.layout, root))
            del self._roots[:A_STEP]
            if not self._roots:
                self._pairs = exchanges(self.problem, self.drawer, self.merits, state.layout)
        else:
            state = self._exchanged(state)
        self._state = state
        if not (self._roots or self._pairs):
            self._done.add(_key(state))
        return state

    def _exchanged(self, state: State) -> State:
        """Try all exchanges, and line up the two of the best at once: between them room changes."""
        for pair in self._pairs:
            whole = exchanged(self.problem, self.drawer, self.merits, state.layout, pair)
            better = self._better(state, whole)
            if better is not state:
                for root in pair:
                    better = self._better(better, self._lined_up(better.layout, root))
            state = better
        self._pairs = []
        return state

    def _begin(self, shown: Sequence[State]) -> None:
        fresh = [
            state for state in shown if _key(state) not in self._done and state.guess is not None
        ]
        self._state = max(fresh, key=lambda state: state.value, default=None)
        if self._state is None:
            return
        # another kind of layout may come of it, and it would be shown all the same
        self._done.add(_key(self._state))
        there = [root for root in self.problem.free if root in self._state.layout.at]
        first = [root for root in self._state.worst if root in there]
        self._roots = list(dict.fromkeys([*first, *there]))

    def _better(self, state: State, layouts: Iterator[Layout]) -> State:
        """Return the best of some layouts by the judge, the present one if none is better."""
        assert state.guess is not None
        best, least = None, state.guess + GAINS
        for layout in layouts:
            guess = self.guess(layout, state.missing, least)
            if guess is not None and guess > least:
                best, least = layout, guess
        if best is None:
            return state
        judged = self.judge(best, least, state.missing)
        return judged if judged.value > state.value else state

    def _lined_up(self, layout: Layout, root: str) -> Iterator[Layout]:
        """Return layouts in which a station stands at the best of its places in line."""
        rest, here = layout.without(root), layout.at[root]
        floor = self.merits.open_floor(rest)
        places: list[Place] = []
        for turn_deg in self.drawer.turns[root]:
            points, flush = self._in_line(rest, root, turn_deg, here)
            if len(points):
                promise = self.merits.of(root, turn_deg, points, rest, floor) + FLUSH * flush
                places += [
                    (float(p), turn_deg, (float(x), float(y)))
                    for p, (x, y) in zip(promise, points, strict=True)
                ]
        places.sort(key=lambda one: -one[0])
        near = [one for one in places if _off(one, here) <= APART_MM]
        chosen: list[Place] = []
        for one in places:
            if len(chosen) == TRIED:
                break
            if all(_off(one, Standing(t, *at)) > APART_MM for _, t, at in chosen):
                chosen.append(one)
        chosen += [one for one in near[:NEAR_TRIED] if one not in chosen]
        chosen += self._nudged(rest, root, here, floor)
        for _, turn_deg, point in chosen:
            yield layout.put(root, turn_deg, point)

    def _nudged(
        self, rest: Layout, root: str, here: Standing, floor: OpenFloor | None
    ) -> list[Place]:
        """Return the place a little off a station's own that promises more, none if none does.

        A care that lacks ten millimetres goes by it, along the walls or off them.
        """
        steps = np.array(
            [(x, y) for by in NUDGED_MM for x, y in ((by, 0), (-by, 0), (0, by), (0, -by))],
            dtype=np.float64,
        )
        about = np.array([[here.x_mm, here.y_mm]])
        points = turned_points(steps, here.turn_deg) + about
        free = points[self.problem.core.admits(root, here.turn_deg, points, rest)]
        if not len(free):
            return []
        here_and_near = np.concatenate([about, free])
        promise = self.merits.of(root, here.turn_deg, here_and_near, rest, floor)
        best = int(promise.argmax())
        if promise[best] <= promise[0] + GAINS:
            return []
        x, y = here_and_near[best]
        return [(float(promise[best]), here.turn_deg, (float(x), float(y)))]

    def _in_line(
        self, rest: Layout, root: str, turn_deg: float, here: Standing
    ) -> tuple[Floats, Floats]:
        """Return places of a station in line with others that the core admits, (n, 2) in mm.

        And how many of its edges are in line at each, (n,).
        """
        frame = self.drawer.frames[root]
        columns, rows = self.drawer.lines_at(turn_deg, rest, root)
        (left, low, right, high) = frame.carrier
        xs = np.unique(np.concatenate([columns - left, columns - right]).round(2))
        ys = np.unique(np.concatenate([rows - low, rows - high]).round(2))
        walls = self._wall_rows(frame, turn_deg)
        picks = [_grid(xs, walls)]
        if not (frame.has_back or frame.for_wall):
            # what has no back is put into corners
            picks.append(_grid(xs, np.unique(np.concatenate([walls, ys[[0, -1]]]))))
        if turn_deg == here.turn_deg:
            x, y = turned_points(np.array([(here.x_mm, here.y_mm)]), -turn_deg)[0]
            picks.append(_grid(xs, np.array([y])))
            if not frame.for_wall:
                picks.append(_grid(np.array([x]), ys))
        local = np.unique(np.concatenate(picks).round(2), axis=0)
        core = self.problem.core
        free = core.admits(root, turn_deg, turned_points(local, turn_deg), rest)
        between = _middles(local, free)
        if len(between):
            there = core.admits(root, turn_deg, turned_points(between, turn_deg), rest)
            local = np.concatenate([local[free], between[there]])
        else:
            local = local[free]
        flush = np.zeros(len(local))
        for edge, lines in ((left, columns), (right, columns)):
            flush += _in_line_with(local[:, 0] + edge, lines)
        for edge, lines in ((low, rows), (high, rows)):
            flush += _in_line_with(local[:, 1] + edge, lines)
        return turned_points(local, turn_deg), flush

    def _wall_rows(self, frame: Frame, turn_deg: float) -> Floats:
        """Return where a back lies on a wall or as far off as is asked for, along the turn."""
        walls = np.unique(turned_points(self.drawer.corners, -turn_deg)[:, 1].round(2))
        away = np.unique([0.0] if frame.for_wall else [0.0, frame.behind_mm])
        rows: Floats = (walls[:, None] + away - frame.carrier[1]).ravel()
        return rows


def _key(state: State) -> frozenset[tuple[str, Standing]]:
    return frozenset(state.layout.at.items())


def _off(one: Place, here: Standing) -> float:
    """Return how far a place is from where something stands, without end where it is turned."""
    return math.inf if one[1] != here.turn_deg else math.dist(one[2], (here.x_mm, here.y_mm))


def _grid(xs: Floats, ys: Floats) -> Floats:
    return np.stack(np.meshgrid(xs, ys), axis=-1).reshape(-1, 2)


def _middles(points: Floats, free: NDArray[np.bool_]) -> Floats:
    """Return the middle of each run of places in one row that are free, (n, 2)."""
    order = np.lexsort((points[:, 0], points[:, 1]))
    rows, open_there = points[order], free[order]
    middles = []
    begin: int | None = None
    for i in range(len(rows) + 1):
        goes_on = i < len(rows) and open_there[i]
        if begin is not None and (not goes_on or rows[i, 1] != rows[begin, 1]):
            if i - 1 > begin:
                middles.append((rows[begin] + rows[i - 1]) / 2)
            begin = None
        if begin is None and goes_on:
            begin = i
    return np.array(middles).reshape(-1, 2)


def _in_line_with(edges: Floats, lines: Floats) -> Floats:
    away = np.abs(edges[:, None] - lines[None]).min(axis=1)
    return np.asarray(away <= FLUSH_MM, dtype=np.float64)
