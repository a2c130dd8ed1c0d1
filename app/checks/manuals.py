"""What the makers of machines rule out: a garage or a damp room is a note to read the manual."""

from __future__ import annotations

from collections.abc import Iterator

from app.checks.snag import Snag
from app.checks.standing import snags_of_plan
from app.scene.build import Scene
from app.scene.loads import loads
from app.wording import in_a_row, lower

_MACHINES = "Machines"


def manuals(scene: Scene) -> Iterator[Snag]:
    """Yield one note of the machines with electronics that stand in a garage or a damp room."""
    yield from snags_of_plan(scene, "manuals", _all)


def _all(scene: Scene) -> Iterator[Snag]:
    where = _where(scene)
    # what has none of its own, and draws power only because somebody typed it, is no such machine
    machines = [
        load.placed
        for load in loads(scene)
        if load.placed.kit.group == _MACHINES and load.placed.kit.power_w > 0
    ]
    if where is None or not machines:
        return
    names = dict.fromkeys(f"the {lower(placed.name)}" for placed in machines)
    yield Snag(
        code="manual-and-garage",
        background=True,
        severity="note",
        template="Makers often rule out {}, or give no guarantee there: read what the manual of "
        "{} says of it.",
        values=(where, in_a_row(tuple(names))),
        pieces=tuple(placed.piece.id for placed in machines),
        names=("the maker's manual",),
        unit=None,
    )


def _where(scene: Scene) -> str | None:
    """Say which of the rooms that makers rule out this one is."""
    room = scene.plan.room
    if room.climate.car_kept_here == "yes" or any(one.is_garage_door for one in room.openings):
        return "a garage"
    damp = room.fabric.floor_dry == "no" or any(wall.tanked for wall in room.walls)
    return "a damp room" if damp else None
