"""The rows of the programme of buying as the integer solver takes them, and its run."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray

from app.works.purchase_model import Floats, Model

Matrix = Any
"""A sparse matrix by rows. Its library takes long to load: it is loaded where it is used."""

NODES_AT_MOST = 20_000
"""Branches that the integer solver may open for one aim before its answer counts as not proven.

Counted in branches, so that a busy machine proves what an idle one proves; purchases of a house
(40 things over two years) are settled within a few dozen.
"""

ENDS_S = 10.0
"""When the solver is stopped though it has branches left, so that nothing waits without end."""

WITHIN_ONE = 0.99
"""What two different whole numbers differ by at least, with room for the solver's rounding."""

ANY = 1e6
"""The gap at which the solver ends with the first choice that it finds."""

SMALL = 1024
"""What the largest number of a row is brought to; a cent of some thousands stays far above the
solver's tolerance of a millionth."""

WITHIN_ROUNDING = 1e-6
"""What a sum of whole numbers may be off by in floating point."""


@dataclass(frozen=True, eq=False)
class Part:
    """The rows of some months alone, and which variables these are."""

    mine: NDArray[np.intp]
    matrix: Matrix
    most: Floats


class Rows:
    """The rows of a model as the solver takes them; rows that come later are taken in."""

    def __init__(self, model: Model) -> None:
        self._model = model
        self._month = np.array(model.month_of, dtype=np.intp)
        self._known = 0
        self._row = self._col = np.zeros(0, dtype=np.intp)
        self._data = self._most = np.zeros(0)
        self._first = self._last = np.zeros(0, dtype=np.intp)
        self._asks_a_thing = np.zeros(0, dtype=bool)

    def _catch_up(self) -> None:
        fresh = self._model.rows[self._known :]
        if not fresh:
            return
        cols = [np.fromiter(terms, dtype=np.intp) for terms, _ in fresh]
        months = [self._month[col] for col in cols]
        bought = self._model.bought
        self._row = np.append(
            self._row, np.repeat(np.arange(len(fresh)) + self._known, [len(one) for one in cols])
        )
        self._col = np.concatenate([self._col, *cols])
        self._data = np.append(self._data, [x for terms, _ in fresh for x in terms.values()])
        self._most = np.append(self._most, [most for _, most in fresh])
        self._first = np.append(self._first, [one.min() for one in months])
        self._last = np.append(self._last, [one.max() for one in months])
        # "a way is whole when a thing is there": the one row that may be asked of a later month
        asks = [len(col) == 2 and int(col.max()) >= bought > int(col.min()) for col in cols]
        self._asks_a_thing = np.append(self._asks_a_thing, asks)
        self._known = len(self._model.rows)

    def all_of_them(self) -> tuple[Matrix, Floats]:
        """Return all rows: what the terms add up to, and what that is at the most."""
        from scipy.sparse import csr_array

        self._catch_up()
        shape = (self._known, self._model.size)
        return csr_array((self._data, (self._row, self._col)), shape=shape), self._most

    def of_months(self, first: int, last: int, held: Sequence[tuple[Floats, int]]) -> Part:
        """Return the programme of some months: what is there by then, what is done with it.

        What belongs to earlier months is asked for in the first of them, which is no stricter:
        what was bought stays bought. `held` are gains and what they have to come to at the least.
        """
        from scipy.sparse import csr_array

        self._catch_up()
        mine = np.flatnonzero((self._month >= first) & (self._month <= last))
        number = np.full(self._model.size, -1, dtype=np.intp)
        number[mine] = np.arange(len(mine))
        taken = (self._last >= first) & (self._last <= last)
        taken &= (self._first >= first) | self._asks_a_thing
        here = taken[self._row]
        late = np.maximum(first - self._month[self._col[here]], 0)
        # a variable of a thing stands beside those of the same thing in later months
        col = number[self._col[here] + late]
        row = (np.cumsum(taken) - 1)[self._row[here]]
        data, most = self._data[here], self._most[taken]
        for gain, at_least in held:
            of = np.flatnonzero(gain[mine])
            row = np.append(row, np.full(len(of), len(most)))
            col, data = np.append(col, of), np.append(data, -gain[mine][of])
            most = np.append(most, -float(at_least))
        return Part(mine, csr_array((data, (row, col)), shape=(len(most), len(mine))), most)


def with_row(rows: tuple[Matrix, Floats], terms: Floats, most: float) -> tuple[Matrix, Floats]:
    """Return rows with one more: terms that add up to no more than a number."""
    from scipy.sparse import csr_array, vstack

    matrix = vstack([rows[0], csr_array(terms[np.newaxis, :])], format="csr")
    return matrix, np.append(rows[1], most)


def _scale(matrix: Matrix) -> Floats:
    """Return for each row the power of two that makes its numbers small.

    In sums of money the solver's own tolerance is that of far smaller numbers; a power of two
    changes no digit.
    """
    largest = np.maximum(np.maximum.reduceat(np.abs(matrix.data), matrix.indptr[:-1]), 1.0)
    return np.exp2(np.minimum(np.floor(np.log2(SMALL / largest)), 0.0))


def solved(
    c: Floats,
    rows: tuple[Matrix, Floats],
    whole: Floats,
    bounds: tuple[Floats, Floats],
    any_will_do: bool = False,
) -> tuple[Floats | None, bool]:
    """Return the values that make `c` least, None without any, and whether that is proven.

    What its bounds leave no choice is not handed over. Without whole numbers the values are
    those of the linear programme, as they are.
    """
    from scipy.optimize import Bounds, LinearConstraint, milp

    low, high = bounds
    matrix, most = rows
    free = high > low
    values = low.copy()
    left = most - matrix @ np.where(free, 0.0, low)
    matrix = matrix[:, np.flatnonzero(free)]
    asked = np.diff(matrix.indptr) > 0
    if np.any(left[~asked] < -WITHIN_ROUNDING):
        return None, True
    if not np.any(free):
        return values, True
    c, whole, left = c[free], whole[free], left[asked]
    matrix = matrix[np.flatnonzero(asked)]
    scale = _scale(matrix)
    matrix.data *= np.repeat(scale, np.diff(matrix.indptr))
    gap = WITHIN_ONE / max(float(np.abs(c).sum()), 1.0)
    result = milp(
        c,
        integrality=whole,
        bounds=Bounds(low[free], high[free]),
        constraints=LinearConstraint(matrix, ub=left * scale),
        options={
            "node_limit": NODES_AT_MOST,
            "time_limit": ENDS_S,
            # every aim counts in whole numbers: nearer than one is the best there is
            "mip_rel_gap": ANY if any_will_do else gap,
        },
    )
    # scipy: 0 is solved, 1 a limit was reached, 2 there is no such choice
    settled = result.status in (0, 2)
    if result.x is None:
        return None, settled
    values[free] = np.round(result.x) if np.any(whole) else result.x
    return values, settled
