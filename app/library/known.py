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
    if faults:
        raise PlanError(*faults[:FAULT_LIMIT])
