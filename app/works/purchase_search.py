"""Solves the programme of buying by months: a good choice first, then the proof, month by month.

One run of the integer solver over all months spends nearly all of its time on finding what is best
and little on proving it. So a choice is found first and made better a few months at a time, with
all else as it is (fix and optimize; from memory: Pochet and Wolsey, Production Planning by Mixed
Integer Programming, 2006). Then each month is bounded by the best whole choice for it alone; where
the choice at hand does not reach that, a few months in a row are asked whether they could be worth
more. Bounds of months that follow one another add up, and mostly they add up to the choice. What is
left over goes to one run over all months, with all these bounds as rows.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, field
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

TOGETHER = ((4, 2), (8, 4))
"""Of how many months in a row the choice is made better at a time, and how many of these are in
the next turn too, so that a thing can wander further: short ones first, for they take some
hundredths of a second."""

ASKED_TOGETHER = 4
"""Up to how many months in a row are asked whether they could be worth more; then the rest."""

ANY = 1e6
"""The gap at which the solver ends with the first choice that it finds."""

SMALL = 1024
"""What the largest number of a row is brought to; a cent of some thousands stays far above the
solver's tolerance of a millionth."""

WITHIN_ROUNDING = 1e-6
"""What a sum of whole numbers may be off by in floating point."""

JOINED = 7
"""Months up to which two bounded stretches that overlap are asked as one."""


@dataclass(eq=False)
class _Aim:
    """What is to be made most: a gain for each variable, and what months in a row come to."""

    gain: Floats
    best: int = 0
    most: dict[tuple[int, int], int] = field(default_factory=dict)
    """The most that months from the first to the last can come to, where that is known."""

    def bound(self, first: int, last: int) -> int:
        """Return what months in a row can come to at the most, by bounds that follow another."""
        sums = {first: 0}
        for month in range(first, last + 1):
            sums[month + 1] = min(
                sums[a] + most
                for (a, e), most in self.most.items()
                if e == month and a >= first and a in sums
            )
        return sums[last + 1]


