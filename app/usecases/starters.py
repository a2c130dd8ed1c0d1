"""Starting from a set: placed in this very room, shown, then kept as one command."""

from __future__ import annotations

from contextlib import suppress
from dataclasses import dataclass
from functools import partial

from app.arrange.effort import STARTER_STEPS
from app.arrange.starter import PlacedSet, place_set
from app.budget import Budget
from app.changes.commands import adds
from app.checks.run import in_few_words, run
from app.drawing.desk import desk_figure
from app.errors import ConflictError, NotFoundError, OutdatedError
from app.library.finishes import GUIDE_CURRENCIES
from app.library.starters import StarterSet, starter_sets
from app.recent import Recent
from app.scene.build import build_scene
from app.store.entries import State
from app.store.flags import numbered
from app.store.plans import OWNER
from app.usecases.judged import plan_bytes
from app.usecases.options import KitPrice, kit_price
from app.usecases.plans import Elbowroom
from app.usecases.verdict import verdict_of
from app.usecases.waiting import Gone, never_leaves

PLACINGS_AT_MOST = 24
PLACINGS_BYTES = 16_000_000


@dataclass(frozen=True, slots=True)
class Shown:
    """A set as it would stand in a room: figure, open snags by severity, what the kit costs then.

    `price` is of all the kit on the plan, what was there included.
    """

    placed: PlacedSet
    drawing: str
    counts: dict[str, int]
    price: KitPrice


def sets(house: Elbowroom, plan_id: str) -> tuple[tuple[StarterSet, int | None], ...]:
    """Return the sets with what each costs at guide prices, None where those say nothing.

    Raises NotFoundError for an unknown plan, StoreError.
    """
    known = house.open(plan_id).plan.currency in GUIDE_CURRENCIES
    return tuple((one, one.about_minor if known else None) for one in starter_sets().values())


def shown(house: Elbowroom, plan_id: str, key: str, gone: Gone = never_leaves) -> Shown:
    """Show a set placed on a plan as it stands; nothing is kept. Raises NotFoundError.

    It ends with EndingError when who asked has left.
    """
    placed = _placed(house, plan_id, key, gone)
    scene = build_scene(placed.plan)
    snags = in_few_words(run(scene))
    verdict = verdict_of(placed.plan, snags, numbered((s.key for s in snags), {}))
    return Shown(placed, desk_figure(scene).svg, verdict["counts"], kit_price(scene))


def take(house: Elbowroom, plan_id: str, key: str, author: str = OWNER) -> tuple[State, PlacedSet]:
    """Put a set on a plan as one command. Raises ConflictError where nothing of it fits."""
    placed = _placed(house, plan_id, key, never_leaves)
    if not placed.pieces:
        raise ConflictError("Nothing of this set finds a place in this room.")
    command = adds(placed.pieces, says=f"starter set: {placed.starter.name}")
    return house.do(plan_id, command, author), placed


def _placed(house: Elbowroom, plan_id: str, key: str, gone: Gone) -> PlacedSet:
    starter = starter_sets().get(key)
    if starter is None:
        raise NotFoundError("There is no such starter set.")
    placings: Recent[tuple[str, int, str], PlacedSet] = house.memory(
        "starters", PLACINGS_AT_MOST, PLACINGS_BYTES, lambda placed: plan_bytes(placed.plan)
    )
    while True:
        state = house.open(plan_id)
        budget = Budget(STARTER_STEPS, partial(house.waiting.look, plan_id, state.plan, gone))
        seek = partial(place_set, state.plan, starter, budget)
        with suppress(OutdatedError):
            return placings.made((plan_id, state.revision, key), seek)
