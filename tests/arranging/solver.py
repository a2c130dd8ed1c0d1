"""The same rooms for a general constraint solver: places on a grid, terms of one pose or a pair.

Both are asked for the same: the core's own tables say what may not be, and the search's own rough
figures what a place is worth (a wall behind, deep in the room, near what it is used with). The
solver proves its optimum on the grid; the search goes anywhere.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from itertools import combinations
from typing import Any

import numpy as np
from numpy.typing import NDArray

from app.arranging.merit import Merits
from app.arranging.open_floor import OpenFloor
from app.arranging.problem import Problem
from app.arranging.search import Search
from app.arranging.state import State
from app.placing.layout import Layout
from app.published.register import published

STEP_MM = 50
SCALE = 1000
"""A point of the score in the solver's whole numbers."""
Mask = NDArray[np.bool_]
Floats = NDArray[np.float64]
Variables = dict[str, tuple[Any, Any, list[Any]]]
"""Of each station its column, its row and which of its turns it has."""


class Plain(Merits):
    """What a place promises by the terms of one pose or a pair alone."""

    def of(
        self,
        root: str,
        turn_deg: float,
        points: Floats,
        layout: Layout,
        floor: OpenFloor | None = None,
    ) -> Floats:
        """Return what a station is worth at each of some places beside those of a layout, (n,)."""
        found = alone(self, root, turn_deg, points)
        for other, at in layout.at.items():
            if other != root:
                found = found - together(self, root, other, (at.x_mm, at.y_mm) - points)
        return found


class Poses(Search):
    """The search with the terms of one pose or a pair in place of the whole score."""

    def __init__(self, problem: Problem, number: int) -> None:
        super().__init__(problem, 1, number)
        self.proposals.merits = Plain(problem, self.drawer, self.lacks)
        self.few = False
        self.best: tuple[float, Layout] | None = None

    def _guess(
        self, layout: Layout, missing: tuple[str, ...] = (), least: float = -math.inf
    ) -> float:
        return worth(self.proposals.merits, layout)

    def _judged(
        self, layout: Layout, guess: float | None = None, missing: tuple[str, ...] = ()
    ) -> State:
        value = worth(self.proposals.merits, layout) if guess is None else guess
        if self.best is None or value > self.best[0]:
            self.best = value, layout
        return State(layout, missing, value, (), value)


def alone(merits: Merits, root: str, turn: float, points: Floats) -> Floats:
    """What a station is worth at places, whatever stands elsewhere, (n,)."""
    at_wall = merits.drawer.at_wall(root, turn, points)
    found = published("layout.backs.weight") * merits.shares[root] * at_wall
    if root in merits.deep and merits.door is not None:
        away = np.hypot(points[:, 0] - merits.door[0], points[:, 1] - merits.door[1])
        found = found + merits.deep[root] * away / merits.long_mm
    return np.asarray(found, dtype=np.float64)


def together(merits: Merits, one: str, other: str, away: Floats) -> Floats:
    """What two stations lose by standing so far apart, offsets (n, 2) in mm."""
    far = published("layout.near.far-mm")
    lost = np.zeros(len(away))
    for name, near_mm, weight in merits.pulls.get(one, ()):
        if name == other:
            lost += weight * np.clip((np.hypot(*away.T) - near_mm) / (far - near_mm), 0.0, 1.0)
    return lost


def worth(merits: Merits, layout: Layout) -> float:
    """What a whole layout is worth by those terms."""
    at = layout.at
    total = 0.0
    for root in merits.problem.free:
        point = np.array([(at[root].x_mm, at[root].y_mm)])
        total += float(alone(merits, root, at[root].turn_deg, point)[0])
    for one, other in combinations(merits.problem.free, 2):
        away = np.array([(at[other].x_mm - at[one].x_mm, at[other].y_mm - at[one].y_mm)])
        total -= float(together(merits, one, other, away)[0])
    return total


def searched(problem: Problem, steps: int, searches: int = 4) -> float:
    """The best that some searches come to."""
    found = []
    for number in range(searches):
        search = Poses(problem, number)
        for _ in range(steps):
            search.step()
        if search.best is not None:
            found.append(search.best[0])
    return max(found)


