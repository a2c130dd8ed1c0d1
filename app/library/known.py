"""Refuses plans that name kit types, states, movements or published values that are not there."""

from __future__ import annotations

from collections.abc import Iterator

from app.errors import Fault, PlanError
from app.library.kit import kit_types
from app.library.movements import movements
from app.model.plan import Plan
from app.published.register import all_rows

FAULT_LIMIT = 20
OUT_OF_ROOM = "out"


def check_known(plan: Plan) -> None:
    """Look up every name that a plan takes from the library. Raises PlanError with the faults."""
    found = [*_kit(plan), *_situations(plan), *_wishes(plan), *_overrides(plan)]
    if found:
        raise PlanError(*found[:FAULT_LIMIT])


def _kit(plan: Plan) -> Iterator[Fault]:
    types = kit_types()
    for index, piece in enumerate(plan.pieces):
        if piece.type not in types:
            sentence = f"there is no kit type {piece.type!r} in the library"
            yield Fault(f"pieces[{index}].type", sentence)
        elif piece.state is not None and not _has_state(piece.type, piece.state):
            sentence = f"{types[piece.type].name!r} has no state {piece.state!r}"
            yield Fault(f"pieces[{index}].state", sentence)


def _situations(plan: Plan) -> Iterator[Fault]:
    types = {piece.id: piece.type for piece in plan.pieces}
    for index, situation in enumerate(plan.situations):
        for number, entry in enumerate(situation.states):
            where = f"situations[{index}].states[{number}]"
            kit = types.get(entry.id)
            if kit in kit_types() and not _has_state(kit, entry.state):
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
    keys = {row.key for row in all_rows()}
    for index, override in enumerate(plan.overrides):
        if override.id not in keys:
            yield Fault(f"overrides[{index}].id", f"there is no published value {override.id!r}")


def _has_state(type_key: str, state: str) -> bool:
    return state == OUT_OF_ROOM or any(s.key == state for s in kit_types()[type_key].states)
