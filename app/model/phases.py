"""Now and later: the plan as it is before some of the purchases have come."""

from __future__ import annotations

from collections.abc import Set

from app.model.base import json_of
from app.model.plan import Plan


def as_of_now(plan: Plan) -> Plan:
    """Return the plan without its later pieces; the plan itself where nothing is for later."""
    return without(plan, {piece.id for piece in plan.pieces if piece.later})


def without(plan: Plan, missing: Set[str]) -> Plan:
    """Return the plan without some pieces, by their ids; the plan itself where none is missing.

    What a missing piece would carry stands for itself until then; situations no longer speak of
    pieces that are not there.
    """
    if not missing:
        return plan
    data = json_of(plan)
    pieces = [
        {**piece, "carried_by": None if piece["carried_by"] in missing else piece["carried_by"]}
        for piece in data["pieces"]
        if piece["id"] not in missing
    ]
    situations = [
        {**one, "states": [entry for entry in one["states"] if entry["id"] not in missing]}
        for one in data["situations"]
    ]
    return Plan.model_validate({**data, "pieces": pieces, "situations": situations})
