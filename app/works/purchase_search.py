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

from collections.abc import Generator, Iterator
from dataclasses import dataclass, field

import numpy as np

from app.budget import Budget
from app.works.purchase_first import first_choice
from app.works.purchase_model import Floats, Model
from app.works.purchase_solver import WITHIN_ONE, Matrix, Rows, solved, with_row

Choice = tuple[dict[str, int | None], bool]
"""Each thing's month, and whether that is proven best."""

Choosing = Generator[Choice, None, tuple[Floats, bool]]
"""What tells of each better choice on its way, and ends with the best and whether it is proven."""

TOGETHER = ((4, 2), (8, 4))
"""Of how many months in a row the choice is made better at a time, and how many of these are in
the next turn too, so that a thing can wander further: short ones first, for they take some
hundredths of a second."""

ASKED_TOGETHER = 4
"""Up to how many months in a row are asked whether they could be worth more; then the rest."""

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
    """The search for the best months of one programme.

    Each run of the solver is one step of the budget. Once it is over the best choice so far is
    the answer, and is not proven.
    """

    def __init__(self, model: Model, budget: Budget) -> None:
        self._model = model
        self._budget = budget
        self._low, self._high = model.bounds()
        self._month = np.array(model.month_of, dtype=np.intp)
        self._whole = np.zeros(model.size)
        self._whole[: model.bought] = 1
        self._settled: list[_Aim] = []
        self._rows = Rows(model)

    def choices(self) -> Iterator[Choice]:
        """Yield each choice that is better than the one before; nothing: there is none at all.

        The last one is the answer, told again with whether it is proven. Raises what the look of
        the budget raises.
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
        # a first choice is looked for whatever the budget says: without one there is no answer
        self._budget.allows()
        gain = self._gain(musts)
        rows = self._rows.all_of_them()
        values, proven = solved(-gain, rows, self._whole, (self._low, self._high))
        if values is None:
            return
        values = self._first(values, list(musts))
        yield self._by_thing(values), False
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
            values, sure = yield from self._best(_Aim(gain), values)
            proven = proven and sure
        yield self._by_thing(values), proven

    def _first(self, values: Floats, musts: list[int]) -> Floats:
        """Return the choice that is made by a rule, where it can be and has as many musts."""
        at = first_choice(self._model)
        low, high = self._low.copy(), self._high.copy()
        for thing in self._model.things:
            start, end = self._model.at[thing.key], self._model.at[thing.key] + self._model.months
            month = start + at[thing.key] if thing.key in at else end
            high[start:month] = 0
            low[month:end] = 1
        if np.any(low > high):
            return values
        solution, _ = self._run(self._gain(self._model.worth), low, high)
        if solution is None or solution[musts].sum() < values[musts].sum():
            return values
        return solution

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

    def _best(self, aim: _Aim, values: Floats) -> Choosing:
        """Return the best values for an aim and whether that is proven, and hold them."""
        for month in range(self._model.months):
            self._bound_alone(aim, month)
        values = self._nearest_whole(aim, values)
        yield self._by_thing(values), False
        values, _ = yield from self._better(aim, values)
        sure = self._proven(aim, values)
        if not sure:
            more = self._comes_to(aim, values) + 1
            solution, sure = self._run(aim.gain, self._low, self._high, more)
            values = values if solution is None else solution
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
        solution, sure = self._solved(
            -aim.gain[part.mine],
            (part.matrix, part.most),
            self._whole[part.mine],
            (self._low[part.mine], self._high[part.mine]),
            any_will_do=at_least is not None,
        )
        return (None if solution is None else float(aim.gain[part.mine] @ solution)), sure

    def _nearest_whole(self, aim: _Aim, values: Floats) -> Floats:
        """Return the best choice that keeps what the bare linear programme says whole."""
        model = self._model
        linear, _ = self._solved(
            -aim.gain, self._rows.all_of_them(), np.zeros(model.size), (self._low, self._high)
        )
        if linear is None:
            return values
        low = np.where(linear > WITHIN_ONE, self._high, self._low)
        high = np.where(linear < 1 - WITHIN_ONE, self._low, self._high)
        solution, _ = self._run(aim.gain, low, high)
        if solution is None or aim.gain @ solution < aim.gain @ values:
            return values
        return solution

    def _better(self, aim: _Aim, values: Floats) -> Choosing:
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
                solution, _ = self._run(aim.gain, low, high, self._comes_to(aim, values) + 1)
                if solution is not None:
                    values, quiet = solution, 0
                    yield self._by_thing(values), False
        return values, False

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
            solution, sure = self._of_months(aim, first, end, comes_to + 1)
            if solution is None and sure:
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
            rows = with_row(rows, -gain, -float(at_least))
        return self._solved(-gain, rows, self._whole, (low, high))

    def _solved(
        self,
        c: Floats,
        rows: tuple[Matrix, Floats],
        whole: Floats,
        bounds: tuple[Floats, Floats],
        any_will_do: bool = False,
    ) -> tuple[Floats | None, bool]:
        """Run the solver; once the budget is over nothing is found, and nothing is proven."""
        if not self._budget.allows():
            return None, False
        return solved(c, rows, whole, bounds, any_will_do)
