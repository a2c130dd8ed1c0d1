"""What draws power in a room, what of it runs at once, and which circuit it hangs on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from shapely import Point

from app.scene.build import Placed, Scene

MAIN_SWITCH = "consumer-unit"
"""The type of the main switch with the breakers of all circuits."""


@dataclass(frozen=True, slots=True)
class Load:
    """One piece and what it draws."""

    placed: Placed
    watts: float


def loads(scene: Scene) -> tuple[Load, ...]:
    """Return every piece in the room that draws power, the largest first."""
    result = []
    for placed in scene.order:
        own = placed.piece.power_w
        watts = placed.kit.power_w if own is None else own
        if watts > 0 and placed.piece.state != "out":
            result.append(Load(placed, watts))
    return tuple(
        sorted(result, key=lambda load: (-load.watts, load.placed.kit.group == "Of the house"))
    )


def used_together(scene: Scene, among: Sequence[Load]) -> tuple[Load, ...]:
    """Return what runs at once: all of the house, and a machine for each person."""
    people = max(1, len(scene.plan.people))
    machines = [load for load in among if load.placed.kit.group != "Of the house"]
    running = {load.placed.piece.id for load in machines[:people]}
    return tuple(
        load
        for load in among
        if load.placed.kit.group == "Of the house" or load.placed.piece.id in running
    )


def board_here(scene: Scene) -> bool:
    """Return whether the main switch hangs in this very room: then no spur of a plug feeds it."""
    return any(placed.kit.key == MAIN_SWITCH for placed in scene.order)


def typed_circuit(scene: Scene, placed: Placed) -> str | None:
    """Return the circuit that was entered for a piece, or the only one there is."""
    circuits = scene.plan.room.electricity.circuits
    if placed.piece.circuit is not None or len(circuits) != 1:
        return placed.piece.circuit
    return circuits[0].id


def circuit_of(scene: Scene, placed: Placed) -> str | None:
    """Return the circuit of a piece: the one that was entered, else that of the nearest socket."""
    typed = typed_circuit(scene, placed)
    sockets = scene.plan.room.sockets
    if typed is not None or not any(socket.circuit for socket in sockets):
        return typed
    points = scene.memo(("outlet-points",), lambda: outlets(scene))
    away = shapely.distance(np.array(points, dtype=object), placed.footprint)
    return sockets[int(away.argmin())].circuit


def outlets(scene: Scene) -> list[Point]:
    """Return where the sockets are on the plan, in the order of the room's sockets."""
    walls = {wall.id: wall for wall in scene.room.walls}
    points = []
    for socket in scene.plan.room.sockets:
        wall = walls[socket.wall]
        dx, dy = wall.along
        points.append(
            Point(wall.start[0] + dx * socket.offset_mm, wall.start[1] + dy * socket.offset_mm)
        )
    return points
