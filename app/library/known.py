"""Refuses plans that name kit types or movements the library does not hold."""

from __future__ import annotations

from app.errors import Fault, PlanError
from app.library.kit import kit_types
from app.library.movements import movements
from app.model.plan import Plan

FAULT_LIMIT = 20


def check_known(plan: Plan) -> None:
    """Look up every kit type and wished movement. Raises PlanError with a fault for each."""
    types, moves = kit_types(), movements()
    faults = [
        Fault(f"pieces[{index}].type", f"there is no kit type {piece.type!r} in the library")
        for index, piece in enumerate(plan.pieces)
        if piece.type not in types
    ]
    faults += [
        Fault(
            f"people[{index}].wishes[{number}].movement",
            f"there is no movement {wish.movement!r} in the library",
        )
        for index, person in enumerate(plan.people)
        for number, wish in enumerate(person.wishes)
        if wish.movement not in moves
    ]
    faults += _states(plan)
    if faults:
        raise PlanError(*faults[:FAULT_LIMIT])


def _states(plan: Plan) -> list[Fault]:
    """Look up the states that pieces have and situations give them; "out" needs no row."""
    types = kit_types()
    known = {
        piece.id: {"out", *(state.key for state in types[piece.type].states)}
        for piece in plan.pieces
        if piece.type in types
    }
    faults = [
        Fault(f"pieces[{index}].state", f"{piece.type!r} has no state {piece.state!r}")
        for index, piece in enumerate(plan.pieces)
        if piece.state is not None and piece.state not in known.get(piece.id, {piece.state})
    ]
    for index, situation in enumerate(plan.situations):
        for number, entry in enumerate(situation.states):
            where = f"situations[{index}].states[{number}]"
            # a piece that has been taken off since may still be named: that is no fault
            if entry.state not in known.get(entry.id, {entry.state}):
                faults.append(Fault(where, f"{entry.id!r} has no state {entry.state!r}"))
    return faults
