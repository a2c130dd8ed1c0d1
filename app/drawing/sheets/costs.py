"""What everything costs, on paper: part by part, kit piece by piece, then the sums."""

from __future__ import annotations

from app.costs.budget import budget_says
from app.costs.cost import CostLine, Costs
from app.drawing.composed import Subject, worded
from app.drawing.flow import Block, Cells, Entry, Words
from app.drawing.sheet import Sheet, TitleFields
from app.model.plan import Plan
from app.units import format_money

_SHARES = (0.72, 0.28)
_RIGHT = (False, True)
_GUIDE = "Guide prices of the library where no price of your own is typed."
_STANDINGS = {"owned": "owned", "bought": "paid", "committed": "ordered", "to-come": ""}


def costs_sheet(
    plan: Plan, costs: Costs, *, paper: str = "A4", fields: TitleFields | None = None
) -> Sheet:
    """Letter what each line and piece costs and what it comes to. Raises SheetError for a paper."""
    blocks = [
        Block(name, tuple(_row(costs, line) for line in costs.lines if line.group == group))
        for name, group in (("Fit-out", "fit-out"), ("Kit", "kit"))
        if any(line.group == group for line in costs.lines)
    ]
    if any(line.guide for line in costs.lines):
        blocks.insert(0, Block("Prices", (Words(_GUIDE),)))
    blocks.append(Block("What it comes to", tuple(_sums(costs))))
    if costs.problems:
        blocks.append(Block("Not counted", tuple(Words(each) for each in costs.problems)))
    return worded(plan, Subject("costs", "Costs", "cost list"), blocks, paper=paper, fields=fields)


def _row(costs: Costs, line: CostLine) -> Entry:
    asked = (
        "no price" if line.asked_minor is None else format_money(line.asked_minor, costs.currency)
    )
    if line.standing == "owned":
        asked = "owned"
    more = [_STANDINGS.get(line.standing, ""), "later" if line.later else ""]
    more.append("own price" if not line.guide and line.asked_minor is not None else "")
    words = ", ".join(word for word in more if word and word != asked)
    return Cells((line.item + (f" ({words})" if words else ""), asked), _SHARES, _RIGHT)


def _sums(costs: Costs) -> list[Entry]:
    def row(name: str, minor: int, ink: str = "small") -> Entry:
        return Cells((name, format_money(minor, costs.currency)), _SHARES, _RIGHT, ink)

    rows = [
        row("Fit-out", costs.sum_of(group="fit-out")),
        row("Kit", costs.sum_of(group="kit")),
        row(f"For surprises, {costs.contingency_percent:g} %", costs.contingency_minor),
    ]
    if costs.tax_percent is not None:
        where = "within" if costs.with_tax else "on top"
        rows.append(row(f"Tax {costs.tax_percent:g} %, {where}", costs.tax_minor))
    rows.append(row("Together", costs.gross_minor, "small-bold"))
    says = budget_says(costs)
    return [*rows, Words(says)] if says else rows
