"""What a plan file asks to buy, what it comes to, and lengths to cut."""

from __future__ import annotations

import argparse
import json

from app.costs import ledger
from app.costs.budget import budget_says
from app.costs.cost import Costs, costs
from app.errors import Fault, PlanError, one_line
from app.file_commands.plan_file import read
from app.scene.build import Scene, build_scene
from app.takeoff import quantities
from app.takeoff.cutting_1d import cut_lengths
from app.takeoff.quantities import take_off
from app.units import parse_length_mm
from app.works.sparing import spares_of


def counted(asked: argparse.Namespace) -> int:
    """Print what to buy, or what it comes to; return the exit code."""
    plan = read(asked.plan)
    scene = build_scene(plan)
    needs = take_off(scene)
    priced = costs(scene, needs) if asked.command == "costs" else None
    if asked.csv:
        table_of = quantities.as_csv(needs, plan.currency, plan.units)
        print(table_of if priced is None else ledger.as_csv(priced, needs), end="")
    elif asked.json:
        data = (
            quantities.as_json(needs, plan.currency, plan.units)
            if priced is None
            else ledger.as_json(priced, _budget(scene, priced))
        )
        print(json.dumps(data, indent=1, ensure_ascii=False, allow_nan=False))
    else:
        lines = (
            quantities.as_text(needs, plan.currency, plan.units)
            if priced is None
            else ledger.as_text(priced, _budget(scene, priced))
        )
        for line in lines:
            print(one_line(line))
    return 0


def _budget(scene: Scene, priced: Costs) -> str:
    spares = spares_of(scene, priced) if priced.over_minor else ()
    return budget_says(priced, *spares)


def cut(asked: argparse.Namespace) -> int:
    """Print how to cut pieces from stock lengths; return the exit code."""
    plan = cut_lengths([_piece(text) for text in asked.pieces], asked.stock, asked.kerf)
    if asked.json:
        patterns = [
            {
                "times": pattern.times,
                "stock": pattern.stock_mm,
                "pieces": [{"length": length, "count": n} for length, n in pattern.pieces],
                "left": round(pattern.left_mm, 2),
            }
            for pattern in plan.patterns
        ]
        answer = {
            "stock_used": plan.stock_used,
            "lower_bound": plan.lower_bound,
            "bound_of": "lengths" if len(set(asked.stock)) == 1 else "mm",
            "proven": plan.proven,
            "patterns": patterns,
            "stock_mm": plan.stock_mm,
        }
        print(json.dumps(answer, indent=1, allow_nan=False))
        return 0
    for pattern in plan.patterns:
        pieces = " + ".join(f"{n} x {length:g}" for length, n in pattern.pieces)
        print(f"{pattern.times:>4} x {pattern.stock_mm:g}: {pieces}, {pattern.left_mm:g} left")
    word = "proven least" if plan.proven else f"the least possible may be {plan.lower_bound:g}"
    print(f"{plan.stock_used} to buy, {plan.stock_mm:g} mm, {word}; {plan.waste_mm:g} mm is waste")
    return 0


def _piece(text: str) -> tuple[float, int]:
    """Read "900:4", or "900" for one. Raises PlanError naming it."""
    length, colon, count = text.partition(":")
    try:
        return parse_length_mm(length), int(count) if colon else 1
    except ValueError:
        raise PlanError(Fault(text, "write a length and a count, such as 900:4")) from None
