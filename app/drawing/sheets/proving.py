"""What proves the shape of a room with a tape: distances between corners, squares in them.

Sides alone prove nothing: four of them fold flat. Together with them every distance counts whose
change cannot be made good by another; there are enough when the shape has no freedom left.
"""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import combinations

import numpy as np
from numpy.typing import NDArray
from shapely import LineString
from shapely.geometry.base import BaseGeometry

from app.drawing.primitives import Point
from app.drawing.sheets.taping import corners_of, sight_of
from app.drawing.sheets.wall_marks import LONG_TAPE_MM
from app.scene.build import Scene
from app.units import Units

FEW_CORNERS = 8
"""Of a room with no more corners than this every distance that a tape reaches is told."""
LEGS_MM = (
    (4000.0, 3000.0),
    (3000.0, 4000.0),
    (1200.0, 900.0),
    (900.0, 1200.0),
    (800.0, 600.0),
    (600.0, 800.0),
    (400.0, 300.0),
)
"""How far along both walls of a corner its square is taken, the largest that is clear: where the
corner is square the third side is a whole figure too (3, 4 and 5)."""
_FOOT_MM = 304.8
_LEGS_FT = ((12, 9), (9, 12), (8, 6), (6, 8), (4, 3), (3, 4), (2, 1.5), (1.5, 2))
LEGS: dict[Units, tuple[tuple[float, float], ...]] = {
    "metric": LEGS_MM,
    "feet": tuple((a * _FOOT_MM, b * _FOOT_MM) for a, b in _LEGS_FT),
}
"""The same for each system of units: nobody tapes 13' 1 1/2" where 12' does."""
_FREE = 1e-6
"""Below this share of the largest a singular value counts as none."""


@dataclass(frozen=True, slots=True)
class Square:
    """At a corner: so far towards the next one and towards the last, and what lies between."""

    corner: int
    along_mm: float
    back_mm: float
    between_mm: float


@dataclass(frozen=True, slots=True)
class Proof:
    """The distances between corners by their numbers, and squares where those do not do."""

    pairs: tuple[tuple[int, int], ...]
    squares: tuple[Square, ...]


def proof_of(scene: Scene) -> Proof:
    """Return what is measured to prove a room: its sides, then what else a tape reaches."""
    corners, sight = corners_of(scene), sight_of(scene)
    count = len(corners)
    pairs = [(min(i, (i + 1) % count), max(i, (i + 1) % count)) for i in range(count)]
    across = [
        (i, j)
        for i, j in combinations(range(count), 2)
        if (i, j) not in pairs
        and math.dist(corners[i], corners[j]) <= LONG_TAPE_MM
        and sight.covers(LineString([corners[i], corners[j]]))
    ]
    freedoms = 2 * count - 3
    rows = [_pair_row(corners, i, j) for i, j in pairs]
    if count <= FEW_CORNERS:
        pairs = sorted([*pairs, *across])
        rows = [_pair_row(corners, i, j) for i, j in pairs]
    else:
        for i, j in sorted(across, key=lambda ends: -math.dist(*(corners[k] for k in ends))):
            row = _pair_row(corners, i, j)
            if _rank([*rows, row]) > _rank(rows):
                rows.append(row)
                pairs.append((i, j))
    squares: list[Square] = []
    for square in _squares(corners, sight, LEGS[scene.plan.units]):
        if _rank(rows) == freedoms:
            break
        row = _square_row(corners, square)
        if _rank([*rows, row]) > _rank(rows):
            rows.append(row)
            squares.append(square)
    return Proof(tuple(pairs), tuple(squares))


def _squares(
    corners: Sequence[Point], sight: BaseGeometry, legs: Sequence[tuple[float, float]]
) -> Iterator[Square]:
    count = len(corners)
    for i, corner in enumerate(corners):
        ahead, behind = corners[(i + 1) % count], corners[i - 1]
        for along, back in legs:
            if along > math.dist(corner, ahead) or back > math.dist(corner, behind):
                continue
            a, b = _towards(corner, ahead, along), _towards(corner, behind, back)
            if sight.covers(LineString([a, b])):
                yield Square(i, along, back, math.dist(a, b))
                break


def _towards(start: Point, end: Point, mm: float) -> Point:
    share = mm / math.dist(start, end)
    return start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share


def _pair_row(corners: Sequence[Point], i: int, j: int) -> NDArray[np.float64]:
    """Return how a distance changes with each co-ordinate of the corners, shape (2 n,)."""
    row = np.zeros(2 * len(corners))
    away = (np.array(corners[i]) - corners[j]) / math.dist(corners[i], corners[j])
    row[2 * i : 2 * i + 2], row[2 * j : 2 * j + 2] = away, -away
    return row


def _square_row(corners: Sequence[Point], square: Square) -> NDArray[np.float64]:
    """Return how the third side of a square changes with each co-ordinate, shape (2 n,)."""
    count, step = len(corners), 1.0
    flat = np.array(corners, dtype=np.float64).ravel()

    def third(at: NDArray[np.float64]) -> float:
        points = [(float(x), float(y)) for x, y in at.reshape(-1, 2)]
        corner = points[square.corner]
        a = _towards(corner, points[(square.corner + 1) % count], square.along_mm)
        b = _towards(corner, points[square.corner - 1], square.back_mm)
        return math.dist(a, b)

    shifts = np.eye(2 * count) * step
    return np.array([(third(flat + one) - third(flat - one)) / (2 * step) for one in shifts])


def _rank(rows: Sequence[NDArray[np.float64]]) -> int:
    return int(np.linalg.matrix_rank(np.array(rows), tol=_FREE * len(rows)))
