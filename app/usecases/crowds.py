"""How much a guest may bring into a plan. What the owner of the plan does has no such limits.

Judging takes the longer the more stands in one place, and the machine is the owner's. The limits
are counts, so that a guest is told the same everywhere. What stands there already is no guest's
fault: only what a change brings or moves is looked at.
"""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from numpy.typing import NDArray

from app.errors import CommandError
from app.model.kit import Pose
from app.model.plan import Plan
from app.model.room import Room

PIECES_AT_MOST = 500
"""Pieces that a guest may bring a plan to: a hall has a hundred or two."""

IN_ONE_PLACE_AT_MOST = 40
"""Middles of pieces within `ONE_PLACE_MM`: their 780 pairs are judged in a moment."""

ONE_PLACE_MM = 1000.0
"""About half of what the larger pieces measure: such as stand nearer than this meet."""


ROOM_PARTS_AT_MOST = 400
"""Walls, openings, low things, columns, planes of floor and ceiling, and joists that a guest may
bring a room to: what is overhead is looked at for every place of every movement."""


def guests_limits(plan: Plan, before: Plan | None) -> None:
    """Refuse what brings a plan over what guests may. Raises CommandError.

    `before` is the plan as it was, None for a new one.
    """
    parts, had = _parts(plan.room), 0 if before is None else _parts(before.room)
    if parts > max(ROOM_PARTS_AT_MOST, had):
        raise CommandError(
            f"With this the room would have {parts:,} parts, joists counted. Guests may bring it "
            f"to {ROOM_PARTS_AT_MOST}; its owner may add more."
        )
    was = {} if before is None else _middles(before)
    now = _middles(plan)
    if len(now) > max(PIECES_AT_MOST, len(was)):
        raise CommandError(
            f"With this the plan would have {len(now):,} pieces. Guests may bring it to "
            f"{PIECES_AT_MOST}; its owner may add more."
        )
    _refuse_heap(now, was)


def guests_moves(plan: Plan, poses: Mapping[str, Pose]) -> None:
    """Refuse a drag that heaps up more than guests may. Raises CommandError."""
    was = _middles(plan)
    moved = {key: (pose.x_mm, pose.y_mm) for key, pose in poses.items() if key in was}
    _refuse_heap({**was, **moved}, was)


def _parts(room: Room) -> int:
    """Count what a room is made of; joists by how many lie side by side in it at the most."""
    of_walls = len(room.walls) + len(room.openings) + len(room.sockets)
    inside = len(room.low_things) + len(room.columns)
    planes = len(room.floor.planes) + len(room.ceiling.planes)
    joists = room.ceiling.joists
    if joists is None:
        return of_walls + inside + planes
    corners = np.array(room.corners)
    across = float(np.hypot(*np.ptp(corners, axis=0)))
    return of_walls + inside + planes + int(across / joists.spacing_mm)


def _middles(plan: Plan) -> dict[str, tuple[float, float]]:
    return {piece.id: (piece.pose.x_mm, piece.pose.y_mm) for piece in plan.pieces}


def _refuse_heap(
    now: Mapping[str, tuple[float, float]], was: Mapping[str, tuple[float, float]]
) -> None:
    everywhere = np.array(list(now.values()), dtype=np.float64).reshape(-1, 2)
    before = np.array(list(was.values()), dtype=np.float64).reshape(-1, 2)
    for key, at in now.items():
        if was.get(key) == at:
            continue
        there = _near(everywhere, at)
        # a station that is moved within a heap of the owner's makes it no larger
        if there > IN_ONE_PLACE_AT_MOST and there > _near(before, at):
            raise CommandError(
                f"With this {there} pieces would stand within {ONE_PLACE_MM / 1000:.0f} m of one "
                f"place. Guests may heap up {IN_ONE_PLACE_AT_MOST}; take some of them apart first."
            )


def _near(middles: NDArray[np.float64], at: tuple[float, float]) -> int:
    return int((np.hypot(*(middles - at).T) <= ONE_PLACE_MM).sum())
