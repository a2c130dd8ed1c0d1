"""What a piece meets that may be another piece or a column: what it is called, and its key."""

from __future__ import annotations

from typing import NamedTuple

from app.checks.snag import Meets
from app.scene.build import Scene


class Met(NamedTuple):
    """What is met: its name, the piece that it is (none of a column), the code and kind of row."""

    name: str
    pieces: tuple[str, ...]
    code: str
    meets: Meets


def what_is_met(scene: Scene, owner: int, code: str) -> Met:
    """Return what the owner of a solid is, and the code of a row of that name about it.

    Columns are told apart by their number, for they have no piece that the key could name.
    """
    count = len(scene.order)
    if owner < count:
        placed = scene.order[owner]
        return Met(placed.name, (placed.piece.id,), code, "kit")
    number = owner - count
    return Met(scene.fixed_names[number], (), f"{code}-column-{number}", "column")
