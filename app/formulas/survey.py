"""The outline of a room from its tape, by least squares (variation of coordinates).

Method: observation equations of distances and angles, weighted by their standard deviations and
improved step by step (Gauss-Newton, damped); redundancy numbers and standardised residuals after
Baarda. Source: Ghilani and Wolf, Adjustment Computations, chapters 14 to 16 and 21.

Corners are counted from 0; x runs right and y down, so a positive turn is clockwise as drawn. The
first corner lies at the origin and the first wall along x: what is measured inside a room cannot
tell where it lies or which way it faces.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from app.units import WHOLE_TURN_DEG

STILL_MM = 1e-7
"""A step of the adjustment this small is the last, and a length this small counts as none."""


ROUNDS_AT_MOST = 300
"""How often the adjustment is improved; ten are usual, the rest is for walks with a blunder."""


RANK_SHARE = 1e-6
"""Singular values below this share of the greatest leave something open: far above what rounding
makes of nought, far below what a measured length does."""


WORD_YIELDS_SHARE = 0.5
"""Lengths that know a corner this much better than the word at it put the word aside: half its
error, so that a word and lengths that are about as good still check one another."""


CHECKED_SHARE = 0.02
"""A redundancy number below this checks nothing: a blunder would show as 2 % of itself."""


DAMPING_STEP = 10
"""How much more or less careful the next step is, as Marquardt has it."""


DAMPING = 0.001
"""How careful the first step of the adjustment is: nearly a plain Gauss-Newton step, for walks are
nearly right to begin with."""


Point: TypeAlias = tuple[float, float]
Matrix: TypeAlias = NDArray[np.float64]
Flags: TypeAlias = NDArray[np.bool_]


@dataclass(frozen=True, slots=True)
class Distance:
    """A measured length between two corners, with its standard deviation, in mm."""

    start: int
    end: int
    length_mm: float
    error_mm: float


@dataclass(frozen=True, slots=True)
class Turn:
    """How far the walk turns at a corner, from `before` over `at` to `after`, in degrees.

    A turn that comes from a word yields to lengths that know the corner better.
    """

    before: int
    at: int
    after: int
    turn_deg: float
    error_deg: float
    word: bool = True


Observation: TypeAlias = Distance | Turn


@dataclass(frozen=True, slots=True)
class Adjusted:
    """The outline that fits all observations best. One value for each observation, in its unit.

    `residuals` are what is added to the measured value. `redundancy` is the share of an error of
    the observation that shows in its residual, 0 where next to nothing checks it; `standardised` is
    the residual over its own standard deviation, 0 where nothing at all does. `used` is false for
    words put aside. `alike` are the correlations of the residuals. `errors_mm` is the standard
    deviation of each corner's place, seen from the first corner and wall. `free` is how many
    observations are more than needed.
    """

    corners: tuple[Point, ...]
    residuals: tuple[float, ...]
    redundancy: tuple[float, ...]
    standardised: tuple[float, ...]
    used: tuple[bool, ...]
    alike: Matrix
    errors_mm: tuple[float, ...]
    free: int

    def off(self, index: int) -> float | None:
        """Return by how much an observation differs from what all others make of it.

        Positive: the others say more. None where nothing checks it.
        """
        share = self.redundancy[index]
        return self.residuals[index] / share if share > 0 else None


def adjust(
    count: int, observations: Sequence[Observation], start: Sequence[Point] | None = None
) -> Adjusted:
    """Fit the outline of `count` corners to its observations.

    `start` are rough corners; without them they come from the lengths and turns of the walk.
    Raises ValueError for fewer than three corners or fewer observations than unknowns.
    """
    if count <= 2:
        raise ValueError("an outline has at least three corners")
    rough = np.array(start if start is not None else walked(count, observations), dtype=float)
    if len(observations) < _unknowns(count):
        raise ValueError("there are fewer observations than unknowns")
    used: Flags = np.ones(len(observations), dtype=bool)
    rough = _improved(_settled(rough), observations, used)
    aside = _yields(rough, observations)
    if aside.any():
        used = np.logical_not(aside)
        rough = _improved(rough, observations, used)
    return _summed_up(rough, observations, used)


def walked(count: int, observations: Sequence[Observation]) -> tuple[Point, ...]:
    """Lay the walls one after another as they were walked, the misclosure shared out.

    What the turns lack to a whole turn goes to the corners whose turn nobody gave, else to those
    that turn; what the end misses the start by goes to the corners by the length walked (compass
    rule).
    """
    lengths = [0.0] * count
    turns = [0.0] * count
    unseen = set(range(count))
    for seen in observations:
        if isinstance(seen, Distance) and (seen.end - seen.start) % count == 1:
            lengths[seen.start] = seen.length_mm
        elif isinstance(seen, Turn):
            turns[seen.at] = seen.turn_deg
            unseen.discard(seen.at)
    turning = unseen or {i for i, turn in enumerate(turns) if turn} or set(range(count))
    whole = WHOLE_TURN_DEG
    sense = math.copysign(1, math.fsum(turns))
    lacking = (sense * whole - math.fsum(turns)) / len(turning)
    heading = 0.0
    places: list[Point] = [(0.0, 0.0)]
    for i, length in enumerate(lengths):
        x, y = places[-1]
        places.append((x + length * math.cos(heading), y + length * math.sin(heading)))
        after = (i + 1) % count
        heading += math.radians(turns[after] + (lacking if after in turning else 0.0))
    (end_x, end_y), round_mm = places[-1], math.fsum(lengths) or 1.0
    gone, shared = 0.0, []
    for (x, y), length in zip(places[:-1], lengths, strict=True):
        shared.append((x - end_x * gone / round_mm, y - end_y * gone / round_mm))
        gone += length
    return tuple(shared)


def _settled(places: Matrix) -> Matrix:
    """Move and turn an outline so that its first corner and wall lie as agreed."""
    moved = places - places[0]
    along = moved[1] / (np.hypot(*moved[1]) or 1.0)
    turn = np.array([[along[0], along[1]], [-along[1], along[0]]])
    settled: Matrix = moved @ turn.T
    settled[1, 1] = 0
    return settled


def _improved(places: Matrix, observations: Sequence[Observation], used: Flags) -> Matrix:
    damping, step = DAMPING, DAMPING_STEP
    still = STILL_MM
    misfit, slopes = _equations(places, observations, used)
    for _ in range(ROUNDS_AT_MOST):
        normal = slopes.T @ slopes
        damped = normal + damping * np.diag(np.diag(normal))
        change = np.asarray(np.linalg.lstsq(damped, -slopes.T @ misfit, rcond=None)[0], np.float64)
        tried = places + _spread(change)
        tried_misfit, tried_slopes = _equations(tried, observations, used)
        better = float(tried_misfit @ tried_misfit) <= float(misfit @ misfit)
        if better:
            places, misfit, slopes = tried, tried_misfit, tried_slopes
        damping = damping / step if better else damping * step
        if np.abs(change).max(initial=0.0) < still:
            break
    return places


def _unknowns(count: int) -> int:
    return 2 * (count - 1) - 1


def _spread(unknowns: Matrix) -> Matrix:
    """Put the unknowns back where they belong: x and y of the first corner and y of the second."""
    flat = np.concatenate(([0.0, 0.0], unknowns[:1], [0.0], unknowns[1:]))
    return flat.reshape(-1, 2)


def _equations(
    places: Matrix, observations: Sequence[Observation], used: Flags
) -> tuple[Matrix, Matrix]:
    """Computed minus observed over the standard deviation, and its slopes by the unknowns."""
    misfit = np.zeros(len(observations))
    slopes = np.zeros((len(observations), places.size))
    for i, seen in enumerate(observations):
        if not used[i]:
            continue
        if isinstance(seen, Distance):
            away = places[seen.end] - places[seen.start]
            length = float(np.hypot(*away)) or STILL_MM
            misfit[i] = (length - seen.length_mm) / seen.error_mm
            _add(slopes[i], seen.end, away / length / seen.error_mm)
            _add(slopes[i], seen.start, -away / length / seen.error_mm)
        else:
            error = math.radians(seen.error_deg)
            misfit[i] = math.radians(_off_deg(places, seen)) / error
            for start, end, sign in ((seen.before, seen.at, -1), (seen.at, seen.after, 1)):
                dx, dy = places[end] - places[start]
                square = dx * dx + dy * dy or STILL_MM
                by = sign * np.array([-dy, dx]) / square / error
                _add(slopes[i], end, by)
                _add(slopes[i], start, -by)
    unknown = np.ones_like(places, dtype=bool)
    unknown[0] = unknown[1, 1] = False
    return misfit, slopes[:, unknown.ravel()]


def _add(slopes: Matrix, corner: int, by: Matrix) -> None:
    slopes[2 * corner : 2 * corner + 2] += by


def turn_deg(before: Point, at: Point, after: Point) -> float:
    """Return the turn at a corner in degrees, -180 to 180, clockwise as drawn positive."""
    ax, ay = at[0] - before[0], at[1] - before[1]
    bx, by = after[0] - at[0], after[1] - at[1]
    return math.degrees(math.atan2(ax * by - ay * bx, ax * bx + ay * by))


def _off_deg(places: Matrix, seen: Turn) -> float:
    """Return how far a turn is from what was said, the short way round."""
    before, at, after = (
        (float(places[i][0]), float(places[i][1])) for i in (seen.before, seen.at, seen.after)
    )
    off = math.radians(turn_deg(before, at, after) - seen.turn_deg)
    return math.degrees(math.atan2(math.sin(off), math.cos(off)))


def _yields(places: Matrix, observations: Sequence[Observation]) -> Flags:
    """Return which words are put aside: the lengths alone know those corners better."""
    words = np.array([isinstance(seen, Turn) and seen.word for seen in observations])
    firm = np.logical_not(words)
    _, slopes = _equations(places, observations, np.ones(len(observations), dtype=bool))
    _, sizes, ways = np.linalg.svd(slopes[firm])
    least = sizes.max(initial=0.0) * RANK_SHARE
    rank = int((sizes > least).sum())
    closed, open_ways = ways[:rank], ways[rank:]
    aside: Flags = np.zeros(len(observations), dtype=bool)
    for i in np.flatnonzero(words):
        row = slopes[i]
        loose = np.linalg.norm(open_ways @ row)
        known = np.linalg.norm((closed @ row) / sizes[:rank])
        aside[i] = loose <= np.linalg.norm(row) * math.sqrt(least) and known <= WORD_YIELDS_SHARE
    return aside


def _summed_up(places: Matrix, observations: Sequence[Observation], used: Flags) -> Adjusted:
    misfit, slopes = _equations(places, observations, used)
    spread = np.linalg.pinv(slopes.T @ slopes)
    cofactor = np.diag(used.astype(float)) - slopes @ spread @ slopes.T
    share = np.maximum(np.diag(cofactor), 0)
    redundancy = np.where(share >= CHECKED_SHARE, share, 0)
    # a length that is hardly checked may still be the wrong one
    touched = share > RANK_SHARE
    own = np.sqrt(np.where(touched, share, 1))
    alike = np.where(np.outer(touched, touched), cofactor / np.outer(own, own), 0)
    units = [o.error_mm if isinstance(o, Distance) else o.error_deg for o in observations]
    off = [
        float(misfit[i]) * units[i] if isinstance(seen, Distance) else _off_deg(places, seen)
        for i, seen in enumerate(observations)
    ]
    variances = _spread(np.diag(spread)).sum(axis=1)
    return Adjusted(
        corners=tuple((float(x), float(y)) for x, y in places),
        residuals=tuple(off),
        redundancy=tuple(float(share) for share in redundancy),
        standardised=tuple(float(value) for value in np.where(touched, misfit / own, 0)),
        used=tuple(bool(each) for each in used),
        alike=alike,
        errors_mm=tuple(math.sqrt(max(0.0, float(value))) for value in variances),
        free=int(used.sum()) - _unknowns(len(places)),
    )
