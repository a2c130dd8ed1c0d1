"""Three layouts made by hand in the sample rooms, common practice, no source."""

from typing import Any

from app.model.base import json_of
from app.model.kit import Pose
from app.model.plan import Plan
from app.model.versions import load
from app.resources import folder
from tests.builders import with_poses

Poses = dict[str, tuple[float, float, float]]
SINGLE: Poses = {
    "rack-1": (1875, 1810, 90),
    "bar-1": (2008, 1810, 90),
    "bench-1": (1698, 1810, 90),
    "dumbbells-1": (325, 300, 0),
    "heater-1": (1150, 100, 0),
    "rower-1": (350, 3675, 180),
    "mat-1": (1250, 3720, 0),
}
"""The bar lies along the garage, the rack backs onto the high wall."""
CELLAR: Poses = {
    "runner-1": (925, 1125, 0),
    "column-1": (2350, 450, 0),
    "dumbbells-1": (1875, 3830, 180),
    "mat-1": (2620, 3000, 90),
    "bike-1": (3640, 860, 180),
}
"""The belt stands under the high ceiling, the cables by the wall, the mat off the beam."""

DOUBLE: Poses = {
    "rack-1": (1700, 845, 0),
    "bar-1": (1700, 1358, 0),
    "bench-1": (1700, 975, 180),
    "tree-1": (360, 360, 0),
    "box-1": (2910, 360, 0),
    "mirror-1": (3600, 15, 0),
    "runner-1": (4395, 1125, 0),
    "shelf-1": (5120, 2725, 90),
    "dumbbells-1": (290, 3150, 270),
    "bag-1": (2050, 4200, 180),
    "bike-1": (3540, 4210, 0),
    "mat-1": (1925, 3410, 90),
    "fan-1": (5000, 3600, 90),
}
"""Rack and belt on the back wall, what is low by the garage door."""


def sample(key: str) -> Plan:
    """A sample room as it is drawn."""
    return load((folder("sample_rooms") / f"{key}.json").read_bytes())


def low_cellar() -> Plan:
    """The cellar with the cable column of 2050 in it, the belt run flat, and no mirror behind."""
    plan = changed(sample("basement"), "column-1", height_mm=2050)
    plan = changed(plan, "runner-1", grade_percent=0)
    return plan.model_copy(update={"fit_out": plan.fit_out.model_copy(update={"mirrors": ()})})


def changed(plan: Plan, piece_id: str, **fields: Any) -> Plan:
    """A plan with some fields of one piece set otherwise."""
    pieces = [json_of(piece) | (fields if piece.id == piece_id else {}) for piece in plan.pieces]
    return Plan.model_validate(json_of(plan) | {"pieces": pieces})


def placed_at(plan: Plan, poses: Poses) -> Plan:
    """A plan with pieces at poses of x, y and degrees."""
    return with_poses(
        plan, {key: Pose(x_mm=x, y_mm=y, angle_deg=turn) for key, (x, y, turn) in poses.items()}
    )
