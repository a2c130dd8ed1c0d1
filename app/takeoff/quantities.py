"""The whole list of quantities of a plan: as objects, as JSON data, as CSV and as lines of text."""

from __future__ import annotations

import csv
import io
from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from typing import Any

from app.published.register import overridden, row
from app.scene.build import Scene
from app.takeoff.counting import PIECE
from app.takeoff.covering import covering
from app.takeoff.fixings import fixings
from app.takeoff.floor_list import floors
from app.takeoff.jobs import jobs_of
from app.takeoff.leads import leads
from app.takeoff.lights import lights
from app.takeoff.line import PART_NAMES, READY_NAME, Gathered, Line, TakeOff
from app.takeoff.mirrors import mirrors
from app.takeoff.openings import openings
from app.takeoff.paint import paint
from app.takeoff.paint_plan import coats
from app.takeoff.projection import projections
from app.takeoff.ready import ready
from app.takeoff.strips import strips
from app.takeoff.supplies import supplies
from app.takeoff.tools import tools
from app.units import Units, bare_money, format_money
from app.wording import measure_in

_DIGITS = 4
"""Digits of a step of the working: more than any price or size has."""


_DECIMALS = 3  # a gram, a millimetre: nobody weighs or measures finer
COLUMNS = (
    "key",
    "item",
    "where",
    "net",
    "waste",
    "unit",
    "to buy",
    "packs",
    "left over",
    "mass kg",
    "cost",
    "currency",
    "assumed",
    "source of the rate",
)

Counter = Callable[[Scene], Gathered]
PARTS: tuple[Counter, ...] = (covering, floors, paint, lights, strips, mirrors, projections)
"""Every part but those that follow from the others: fixings, seals and ramps, what jobs take."""


def take_off(scene: Scene) -> TakeOff:
    """Return everything to buy for the fit-out of a plan; what cannot be counted is said instead.

    Published values that the household sets otherwise are used as it sets them.
    """
    gathered = Gathered()
    with overridden({value.id: value.value for value in scene.plan.overrides}):
        for part in PARTS:
            gathered.take(part(scene))
        hung = sum(round(line.net) for line in gathered.lines if line.part == "light")
        gathered.take(fixings(scene, hung))
        gathered.take(openings(scene, gathered.lines))
        gathered.take(leads(scene))
        jobs = jobs_of(scene, gathered.lines, coats(scene, Gathered()))
        gathered.take(supplies(jobs))
        gathered.take(tools(jobs))
    return TakeOff(
        _merged(gathered.lines),
        tuple(dict.fromkeys(gathered.problems)),
        tuple(dict.fromkeys(gathered.says)),
        ready(jobs, gathered.lines),
    )


def _merged(lines: Sequence[Line]) -> tuple[Line, ...]:
    """Put the parts in the order in which they are read; a key that stands twice is numbered."""
    order = {part: number for number, part in enumerate(PART_NAMES)}
    unique: dict[str, Line] = {}
    for line in sorted(lines, key=lambda line: order[line.part]):
        key, number = line.key, 1
        while key in unique:
            number += 1
            key = f"{line.key}-{number}"
        unique[key] = line if key == line.key else replace(line, key=key)
    return tuple(unique.values())


def as_json(take_off: TakeOff, currency: str, units: Units = "metric") -> dict[str, Any]:
    """Return the list as JSON data, every line with its working and its sources.

    `units` are those in which packs are told in words; figures are metric.
    """
    return {
        "currency": currency,
        "lines": [_line_json(line, units) for line in take_off.lines],
        "problems": list(take_off.problems),
        "says": list(take_off.says),
        "ready": [{"key": one.key, "item": one.item, "where": one.where} for one in take_off.ready],
        "mass_kg": round(sum(line.mass_kg for line in take_off.lines), 1),
    }


def _line_json(line: Line, units: Units) -> dict[str, Any]:
    return {
        "key": line.key,
        "part": line.part,
        "item": line.item,
        "where": line.where,
        "net": round(line.net, _DECIMALS),
        "waste": round(line.waste, _DECIMALS),
        "unit": line.unit,
        "to_buy": round(line.to_buy, _DECIMALS),
        "left_over": round(line.left_over, _DECIMALS),
        "packs": [
            {
                "key": pack.key,
                "name": pack.name,
                "told": pack.worded(units),
                "size": pack.size,
                "count": pack.count,
                "price_minor": pack.price_minor,
                "guide": pack.guide,
            }
            for pack in line.bought
        ],
        "mass_kg": round(line.mass_kg, 1),
        "cost_minor": line.cost_minor,
        "rate": line.rate,
        "assumed": line.assumed,
        "notes": list(line.notes),
        "working": [
            {
                "label": step.label,
                "value": round(step.value, _DIGITS),
                "unit": step.unit,
                "key": step.key,
                "source": _source(step.key),
            }
            for step in line.working
        ],
    }


def _source(key: str) -> str:
    """Say where a published value comes from; nothing for a row of the library or for no key."""
    try:
        value = row(key)
    except KeyError:
        return ""
    clause = f", {value.clause}" if value.clause else ""
    return f"{value.title}{clause} ({value.status})"


def plain_cell(text: str) -> str:
    """Keep a table program from taking a cell for a formula."""
    return f"'{text}" if text.startswith(("=", "+", "-", "@", "\t", "\r")) else text


def _figure_in(unit: str, units: Units, value: float) -> float:
    return measure_in(value, unit, units)[0]


def as_csv(take_off: TakeOff, currency: str, units: Units = "metric") -> str:
    """Return list as CSV, one line each, with a heading; costs in money with its decimals."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(COLUMNS)
    for line in take_off.lines:
        amount = partial(_figure_in, line.unit, units)
        writer.writerow(
            [
                line.key,
                plain_cell(line.item),
                plain_cell(line.where),
                *(round(amount(value), _DECIMALS) for value in (line.net, line.waste)),
                measure_in(0, line.unit, units)[1],
                round(amount(line.to_buy), _DECIMALS),
                plain_cell(line.packs_worded(units)),
                round(amount(line.left_over), _DECIMALS),
                round(line.mass_kg, 1) if line.mass_kg else "",
                bare_money(line.cost_minor, currency),
                currency,
                "yes" if line.assumed else "no",
                plain_cell(line.rate),
            ]
        )
    for one in take_off.ready:
        cells = [one.key, plain_cell(one.item), plain_cell(one.where), 1, 0, PIECE]
        writer.writerow([*cells, *[""] * (len(COLUMNS) - len(cells) - 1), READY_NAME])
    return out.getvalue()


def as_text(take_off: TakeOff, currency: str, units: Units = "metric") -> list[str]:
    """Return the list as lines to read on a console, by part."""
    text: list[str] = []
    part = ""
    for line in take_off.lines:
        if line.part != part:
            part = line.part
            text.append(PART_NAMES[line.part])
        cost = line.cost_minor
        money = "no price" if cost is None else format_money(cost, currency)
        word = " (assumed)" if line.assumed else ""
        net, unit = measure_in(line.net, line.unit, units)
        waste, _ = measure_in(line.waste, line.unit, units)
        text.append(
            f"  {line.item}{word}: {net:.2f} + {waste:.2f} {unit} -> "
            f"{line.packs_worded(units) or 'nothing'}, {money}; {line.where}"
        )
        text += [f"      {note}" for note in line.notes]
    if take_off.ready:
        text.append(READY_NAME)
        text += [f"  {one.item}: {one.where}" for one in take_off.ready]
    text += [f"not counted: {problem}" for problem in take_off.problems]
    text += [f"note: {remark}" for remark in take_off.says]
    return text
