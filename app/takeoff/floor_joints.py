"""Where the joints of a floor may lie: what a narrow strip, a corner or a line of them hangs on.

Everything along one axis in mm. Joints go on by a step, so that a place of one of them is told by
its rest within a step.
"""

from __future__ import annotations

from collections.abc import Sequence

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from app.model.flooring import Joints
from app.scene.build import Floats
from app.scene.tolerance import TOLERANCE_MM

Pattern = tuple[Joints, float, bool, float]
"""Joints, how far each row goes on, whether that is other than asked for, and a first joint."""


def joint_within(joint: float, step: float, low: float, high: float) -> bool:
    """Return whether a joint of those that go on by a step lies between two ends."""
    past = (low - joint) % step
    return TOLERANCE_MM < step - past < high - low - TOLERANCE_MM


def without_a_line(ways: list[Pattern], length: float, low: float, high: float) -> list[Pattern]:
    """Leave out head joints of a roll in one line over all rows, and staggers that joint nothing.

    A line of them across the room opens and shows: where head joints are, each row has its own.
    """
    return [
        (joints, stagger, other, up)
        for joints, stagger, other, up in ways
        if (joints == "staggered") == joint_within(up, length, low, high)
    ]


def first_piece_mm(past: float, step: float) -> float:
    """Return how much of the first piece lies before the first joint; a whole one is whole."""
    first = past % step
    return round(step if min(first, step - first) < TOLERANCE_MM / 2 else first, 1)


def stagger_mm(stagger: float, length: float) -> float:
    """Return how far a row goes on from the one before: half a piece as it is, else to the whole
    millimetre, as a tape is read.

    Worked: a third of 1,000 is 333.
    """
    on = stagger * length
    return on if stagger == 1 / 2 else float(round(on))


def apart_mm(one: float, other: float, step: float) -> float:
    """Return how far the nearest joints of two lines that go on by a step lie apart."""
    between = (one - other) % step
    return min(between, step - between)


def places_of_joints(
    region: BaseGeometry,
    axis: int,
    step: float,
    least: float,
    plain: float,
    offsets: Sequence[float],
    middles: Sequence[float],
) -> list[float]:
    """Return where a joint may lie: the plain place first, then those that change something.

    `offsets` are how far rows are shifted against one another, in mm.
    """
    values = shapely.get_coordinates(region)[:, axis]
    edges = sorted({round(float(v), 1) for v in values}, key=lambda v: (abs(v - plain), v))
    ends = (min(edges), max(edges))
    places = [plain, *ends, *(end + way * least for end in ends for way in (-1, 1))]
    # Half a piece at the far end lets two share one; equal cuts at both ends are balanced.
    places += [ends[0] + step / 2, ends[1] - step / 2, (ends[0] + ends[1]) / 2]
    places += [(ends[0] + ends[1] + step) / 2, *middles]
    for edge in edges:
        places += [edge, edge - least, edge + least]
    known: dict[int, float] = {}
    for place in places:
        for offset in offsets:
            phase = (place + offset) % step
            known.setdefault(round(phase / TOLERANCE_MM) % round(step / TOLERANCE_MM), phase)
    return [*known.values()]


def corners_of(region: BaseGeometry) -> Floats:
    """Return the corners of a region, each once: a ring ends where it begins."""
    rings = shapely.get_rings(shapely.get_parts(region))
    corners: Floats = np.concatenate([shapely.get_coordinates(ring)[:-1] for ring in rings])
    return corners


def narrow_strips(edges: Floats, at: Floats, step: float, least: float) -> NDArray[np.int64]:
    """Count for each place the corners between which and a joint a narrow strip would lie."""
    rest = (edges[:, None] - at) % step
    narrow = least - TOLERANCE_MM
    past = (rest > TOLERANCE_MM) & (rest < narrow)
    short = (rest > step - narrow) & (rest < step - TOLERANCE_MM)
    counts: NDArray[np.int64] = np.count_nonzero(past | short, axis=0)
    return counts
