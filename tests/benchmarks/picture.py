"""What the picture beside the plan takes to follow one step of a drag, beside drawing it whole."""

import gc
import tempfile
import time
from pathlib import Path
from statistics import quantiles

from app.model.kit import Pose
from app.usecases.plans import Elbowroom
from app.usecases.room_picture import room_picture
from tests.benchmarks.crowd import APART_MM, crowd
from tests.benchmarks.table import Row
from tests.placing.rooms import sample

PIECES = 30
PIECE = "p0008"
STEPS = 40
CORNER = 0
STEP_MS = 33
"""What one step is to take at most with 30 pieces."""
SHARE = "0.25"
"""A step to the whole picture: what does not move is not drawn again."""


def _measured(house: Elbowroom, plan_id: str, piece_id: str) -> tuple[float, float, float]:
    """Give median and 95th percentile of one drag's steps, and the whole, ms of processor."""
    start = time.process_time()
    shown = room_picture(house, plan_id, CORNER, {}, None)
    whole = (time.process_time() - start) * 1000
    pose = house.judged(plan_id).scene.placed[piece_id].pose
    # as the program does once it runs: what was read in is not looked through again
    gc.collect()
    gc.freeze()
    taken = []
    for i in range(STEPS):
        off = APART_MM * i / STEPS
        there = Pose.within(pose.x_mm + off, pose.y_mm + off / 2, pose.angle_deg)
        start = time.process_time()
        room_picture(house, plan_id, CORNER, {piece_id: there}, shown["revision"])
        taken.append((time.process_time() - start) * 1000)
    gc.unfreeze()
    parts = quantiles(taken, n=100)
    return parts[49], parts[94], whole


def rows() -> list[Row]:
    """Give the steps of a piece among 30 and of a rack in a garage, to their target and whole."""
    found: list[Row] = []
    with tempfile.TemporaryDirectory() as folder:
        house = Elbowroom(Path(folder))
        try:
            garage = sample("double-garage")
            for name, plan, piece, limit in (
                (f"{PIECES} pieces", crowd(PIECES), PIECE, SHARE),
                ("double garage, a rack with all it holds", garage, "rack-1", ""),
            ):
                plan_id = house.create(plan).plan_id
                house.judged(plan_id)
                middle, high, whole = _measured(house, plan_id, piece)
                title = f"picture of {name}, a step of a drag"
                found.append((f"{title}, to the whole", middle, whole, middle / whole, limit))
                found.append((f"{title}, 95th percentile", high, STEP_MS, high / STEP_MS, ""))
        finally:
            house.close()
    return found
