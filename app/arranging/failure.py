"""Why there is no layout: what was not placed together, and what would free it, each tried.

"Cannot be" needs a proof: one piece that fits nowhere alone, or more floor than there is. All else
was only not found.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

import numpy as np
import shapely

from app.arranging.problem import Problem, Task
from app.arranging.search import Search
from app.checks.snag import lower
from app.library.own import kits_of
from app.model.base import json_of
from app.model.phases import without
from app.model.plan import Plan
from app.units import MM_PER_M
from app.wording import phrase

CUTS_MM = (50.0, 300.0, 700.0)
"""Heights at which the floor that solids take is added up: of feet, of seats, of tables."""
LEFT_OUT_AT_MOST = 6
"""Stations that are left out one by one: the largest, for they are most in the way."""
STEPS = 40
"""Steps of each trial: some seconds in all."""
SEED = 7
_MM2_PER_M2 = MM_PER_M**2


@dataclass(frozen=True, slots=True)
class Way:
    """One change with which a layout was found: what it is, in words."""

    sentence: str


def too_much_floor(problem: Problem) -> str | None:
    """Return why the kit cannot all stand here: at one height it takes more floor than there is."""
    scene = problem.scene
    free = scene.room.free.area
    solids, count = scene.solids, scene.piece_solids
    for cut in CUTS_MM:
        met = (solids.low_mm[:count] < cut) & (solids.high_mm[:count] > cut)
        owners = solids.owner[:count][met]
        taken = sum(
            shapely.union_all(solids.cores[:count][met][owners == owner]).area
            for owner in np.unique(owners)
        )
        if taken > free:
            return phrase(
                "It cannot be: at {:mm} above the floor the kit alone takes {:.1f} m², and the "
                "room has {:.1f} m².",
                cut,
                taken / _MM2_PER_M2,
                free / _MM2_PER_M2,
            ).worded(problem.plan.units)
    return None


def ways_to_a_layout(
    task: Task, go_on: Callable[[], bool] = lambda: True, steps: int = STEPS
) -> Iterator[Way]:
    """Yield what would free a layout, each tried before it is told; `go_on` may end it.

    First what may be left out, one thing at a time, then what may be taken smaller.
    """
    problem = Problem(task)
    for root in problem.free[:LEFT_OUT_AT_MOST]:
        if not go_on():
            return
        members = {placed.piece.id for placed in problem.scene.stations[root]}
        if found(_with(task, without(task.plan, members)), steps):
            name = lower(problem.scene.placed[root].name)
            yield Way(f"Without the {name} a layout was found.")
    for sentence, plan in _smaller(task.plan):
        if not go_on():
            return
        if found(_with(task, plan), steps):
            yield Way(sentence)


def found(task: Task, steps: int) -> bool:
    """Return whether a short search finds a layout without a stop."""
    problem = Problem(task)
    if not problem.free:
        return False
    search = Search(problem, SEED, 0)
    for _ in range(steps):
        search.step()
        best = search.finds.best
        if best is not None and not best.stops:
            return True
    return False


def _with(task: Task, plan: Plan) -> Task:
    there = {piece.id for piece in plan.pieces}
    return Task(plan, task.keep & there, moves_at_most=task.moves_at_most)


def _smaller(plan: Plan) -> Iterator[tuple[str, Plan]]:
    """Yield plans in which one thing takes less, each with what to say if that helps."""
    kits = kits_of(plan)
    bars = sorted(
        (kit for kit in kits.values() if kit.bar is not None), key=lambda kit: kit.width_mm
    )
    for piece in plan.pieces:
        kit = kits.get(piece.type)
        if kit is None or kit.bar is None:
            continue
        for shorter in [
            bar for bar in bars if bar.width_mm < kit.width_mm and bar.rests == kit.rests
        ]:
            words = phrase("With the {} a layout was found.", lower(shorter.name))
            yield words.worded(plan.units), _retyped(plan, piece.id, shorter.key)
            break
    if len(plan.people) > 1:
        for person in plan.people:
            data = json_of(plan)
            data["people"] = [one for one in data["people"] if one["id"] == person.id]
            who = person.label or person.stature_words(plan.units)
            yield f"For {who} alone a layout was found.", Plan.model_validate(data)
    pinned = [piece.id for piece in plan.pieces if piece.pinned]
    if pinned:
        data = json_of(plan)
        for one in data["pieces"]:
            one["pinned"] = False
        yield "With nothing pinned a layout was found.", Plan.model_validate(data)


def _retyped(plan: Plan, piece_id: str, kind: str) -> Plan:
    data = json_of(plan)
    for one in data["pieces"]:
        if one["id"] == piece_id:
            one["type"], one["width_mm"] = kind, None
    return Plan.model_validate(data)
