"""How a station stands, and the decimals in which a plan writes that."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from app.model.kit import Pose
from app.placing.convex import Floats
from app.placing.pairs import TURN_DECIMALS
from app.scene.build import Scene
from app.scene.shapes import turn
from app.units import WHOLE_TURN_DEG

PLACE_DECIMALS = 2
"""Decimals of a mm to which places are written: those of a plan."""
THE_ROOM = ""
"""Whose rules those of the room itself are."""


@dataclass(frozen=True, slots=True)
class Standing:
    """How a station stands: its turn in degrees and where its root is, in mm."""

    turn_deg: float
    x_mm: float
    y_mm: float


HERE = Standing(0.0, 0.0, 0.0)
"""Where the room itself stands."""


def plan_places(points: Floats) -> Floats:
    """Return places in mm, (n, 2), to the decimals of a plan; of one place too."""
    places: Floats = np.atleast_2d(np.asarray(points, dtype=np.float64)).round(PLACE_DECIMALS)
    return places


def plan_turn(turn_deg: float) -> float:
    """Return a turn to the decimals of a plan, from nought to less than 360 degrees."""
    # what rounds up to a whole turn is none
    return round(turn_deg % WHOLE_TURN_DEG, TURN_DECIMALS) % WHOLE_TURN_DEG


def station_poses(scene: Scene, root: str, there: Standing) -> dict[str, Pose]:
    """Return the poses of the pieces of a station of a scene that stands elsewhere."""
    base = scene.placed[root]
    poses = {}
    for placed in scene.stations[root]:
        away = placed.at[0] - base.at[0], placed.at[1] - base.at[1]
        x, y = turn(*away, there.turn_deg - base.pose.angle_deg)
        angle = plan_turn(placed.pose.angle_deg - base.pose.angle_deg + there.turn_deg)
        poses[placed.piece.id] = Pose.within(there.x_mm + x, there.y_mm + y, angle)
    return poses
