"""Where all of the kit has a place and is too much all the same: without what it would be better.

Nothing is wrong with such layouts to the judge: no stop is left. But whoever looks at three of them
with eight cares each chooses among rooms that are all overfull, and is told so.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass

from app.arranging.best_layouts import JudgedLayout
from app.arranging.failure import SEED, STEPS, unavoidable
from app.arranging.problem import Problem, Task
from app.arranging.search import Search
from app.arranging.state import found_fault_with
from app.budget import Budget
from app.checks.run import run
from app.published.register import overridden
from app.scene.build import build_scene
from app.wording import lower

CROWDED_SHARE = 1 / 3
"""What is left of "nothing to take care of" in a layout of too much kit: as much is lacking as two
spaces that are wholly taken."""
CARES_OF_A_CROWD = 5
"""Cares of each layout at the least: fewer are told one by one, and somebody weighs them."""
FEWER = 2
"""Cares that leaving out a thing must take away to be told."""
TOLD_AT_MOST = 3
"""Things that are told: what helps most."""
STEPS_IN_ALL = 1500
"""Steps of all trials together: a few minutes in the background at the most."""


@dataclass(frozen=True, slots=True)
class Without:
    """One thing that was left out in a trial, and how many cares the best layout then left."""

    name: str
    cares: int


def crowded(task: Task, chosen: Iterable[JudgedLayout]) -> JudgedLayout | None:
    """Return the layout with the fewest cares where even that says that the kit is too much.

    None where it is not too much. Where few may move, all the rest may be why: nothing is said.
    """
    least = min((one for one in chosen if not one.stops), key=lambda one: one.cares, default=None)
    if least is None or task.moves_at_most is not None or least.cares < CARES_OF_A_CROWD:
        return None
    return least if least.parts.get("no-care", 1.0) <= CROWDED_SHARE else None


def lighter(
    task: Task, best: JudgedLayout, budget: Budget | None = None, steps: int = STEPS
) -> Iterator[Without]:
    """Yield what was left out of a layout with clearly fewer cares than the best with all of it.

    Each thing that may be moved is tried by itself, those first that something is found fault with,
    by a short search; its layout is judged in full on a plan built anew.
    """
    budget = budget or Budget(STEPS_IN_ALL)
    problem = Problem(task)
    with overridden({one.id: one.value for one in task.plan.overrides}):
        scene = problem.without(best.looks.left_out).at(best.poses)
        poor = found_fault_with(scene, run(scene))
        there = [root for root in problem.free if root not in best.looks.left_out]
        for root in sorted(there, key=lambda one: one not in poor):
            out = (*best.looks.left_out, root)
            cares = _cares_without(problem, out, budget, steps) if len(there) > 1 else None
            if budget.over:
                return
            if cares is not None and cares <= best.cares - FEWER:
                yield Without(problem.scene.placed[root].name, cares)


def crowded_words(
    count: int, cares: int, found: Sequence[Without], *, tried: bool, trying: bool = False
) -> str:
    """Say that so many things are too much for a room, and without which it was better.

    `tried` says that each was left out once, `trying` that it is being done.
    """
    words = f"{count} things are much for this room: each layout leaves {cares} cares or more."
    best = sorted(found, key=lambda one: (one.cares, one.name))[:TOLD_AT_MOST]
    if best:
        each = [f"{_left(one.cares)} without the {lower(one.name)}" for one in best]
        words = f"{words} Found with one thing left out: {', '.join(each)}."
    if trying:
        return f"{words} What it would be with one thing fewer is being tried ..."
    if tried and not best:
        return f"{words} Each was left out once to see, and that helped little."
    return words


def _left(cares: int) -> str:
    return "no care" if not cares else "1 care" if cares == 1 else f"{cares} cares"


def _cares_without(
    problem: Problem, out: tuple[str, ...], budget: Budget, steps: int
) -> int | None:
    """Return how many cares the best layout of a short search leaves; None without a layout."""
    search = Search(problem, SEED, 0, frozenset(out))
    for _ in range(steps):
        if not budget.allows():
            return None
        search.step()
    best = search.layouts.best
    if best is None or best.stops:
        return None
    verdict = run(build_scene(problem.plan_with(best.poses, out)))
    stops = {(problem.kind(snag), snag.person) for snag in verdict if snag.severity == "stop"}
    if not stops <= unavoidable(problem):
        return None
    return sum(snag.severity == "care" for snag in verdict)
