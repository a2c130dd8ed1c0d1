"""What everything costs, on paper: part by part, kit piece by piece, then the sums.

The price of each single thing of the fit-out stands on the list of quantities.
"""

from __future__ import annotations

from collections.abc import Sequence

from app.costs.budget import budget_says
from app.costs.cost import PIECE, CostLine, Costs
from app.drawing.composed import Subject
from app.drawing.flow import Block, Entry, Words
from app.drawing.sheet import Sheet, TitleFields
from app.drawing.table_cells import Cells
from app.drawing.word_sheet import worded
from app.library.kit import kit_types
from app.model.plan import Plan
from app.units import format_money
from app.wording import lower

_SHARES = (0.72, 0.28)
_RIGHT = (False, True)
_GUIDE = "Guide prices of the library where no price of your own is typed."
_EACH = "What each thing costs: on the sheet Quantities."
_STANDINGS = {"owned": "owned", "bought": "paid", "committed": "ordered", "to-come": ""}


def costs_sheet(
    plan: Plan, costs: Costs, *, paper: str = "A4", fields: TitleFields | None = None
) -> Sheet:
    """Letter what each line and piece costs and what it comes to. Raises SheetError for a paper."""
    blocks = [*cost_blocks(costs), *not_in_it(holding(plan, costs))]
    return worded(plan, Subject("costs", "Costs", "cost list"), blocks, paper=paper, fields=fields)


def holding(plan: Plan, costs: Costs) -> list[str]:
    """Return what kit that is bought and holds other things is called; its price is that of it
    empty.
    """
    bought = {line.key for line in costs.lines if line.standing != "owned"}
    kinds = [kit_types().get(p.type) for p in plan.pieces if PIECE + p.id in bought]
    return [one.name for one in kinds if one and one.holds]


def not_in_it(holding: Sequence[str]) -> list[Block]:
    """Say that prices of what holds other things are those of it empty; nothing where none does."""
    if not holding:
        return []
    names = [lower(name) for name in dict.fromkeys(holding)]
    several = f"{', '.join(names[:-1])} and {names[-1]}" if names[1:] else names[0]
    words = f"What is put on or into: {several}. Masses are told with it, prices without."
    return [Block("Not in these prices", (Words(words),))]


def cost_blocks(costs: Costs, kit: bool = True) -> list[Block]:
    """Return what stands on the sheet; without `kit` what pieces cost is told beside it."""
    pieces = [line for line in costs.lines if line.group == "kit" and kit]
    bought = [line for line in costs.lines if line.group == "fit-out"]
    # what each single thing costs stands on the list of quantities
    parts = dict.fromkeys(line.part for line in bought)
    blocks = []
    if kit and any(line.guide for line in costs.lines):
        blocks.append(Block("Prices", (Words(_GUIDE),)))
    if bought:
        of_parts = [_part(costs, part, [x for x in bought if x.part == part]) for part in parts]
        blocks.append(Block("Fit-out", (*of_parts, Words(_EACH, "size"))))
    special = [line for line in bought if _says(line) or line.asked_minor is None]
    if special:
        blocks.append(Block("Of these", tuple(_row(costs, line) for line in special)))
    if pieces:
        blocks.append(Block("Kit", tuple(_row(costs, line) for line in pieces)))
    blocks.append(Block("What it comes to", tuple(_sums(costs))))
    if costs.problems:
        blocks.append(Block("Not counted", tuple(Words(each) for each in costs.problems)))
    return blocks


def _part(costs: Costs, part: str, lines: Sequence[CostLine]) -> Entry:
    count = f"{part}, {len(lines)} {'lines' if len(lines) > 1 else 'line'}"
    sum_words = format_money(sum(line.sum_minor for line in lines), costs.currency)
    return Cells((count, sum_words), _SHARES, _RIGHT)


def _says(line: CostLine) -> str:
    """Say how a line stands and whose price it has, where that is not the usual."""
    more = [_STANDINGS.get(line.standing, ""), "later" if line.later else ""]
    priced = not line.guide and line.asked_minor is not None and line.standing != "owned"
    more.append("own price" if priced else "")
    return ", ".join(word for word in more if word)


def _row(costs: Costs, line: CostLine) -> Entry:
    asked = (
        "no price" if line.asked_minor is None else format_money(line.asked_minor, costs.currency)
    )
    words = _says(line)
    if line.standing == "owned":
        asked = "owned"
        words = "later" if line.later else ""
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
