"""What the formulas give for figures drawn by lot, and what is made of walks round a room."""

from __future__ import annotations

import importlib
import inspect
import math
from collections.abc import Callable, Iterator
from dataclasses import fields
from itertools import combinations
from typing import Any, get_type_hints

from app.errors import PlanError
from app.formulas.survey_heights import folded, tilted
from app.model.walk import Walk
from app.model.walk_solve import solve
from app.units import Units
from tests.answers.lot import Lot
from tests.answers.rooms import corners_of
from tests.answers.told import fields_told, told

CALLS = 24
FORMULAS = (
    *("air", "body", "damp", "electrical", "getting_in", "headroom", "lifting", "light"),
    *("low_voltage", "paint", "sight", "statics", "warmth"),
)
WALKS = [f"walk {number}" for number in range(1, 25)]
_BY_UNIT = (
    *(("stature_mm", 1500, 2000), ("reach_mm", 1800, 2500), ("_mm", 0, 2600), ("_kg", 1, 120)),
    *(("_c", -10, 40), ("_percent", 1, 100), ("_deg", 0, 150), ("_cm", 0, 100), ("_m", 1, 12)),
    *(("volts", 12, 24), ("amps", 1, 16), ("_w", 100, 3000), ("count", 2, 8), ("top", 1, 3)),
)
_WORDS = {
    "movement": ("standing-press", "pull-up", "squat", "dips", "bag", "run", "floor-work"),
    "form": ("straight", "bent", "tucked"),
    "size": ("0.5", "1.5", "2.5"),
    "colour": ("white", "Light grey", "mauve"),
}


def formulas(module: str) -> Iterator[str]:
    """Yield what each function of a module of formulas gives for some figures."""
    found = importlib.import_module(f"app.formulas.{module}")
    for name, function in sorted(vars(found).items()):
        own = inspect.isfunction(function) and function.__module__ == found.__name__
        if own and not name.startswith("_"):
            lot = Lot(f"{module} {name}")
            for _ in range(CALLS):
                yield from _called(lot, name, function)


def _called(lot: Lot, name: str, function: Callable[..., Any]) -> Iterator[str]:
    hints = get_type_hints(function)
    given = {}
    for each in inspect.signature(function).parameters.values():
        if each.default is not inspect.Parameter.empty and lot.share(0.4):
            continue
        given[each.name] = _figure(lot, each.name, hints[each.name])
    try:
        answer = told(function(**given))
    except (ValueError, KeyError) as error:
        answer = f"refused: {error}"
    except ZeroDivisionError:
        answer = "by nothing"
    yield f"{name} {told(given)}: {answer}"


def _figure(lot: Lot, name: str, hint: Any) -> Any:
    if name in _WORDS:
        return lot.one(_WORDS[name])
    if hasattr(hint, "__dataclass_fields__"):
        return hint(*(_figure(lot, each.name, float) for each in fields(hint)))
    words = str(hint)
    if "Iterable" in words or "Sequence" in words:
        return [(lot.mm(1, 30), lot.mm(0.2, 2, 0.1)) for _ in range(lot.count(0, 4))]
    if "tuple" in words:
        return (lot.count(1, 4), lot.count(1, 4))
    if hint is bool:
        return lot.share(0.5)
    low, high = next((each[1:] for each in _BY_UNIT if name.endswith(each[0])), (0, 9))
    if hint is int:
        return lot.count(int(low), int(high))
    return lot.mm(low, high, (high - low) / lot.one((10, 40, 160)))


def walk(name: str) -> Iterator[str]:
    """Yield what is made of a walk: tapes with small errors, diagonals, now and then a slip."""
    lot = Lot(name)
    corners = corners_of(lot, lot.mm(2500, 6000), lot.mm(2500, 6000))
    count = len(corners)
    turns = [_turn(*(corners[(i + by) % count] for by in range(3))) for i in range(count)]
    steps = [
        {"length_mm": _taped(lot, corners[i], corners[(i + 1) % count]), "turn": turns[i]}
        for i in range(count)
    ]
    across = [one for one in combinations(range(count), 2) if 1 < one[1] - one[0] < count - 1]
    slip = lot.one((0, 0, 60, 300))
    diagonals = [
        {"start": a + 1, "end": b + 1, "length_mm": _taped(lot, corners[a], corners[b])}
        for a, b in lot.shuffled(across)[: lot.one((0, 1, 2, 4))]
    ]
    for each in diagonals[1:2]:
        each["length_mm"] += slip
    high, rise = lot.mm(2100, 2600), lot.one((0, 0, 60, -80))
    heights = [
        {
            "wall": lot.count(1, count),
            "along_mm": lot.mm(0, 900),
            "out_mm": lot.one((0, 0, 400, 1500)),
            "height_mm": high + rise * i + lot.mm(0, 6),
        }
        for i in range(lot.one((0, 1, 2, 3, 5, 6)))
    ]
    taken = Walk.model_validate(
        {
            "steps": steps,
            "diagonals": diagonals,
            "heights": heights,
            "hand": lot.one(("left", "right")),
            "measured_with": lot.one(("tape", "laser")),
        }
    )
    units: Units = lot.one(("metric", "feet"))
    try:
        solved = solve(taken, units)
    except PlanError as error:
        yield from (f"{fault.field}: {fault.sentence}" for fault in error.faults)
    else:
        yield f"corners {told(solved.corners)}"
        yield f"closing {fields_told(solved.raw)}"
        yield f"disagree {told(solved.disagree)}"
        yield f"adjusted {fields_told(solved.adjustment, without=('alike', 'corners'))}"
    places = [(each.along_mm, each.out_mm, each.height_mm) for each in taken.heights]
    if places:
        yield f"tilted {fields_told(tilted(places))}"
        fold = folded([(along + out, height) for along, out, height in places])
        yield f"folded {told(fold)} {told(fold and [fold.height_at(at) for at in (0, 700, 2400)])}"


def _taped(lot: Lot, one: tuple[float, float], other: tuple[float, float]) -> float:
    return round(math.dist(one, other)) + lot.one((0, 0, 1, -2, 4, -5))


def _turn(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> str:
    """Return the word for a corner, walked so that a turn to the right is one into the room."""
    over = (b[0] - a[0]) * (c[1] - b[1]) - (b[1] - a[1]) * (c[0] - b[0])
    far = math.dist(a, b) * math.dist(b, c)
    return {1: "in", 0: "straight", -1: "out"}[round(over / far)]
