"""The use cases round options of one plan and round what is bought now and what later."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any

from app.checks.narrowest import Narrowest, narrowest
from app.checks.run import in_few_words, run
from app.checks.together import together
from app.costs.cost import costs
from app.drawing.desk import desk_figure
from app.errors import CommandError, Fault, PlanError
from app.model.base import LABEL_LIMIT, json_of
from app.model.phases import as_of_now
from app.model.plan import Plan
from app.published.register import overridden
from app.scene.build import Scene, build_scene
from app.scene.free_floor import free_floor_m2
from app.store.entries import Entry, State
from app.store.families import Option, OptionVote
from app.store.flags import numbered_for_now
from app.store.plans import OWNER
from app.takeoff.line import TakeOff
from app.units import MM_PER_M
from app.usecases.plans import Elbowroom
from app.usecases.verdict import verdict_of

_MARK = ", option "
_LETTERED = re.compile(f"{_MARK}[A-Z]$")


@dataclass(frozen=True, slots=True)
class Family:
    """One entry of the list of plans: the entry shown, and all options where there are several.

    The entry is that of the chosen option, else of the one changed last.
    """

    entry: Entry
    options: tuple[tuple[Option, Entry], ...]


@dataclass(frozen=True, slots=True)
class KitPrice:
    """What the kit costs in minor units of the plan's currency; `unknown` pieces have no price."""

    now_minor: int
    later_minor: int
    unknown: int


@dataclass(frozen=True, slots=True)
class Weighed:
    """One option as it is laid beside the others.

    `free_m2` is the largest free floor in one piece, of `floor_m2` in all; `narrowest` the
    narrowest of the best ways to the stations; `at_once` stations can be used at once, and no more
    if `proven`.
    """

    option: Option
    plan: Plan
    revision: int
    drawing: str
    counts: dict[str, int]
    free_m2: float
    floor_m2: float
    narrowest: Narrowest
    at_once: int
    proven: bool
    pieces: int
    price: KitPrice


@dataclass(frozen=True, slots=True)
class Glance:
    """One option as guests see it: a picture and figures."""

    option: Option
    plan: Plan
    revision: int
    drawing: str
    counts: dict[str, int]
    price: KitPrice


@dataclass(frozen=True, slots=True)
class AsOfNow:
    """A plan without what is for later: verdict, drawing, and the prices of now and later."""

    state: State
    plan: Plan
    verdict: dict[str, Any]
    drawing: str
    price: KitPrice
    left_out: tuple[str, ...]


def shelved(house: Elbowroom) -> tuple[Family, ...]:
    """Return list of plans with the options of one plan as one entry, the last changed first."""
    entries = house.list_plans()
    known = house.store.families.all()
    groups: dict[str, list[tuple[Option | None, Entry]]] = {}
    for entry in entries:
        family, option = known.get(entry.id, (entry.id, None))
        groups.setdefault(family, []).append((option, entry))
    return tuple(_family(group) for group in groups.values())


def _family(group: Iterable[tuple[Option | None, Entry]]) -> Family:
    members = [(option, entry) for option, entry in group if option is not None]
    every = [entry for _, entry in group]
    shown = next((entry for option, entry in members if option.chosen), every[0])
    several = sorted(members, key=lambda member: member[0].letter) if len(members) > 1 else []
    return Family(shown, tuple(several))


def options_of(house: Elbowroom, plan_id: str) -> tuple[Option, ...]:
    """Return a plan's options by letter, itself among them. Raises NotFoundError."""
    return house.store.families.options(plan_id)


def copy_as_option(house: Elbowroom, plan_id: str, name: str, author: str = OWNER) -> State:
    """Keep a copy of a plan as another option of it, under a name of its own.

    Without a name it is called as the plan, with its letter. Raises PlanError, NotFoundError,
    CommandError.
    """
    plan = house.open(plan_id).plan
    given = " ".join(name.split())
    if len(given) > LABEL_LIMIT:
        raise PlanError(Fault("name", f"has {len(given)} letters; {LABEL_LIMIT} is the most"))
    stem = _LETTERED.sub("", plan.name)[: LABEL_LIMIT - len(_MARK) - 1]

    def make(letter: str) -> Plan:
        called = given or f"{stem}{_MARK}{letter}"
        return Plan.model_validate({**json_of(plan), "name": called})

    return house.store.families.add(plan_id, make, author)


