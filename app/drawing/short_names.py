"""Names in a drawing: a long one is cut short there and told whole in the words of its sheet."""

from __future__ import annotations

from collections.abc import Iterable

from app.drawing.flow import Block, Words
from app.drawing.lettering import shorten, width_of
from app.scene.room import RoomShape

_WHOLE_EM, _CUT_EM = 18.0, 10.0
"""How wide a name in a drawing may be, in sizes of its lettering, some 36 letters, and how wide one
is that is cut: it is told whole in the words, and what it leaves free others have."""


def short_name(name: str) -> str:
    """Return a name as a drawing letters it, the end of a long one left out with an ellipsis."""
    return shorten(name, 1.0, _CUT_EM) if _is_cut(name) else name


def whole_names(names: Iterable[str]) -> tuple[Block, ...]:
    """Return the names that a drawing cuts short, each whole; no block where there is none."""
    cut = dict.fromkeys(name for name in names if _is_cut(name))
    return (Block("Names in full", tuple(Words(name) for name in cut)),) if cut else ()


def _is_cut(name: str) -> bool:
    return width_of(name, 1.0) > _WHOLE_EM


def room_names(room: RoomShape) -> list[str]:
    """Return what is called by a name of its own on a plan of the room: columns, beams, pipes."""
    return [column.label for column, _ in room.columns] + [thing.label for thing, _ in room.low]
