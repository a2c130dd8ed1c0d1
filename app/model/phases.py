"""Now and later: the plan as it is before anything of the later purchases has come."""

from __future__ import annotations

from app.model.base import json_of
from app.model.plan import Plan


def as_of_now(plan: Plan) -> Plan:
    """Return the plan without its later pieces.

    What a later piece would carry stands for itself until then; situations no longer speak of
    pieces that are not there. The plan itself where nothing is for later.
    """
    later = {piece.id for piece in plan.pieces if piece.later}
    if not later:
        return plan
    data = json_of(plan)
    pieces = [
        {**piece, "carried_by": None if piece["carried_by"] in later else piece["carried_by"]}
        for piece in data["pieces"]
        if piece["id"] not in later
    ]
    situations = [
        {**one, "states": [entry for entry in one["states"] if entry["id"] not in later]}
        for one in data["situations"]
    ]
    return Plan.model_validate({**data, "pieces": pieces, "situations": situations})
