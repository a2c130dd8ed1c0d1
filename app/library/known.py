"""Refuses plans that name kit types, states, movements or published values that are not there."""

from __future__ import annotations

from collections.abc import Iterator

from app.errors import Fault, PlanError
from app.library.kit import GROUPS, KitType, kit_types
from app.library.movements import movements
from app.library.own import kits_of
from app.model.plan import Override, Plan
from app.published.register import all_rows, can_stand, row
from app.published.retired import RETIRED

FAULT_LIMIT = 20
OUT_OF_ROOM = "out"


def check_known(plan: Plan) -> None:
    """Look up every name that a plan takes from the library. Raises PlanError with the faults."""
    faults = [*_own(plan), *_kit(plan), *_situations(plan), *_wishes(plan), *_overrides(plan)]
    if faults:
        raise PlanError(*faults[:FAULT_LIMIT])


def check_new_values(plan: Plan, before: Plan) -> None:
    """Refuse a published value that a change sets to what its row cannot be. Raises PlanError.

    What the plan held before is left alone: it is not used, and the plan must go on.
    """
    old = set(before.overrides)
    faults = [
        Fault(f"overrides[{index}].value", _bounds_say(override))
        for index, override in enumerate(plan.overrides)
        if override not in old and not _can_stand(override)
    ]
    if faults:
        raise PlanError(*faults[:FAULT_LIMIT])


def unused_values(plan: Plan) -> tuple[Override, ...]:
    """Return the values that a plan sets outside what their rows can be: none of them is used."""
    return tuple(override for override in plan.overrides if not _can_stand(override))


def _can_stand(override: Override) -> bool:
    # what is no longer published is not used, whatever its value
    if override.id in RETIRED:
        return True
    try:
        return can_stand(override.id, override.value)
    except KeyError:
        return False


def _bounds_say(override: Override) -> str:
    known = row(override.id)
    low, high = known.bounds
    return f"{override.value:g} cannot be: {override.id} may be {low:g} to {high:g} {known.unit}"


def _own(plan: Plan) -> Iterator[Fault]:
    for index, own in enumerate(plan.own_kit):
        if own.like is not None and own.like not in kit_types():
            yield Fault(f"own_kit[{index}].like", f"there is no kit type {own.like!r} to copy")
        if own.group not in GROUPS:
            yield Fault(f"own_kit[{index}].group", f"there is no group of kit {own.group!r}")


def _kit(plan: Plan) -> Iterator[Fault]:
    types = kits_of(plan)
    for index, piece in enumerate(plan.pieces):
        if piece.type not in types:
            sentence = f"there is no kit type {piece.type!r} in the library"
            yield Fault(f"pieces[{index}].type", sentence)
        elif piece.state is not None and not _has_state(types[piece.type], piece.state):
            sentence = f"{types[piece.type].name!r} has no state {piece.state!r}"
            yield Fault(f"pieces[{index}].state", sentence)


def _situations(plan: Plan) -> Iterator[Fault]:
    kits = kits_of(plan)
    types = {piece.id: kits.get(piece.type) for piece in plan.pieces}
    for index, situation in enumerate(plan.situations):
        for number, entry in enumerate(situation.states):
            where = f"situations[{index}].states[{number}]"
            kit = types.get(entry.id)
            if kit is not None and not _has_state(kit, entry.state):
                yield Fault(f"{where}.state", f"{entry.id!r} has no state {entry.state!r}")


def _wishes(plan: Plan) -> Iterator[Fault]:
    moves = movements()
    for index, person in enumerate(plan.people):
        for number, wish in enumerate(person.wishes):
            if wish.movement not in moves:
                where = f"people[{index}].wishes[{number}].movement"
                yield Fault(where, f"there is no movement {wish.movement!r} in the library")


def _overrides(plan: Plan) -> Iterator[Fault]:
    if not plan.overrides:
        return
    keys = RETIRED.union(row.key for row in all_rows())
    for index, override in enumerate(plan.overrides):
        if override.id not in keys:
            yield Fault(f"overrides[{index}].id", f"there is no published value {override.id!r}")


def _has_state(kit: KitType, state: str) -> bool:
    return state == OUT_OF_ROOM or any(known.key == state for known in kit.states)
