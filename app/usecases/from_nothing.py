"""From nothing: what people want to do and a sum make a list, a layout, and phases of buying."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import suppress
from dataclasses import dataclass
from functools import partial
from itertools import combinations

from app.arranging.best_set import SET_STEPS, BestSet, Wanted, best_set
from app.arranging.wish_list import weighed, wish_list
from app.budget import Budget
from app.changes.commands import Change, Command, adds
from app.checks.run import in_few_words, run
from app.checks.spots import SHUT, judge, spots
from app.drawing.desk import desk_figure
from app.errors import ConflictError, OutdatedError
from app.library.movements import movements
from app.model.phases import without
from app.model.plan import Plan
from app.recent import Recent
from app.scene.build import Scene, build_scene
from app.scene.tolerance import falls_short
from app.store.entries import State
from app.store.flags import numbered
from app.store.plans import OWNER
from app.usecases.judged import plan_bytes
from app.usecases.plans import Elbowroom
from app.usecases.verdict import verdict_of
from app.usecases.waiting import Gone, never_leaves

LISTS_AT_MOST = 16
"""Answers that are remembered: whoever weighs a list looks at a few of them in turn."""
LISTS_BYTES = 16_000_000
PHASES = (3, 2, 1)
"""The sum is spent in three phases: with a third of it, with two thirds, with all."""


@dataclass(frozen=True, slots=True)
class Ask:
    """What somebody asks for: purposes, what they weigh otherwise by kit type, and a sum."""

    purposes: tuple[str, ...] = ()
    worths: tuple[tuple[str, float], ...] = ()
    sum_minor: int | None = None


@dataclass(frozen=True, slots=True)
class Phase:
    """One phase of buying: what is bought in it, what has been spent by its end, what is new.

    `trains` are the names of what can be trained from then on and could not before.
    """

    buys: tuple[Wanted, ...]
    spent_minor: int
    trains: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class FromNothing:
    """A list that was gone through: the best set in the room, how it is judged, its phases.

    `new_stops` are those of its stops that were not there before.
    """

    listed: tuple[Wanted, ...]
    best: BestSet
    drawing: str
    counts: dict[str, int]
    new_stops: int
    phases: tuple[Phase, ...]


def listed(house: Elbowroom, plan_id: str, purposes: Sequence[str]) -> tuple[Wanted, ...]:
    """Return what is on the list for some purposes in a plan. Raises NotFoundError."""
    return wish_list(house.open(plan_id).plan, purposes)


def shown(house: Elbowroom, plan_id: str, ask: Ask, gone: Gone = never_leaves) -> FromNothing:
    """Return the best set of a list as it would stand in a plan; nothing is kept.

    Raises NotFoundError, WishListError for an empty list; EndingError when who asked has left.
    """
    answers: Recent[tuple[str, int, Ask], FromNothing] = house.memory(
        "from nothing", LISTS_AT_MOST, LISTS_BYTES, lambda one: plan_bytes(one.best.plan)
    )
    while True:
        state = house.open(plan_id)
        budget = Budget(SET_STEPS, partial(house.waiting.look, plan_id, state.plan, gone))
        with suppress(OutdatedError):
            seek = partial(_made, state.plan, ask, budget)
            return answers.made((plan_id, state.revision, ask), seek)


def take(house: Elbowroom, plan_id: str, ask: Ask, author: str = OWNER) -> State:
    """Put the best set of a list on a plan as one command. Raises ConflictError without any.

    The sum comes with it as the budget and as what is saved up, each where nothing is said yet.
    """
    best = shown(house, plan_id, ask).best
    if not best.pieces:
        raise ConflictError("Nothing of this list finds a place in this room.")
    added = adds(best.pieces, says="from a wish list")
    purse = _purse(house.open(plan_id).plan, ask.sum_minor)
    command = Command(name=added.name, says=added.says, changes=(*added.changes, *purse))
    return house.do(plan_id, command, author)


def carried_to(plan: Plan) -> tuple[str, ...]:
    """Return the pages that the sum of a list is carried to: those where none is said yet."""
    pages = (("Cost", plan.money.budget_minor is None), ("Months", not plan.phasing.put_by_minor))
    return tuple(page for page, empty in pages if empty)


def _purse(plan: Plan, sum_minor: int | None) -> Iterator[Change]:
    if not sum_minor:
        return
    empty = carried_to(plan)
    if "Cost" in empty:
        yield Change(path=("money", "budget_minor"), before=None, after=sum_minor)
    if "Months" in empty:
        yield Change(path=("phasing", "put_by_minor"), before=0, after=sum_minor)


def _made(plan: Plan, ask: Ask, budget: Budget) -> FromNothing:
    every = weighed(wish_list(plan, ask.purposes), dict(ask.worths))
    best = best_set(plan, every, ask.sum_minor, budget)
    scene = build_scene(best.plan)
    snags = in_few_words(run(scene))
    verdict = verdict_of(best.plan, snags, numbered((snag.key for snag in snags), {}))
    before = {snag.key for snag in run(build_scene(plan))}
    new_stops = sum(snag.severity == "stop" and snag.key not in before for snag in snags)
    return FromNothing(
        every,
        best,
        desk_figure(scene).svg,
        verdict["counts"],
        new_stops,
        phases_of(best, ask.sum_minor),
    )


def phases_of(best: BestSet, sum_minor: int | None) -> tuple[Phase, ...]:
    """Return what to buy with a third, two thirds and all of a sum, the most worth first.

    What was bought stays. A phase in which nothing can be bought is none.
    """
    whole = best.minor if sum_minor is None else sum_minor
    names = movements()
    bought: frozenset[int] = frozenset()
    new = frozenset(piece.id for piece in best.pieces)
    could = _possible(build_scene(without(best.plan, new)))
    phases: list[Phase] = []
    for share in PHASES:
        more = _most_worth(best.chosen, bought, whole // share)
        if not more - bought:
            continue
        missing = frozenset(
            piece.id for k, one in enumerate(best.placed) if k not in more for piece in one
        )
        can = _possible(build_scene(without(best.plan, missing)))
        phases.append(
            Phase(
                tuple(one for k, one in enumerate(best.chosen) if k in more - bought),
                sum(best.chosen[k].about_minor for k in more),
                tuple(sorted(names[movement].name for movement in can - could)),
            )
        )
        bought, could = more, can
    return tuple(phases)


def _possible(scene: Scene) -> frozenset[str]:
    """Return the movements that somebody who does not refuse them can do in a room."""
    return frozenset(
        movement
        for movement, places in spots(scene).items()
        for person in scene.plan.people
        if person.wish_for(movement) != "no"
        and any(not falls_short(judge(scene, person, s, SHUT).spare_least_mm, 0) for s in places)
    )


def _most_worth(chosen: Sequence[Wanted], bought: frozenset[int], sum_minor: int) -> frozenset[int]:
    """Return the things of most worth within a sum, those among them that are bought already."""
    rest = [k for k in range(len(chosen)) if k not in bought]
    sets = (
        bought | frozenset(some)
        for count in range(len(rest) + 1)
        for some in combinations(rest, count)
    )
    within = [one for one in sets if sum(chosen[k].about_minor for k in one) <= sum_minor]
    return max(
        within or [bought],
        key=lambda one: (
            sum(chosen[k].worth for k in one),
            -sum(chosen[k].about_minor for k in one),
        ),
    )
