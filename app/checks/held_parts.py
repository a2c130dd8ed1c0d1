"""Parts of what somebody lifts overhead: what they are called, and whether the plates decide."""

from __future__ import annotations

from app.checks.spot import Spot
from app.checks.spots import of_parts
from app.model.people import Person
from app.scene.build import Scene
from app.scene.tolerance import falls_short
from app.wording import Phrase, lower, phrase

PLATES = "plates"
"""The part of a movement with a bar that its plates take."""


def part_name(part: str) -> str:
    """Return what people call a part of a movement."""
    names = {"hands": "The hands", "bar": "The bar's ends", PLATES: "The plates"}
    return names.get(part, "Head and shoulders")


def without_plates(scene: Scene, person: Person, spot: Spot, situation: str) -> str | Phrase:
    """Say where no smaller plates help: what is held between them hits as well."""
    also = [
        one
        for one in of_parts(scene, person, (spot,), situation)[0]
        if one.clear.part != PLATES and falls_short(one.clear.clear_mm, one.demand.least_mm)
    ]
    if not also:
        return ""
    worst = min(also, key=lambda one: one.spare_least_mm)
    words = "; smaller plates do not help, {} alone need {:bare}"
    return phrase(words, lower(part_name(worst.clear.part)), worst.demand.least_mm)
