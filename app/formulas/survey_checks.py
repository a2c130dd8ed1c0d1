"""What a walk round a room says of itself: how it closes, what cannot be, what disagrees.

Sources: traverse closure after Ghilani and Wolf, Elementary Surveying (latitudes, departures,
linear misclosure, relative precision); the triangle inequality; standardised residuals after
Baarda as in Ghilani and Wolf, Adjustment Computations, chapter 21.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from app.formulas.survey import Adjusted, Distance, Observation
from app.published.register import published


@dataclass(frozen=True, slots=True)
class Closing:
    """How far the end of a walk misses its start, in the unit of the lengths.

    `north` and `east` are the sums of latitudes and departures; `one_in` is the way walked over
    the linear misclosure, infinite for a walk that closes.
    """

    north: float
    east: float
    linear: float
    one_in: float


@dataclass(frozen=True, slots=True)
class Impossible:
    """A length that is more than others allow: its number, theirs, and by how much."""

    index: int
    way: tuple[int, ...]
    allowed_mm: float
    by_mm: float


@dataclass(frozen=True, slots=True)
class Disagreement:
    """Two observations that do not go together, and by how much.

    `by_mm` is the smaller of the two changes that would set all right.
    """

    one: int
    other: int | None
    by_mm: float
    standardised: float


def closing(legs: Sequence[tuple[float, float]]) -> Closing:
    """Give the misclosure of a closed traverse of (bearing in degrees from north, length).

    Worked: five legs of 2466.05 ft close with -0.71 ft north, +0.53 ft east, 1 in 2771 (Purdue
    University, surveying course notes: traverse calculations).
    """
    north = math.fsum(length * math.cos(math.radians(bearing)) for bearing, length in legs)
    east = math.fsum(length * math.sin(math.radians(bearing)) for bearing, length in legs)
    linear = math.hypot(north, east)
    way = math.fsum(length for _, length in legs)
    return Closing(north, east, linear, way / linear if linear else math.inf)


def impossible(count: int, observations: Sequence[Observation]) -> tuple[Impossible, ...]:
    """List the lengths that are longer than the shortest way over other lengths, the worst first.

    A length may be longer by what the errors of all of them explain.
    """
    found = []
    distances = [(i, o) for i, o in enumerate(observations) if isinstance(o, Distance)]
    for index, seen in distances:
        rest = [(i, o) for i, o in distances if i != index]
        allowed, way = _shortest(count, rest, seen.start, seen.end)
        if not way:
            continue
        errors = [o.error_mm for i, o in distances if i in (index, *way)]
        slack = published("survey.too-far-errors") * math.hypot(*errors)
        if seen.length_mm > allowed + slack:
            found.append(Impossible(index, way, allowed, seen.length_mm - allowed))
    return tuple(sorted(found, key=lambda each: -each.by_mm))


def _shortest(
    count: int, distances: Sequence[tuple[int, Distance]], start: int, end: int
) -> tuple[float, tuple[int, ...]]:
    """Give the shortest way between two corners and the numbers of the lengths it takes."""
    best = {start: (0.0, tuple[int, ...]())}
    for _ in range(count):
        for index, seen in distances:
            for one, other in ((seen.start, seen.end), (seen.end, seen.start)):
                if one not in best:
                    continue
                so_far, way = best[one]
                length = so_far + seen.length_mm
                if other not in best or length < best[other][0]:
                    best[other] = (length, (*way, index))
    return best.get(end, (math.inf, ()))


def disagreement(found: Adjusted, observations: Sequence[Observation]) -> Disagreement | None:
    """Give the two lengths that disagree most, None where all go together.

    The first is the one with the greatest standardised residual; the other is the one whose
    residual is most alike, so that only measuring both again can tell which is wrong. Of lengths
    that cannot be told apart a wall comes first and a diagonal second.
    """
    count = len(found.corners)
    lengths = [
        i
        for i, seen in enumerate(observations)
        if isinstance(seen, Distance) and found.redundancy[i] > 0
    ]
    if not lengths:
        return None
    most = max(abs(found.standardised[i]) for i in lengths)
    if most <= published("survey.too-far-errors"):
        return None
    share = published("survey.alike-share")

    def wall(index: int) -> bool:
        seen = observations[index]
        return isinstance(seen, Distance) and (seen.end - seen.start) % count in (1, count - 1)

    def size(index: int) -> float:
        return abs(found.off(index) or 0.0)

    tied = [i for i in lengths if abs(found.standardised[i]) >= most * share]
    one = max(tied, key=lambda i: (wall(i), -size(i)))
    rest = [i for i in lengths if i != one]
    strength = {i: abs(float(found.alike[one, i])) for i in rest}
    nearest = max(strength.values(), default=0.0)
    close = [i for i in rest if strength[i] >= nearest * share]
    other = max(close, key=lambda i: (not wall(i), abs(found.standardised[i])), default=None)
    by = size(one) if other is None else min(size(one), size(other))
    return Disagreement(one, other, by, most)