def choose(house: Elbowroom, plan_id: str) -> None:
    """Make a plan the chosen one among its options. Raises NotFoundError, CommandError if alone."""
    if len(options_of(house, plan_id)) < 2:
        raise CommandError("There is nothing to choose from: this plan has no other option.")
    house.store.families.choose(plan_id)


def take_away(house: Elbowroom, plan_id: str, seen_from: str) -> str:
    """Put an option aside and give one that is left, that it was seen from if it is not the same.

    Raises NotFoundError, CommandError where it is the only one.
    """
    left = [one.plan_id for one in options_of(house, plan_id) if one.plan_id != plan_id]
    if not left:
        raise CommandError("This is the only option: a whole plan is deleted on the list of plans.")
    house.delete(plan_id)
    return seen_from if seen_from in left else left[0]


def side_by_side(house: Elbowroom, plan_id: str) -> tuple[Weighed, ...]:
    """Weigh all options of a plan, by letter. Raises NotFoundError."""
    return tuple(_weighed(house, option) for option in options_of(house, plan_id))


def glances(house: Elbowroom, plan_id: str) -> tuple[Glance, ...]:
    """Return the pictures and figures of all options of a plan, by letter. Raises NotFoundError."""
    return tuple(_glance(house, option) for option in options_of(house, plan_id))


def vote_for(house: Elbowroom, plan_id: str, letter: str, voice: str, author: str) -> None:
    """Vote for one of a plan's options by its letter. Raises NotFoundError, CommandError."""
    house.store.families.vote(plan_id, letter, voice, author)


def votes_of(house: Elbowroom, plan_id: str) -> tuple[OptionVote, ...]:
    """List the votes for a plan's options. Raises NotFoundError."""
    return house.store.families.votes(plan_id)


def _glance(house: Elbowroom, option: Option) -> Glance:
    seen = house.judged(option.plan_id)
    return Glance(
        option,
        seen.state.plan,
        seen.state.revision,
        seen.drawing,
        seen.verdict["counts"],
        kit_price(seen.scene),
    )


def _weighed(house: Elbowroom, option: Option) -> Weighed:
    seen = house.judged(option.plan_id)
    scene, plan = seen.scene, seen.state.plan
    with overridden({override.id: override.value for override in plan.overrides}):
        trained = scene.in_training()
        group, free, worst = together(trained), free_floor_m2(trained), narrowest(trained)
    return Weighed(
        option,
        plan,
        seen.state.revision,
        seen.drawing,
        seen.verdict["counts"],
        free,
        scene.room.free.area / MM_PER_M**2,
        worst,
        len(group.largest),
        group.proven,
        sum(not piece.stays for piece in plan.pieces),
        kit_price(scene),
    )


def kit_price(scene: Scene) -> KitPrice:
    """Return what the kit costs, now and later, as the page of costs counts it."""
    lines = [line for line in costs(scene, TakeOff(())).lines if line.group == "kit"]
    return KitPrice(
        sum(line.sum_minor for line in lines if not line.later),
        sum(line.sum_minor for line in lines if line.later),
        sum(line.asked_minor is None for line in lines),
    )


def now_of(house: Elbowroom, plan_id: str) -> AsOfNow:
    """Judge a plan as it is before the later purchases. Raises NotFoundError."""
    state = house.open(plan_id)
    plan = as_of_now(state.plan)
    if plan is state.plan:
        seen = house.judged(plan_id)
        return AsOfNow(state, plan, seen.verdict, seen.drawing, kit_price(seen.scene), ())
    scene, whole = build_scene(plan), build_scene(state.plan)
    snags = in_few_words(run(scene))
    before = house.store.flags(plan_id)
    numbers = numbered_for_now((snag.key for snag in snags), before)
    verdict = verdict_of(plan, snags, numbers)
    left_out = tuple(placed.name for placed in whole.order if placed.piece.later)
    return AsOfNow(state, plan, verdict, desk_figure(scene).svg, kit_price(whole), left_out)