def solved(problem: Problem, seconds: float) -> tuple[float, bool]:
    """What the solver comes to on the grid, and whether it proved that to be the best."""
    from ortools.sat.python import cp_model

    search = Search(problem, 1, 0)
    model = cp_model.CpModel()
    x0, y0, x1, y1 = problem.scene.room.free.bounds
    xs, ys = np.arange(x0, x1, STEP_MM), np.arange(y0, y1, STEP_MM)
    grid = np.stack(np.meshgrid(xs, ys, indexing="ij"), axis=-1).reshape(-1, 2)
    cells = np.stack(np.divmod(np.arange(len(grid)), len(ys)), axis=1)
    empty = problem.core.layout()
    goal = []
    of: Variables = {}
    for root in problem.free:
        x = model.new_int_var(0, len(xs) - 1, f"x {root}")
        y = model.new_int_var(0, len(ys) - 1, f"y {root}")
        gain = model.new_int_var(0, 100 * SCALE, f"gain {root}")
        turns = search.drawer.turns[root]
        turned = [model.new_bool_var(f"{root} at {turn}") for turn in turns]
        model.add_exactly_one(turned)
        rows: list[tuple[int, ...]] = []
        number = model.new_int_var(0, len(turns) - 1, f"turn {root}")
        for i, turn in enumerate(turns):
            model.add(number == i).only_enforce_if(turned[i])
            free = np.flatnonzero(problem.core.admits(root, turn, grid, empty))
            gains = alone(search.proposals.merits, root, turn, grid[free])
            rows += [
                (i, int(a), int(b), math.floor(SCALE * g))
                for (a, b), g in zip(cells[free].tolist(), gains.tolist(), strict=True)
            ]
        model.add_allowed_assignments([number, x, y, gain], rows)
        of[root] = x, y, turned
        goal.append(gain)
    for one, other in combinations(problem.free, 2):
        _apart(model, search, of, one, other, len(xs), len(ys))
        loss = _loss(model, search, of, one, other, len(xs), len(ys))
        if loss is not None:
            goal.append(-loss)
    model.maximize(sum(goal))
    solver = cp_model.CpSolver()
    solver.parameters.max_time_in_seconds = seconds
    solver.parameters.num_workers = 2
    status = solver.solve(model)
    assert status in (cp_model.OPTIMAL, cp_model.FEASIBLE)
    return solver.objective_value / SCALE, status == cp_model.OPTIMAL


def _apart(
    model: Any, search: Search, of: Variables, one: str, other: str, wide: int, deep: int
) -> None:
    """Keep two stations apart as the core's table says, in boxes of the grid."""
    (xa, ya, turned_a), (xb, yb, turned_b) = of[one], of[other]
    view = search.problem.core.views[0]
    for i, first in enumerate(search.drawer.turns[one]):
        for j, second in enumerate(search.drawer.turns[other]):
            table = view.table(one, first, other, second)
            assert not table.of_first
            assert not table.of_second
            for low_x, low_y, high_x, high_y in _boxes(table.hard.hold, wide, deep):
                sides = [model.new_bool_var("") for _ in range(4)]
                model.add(xb - xa < low_x).only_enforce_if(sides[0])
                model.add(xb - xa > high_x).only_enforce_if(sides[1])
                model.add(yb - ya < low_y).only_enforce_if(sides[2])
                model.add(yb - ya > high_y).only_enforce_if(sides[3])
                model.add_bool_or([*sides, turned_a[i].negated(), turned_b[j].negated()])


def _boxes(
    holds: Callable[[Floats], Mask], wide: int, deep: int
) -> Iterator[tuple[int, int, int, int]]:
    """Cover the offsets that are forbidden by boxes of the grid, least and greatest included."""
    steps_x, steps_y = np.arange(-wide, wide + 1), np.arange(-deep, deep + 1)
    offsets = np.stack(np.meshgrid(steps_x, steps_y, indexing="ij"), axis=-1).reshape(-1, 2)
    met: Mask = holds((offsets * STEP_MM).astype(np.float64)).reshape(len(steps_x), len(steps_y))
    begun: dict[tuple[int, int], int] = {}
    for k in range(len(steps_x) + 1):
        runs = set(_runs(met[k])) if k < len(steps_x) else set()
        for run in [run for run in begun if run not in runs]:
            yield int(steps_x[begun.pop(run)]), run[0] - deep, int(steps_x[k - 1]), run[1] - deep
        for run in runs:
            begun.setdefault(run, k)


def _runs(line: Sequence[bool] | Mask) -> Iterator[tuple[int, int]]:
    ends = np.flatnonzero(np.diff(np.concatenate([[False], np.asarray(line), [False]])))
    for low, high in ends.reshape(-1, 2).tolist():
        yield low, high - 1


def _loss(
    model: Any, search: Search, of: Variables, one: str, other: str, wide: int, deep: int
) -> Any:
    """What two stations lose by their distance, None where they have nothing to do together."""
    if all(name != other for name, _, _ in search.proposals.merits.pulls.get(one, ())):
        return None
    (xa, ya, _), (xb, yb, _) = of[one], of[other]
    steps_x, steps_y = np.arange(-wide, wide + 1), np.arange(-deep, deep + 1)
    offsets = np.stack(np.meshgrid(steps_x, steps_y, indexing="ij"), axis=-1).reshape(-1, 2)
    lost = np.ceil(
        SCALE
        * together(search.proposals.merits, one, other, (offsets * STEP_MM).astype(np.float64))
    ).astype(int)
    number = model.new_int_var(0, len(offsets) - 1, "")
    model.add(number == (xb - xa + wide) * len(steps_y) + (yb - ya + deep))
    loss = model.new_int_var(0, 100 * SCALE, "")
    model.add_element(number, lost.tolist(), loss)
    return loss
