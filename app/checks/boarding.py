"""What fits under the bare ceiling and not under the boards that are still to come."""

from __future__ import annotations

from collections.abc import Callable

from app.scene.build import Scene
from app.scene.tolerance import falls_short

TODAY = "it fits today, not after boarding"


def fits_today(scene: Scene, bare_mm: Callable[[], float], required_mm: float) -> bool:
    """Return whether only the boards and insulation that are still to come take the height.

    `bare_mm` gives the clear height under the ceiling as it is, in mm. An open door hangs where it
    hangs, boarded or not.
    """
    if not scene.plan.room.ceiling.finish_mm or scene.door_open:
        return False
    return not falls_short(bare_mm(), required_mm)
