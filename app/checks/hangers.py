"""What things hang by: the chain of a bag, the straps of rings, from their tops up to the joists.

A thing itself may be low enough for an open garage leaf, and its chain goes right through where the
leaf comes to lie.
"""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from app.scene.build import Placed, Scene
from app.scene.doors import Hanging
from app.scene.tolerance import HALF_MM, TOLERANCE_MM, Geometries

CHAIN_MM = 120
"""From the middle of a bag to where its four chains begin, as it is drawn; straps are narrower."""


def hung_from_above(scene: Scene) -> tuple[Placed, ...]:
    """Return what hangs from joists or a ceiling here."""
    known = scene.memo(
        ("hung from above",),
        lambda: tuple(placed.piece.id for placed in scene.order if hangs(placed)),
    )
    return tuple(scene.placed[piece_id] for piece_id in known)


def hung_solids(scene: Scene) -> NDArray[np.bool_]:
    """Return which solids of a scene belong to what hangs from above."""
    hung = scene.memo(
        ("which hang",),
        lambda: np.array([*map(hangs, scene.order), *(False for _ in scene.fixed_names)]),
    )
    solids: NDArray[np.bool_] = hung[scene.solids.owner]
    return solids


def hangs(placed: Placed) -> bool:
    """Return whether a piece hangs from joists or a ceiling, as it is used."""
    return placed.kit.fixing == "ceiling" and placed.in_use and len(placed.shape.high_mm) > 0


def hangers(placed: Placed) -> tuple[Geometries, float]:
    """Return where a piece hangs by something, about its middle, and how high that begins in mm."""
    shape = placed.shape
    top = float(shape.high_mm.max())
    highest: Geometries = shape.cores[shape.high_mm >= top - TOLERANCE_MM]
    chains: Geometries = shapely.buffer(shapely.centroid(highest), CHAIN_MM)
    return np.atleast_1d(shapely.intersection(highest, chains)), top + placed.lift_mm


def goes_through(placed: Placed, hanging: Hanging) -> bool:
    """Return whether what a piece hangs by goes through what hangs there of a door."""
    cores, low = hangers(placed)
    if low >= hanging.top_mm - TOLERANCE_MM:
        return False
    there = shapely.transform(cores, lambda xy: xy + np.array(placed.at))
    free = hanging.polygon.buffer(-HALF_MM, join_style="mitre")
    return bool(shapely.intersects(there, free).any())
