"""What a walk round a room says of itself: how it closes, what cannot be, what disagrees.

Sources: traverse closure after Ghilani and Wolf, Elementary Surveying (latitudes, departures,
linear misclosure, relative precision); the triangle inequality; standardised residuals after
Baarda as in Ghilani and Wolf, Adjustment Computations, chapter 21.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass, replace

from app.formulas.survey import Adjusted, Distance, Observation, Turn, adjust

TOO_FAR_ERRORS = 3
"""Standard deviations beyond which an observation disagrees with the others: one in 370 does by
chance, and a room has some twenty."""


ALIKE_SHARE = 0.98
"""Standardised residuals this near to one another cannot be told apart."""


LET_GO_MM = 1e6
"""The error of a length that is to decide nothing: more than any room is long."""


DOUBTED_AT_MOST = 6
"""How many lengths are let go one by one, those first that go with the rest least: the wrong one
stands out among them."""


DOUBTED_CORNERS = 24
"""In a walk of more corners no length is let go: that took longer than all of the rest."""


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
    """Lengths of which one does not go with the others, and by how much.

    `suspects` are the numbers of all lengths that could be the wrong one; more than one where the
    measurements to spare cannot tell them apart. `by_mm` is the smallest change of one of them
    that would set all right.
    """

    suspects: tuple[int, ...]
    by_mm: float
    standardised: float


def closing(legs: Sequence[tuple[float, float]]) -> Closing:
    """Return the misclosure of a closed traverse of (bearing in degrees from north, length).

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
    faults = []
    distances = [(i, o) for i, o in enumerate(observations) if isinstance(o, Distance)]
    for index, seen in distances:
        rest = [(i, o) for i, o in distances if i != index]
        allowed, way = _shortest(count, rest, seen.start, seen.end)
        if not way:
            continue
        errors = [o.error_mm for i, o in distances if i in (index, *way)]
        slack = TOO_FAR_ERRORS * math.hypot(*errors)
        if seen.length_mm > allowed + slack:
            faults.append(Impossible(index, way, allowed, seen.length_mm - allowed))
    return tuple(sorted(faults, key=lambda each: -each.by_mm))


def _shortest(
    count: int, distances: Sequence[tuple[int, Distance]], start: int, end: int
) -> tuple[float, tuple[int, ...]]:
    """Return the shortest way between two corners and the numbers of the lengths it takes."""
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


def disagreement(adjusted: Adjusted, observations: Sequence[Observation]) -> Disagreement | None:
    """Return the lengths of which one is wrong, None where all go together.

    Data snooping after Baarda. A length is suspect when nothing is too far off any more once it is
    set aside. With one length to spare all standardised residuals are equal, and so all that the
    spare one checks are suspect. Where no one error explains all, it is the length with the
    greatest standardised residual, with those that cannot be told from it.
    """
    lengths = [
        i
        for i, seen in enumerate(observations)
        if isinstance(seen, Distance) and adjusted.alike[i, i] > 0
    ]
    most = max((abs(adjusted.standardised[i]) for i in lengths), default=0.0)
    if most <= TOO_FAR_ERRORS:
        return None
    suspects = [i for i in lengths if _explains(adjusted, i, lengths)]
    if not suspects:
        worst = max(lengths, key=lambda i: abs(adjusted.standardised[i]))
        suspects = [i for i in lengths if i == worst or _twins(adjusted, i, worst)]
    off = [adjusted.off(i) for i in suspects]
    by = min((abs(each) for each in off if each is not None), default=0.0)
    return Disagreement(tuple(suspects), by, most)


def _twins(adjusted: Adjusted, one: int, other: int) -> bool:
    """Return whether an error of one length shows just as an error of the other would."""
    return abs(float(adjusted.alike[one, other])) >= ALIKE_SHARE


def _explains(adjusted: Adjusted, one: int, lengths: Sequence[int]) -> bool:
    """Return whether the other lengths go together once this one is set aside.

    With it goes from every other residual the part that the two have in common.
    """
    for other in lengths:
        if other == one or _twins(adjusted, one, other):
            continue
        alike = float(adjusted.alike[one, other])
        left = adjusted.standardised[other] - alike * adjusted.standardised[one]
        if abs(left) > TOO_FAR_ERRORS * math.sqrt(1 - alike * alike):
            return False
    return True


def as_turned(
    count: int, observations: Sequence[Observation], error_mm: float
) -> tuple[tuple[int, float], ...] | None:
    """Return what one length alone would have to be for all corners to turn just as was said.

    None where all of them do, within what a tape wrong by `error_mm` makes of them. Otherwise the
    numbers of the lengths, each of which alone would explain it, with what it would be in mm: none
    where it takes more than one, or where there are too many corners to ask.
    """
    short = min(each.length_mm for each in observations if isinstance(each, Distance))
    within = math.degrees(error_mm / short)
    strict = [
        Turn(each.before, each.at, each.after, each.turn_deg, within, word=False)
        if isinstance(each, Turn)
        else each
        for each in observations
    ]
    off = [abs(each) for each in adjust(count, strict).standardised]
    if max(off) <= TOO_FAR_ERRORS:
        return None
    lengths = [i for i, each in enumerate(strict) if isinstance(each, Distance)]
    doubted = sorted(lengths, key=lambda i: -off[i])[:DOUBTED_AT_MOST]
    found = []
    for index in sorted(doubted if count <= DOUBTED_CORNERS else ()):
        seen = strict[index]
        if not isinstance(seen, Distance):
            continue
        free = [*strict[:index], replace(seen, error_mm=LET_GO_MM), *strict[index + 1 :]]
        then = adjust(count, free)
        rest = [abs(each) for i, each in enumerate(then.standardised) if i != index]
        if max(rest) <= TOO_FAR_ERRORS:
            found.append((index, seen.length_mm + then.residuals[index]))
    return tuple(found)