class Search:
    """The search for the best months of one programme."""

    def __init__(self, model: Model) -> None:
        self._model = model
        self._low, self._high = model.bounds()
        self._month = np.array(model.month_of, dtype=np.intp)
        self._whole = np.zeros(model.size)
        self._whole[: model.bought] = 1
        self._settled: list[_Aim] = []
        self._rows = _Rows(model)

    def solved(self, only_first: bool = False) -> tuple[dict[str, int | None] | None, bool]:
        """Return each thing's month and whether that is proven best; None: no choice at all.

        With `only_first` the first good choice is returned, without any proof.
        """
        model = self._model
        last = model.months - 1
        musts = {model.var(thing.key, last): 1.0 for thing in model.things if thing.must}
        cost = {model.var(thing.key, last): -float(thing.minor) for thing in model.things}
        early = {
            model.var(thing.key, t): 1.0
            for thing in model.things
            if not thing.worth
            for t in range(model.months)
        }
        values, proven = self._run(self._gain(musts), self._low, self._high)
        if values is None:
            return None, proven
        # what cannot be lost any more is no question: it narrows all that comes after
        if all(values[v] for v in musts):
            self._low[list(musts)] = 1
        elif musts:
            self._hold(_Aim(self._gain(musts)), values)
        for aim in (model.worth, cost, early):
            gain = self._gain(aim)
            free = self._high > self._low
            if not np.any(gain[free]):
                continue
            values, sure = self._best(_Aim(gain), values, only_first)
            proven = proven and sure
            if only_first:
                proven = False
                break
        return self._by_thing(values), proven

    def _gain(self, terms: dict[int, float]) -> Floats:
        gain = np.zeros(self._model.size)
        for v, worth in terms.items():
            gain[v] = worth
        return gain

    def _by_thing(self, values: Floats) -> dict[str, int | None]:
        months: dict[str, int | None] = {}
        for thing in self._model.things:
            start = self._model.at[thing.key]
            there = np.flatnonzero(values[start : start + self._model.months])
            months[thing.key] = int(there[0]) if len(there) else None
        return months

    def _hold(self, aim: _Aim, values: Floats) -> None:
        """Keep what an aim came to: no later aim may take from it."""
        aim.best = self._comes_to(aim, values)
        held = {int(v): -float(aim.gain[v]) for v in np.flatnonzero(aim.gain)}
        self._model.at_most(held, -float(aim.best))

    def _best(self, aim: _Aim, values: Floats, only_first: bool) -> tuple[Floats, bool]:
        """Return the best values for an aim and whether that is proven, and hold them."""
        for month in range(self._model.months):
            self._bound_alone(aim, month)
        values = self._nearest_whole(aim, values)
        if only_first:
            return values, False
        values = self._better(aim, values)
        sure = self._proven(aim, values)
        if not sure:
            more = self._comes_to(aim, values) + 1
            found, sure = self._run(aim.gain, self._low, self._high, more)
            values = values if found is None else found
        self._hold(aim, values)
        if sure:
            self._settled.append(aim)
        return values, sure

    def _bound_alone(self, aim: _Aim, month: int) -> None:
        mine = (self._month == month) & (aim.gain != 0)
        if not np.any(mine):
            aim.most[month, month] = 0
            return
        values, sure = self._of_months(aim, month, month)
        if sure and values is not None:
            most = round(float(values))
            self._keep(aim, month, month, most)
        else:
            gain = np.where(aim.gain > 0, aim.gain * self._high, aim.gain * self._low)
            aim.most[month, month] = round(float(gain[mine].sum()))

    def _keep(self, aim: _Aim, first: int, last: int, most: int) -> None:
        """Keep what some months can come to at the most, as a row too."""
        aim.most[first, last] = most
        mine = (self._month >= first) & (self._month <= last) & (aim.gain != 0)
        row = {int(v): float(aim.gain[v]) for v in np.flatnonzero(mine)}
        if row:
            self._model.at_most(row, float(most))

    def _of_months(
        self, aim: _Aim, first: int, last: int, at_least: int | None = None
    ) -> tuple[float | None, bool]:
        """Return the most that some months can come to by themselves, and whether that is proven.

        With `at_least`: any choice that comes to so much, None where there is none. What earlier
        aims came to is asked of these months too, by what all others can come to at the most.
        """
        held = []
        for one in self._settled:
            others = one.bound(0, first - 1) if first else 0
            if last + 1 < self._model.months:
                others += one.bound(last + 1, self._model.months - 1)
            held.append((one.gain, one.best - others))
        if at_least is not None:
            held.append((aim.gain, at_least))
        part = self._rows.of_months(first, last, held)
        found, sure = _solved(
            -aim.gain[part.mine],
            (part.matrix, part.most),
            self._whole[part.mine],
            (self._low[part.mine], self._high[part.mine]),
            any_will_do=at_least is not None,
        )
        return (None if found is None else float(aim.gain[part.mine] @ found)), sure

    def _nearest_whole(self, aim: _Aim, values: Floats) -> Floats:
        """Return the best choice that keeps what the bare linear programme says whole."""
        model = self._model
        linear, _ = _solved(
            -aim.gain, self._rows.all_of_them(), np.zeros(model.size), (self._low, self._high)
        )
        if linear is None:
            return values
        low = np.where(linear > WITHIN_ONE, self._high, self._low)
        high = np.where(linear < 1 - WITHIN_ONE, self._low, self._high)
        found, _ = self._run(aim.gain, low, high)
        if found is None or aim.gain @ found < aim.gain @ values:
            return values
        return found

    def _better(self, aim: _Aim, values: Floats) -> Floats:
        """Return a choice made better a few months at a time until no such few are."""
        months = self._model.months
        bound = aim.bound(0, months - 1)
        for count, overlap in TOGETHER:
            starts = list(range(0, max(months - count, 0) + overlap, overlap))
            quiet = turn = 0
            while quiet < len(starts) and self._comes_to(aim, values) < bound:
                first = starts[turn % len(starts)]
                turn += 1
                quiet += 1
                low, high = self._others_stay(values, first, first + count)
                found, _ = self._run(aim.gain, low, high, self._comes_to(aim, values) + 1)
                if found is not None:
                    values, quiet = found, 0
        return values

    def _others_stay(self, values: Floats, first: int, end: int) -> tuple[Floats, Floats]:
        """Return bounds in which only what is bought in some months may be bought otherwise."""
        months, bought = self._model.months, self._model.bought
        end = min(end, months)
        table = values[:bought].reshape(-1, months)
        at = np.where(table[:, -1] > 0, months - table.sum(axis=1), months)
        moves = ((at >= first) & (at < end)) | ((at == months) & (end == months))
        low, high = self._low.copy(), self._high.copy()
        lows, highs = low[:bought].reshape(-1, months), high[:bought].reshape(-1, months)
        lows[~moves] = highs[~moves] = table[~moves]
        highs[moves, :first] = 0
        if end < months:
            lows[moves, end:] = 1
        return low, high

    def _proven(self, aim: _Aim, values: Floats) -> bool:
        """Return whether bounds of months in a row add up to what a choice comes to."""
        last = self._model.months - 1
        by_month = [
            round(float(aim.gain[self._month == t] @ values[self._month == t]))
            for t in range(last + 1)
        ]
        best = sum(by_month)
        for first, end in self._stretches(aim):
            if aim.bound(0, last) <= best:
                return True
            comes_to = sum(by_month[first : end + 1])
            if aim.bound(first, end) <= comes_to:
                continue
            found, sure = self._of_months(aim, first, end, comes_to + 1)
            if found is None and sure:
                self._keep(aim, first, end, comes_to)
        return aim.bound(0, last) <= best

    def _stretches(self, aim: _Aim) -> Iterator[tuple[int, int]]:
        """Yield months in a row to be asked: short ones first, then what overlaps as one."""
        months = self._model.months
        # what an earlier aim had to have in one is in one here too
        for one in self._settled:
            yield from sorted(key for key in one.most if key[0] < key[1])
        for count in range(2, ASKED_TOGETHER + 1):
            yield from ((a, a + count - 1) for a in range(months - count + 1))
        several = sorted(key for key in aim.most if key[0] < key[1])
        joined = {
            (min(a, b), max(e, f))
            for a, e in several
            for b, f in several
            if b <= e + 1 and a <= f + 1 and max(e, f) - min(a, b) < JOINED
        }
        yield from sorted(joined - set(several), key=lambda one: (one[1] - one[0], one))

    @staticmethod
    def _comes_to(aim: _Aim, values: Floats) -> int:
        return round(float(aim.gain @ values))

    def _run(
        self, gain: Floats, low: Floats, high: Floats, at_least: int | None = None
    ) -> tuple[Floats | None, bool]:
        """Return the values with the most gain, None without any, and whether that is proven."""
        rows = self._rows.all_of_them()
        if at_least is not None:
            rows = _with_row(rows, -gain, -float(at_least))
        return _solved(-gain, rows, self._whole, (low, high))


@dataclass(frozen=True, eq=False)
class _Part:
    """The rows of some months alone, and which variables these are."""

    mine: NDArray[np.intp]
    matrix: Matrix
    most: Floats


class _Rows:
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

    def of_months(self, first: int, last: int, held: Sequence[tuple[Floats, int]]) -> _Part:
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
        return _Part(mine, csr_array((data, (row, col)), shape=(len(most), len(mine))), most)


def _with_row(rows: tuple[Matrix, Floats], terms: Floats, most: float) -> tuple[Matrix, Floats]:
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


def _solved(
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
