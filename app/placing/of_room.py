"""What a room is to stations, kept by the room: for all plans in it, whatever stands in them.

A plan that gets a piece, a person or another wish, and a copy of it, find what walls, columns,
doors and what hangs overhead forbid as it was found before.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import TypeVar, cast

from app.published.register import in_force
from app.recent import Recent
from app.scene.build import Scene

ROOMS_AT_MOST = 8
"""Rooms that are kept: those of the plans that are worked on. Each holds a few megabytes."""
TABLES_AT_MOST = 8
"""Tables of one room: what it is for stops and for cares, and what it is to stations by value."""

Key = tuple[object, ...]
Value = TypeVar("Value")

_ROOMS: Recent[Key, Recent[Key, object]] = Recent(ROOMS_AT_MOST)


def table_of_room(scene: Scene, key: Key, make: Callable[[], Value]) -> Value:
    """Return a table of the room of a scene, made where there is none.

    Mirrors on walls and the values that are in force decide as well. A plan with situations has its
    own.
    """
    plan = scene.plan
    if plan.situations:
        return scene.table(key, make)
    alike = (scene.room, scene.door_open, plan.fit_out.mirrors, plan.overrides, in_force())
    tables = _ROOMS.made(alike, lambda: Recent(TABLES_AT_MOST))
    return cast(Value, tables.made(key, make))
