"""Why there is no layout: what was not placed together, and what would free it, each tried.

"Cannot be" needs a proof: one piece that fits nowhere alone, or more floor than there is. All else
was only not found. What helps is told only of a layout of all the rest, judged in full on a plan
built anew: the search goes by figures that know little of ways on foot.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field, replace

import numpy as np
import shapely

from app.arrange.exchanged import exchanged
from app.arranging.best_layouts import JudgedLayout
from app.arranging.problem import Kind, Problem, Task, eased
from app.arranging.search import Search
from app.budget import Budget
from app.checks.bars import rest_pose
from app.checks.run import run
from app.checks.snag import Snag
from app.checks.way_words import kinds
from app.library.movements import movements
from app.library.own import kits_of
from app.model.base import json_of
from app.model.kit import Pose
from app.model.plan import Plan
from app.published.register import overridden
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
MORE_MOVES = 2
"""So many more moves than are allowed are gone through in order before any number is tried."""
FEW_STEPS = 3 * STEPS
"""Steps of that: a dozen stations moved one after another, three levels of them."""
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

    Where only so many stations may move it is tried with more, and nothing else if that helps; nor
    where it was only bad luck.
    Then what was not found together, of which leaving out any one gave a layout; then what takes
    less: a lower rack, a shorter bar, another door, one person, nothing pinned.
    """
    budget = budget or Budget(WAYS_STEPS)
    if task.moves_at_most is not None:
        count = fewest_moves(task, budget, steps)
        if count is not None:
            yield Way(f"With {count} pieces moving a layout was found.")
            return
    problem = Problem(task)
    trials = Trials(problem, budget, steps)
    if trials.found():
        yield Way("Looked for from another beginning, a layout was found: look again, and longer.")
        return
    words = _of_what_is_not_found_together(trials)
    if words:
        yield Way(words)
    told = set[str]()
    for sentence, plan in _smaller(task.plan):
        if budget.over:
            return
        # one rack may be tried with its bar on each pair of its hooks
        if sentence in told:
            continue
        smaller = Trials(Problem(_with(task, plan)), budget, steps, unavoidable(problem))
        if smaller.found():
            told.add(sentence)
            yield Way(sentence)


def _of_what_is_not_found_together(trials: Trials) -> str:
    """Say what was not found together, and without which of it all the rest was."""
    problem, together = trials.problem, not_together(trials)
    if not together or len(problem.free) < 2:
        return ""
    units = problem.plan.units
    freed = [root for root in together if trials.found({root})]
    every = counted((lower(problem.scene.placed[root].name) for root in together), kinds())
    names = [lower(problem.scene.placed[root].name) for root in freed]
    if len(together) == 1:
        return phrase("Without the {} a layout was found.", names[0]).worded(units) if names else ""
    words = phrase("Not found together: {}.", _row(every)).worded(units)
    if len(freed) == len(together):
        return f"{words} Without any one of these a layout was found."
    if freed:
        which = " or without the ".join(dict.fromkeys(names))
        return f"{words} Without the {which} a layout was found."
    if trials.budget.over:
        return words
    return f"{words} With one of these left out the rest was not found together either."


@dataclass(slots=True)
class Trials:
    """Short searches for one problem, some stations left out; each is made once.

    `unavoidable` are the stops that count in no layout: those of the problem itself, if nothing
    else is said. A change that brings another one helps nobody.
    """

    problem: Problem
    budget: Budget
    steps: int = STEPS
    unavoidable: frozenset[tuple[Kind, str | None]] | None = None
    _known: dict[frozenset[str], bool] = field(default_factory=dict)

    def found(self, left_out: Iterable[str] = ()) -> bool:
        """Return whether a layout without a stop is found; no, once the budget is over."""
        out = frozenset(left_out)
        if out not in self._known:
            found = self._found(out)
            if self.budget.over and not found:
                return False
            self._known[out] = found
        return self._known[out]

    def _found(self, left_out: frozenset[str]) -> bool:
        problem = self.problem.without(left_out)
        if not problem.free:
            return False
        with overridden({one.id: one.value for one in problem.plan.overrides}):
            search = Search(self.problem, SEED, 0, left_out)
            refused: set[tuple[int, int]] = set()
            for _ in range(self.steps):
                if not self.budget.allows():
                    return False
                search.step()
                best = search.layouts.best
                if best is None or best.stops or (best.number, best.step) in refused:
                    continue
                if self.stands(problem, best):
                    return True
                refused.add((best.number, best.step))
        return False

    def stands(self, problem: Problem, layout: JudgedLayout) -> bool:
        """Return whether the full judge finds no more stops in a plan than no layout mends."""
        scene = build_scene(problem.plan_with(layout.poses))
        known = unavoidable(problem) if self.unavoidable is None else self.unavoidable
        return _stops(problem, run(scene)) <= known


def unavoidable(problem: Problem) -> frozenset[tuple[Kind, str | None]]:
    """Return the stops of a plan that no layout mends: what each is about, and whose it is."""
    stops = problem.stops(problem.verdict)
    return _stops(problem, [snag for snag in problem.verdict if snag not in stops])


def _stops(problem: Problem, verdict: Iterable[Snag]) -> frozenset[tuple[Kind, str | None]]:
    stops = [snag for snag in verdict if snag.severity == "stop"]
    return frozenset((problem.kind(snag), snag.person) for snag in stops)


def not_together(trials: Trials) -> tuple[str, ...]:
    """Return stations for which together no layout is found, while leaving out any one gives one.

    By leaving out more and more while still none is found: first halves of all, then single ones
    till none can be spared (Zeller and Hildebrandt 2002). None where the budget ends before.
    """
    every = frozenset(trials.problem.free)
    rest = list(trials.problem.free)
    size = max(len(rest) // 2, 1)
    while True:
        spared = False
        # small things first: what is left at last is what people would name
        for group in [rest[::-1][at : at + size] for at in range(0, len(rest), size)]:
            fewer = [root for root in rest if root not in group]
            if not fewer:
                continue
            none = not trials.found(every - set(fewer))
            if trials.budget.over:
                return ()
            if none:
                rest, spared = fewer, True
        if size == 1 and not spared:
            return tuple(rest)
        size = max(size // 2, 1)


def fewest_moves(task: Task, budget: Budget, steps: int) -> int | None:
    """Return how few stations move in a layout that short searches find; None if they find none.

    More than may move as it is are gone through in order first, then as many as it takes.
    """
    more = replace(task, moves_at_most=(task.moves_at_most or 0) + MORE_MOVES)
    for allowed in (more, replace(task, moves_at_most=None)):
        problem = Problem(allowed)
        trials = Trials(problem, budget, steps)
        with overridden({one.id: one.value for one in task.plan.overrides}):
            search = Search(problem, SEED, KEEPS_TO_FEW)
            for _ in range(FEW_STEPS if allowed is more else steps):
                if not budget.allows():
                    break
                search.step()
                whole = [one for one in search.layouts.every if not one.stops]
                moved = [len(one.moved) for one in whole if trials.stands(problem, one)]
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
        retyped = exchanged(plan, piece.id, kit)
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
            yield words.worded(plan.units), exchanged(plan, piece.id, shorter)
            break
