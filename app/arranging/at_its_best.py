"""What no layout mends, said of the place where least is missing: nobody plans by the worst."""

from __future__ import annotations

import math
from collections.abc import Iterator

import numpy as np

from app.arranging.problem import Problem
from app.arranging.shares import spread
from app.checks.headroom import headroom
from app.checks.snag import Snag
from app.checks.spots import spots
from app.model.kit import Pose
from app.placing.standing import Standing, station_poses
from app.published.register import overridden

LOOKED_AT = 40
"""Places of a piece, at each of its turns, at which a movement is measured."""
STEP_MM, LEAST_STEP_MM = 320.0, 20.0
"""Steps about the best of them in which a better one is looked for, halved down to the least: a
ridge or a field between joists lies between two of those places."""
BESIDE = ((1, 0), (-1, 0), (0, 1), (0, -1))
"""The four sides of a place."""


def at_its_best(problem: Problem, snag: Snag) -> Snag | None:
    """Return the same finding where a movement lacks least, wherever its piece may be moved to.

    None for what is no want of height, and where it is nowhere less than where things stand.
    """
    if snag.lacks != "height" or snag.movement is None:
        return None
    with overridden({one.id: one.value for one in problem.plan.overrides}):
        places = spots(problem.scene).get(snag.movement, ())
        roots = dict.fromkeys(spot.placed.root for spot in places)
        found = [_least(problem, root, snag) for root in roots if root in problem.free]
    least = min((one for one in found if one is not None), key=_missing, default=None)
    return least if least is not None and _missing(least) < _missing(snag) else None


def _least(problem: Problem, root: str, snag: Snag) -> Snag | None:
    core = problem.core
    bare, points = core.layout(), spread(problem.scene, LOOKED_AT)
    best: tuple[float, float, tuple[float, float], Snag] | None = None
    for turn in core.turns(root):
        for x, y in points[core.admits(root, turn, points, bare)].tolist():
            there = _there(problem, snag, root, turn, (x, y))
            if there is not None and (best is None or _missing(there) < best[0]):
                best = _missing(there), turn, (x, y), there
    if best is None:
        return None
    step = STEP_MM
    while step >= LEAST_STEP_MM:
        missing, turn, (x, y), _ = best
        about = np.array([(x + dx * step, y + dy * step) for dx, dy in BESIDE])
        for at in about[core.admits(root, turn, about, bare)].tolist():
            there = _there(problem, snag, root, turn, (at[0], at[1]))
            if there is not None and _missing(there) < best[0]:
                best = _missing(there), turn, (at[0], at[1]), there
        if best[0] == missing:
            step /= 2
    return best[3]


def _there(
    problem: Problem, snag: Snag, root: str, turn: float, at: tuple[float, float]
) -> Snag | None:
    poses: dict[str, Pose] = station_poses(problem.scene, root, Standing(turn, *at))
    return next(_of_the_same(headroom(problem.at(poses)), snag), None)


def _of_the_same(found: Iterator[Snag], snag: Snag) -> Iterator[Snag]:
    about = snag.code, snag.person, snag.movement, snag.severity
    return (one for one in found if (one.code, one.person, one.movement, one.severity) == about)


def _missing(snag: Snag) -> float:
    wanted = snag.required if snag.required is not None else snag.need
    if wanted is None or snag.measured is None:
        return math.inf
    return wanted - snag.measured
