"""A piece exchanged for one of another type: the one place where that is done.

What was measured, weighed, paid or read in the manual of the old piece is not of the new one: its
deck, its power and its price are those of its row until somebody has it and measures it.
"""

from __future__ import annotations

from app.library.kit import KitType
from app.model.base import json_of
from app.model.kit import Piece
from app.model.money import PIECE, Entry
from app.model.plan import Plan
from app.model.situations import OUT

KEPT = frozenset(
    {
        "id",
        "pose",
        "label",
        "note",
        "carried_by",
        "on_floor",
        "stays",
        "pinned",
        "bolted",
        "later",
        "circuit",
        "plate_mm",
        "bumper_plates",
    }
)
"""Fields of a piece that say where it stands, what it is to the household and what is used with
it. All others are of the old piece alone."""


def exchanged(plan: Plan, piece_id: str, kit: KitType, **fields: object) -> Plan:
    """Return a plan in which a piece is of another type, as its row has it, where the old one was.

    It is bought anew: nobody owns it or has paid for it. A state that the new type has too stays,
    also in situations. `fields` are what is said of the new piece besides. Raises StopIteration
    for an unknown piece.
    """
    data = json_of(plan)
    states = {state.key for state in kit.states} | {OUT}
    old = next(one for one in data["pieces"] if one["id"] == piece_id)
    new = Piece.model_validate(
        {field: value for field, value in old.items() if field in KEPT}
        | {"type": kit.own or kit.key, "state": old["state"] if old["state"] in states else None}
        | fields
    )
    data["pieces"] = [json_of(new) if one is old else one for one in data["pieces"]]
    for situation in data["situations"]:
        situation["states"] = [
            one for one in situation["states"] if one["id"] != piece_id or one["state"] in states
        ]
    entry = f"{PIECE}{piece_id}"
    data["money"]["entries"] = [
        json_of(Entry(id=entry, later=one["later"])) if one["id"] == entry else one
        for one in data["money"]["entries"]
        if one["id"] != entry or one["later"] is not None
    ]
    return Plan.model_validate(data)
