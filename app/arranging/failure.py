"""Why there is no layout: what was not placed together, and what would free it, each tried.

"Cannot be" needs a proof: one piece that fits nowhere alone, or more floor than there is. All else
was only not found.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, replace

import numpy as np
import shapely

from app.arranging.problem import Problem, Task, eased
from app.arranging.search import Search
from app.budget import Budget
from app.checks.bars import rest_pose
from app.checks.way_words import kinds
from app.library.movements import movements
from app.library.own import kits_of
from app.model.base import json_of
from app.model.kit import Pose
from app.model.plan import Plan
from app.scene.build import build_scene
from app.scene.naming import opening_name
from app.units import MM_PER_M
from app.wording import counted, lower, phrase

CUTS_MM = (50.0, 300.0, 700.0)
"""Heights at which the floor that solids take is added up: of feet, of seats, of tables."""
WAYS_STEPS = 1500
"""Steps of all trials together: a minute or two in the background."""
NEEDS_AT_MOST = 6
"""Wishes of people that are given up one by one, in the order in which they were said."""
RACKS, ROLLS_UP = "Racks", "roller"
STEPS = 40
"""Steps of each trial: some seconds in all."""
SEED = 7
KEEPS_TO_FEW = 2
"""The first of the searches that begin with few moves of what stands there."""
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


def ways_to_a_layout(task: Task, budget: Budget | None = None, steps: int = STEPS) -> Iterator[Way]:
    """Yield what would free a layout, each tried before it is told, as far as the budget goes.

    Where only so many stations may move it is tried with more, and nothing else if that helps.
    Then what was not found together, of which leaving out any one gave a layout; then what takes
    less: a lower rack, a shorter bar, another door, one person, nothing pinned.
    """
    budget = budget or Budget(WAYS_STEPS)
    if task.moves_at_most is not None:
        count = fewest_moves(replace(task, moves_at_most=None), budget, steps)
        if count is not None:
            yield Way(f"With {count} pieces moving a layout was found.")
            return
    problem = Problem(task)
    together = not_together(problem, budget, steps)
    names = counted((lower(problem.scene.placed[root].name) for root in together), kinds())
    if len(together) > 1:
        words = phrase(
            "Not found together: {}. Without any one of these a layout was found.", _row(names)
        )
        yield Way(words.worded(task.plan.units))
    elif together and len(problem.free) > 1:
        yield Way(f"Without the {names[0]} a layout was found.")
    for sentence, plan in _smaller(task.plan):
        if budget.over:
            return
        if finds_layout(Problem(_with(task, plan)), budget, steps):
            yield Way(sentence)


def not_together(problem: Problem, budget: Budget, steps: int = STEPS) -> tuple[str, ...]:
    """Return stations for which together no layout is found, while leaving out any one gives one.

    By leaving out more and more while still none is found: first halves of all, then single ones
    till none can be spared (Zeller and Hildebrandt 2002). None where the budget ends before.
    """
    rest = list(problem.free)
    size = max(len(rest) // 2, 1)
    while True:
        spared = False
        # small things first: what is left at last is what people would name
        for group in [rest[::-1][at : at + size] for at in range(0, len(rest), size)]:
            fewer = [root for root in rest if root not in group]
            if not fewer:
                continue
            none = not finds_layout(problem, budget, steps, set(problem.free) - set(fewer))
            if budget.over:
                return ()
            if none:
                rest, spared = fewer, True
        if size == 1 and not spared:
            return tuple(rest)
        size = max(size // 2, 1)


def finds_layout(
    problem: Problem, budget: Budget, steps: int, left_out: Iterable[str] = ()
) -> bool:
    """Return whether a short search finds a layout without a stop, some stations left out."""
    if not problem.without(left_out).free:
        return False
    search = Search(problem, SEED, 0, frozenset(left_out))
    for _ in range(steps):
        if not budget.allows():
            return False
        search.step()
        best = search.layouts.best
        if best is not None and not best.stops:
            return True
    return False


def fewest_moves(task: Task, budget: Budget, steps: int) -> int | None:
    """Return how few stations move in a layout that a short search finds; None if it finds none."""
    search = Search(Problem(task), SEED, KEEPS_TO_FEW)
    for _ in range(steps):
        if not budget.allows():
            break
        search.step()
        moved = [len(one.moved) for one in search.layouts.every if not one.stops]
        if moved:
            return min(moved)
    return None


def _row(names: Sequence[str]) -> str:
    """Return names in a row: "a, b and c"."""
    *most, last = names
    return f"{', '.join(most)} and {last}" if most else last


def _with(task: Task, plan: Plan) -> Task:
    there = {piece.id for piece in plan.pieces}
    return replace(task, plan=plan, keep=task.keep & there)


def _smaller(plan: Plan) -> Iterator[tuple[str, Plan]]:
    """Yield plans in which one thing takes less, each with what to say if that helps."""
    yield from _lower_racks(plan)
    yield from _shorter_bars(plan)
    yield from _other_doors(plan)
    if len(plan.people) > 1:
        for person in plan.people:
            data = json_of(plan)
            data["people"] = [one for one in data["people"] if one["id"] == person.id]
            who = person.label or person.stature_words(plan.units)
            yield f"For {who} alone a layout was found.", Plan.model_validate(data)
    yield from _without_a_movement(plan)
    if any(piece.pinned for piece in plan.pieces):
        data = json_of(plan)
        for one in data["pieces"]:
            one["pinned"] = False
        yield "With nothing pinned a layout was found.", Plan.model_validate(data)


def _without_a_movement(plan: Plan) -> Iterator[tuple[str, Plan]]:
    """Yield plans in which one person does without one movement."""
    names = movements()
    wanted = [
        (person, wish.movement)
        for person in plan.people
        for wish in person.wishes
        if wish.wish == "want"
    ]
    for person, movement in wanted[:NEEDS_AT_MOST]:
        who = person.label or person.stature_words(plan.units)
        words = f"If {who} does without this, a layout was found: {lower(names[movement].name)}."
        yield words, eased(plan, [(person.id, movement)])


def _lower_racks(plan: Plan) -> Iterator[tuple[str, Plan]]:
    """Yield plans with the next lower rack for each rack, its bar on each pair of its hooks."""
    kits = kits_of(plan)
    for piece in plan.pieces:
        rack = kits.get(piece.type)
        if rack is None or not rack.rests or rack.group != RACKS:
            continue
        lower_ones = [
            kit
            for kit in kits.values()
            if kit.group == RACKS
            and kit.rests
            and kit.height_mm < (piece.height_mm or rack.height_mm)
        ]
        if not lower_ones:
            continue
        kit = max(lower_ones, key=lambda one: one.height_mm)
        words = phrase(
            "With the {}, {:mm} high, a layout was found.", lower(kit.name), kit.height_mm
        )
        retyped = _retyped(plan, piece.id, kit.key)
        host = build_scene(retyped).placed[piece.id]
        for rest in host.kit.rests:
            x, y, angle = rest_pose(host, rest)
            data = json_of(retyped)
            for one in data["pieces"]:
                if one["carried_by"] == piece.id and kits[one["type"]].bar is not None:
                    one["pose"] = json_of(Pose(x_mm=x, y_mm=y, angle_deg=angle))
            yield words.worded(plan.units), Plan.model_validate(data)


def _other_doors(plan: Plan) -> Iterator[tuple[str, Plan]]:
    """Yield plans with a door that opens outwards, or a garage door that rolls up."""
    scene = build_scene(plan)
    for number, shape in enumerate(scene.room.openings):
        name, data = opening_name(scene, shape), json_of(plan)
        one = data["room"]["openings"][number]
        if shape.opening.is_garage_door and shape.opening.kind != ROLLS_UP:
            one["kind"] = ROLLS_UP
            words = f"With a roller door in place of the {lower(name)} a layout was found."
        elif shape.opening.kind in ("hinged", "pair") and shape.opening.swing == "in":
            one["swing"] = "out"
            words = f"With the {lower(name)} opening outwards a layout was found."
        else:
            continue
        yield words, Plan.model_validate(data)


def _shorter_bars(plan: Plan) -> Iterator[tuple[str, Plan]]:
    """Yield plans with the next shorter bar for each bar."""
    kits = kits_of(plan)
    bars = sorted((kit for kit in kits.values() if kit.bar), key=lambda kit: -kit.width_mm)
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


def _retyped(plan: Plan, piece_id: str, kind: str) -> Plan:
    data = json_of(plan)
    for one in data["pieces"]:
        if one["id"] == piece_id:
            one |= {"type": kind, "width_mm": None, "depth_mm": None, "height_mm": None}
    return Plan.model_validate(data)
