"""One-dimensional cutting: which pieces from which stock length, with the least stock, proven.

By patterns (Gilmore and Gomory, A linear programming approach to the cutting-stock problem,
Operations Research 9, 1961): the linear bound comes from patterns added as long as one is worth
more than its stock; then all patterns that a plan of a given cost can hold are listed (those whose
reduced cost is no more than what is left above the bound), and a whole-number programme says
whether there is such a plan. The cost is raised step by step until there is one.

A saw turns its kerf to dust: pieces fit when their sum and a kerf for each is no more than stock
and one kerf, for the last cut may fall off the end.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from app.errors import Fault, PlanError
from app.takeoff.bars import (
    Column,
    Task,
    cost_of,
    first_fit,
    least_by_length,
    singles,
    trimmed,
)
from app.takeoff.effort import (
    CUTS_AT_MOST,
    FULL_PATTERNS_AT_MOST,
    LENGTHS_AT_MOST,
    LOOKS_AT_MOST,
    LOOKS_IN_ALL,
    PATTERNS_AT_MOST,
    PATTERNS_FIRST,
    PATTERNS_SOLVED,
    QUICK_NODES,
    ROUNDS_AT_MOST,
    SLACK,
    SOLVER_NODES,
    STEPS_PER_MM,
)
from app.takeoff.least_waste import least_waste
from app.takeoff.pattern_choice import Chosen, linear_bound, whole_choice
from app.takeoff.patterns import Search


@dataclass(frozen=True, slots=True)
class Pattern:
    """One way to cut a stock length, and how often: `pieces` are (length in mm, count)."""

    stock_mm: float
    pieces: tuple[tuple[float, int], ...]
    times: int
    left_mm: float


@dataclass(frozen=True, slots=True)
class CuttingPlan:
    """The patterns, what they use, and what no plan can beat.

    `stock_used` counts stock lengths, `stock_mm` is their length together. `lower_bound` is in
    stock lengths where there is one length of stock, else in mm of stock; `proven` tells that
    the plan reaches it. Over several lengths the least total length is sought.
    """

    patterns: tuple[Pattern, ...]
    stock_used: int
    stock_mm: float
    lower_bound: float
    proven: bool
    net_mm: float

    @property
    def waste_mm(self) -> float:
        """Stock that does not end up in pieces, saw dust counted in."""
        return self.stock_mm - self.net_mm


def cut_lengths(
    pieces: Iterable[tuple[float, int]], stock_mm: float | Sequence[float], kerf_mm: float = 0
) -> CuttingPlan:
    """Plan how to cut (length, count) pieces from one or several stock lengths, all in mm.

    Worked: 3 of 2000 from stock of 6000: 1 length; with a kerf of 3: 2.
    Raises PlanError naming the line: a stock or piece of nothing, a negative kerf, a piece longer
    than every stock.
    """
    stocks = (stock_mm,) if isinstance(stock_mm, int | float) else tuple(stock_mm)
    wanted = _checked(list(pieces), stocks, kerf_mm)
    if not wanted:
        return CuttingPlan((), 0, 0.0, 0.0, True, 0.0)
    steps = STEPS_PER_MM
    lengths = sorted(wanted, reverse=True)
    bars = sorted(set(stocks))
    kerf = round(kerf_mm * steps)
    plain = [round(bar * steps) for bar in bars]
    shared = math.gcd(*plain)
    task = Task(
        tuple(round(length * steps) + kerf for length in lengths),
        tuple(wanted[length] for length in lengths),
        tuple(bar + kerf for bar in plain),
        tuple(bar // shared for bar in plain),
    )
    used, bound = _solve(task)
    patterns = tuple(_worded(task, used, lengths, bars, kerf_mm))
    count = sum(p.times for p in patterns)
    cost = sum(times * task.costs[k] for (k, _), times in used.items())
    one = len(bars) == 1
    return CuttingPlan(
        patterns,
        count,
        math.fsum(p.stock_mm * p.times for p in patterns),
        bound if one else bound * shared / steps,
        cost == bound,
        math.fsum(length * count for length, count in wanted.items()),
    )


def _checked(
    pieces: Sequence[tuple[float, int]], stocks: Sequence[float], kerf_mm: float
) -> dict[float, int]:
    """Add up what is wanted of each length. Raises PlanError for what cannot be cut."""
    if not stocks:
        raise PlanError(Fault("stock", "give at least one stock length"))
    for stock in stocks:
        if not (math.isfinite(stock) and round(stock * STEPS_PER_MM) > 0):
            raise PlanError(Fault("stock", f"a stock of {stock:g} mm cannot be cut"))
    if not (math.isfinite(kerf_mm) and kerf_mm >= 0):
        raise PlanError(Fault("kerf", f"a kerf of {kerf_mm:g} mm: it must be 0 or more"))
    steps = STEPS_PER_MM
    wanted: dict[float, int] = {}
    for length, count in pieces:
        line = f"{length:g}:{count}"
        if not (math.isfinite(length) and round(length * steps) > 0):
            raise PlanError(Fault(line, "a piece must be longer than nothing"))
        if count < 1:
            raise PlanError(Fault(line, "a count must be 1 or more"))
        if length > max(stocks):
            raise PlanError(
                Fault(line, f"the piece of {length:g} is longer than the stock of {max(stocks):g}")
            )
        wanted[length] = wanted.get(length, 0) + count
    limits = CUTS_AT_MOST, LENGTHS_AT_MOST
    if sum(wanted.values()) > limits[0] or len(wanted) > limits[1]:
        raise PlanError(
            Fault("pieces", "at most {:,.0f} pieces of {:.0f} lengths at once".format(*limits))
        )
    return wanted


def _solve(task: Task) -> tuple[dict[Column, int], int]:
    """Return the columns used with their times, and the lower bound on the cost."""
    best = first_fit(task)
    bound = least_by_length(task)
    if cost_of(task, best) > bound:
        closer = least_waste(task, bound)
        best = (
            closer if closer is not None and cost_of(task, closer) < cost_of(task, best) else best
        )
    # Most lists of a house come out almost without waste, and that is proven in a moment; the long
    # way below is for the rest.
    full = _all_full(task, best)
    if full is not None:
        return full, cost_of(task, full)
    columns = [*dict.fromkeys([*best, *singles(task)])]
    linear, prices, sure = _linear(task, columns)
    # Costs are whole, so the linear bound may be rounded up; the slack keeps a bound of 7.0000001
    # that is 7 by rights from becoming 8.
    # Where pricing was cut short the linear bound is none, and what the lengths alone ask remains.
    if sure:
        bound = max(bound, math.ceil(linear / (1 + SLACK)))
    # The patterns of the linear bound hold the answer more often than not, and are few.
    if cost_of(task, best) > bound:
        quick = _choose(task, columns, None, QUICK_NODES)
        best = _better(task, best, columns, quick)
    settled = sure
    while settled and cost_of(task, best) > bound:
        # With one stock the cost counts lengths: one step at a time keeps the list of patterns
        # short. Costs of several stocks are too fine for that.
        one = len(task.stocks) == 1
        goal = bound if one else cost_of(task, best) - 1
        choice, settled = _with_more(task, columns, prices, goal, goal - linear, one)
        best = choice or best
        # Out of branches: the best so far stands, with a gap, instead of a longer wait.
        if settled:
            # Nothing at the goal among all patterns that could make it is a proof that it cannot
            # be had.
            bound = goal + 1 if choice is None else cost_of(task, choice)
    if len(task.stocks) > 1:
        best = _fewer_bars(task, best, columns, prices, linear)
    return trimmed(task, best), min(bound, cost_of(task, best))


def _fewer_bars(
    task: Task,
    best: dict[Column, int],
    columns: Sequence[Column],
    prices: Sequence[float],
    linear: float,
) -> dict[Column, int]:
    """Return a plan of no more stock in fewer bars, where there is one: each is carried and cut."""
    paid = cost_of(task, best)
    patterns, _ = _all_within(task, prices, paid - linear, PATTERNS_FIRST)
    pool = [*dict.fromkeys([*best, *columns, *patterns])]
    costs = [task.costs[k] for k, _ in pool]
    # Stock comes first and bars second: that many bars together weigh less than one step of stock.
    bars = sum(best.values())
    weighed = [cost * (bars + 1) + 1 for cost in costs]
    goal = paid * (bars + 1) + bars - 1
    choice = whole_choice([c for _, c in pool], weighed, task.wanted, goal, QUICK_NODES)
    if choice.times is None:
        return best
    made = {column: times for column, times in zip(pool, choice.times, strict=True) if times}
    # The solver's tolerance is coarser than one bar of thousands: what it brings is weighed anew.
    fewer = sum(made.values()) < bars
    return made if cost_of(task, made) < paid or (cost_of(task, made) == paid and fewer) else best


def _with_more(
    task: Task,
    columns: Sequence[Column],
    prices: Sequence[float],
    goal: int,
    spare: float,
    first: bool,
) -> tuple[dict[Column, int] | None, bool]:
    """Look for a plan of at most the goal; tell whether the answer is settled.

    The columns that cost least beyond their pieces come first, for the solver is slow with very
    many; where `first` the first plan found will do.
    """
    most = PATTERNS_AT_MOST
    few = PATTERNS_FIRST
    patterns, complete = _all_within(task, prices, spare, most)
    patterns.sort(
        key=lambda column: (
            task.costs[column[0]]
            - math.fsum(c * price for c, price in zip(column[1], prices, strict=True))
        )
    )
    made: dict[Column, int] | None = None
    counts = {min(few, len(patterns))}
    if complete and len(patterns) <= PATTERNS_SOLVED:
        counts.add(len(patterns))
    for count in sorted(counts):
        # Only a pool that leaves out nothing can settle that the goal is out of reach.
        whole = complete and count == len(patterns)
        pool = [*dict.fromkeys([*columns, *patterns[:count]])]
        choice = _choose(task, pool, goal, SOLVER_NODES)
        if choice.times is not None:
            made = {column: t for column, t in zip(pool, choice.times, strict=True) if t}
            if first:
                return made, True
            goal = choice.cost
        if whole:
            return made, choice.settled
    return made, False


def _all_full(task: Task, best: dict[Column, int]) -> dict[Column, int] | None:
    """Look for a plan that wastes less than one stock length, where few patterns can be in it.

    Prices by length are a bound of their own: such a plan holds only patterns that waste no more
    than the whole plan does.
    """
    stock = task.stocks[0]
    net = sum(length * count for length, count in zip(task.lengths, task.wanted, strict=True))
    goal = -(-net // stock)
    # With several stocks "less than one length" means nothing; where the first fit is there already
    # nothing is left to do.
    if len(task.stocks) > 1 or cost_of(task, best) == goal:
        return best if len(task.stocks) == 1 else None
    prices = [length / stock for length in task.lengths]
    few = FULL_PATTERNS_AT_MOST
    patterns, complete = _all_within(task, prices, goal - net / stock, few)
    if not (complete and patterns):
        return None
    made = _better(task, best, patterns, _choose(task, patterns, goal, QUICK_NODES))
    return trimmed(task, made) if cost_of(task, made) == goal else None


def _choose(task: Task, pool: Sequence[Column], goal: int | None, nodes: int) -> Chosen:
    costs = [task.costs[k] for k, _ in pool]
    return whole_choice([counts for _, counts in pool], costs, task.wanted, goal, nodes)


def _better(
    task: Task, best: dict[Column, int], pool: Sequence[Column], choice: Chosen
) -> dict[Column, int]:
    if choice.times is None or choice.cost >= cost_of(task, best):
        return best
    return {column: times for column, times in zip(pool, choice.times, strict=True) if times}


def _linear(task: Task, columns: list[Column]) -> tuple[float, Sequence[float], bool]:
    """Return the linear bound, the prices of the pieces, and whether both are certain.

    Adds to `columns` each pattern that is worth more than its stock, until there is none.
    """
    slack, looks = SLACK, LOOKS_AT_MOST
    linear, prices = 0.0, [0.0] * len(task.lengths)
    known = set(columns)
    left = LOOKS_IN_ALL
    for _ in range(ROUNDS_AT_MOST):
        costs = [task.costs[k] for k, _ in columns]
        linear, priced = linear_bound([counts for _, counts in columns], costs, task.wanted)
        prices = [float(price) for price in priced]
        before, sure = len(columns), True
        for k, stock in enumerate(task.stocks):
            # After the richest pattern others without its pieces: far fewer rounds are needed.
            wanted = list(task.wanted)
            while any(wanted):
                search = Search(task.lengths, wanted, stock, prices)
                worth, counts, certain = search.richest(min(looks, max(left, 0)))
                left -= search.looked
                # A search that was cut short proves nothing, unless this round goes on with what it
                # did bring.
                sure = sure and (certain or len(columns) > before)
                # A pattern that is known already and still seems worth its stock is rounding;
                # taking it up again would go round for ever.
                if worth <= task.costs[k] * (1 + slack) or (k, counts) in known:
                    break
                columns.append((k, counts))
                known.add((k, counts))
                wanted = [0 if c else w for c, w in zip(counts, wanted, strict=True)]
        if len(columns) == before:
            return linear, prices, sure
        # All rounds together end too, however hard each one is.
        if left <= 0:
            break
    return linear, prices, False


def _all_within(
    task: Task, prices: Sequence[float], spare: float, most: int
) -> tuple[list[Column], bool]:
    """Return all columns that a plan `spare` above the linear bound may use; and if that is all.

    A plan costs the linear bound plus the reduced costs of its columns and the prices of what it
    cuts too much, none of which is negative.
    """
    looks = LOOKS_AT_MOST
    columns: list[Column] = []
    complete = True
    for k, stock in enumerate(task.stocks):
        cost = task.costs[k]
        # The slack widens the net: a pattern too many costs time, one left out would break the
        # proof.
        asked = cost - spare - cost * SLACK
        search = Search(task.lengths, task.wanted, stock, prices)
        more = search.worth_at_least(asked, most - len(columns), looks)
        columns.extend((k, counts) for counts in more.patterns)
        complete = complete and more.complete
    return columns, complete


def _worded(
    task: Task,
    used: Mapping[Column, int],
    lengths: Sequence[float],
    bars: Sequence[float],
    kerf_mm: float,
) -> Iterable[Pattern]:
    """Return the columns in mm, longest pieces first."""
    for (k, counts), times in sorted(used.items(), key=lambda entry: entry[0][1], reverse=True):
        pieces = tuple((length, c) for length, c in zip(lengths, counts, strict=True) if c)
        net = math.fsum(length * c for length, c in pieces)
        dust = kerf_mm * sum(c for _, c in pieces)
        yield Pattern(bars[k], pieces, times, max(bars[k] - net - dust, 0.0))
