"""Kit that is higher than the room where it stands: which of its parts, and from what height on."""

from __future__ import annotations

from collections.abc import Mapping

import numpy as np
from shapely.geometry.base import BaseGeometry

from app.drawing.hatching import hatch
from app.drawing.medium import region
from app.drawing.primitives import Item
from app.scene.build import Placed, Scene
from app.scene.tolerance import falls_short
from app.units import Units, format_short

HATCH_EM, HATCH_DEG = 0.35, 45.0
"""How close the lines over what is too high are, in sizes of the lettering, and how they run."""

Over = Mapping[str, Mapping[int, float]]
"""By piece and number of its solid how high the room is over it, in mm above the bare floor."""


def too_high(scene: Scene) -> Over:
    """Return the solids of pieces that reach into what hangs overhead, as the judge has it.

    What hangs from the ceiling may reach through its boards, and bars lie where their rack is.
    """
    end = scene.piece_solids
    owner, high = scene.solids.owner[:end], scene.solids.high_mm[:end]
    near = np.flatnonzero(falls_short(scene.overhead.lowest_mm, high))
    if not len(near):
        return {}
    clear, _ = scene.overhead.clear(scene.solids.cores[near])
    found: dict[str, dict[int, float]] = {}
    for entry, over in zip(near.tolist(), clear.tolist(), strict=True):
        placed = scene.order[owner[entry]]
        hangs = placed.kit.bar is not None or placed.kit.fixing == "ceiling"
        if not hangs and falls_short(over, float(high[entry])):
            first = int(np.searchsorted(owner, owner[entry]))
            found.setdefault(placed.piece.id, {})[entry - first] = over
    return found


def words_of(placed: Placed, over: Mapping[int, float], units: Units) -> str:
    """Say by how much a piece is too high, as short as a drawing letters it."""
    return f"{format_short(missing_mm(placed, over), units)} too high"


def red_shapes(red: BaseGeometry, em: float) -> tuple[Item, Item]:
    """Return what of a piece is too high, hatched and outlined, at the height of a letter in mm."""
    return hatch(red, em * HATCH_EM, HATCH_DEG, "stuck"), region(red, "stuck")


def missing_mm(placed: Placed, over: Mapping[int, float]) -> float:
    """Return by how much a piece is higher than the room, given the heights over its solids."""
    tops = placed.shape.high_mm + placed.lift_mm + placed.rest_mm[1]
    return max((float(tops[number]) - clear for number, clear in over.items()), default=0.0)
