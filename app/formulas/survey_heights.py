"""A ceiling from heights taped at points: one plane, or two with a fold, by least squares."""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from app.formulas.survey import RANK_SHARE
from app.units import KILO


@dataclass(frozen=True, slots=True)
class Tilted:
    """A plane through heights: `height_mm` over the point `at`, rises in mm for each metre.

    `misfits_mm` are measured minus computed, in the order of the heights.
    """

    at: tuple[float, float]
    height_mm: float
    rise_x: float
    rise_y: float
    misfits_mm: tuple[float, ...]


@dataclass(frozen=True, slots=True)
class Folded:
    """Two slopes that meet: heights at distance 0, at the fold and beyond, by mm of a distance.

    `misfits_mm` are measured minus computed, in the order of the heights.
    """

    height_mm: float
    fold_at_mm: float
    fold_mm: float
    beyond: float
    misfits_mm: tuple[float, ...]

    def height_at(self, away_mm: float) -> float:
        """Return the height in mm at a distance."""
        if away_mm <= self.fold_at_mm:
            share = away_mm / self.fold_at_mm
            return self.height_mm + (self.fold_mm - self.height_mm) * share
        return self.fold_mm + self.beyond * (away_mm - self.fold_at_mm)


def tilted(heights: Sequence[tuple[float, float, float]]) -> Tilted:
    """Fit a plane to heights (x, y, height in mm).

    Where the points leave a direction open, as two points do, the plane does not rise that way.
    Worked: heights 2300, 2300, 2500 at (0, 0), (4000, 0), (0, 2000) rise 100 mm a metre of y.
    Raises ValueError without heights.
    """
    if not heights:
        raise ValueError("there are no heights")
    data = np.array(heights, dtype=float)
    middle = data.mean(axis=0)
    away = data[:, :2] - middle[:2]
    # seen from their middle the places add up to nought: what all heights share falls out
    rises = np.linalg.lstsq(away, data[:, 2], rcond=RANK_SHARE)[0]
    misfits = data[:, 2] - middle[2] - away @ rises
    metre = KILO
    return Tilted(
        (float(middle[0]), float(middle[1])),
        float(middle[2]),
        float(rises[0]) * metre,
        float(rises[1]) * metre,
        tuple(float(each) for each in misfits),
    )


def folded(heights: Sequence[tuple[float, float]]) -> Folded | None:
    """Fit two slopes with a fold between to heights by (distance, height) in mm.

    The fold lies at a distance where a height was taken, or where the slopes on both sides meet.
    None where fewer than three distances leave it open.
    Worked: 2000, 3000, 2000 at 0, 2000 and 4000 mm fold at 2000 mm.
    """
    data = np.array(sorted(heights), dtype=float)
    places = sorted({away for away, _ in heights})
    if len(places) <= 2:
        return None
    folds = [fold for fold in places[1:-1] if fold > 0]
    for here, there in pairwise(places):
        near, far = data[data[:, 0] <= here], data[data[:, 0] >= there]
        if len(set(near[:, 0])) < 2 or len(set(far[:, 0])) < 2:
            continue
        (slope, base), (other, top) = (np.polyfit(p[:, 0], p[:, 1], 1) for p in (near, far))
        meet = (top - base) / (slope - other) if slope != other else math.inf
        if here < meet < there:
            folds.append(float(meet))
    best = min((_fold(heights, fold) for fold in folds), key=_square, default=None)
    return best


def _fold(heights: Sequence[tuple[float, float]], fold: float) -> Folded:
    away = np.array([a for a, _ in heights])
    high = np.array([h for _, h in heights])
    parts = np.stack([np.ones_like(away), np.minimum(away, fold), np.maximum(away - fold, 0)], 1)
    (base, slope, beyond), *_ = np.linalg.lstsq(parts, high, rcond=None)
    misfits = high - parts @ np.array([base, slope, beyond])
    return Folded(
        float(base),
        float(fold),
        float(base + slope * fold),
        float(beyond),
        tuple(float(each) for each in misfits),
    )


def _square(shape: Folded) -> float:
    return math.fsum(each * each for each in shape.misfits_mm)
