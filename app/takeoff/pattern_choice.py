"""Choosing patterns so that every piece is cut: the linear bound and the whole-number choice.

Both go to HiGHS through scipy. Nothing here knows what a pattern is cut from.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from app.takeoff.effort import SOLVER_ENDS_S

Columns = Sequence[Sequence[int]]


@dataclass(frozen=True, slots=True)
class Chosen:
    """How often each column is used and what that costs.

    `times` is None when there is no choice within what was allowed, or branches ran out before;
    `settled` tells whether the solver came to its end.
    """

    times: tuple[int, ...] | None
    cost: int
    settled: bool


def linear_bound(
    columns: Columns, costs: Sequence[int], wanted: Sequence[int]
) -> tuple[float, NDArray[np.float64]]:
    """Return the least cost when patterns may be used in part, and what one more piece costs."""
    from scipy.optimize import linprog

    # Divided by the greatest cost, so that the solver's tolerances mean the same for any stock.
    scale = max(costs)
    matrix = np.array(columns, dtype=np.float64).T
    result = linprog(
        np.array(costs, dtype=np.float64) / scale,
        A_ub=-matrix,
        b_ub=-np.array(wanted, dtype=np.float64),
        method="highs",
    )
    prices = np.maximum(-np.asarray(result.ineqlin.marginals, dtype=np.float64), 0.0)
    return float(result.fun) * scale, prices * scale


def whole_choice(
    columns: Columns,
    costs: Sequence[int],
    wanted: Sequence[int],
    at_most: int | None,
    nodes: int,
    limits: Sequence[tuple[Sequence[int], int]] = (),
) -> Chosen:
    """Choose how often to use each column so that all is cut at the least cost.

    With `at_most` only a choice that costs no more will do. `nodes` are the branches that the
    solver may open. `limits` are columns, by their places, and how often they may be used together.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp

    matrix = np.array(columns, dtype=np.float64).T
    need = np.array(wanted, dtype=np.float64)
    cost = np.array(costs, dtype=np.float64)
    with np.errstate(divide="ignore"):
        most = np.where(matrix > 0, np.ceil(need[:, None] / np.maximum(matrix, 1)), 0).max(axis=0)
    rules = [LinearConstraint(matrix, lb=need)]
    if at_most is not None:
        rules.append(LinearConstraint(cost[None, :], ub=at_most))
    for places, most_times in limits:
        row = np.zeros((1, len(cost)))
        row[0, list(places)] = 1
        rules.append(LinearConstraint(row, ub=most_times))
    result = milp(
        cost,
        integrality=np.ones_like(cost),
        bounds=Bounds(0, most),
        constraints=rules,
        options={"node_limit": nodes, "time_limit": SOLVER_ENDS_S, "mip_rel_gap": 0},
    )
    # scipy: 0 is solved, 1 a limit was reached, 2 there is no such choice
    settled = result.status in (0, 2)
    if result.x is None:
        return Chosen(None, 0, settled)
    times = tuple(round(value) for value in result.x)
    paid = sum(t * c for t, c in zip(times, costs, strict=True))
    return Chosen(times, paid, settled)
