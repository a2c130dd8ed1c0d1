"""What is in the room only at times: in the situations of a plan it is out while people train."""

from __future__ import annotations

from app.model.base import Id
from app.model.plan import PieceState, Plan, Situation

OUT = "out"
"""The state of whatever is not in the room."""
TRAINING, PARKED = "training", "parked"
"""What the two situations are called by id that a thing makes which comes and goes."""
SITUATIONS_AT_MOST = 12
WHILE_YOU_TRAIN = "while you train"
CAR = "car"
"""The type of piece that is in the room only while nobody trains, unless it is said otherwise."""


def training(plan: Plan) -> Situation | None:
    """Return the first situation in which somebody trains; None where the plan names none."""
    return next((one for one in plan.situations if one.trains), None)


def judged_situations(plan: Plan) -> tuple[Situation, ...]:
    """Return the situations that a plan is judged in, none for one that is judged as it stands.

    Where nobody trains in any that is named, the room as it is drawn, without a car, is the one to
    train in.
    """
    there = plan.situations
    if not there or training(plan) is not None:
        return there
    cars = tuple(PieceState(id=one.id, state=OUT) for one in plan.pieces if one.type == CAR)
    free = _free_id(TRAINING, there)
    return (Situation(id=free, label=WHILE_YOU_TRAIN, states=cars), *there)


def out_while_training(plan: Plan) -> frozenset[Id]:
    """Return the pieces that are out of the room in every situation in which somebody trains."""
    outs = [
        {entry.id for entry in one.states if entry.state == OUT}
        for one in plan.situations
        if one.trains
    ]
    return frozenset(set.intersection(*outs)) if outs else frozenset()


def with_out(plan: Plan, piece_id: Id, name: str) -> tuple[Situation, ...]:
    """Return the situations of a plan in which a piece is out while somebody trains.

    Where it is in, nobody trains. `name` is what the piece is called.
    """
    there = plan.situations
    away = PieceState(id=piece_id, state=OUT)
    if not any(one.trains for one in there):
        there = (*there, Situation(id=TRAINING, label=WHILE_YOU_TRAIN))
    there = tuple(
        _with(one, (*_others(one, piece_id), away)) if one.trains else one for one in there
    )
    is_in = any(not one.trains and away not in one.states for one in there)
    if not is_in and len(there) < SITUATIONS_AT_MOST:
        there = (*there, Situation(id=_free_id(PARKED, there), label=f"{name} in", trains=False))
    return there


def without(plan: Plan, piece_id: Id) -> tuple[Situation, ...]:
    """Return the situations of a plan with nothing said of a piece; none where nothing is left."""
    there = tuple(_with(one, _others(one, piece_id)) for one in plan.situations)
    says = any(one.states or one.door_open for one in there)
    made = all(one.id.startswith((TRAINING, PARKED)) for one in there)
    return () if made and not says else there


def _free_id(wanted: Id, there: tuple[Situation, ...]) -> Id:
    """Return an id that none of some situations has: the wanted one, or the next with a number."""
    taken = {one.id for one in there}
    numbered = (f"{wanted}-{number}" for number in range(2, len(taken) + 2))
    return next(one for one in (wanted, *numbered) if one not in taken)


def _with(situation: Situation, states: tuple[PieceState, ...]) -> Situation:
    return Situation(**{**dict(situation), "states": states})


def _others(situation: Situation, piece_id: Id) -> tuple[PieceState, ...]:
    return tuple(entry for entry in situation.states if entry.id != piece_id)
