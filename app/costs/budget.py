"""What breaks the budget and what would mend it; two options side by side."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from app.costs.cost import CostLine, Costs
from app.costs.leaving_out import Spare, Wanted, least_set
from app.costs.tax import half_up, rounded
from app.units import format_money

_ORDER = {"bought": 0, "committed": 1, "to-come": 2, "owned": 3}


@dataclass(frozen=True, slots=True)
class Spending:
    """One line in the order of spending, and what has been spent when it is paid, tax in it."""

    line: CostLine
    running_minor: int


def in_order(costs: Costs) -> tuple[Spending, ...]:
    """All lines as they are paid: bought, committed, then now before later, fit-out first."""
    lines = sorted(
        (line for line in costs.lines if line.standing != "owned"),
        key=lambda line: (_ORDER[line.standing], line.later, line.group == "kit"),
    )
    spent = Fraction(0)
    spendings = []
    for line in lines:
        spent += gross_of(costs, line)
        spendings.append(Spending(line, half_up(spent)))
    return tuple(spendings)


def gross_minor_by_line(costs: Costs) -> dict[str, int]:
    """Return what each line costs with its tax in whole minor units, by its key.

    Together they are what all lines come to by the rule by which the tax is rounded: each by
    itself, or what is over is carried on to the next.
    """
    if costs.with_tax:
        return {line.key: line.sum_minor for line in costs.lines}
    if costs.tax_rounding == "line-half-up":
        return {line.key: line.sum_minor + half_up(line.tax) for line in costs.lines}
    by_key, tax, before = {}, Fraction(0), 0
    for line in costs.lines:
        tax += line.tax
        after = rounded([tax], costs.tax_rounding)
        by_key[line.key] = line.sum_minor + after - before
        before = after
    return by_key


def gross_of(costs: Costs, line: CostLine) -> Fraction:
    """Return what a line costs with its tax."""
    return Fraction(line.sum_minor) + (0 if costs.with_tax else line.tax)


def budget_says(
    costs: Costs, spares: Sequence[Spare] | None = None, wanted: Sequence[Wanted] = ()
) -> str:
    """Say whether the budget holds, which line breaks it, and the least that left out mends it.

    `spares` are what may be left out and `wanted` what is done with them; without them every line
    that is still to come may be, and all are worth the same.
    """
    if costs.budget_minor is None:
        return ""

    def money(minor: int) -> str:
        return format_money(minor, costs.currency)

    if not costs.over_minor:
        left = costs.budget_minor - costs.gross_minor
        return f"The budget of {money(costs.budget_minor)} holds; {money(left)} is left."
    order = in_order(costs)
    breaks = next((s.line for s in order if s.running_minor > costs.budget_minor), None)
    start = f"The budget of {money(costs.budget_minor)} is broken by {money(costs.over_minor)}"
    if breaks is None:
        return f"{start}: the lines fit, the contingency of {money(costs.contingency_minor)} not."
    sentence_so_far = f"{start}. In the order of spending it breaks at {breaks.item}"
    share = 1 + Fraction(str(costs.contingency_percent)) / 100
    left_out = least_set(_spares(costs) if spares is None else spares,
                         float(costs.over_minor / share), wanted)  # fmt: skip
    if left_out is None:
        return f"{sentence_so_far}; all that is still to come left out does not mend it."
    names = _listed([spare.name for spare in left_out.spares])
    sentence = f"{sentence_so_far}; without {names} ({money(left_out.minor)}) it holds"
    if not left_out.least:
        sentence += ", and there may be a smaller set"
    lost = _listed(left_out.lost)
    return f"{sentence}; then there is no {lost}." if lost else f"{sentence}."


def _spares(costs: Costs) -> list[Spare]:
    return [
        Spare(line.key, line.item, half_up(gross_of(costs, line)))
        for line in costs.lines
        if line.standing == "to-come" and line.sum_minor
    ]


def _listed(names: Sequence[str]) -> str:
    return " and ".join(part for part in (", ".join(names[:-1]), *names[-1:]) if part)


@dataclass(frozen=True, slots=True)
class Difference:
    """One line that differs between two options; None where an option does not have it."""

    key: str
    item: str
    one_minor: int | None
    other_minor: int | None

    @property
    def more_minor(self) -> int:
        """By how much the other option is dearer."""
        return (self.other_minor or 0) - (self.one_minor or 0)


def compare(one: Costs, other: Costs) -> tuple[Difference, ...]:
    """Return the lines in which two options differ, the greatest difference first.

    Raises ValueError for two currencies: nothing is converted.
    """
    if one.currency != other.currency:
        raise ValueError(f"one option counts in {one.currency}, the other in {other.currency}")
    here = {line.key: line for line in one.lines}
    there = {line.key: line for line in other.lines}
    differences = []
    for key in {**here, **there}:
        a, b = here.get(key), there.get(key)
        difference = Difference(
            key,
            (b or a).item,  # type: ignore[union-attr]
            a.sum_minor if a else None,
            b.sum_minor if b else None,
        )
        if a is None or b is None or difference.more_minor:
            differences.append(difference)
    return tuple(sorted(differences, key=lambda d: (-abs(d.more_minor), d.key)))
