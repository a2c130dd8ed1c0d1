"""What of a station is not where the plan has it while somebody trains there."""

from __future__ import annotations

from app.drawing.section_bay import Bay
from app.scene.build import Placed

UNDER_THE_BAR = frozenset({"squat", "deadlift", "barbell-row"})
"""Movements with a bar of which the head is what rises highest, not what is held."""


def uses_instead(bay: Bay, placed: Placed) -> bool:
    """Return whether a piece is in these hands, or is pulled out of the way of what is done."""
    if bay.placed is None or placed.root != bay.placed.root or placed is bay.placed:
        return False
    needs = {
        need
        for use in bay.placed.kit.uses
        if use.movement == bay.movement.key
        for need in use.needs
    }
    if placed.kit.bar is not None:
        return bay.movement.held == "bar" or bay.movement.key in UNDER_THE_BAR
    return placed.kit.group == "Benches" and "bench" not in needs
