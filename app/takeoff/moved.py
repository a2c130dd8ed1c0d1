"""What of the list changes while a hand moves things: the lines that hang on where they stand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from app.published.register import overridden
from app.scene.build import Scene
from app.takeoff.fixings import fixings
from app.takeoff.leads import leads
from app.takeoff.line import Gathered, Line
from app.units import format_money
from app.wording import lower

FLOOR_AT_REST = "floor: counted at rest"
"""What stands for a floor that would be laid anew: that takes longer than a hand waits."""


@dataclass(frozen=True, slots=True)
class Moved:
    """One line that changes: how many more of it are bought, and what that costs; fewer below 0."""

    item: str
    more: float
    minor: int | None

    def worded(self, currency: str) -> str:
        """Say it beside the hand: "+1 socket lead, 3.0 m, +€12.00"."""
        count = f"{self.more:+g} " if self.more else ""
        if self.minor is None:
            return f"{count}{lower(self.item)}, no price"
        sign = "+" if self.minor > 0 else ""
        return f"{count}{lower(self.item)}, {sign}{format_money(self.minor, currency)}"


def on_places(scene: Scene) -> dict[str, Line]:
    """Return the lines that hang on where things stand, by key: leads and fixings in walls.

    The floor is not among them: laying it takes longer than a hand waits.
    """
    gathered = Gathered()
    with overridden({value.id: value.value for value in scene.plan.overrides}):
        gathered.take(leads(scene))
        gathered.take(fixings(scene))
    return {line.key: line for line in gathered.lines}


def moved(before: Mapping[str, Line], after: Mapping[str, Line]) -> tuple[Moved, ...]:
    """Return what changes from one place of things to another, in the order of the list."""
    changed = []
    for key in dict.fromkeys((*before, *after)):
        old, new = before.get(key), after.get(key)
        more = (new.net if new else 0.0) - (old.net if old else 0.0)
        was, now = (line.cost_minor if line else 0 for line in (old, new))
        minor = None if was is None or now is None else now - was
        if more or minor:
            changed.append(Moved((new or old).item, more, minor))  # type: ignore[union-attr]
    return tuple(changed)


def lays_anew(scene: Scene, ids: set[str]) -> bool:
    """Return whether a laid floor changes with pieces that move.

    It is laid round what stays, and up to what is let in.
    """
    floors = scene.plan.fit_out.floors
    flush = {one for laying in floors for one in laying.flush}
    return bool(floors) and any(
        one in flush or scene.placed[one].piece.stays for one in ids if one in scene.placed
    )
