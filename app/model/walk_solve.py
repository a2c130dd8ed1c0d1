"""Solves a walk: the outline that fits its tape best, or what keeps it from being a room.

Faults name their place as `wall:3`, `diagonal:1`, `height:2`, counted from 1, or nothing for the
walk as a whole.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

from app.errors import Fault, PlanError
from app.formulas.survey import Adjusted, Distance, Observation, Turn, adjust, turn_deg
from app.formulas.survey_checks import (
    Closing,
    Disagreement,
    Impossible,
    as_turned,
    closing,
    disagreement,
    impossible,
)
from app.model.base import Point
from app.model.outline import first_crossing
from app.model.room_walls import letter_at
from app.model.walk import Walk
from app.published.register import published
from app.units import QUARTER_TURN_DEG, Units, format_length

TURNS = {"in": 1, "straight": 0, "out": -1}
_OUTRIGHT_DEG = 60.0
"""Beyond this a corner is not the one that was walked; a corner cut off at 45 degrees still is."""
_ODD_TURNS = 1
"""A room of five or three odd corners turns in once more, or less, than four times."""


@dataclass(frozen=True, slots=True)
class Askew:
    """Corners that come out otherwise than was said, by lengths that fix them.

    `corner` (from 0) is the one that is off most, by `off_deg`. `would_be` are the lengths, by
    their numbers, of which one alone would explain it, with what it would be in mm. `far` tells
    that it is farther off than a word about a corner is wrong by.
    """

    corner: int
    off_deg: float
    would_be: tuple[tuple[int, float], ...]
    far: bool


@dataclass(frozen=True, slots=True)
class Solved:
    """A walk with its outline. `corners` begin at (0, 0); the walls run as walked.

    Observations stand in the order: walls, turns (the one at corner 1 first), diagonals.
    """

    walk: Walk
    corners: tuple[Point, ...]
    adjustment: Adjusted
    observations: tuple[Observation, ...]
    raw: Closing
    disagree: Disagreement | None

    def diagonal_at(self, index: int) -> int | None:
        """Return the number of the diagonal that an observation is, from 0; None for another."""
        before = 2 * len(self.walk.steps)
        return index - before if index >= before else None


def solve(walk: Walk, units: Units = "metric") -> Solved:
    """Solve a walk by least squares. Raises PlanError saying which length and by how much."""
    count = len(walk.steps)
    if count < 3:
        raise PlanError(Fault("", f"a room has at least three walls; this walk has {count}"))
    _check_turns(walk)
    _check_diagonals(walk)
    seen = observations(walk)
    faults = [_too_long(walk, each, units) for each in impossible(count, seen)]
    if faults:
        raise PlanError(*faults[:3])
    adjusted = adjust(count, seen)
    _check_crossing(adjusted.corners, units)
    _check_corners(adjusted, seen, raw_closing(walk), units)
    sign = 1 if walk.hand == "left" else -1
    corners = tuple((x, sign * y) for x, y in adjusted.corners)
    return Solved(
        walk, corners, adjusted, tuple(seen), raw_closing(walk), disagreement(adjusted, seen)
    )


def askew(solved: Solved) -> Askew | None:
    """Return how far lengths turn corners from what was said; None where they do not."""
    adjusted, seen = solved.adjustment, solved.observations
    corners, turns = adjusted.corners, [each for each in seen if isinstance(each, Turn)]
    if all(used for each, used in zip(seen, adjusted.used, strict=True) if isinstance(each, Turn)):
        return None
    along = min(each.error_mm for each in seen if isinstance(each, Distance))
    would_be = as_turned(len(corners), seen, along)
    if would_be is None:
        return None

    def off_deg(each: Turn) -> float:
        is_now = turn_deg(corners[each.before], corners[each.at], corners[each.after])
        return abs(is_now - each.turn_deg)

    most = max(turns, key=off_deg)
    far = off_deg(most) > published("survey.turn-word-deg")
    return Askew(most.at, off_deg(most), would_be, far)


def observations(walk: Walk) -> list[Observation]:
    """Return what was measured, each with its error; walked with the walls at the left hand."""
    count = len(walk.steps)
    laser = walk.measured_with == "laser"
    along = published("survey.laser-mm" if laser else "survey.tape-wall-mm")
    across = published("survey.laser-mm" if laser else "survey.tape-diagonal-mm")
    quarter, word = QUARTER_TURN_DEG, published("survey.turn-word-deg")
    return [
        *(Distance(i, (i + 1) % count, step.length_mm, along) for i, step in enumerate(walk.steps)),
        *(
            Turn((i - 1) % count, i, (i + 1) % count, TURNS[walk.steps[i - 1].turn] * quarter, word)
            for i in range(count)
        ),
        *(Distance(d.start - 1, d.end - 1, d.length_mm, across) for d in walk.diagonals),
    ]


def headings(walk: Walk) -> list[float]:
    """Return the direction of each wall in degrees as its words mean it, the first one 0."""
    heading, ways = 0.0, []
    for step in walk.steps:
        ways.append(heading)
        heading += TURNS[step.turn] * QUARTER_TURN_DEG
    return ways


def raw_closing(walk: Walk) -> Closing:
    """Return how far the end misses the start when all corners are as square as the words."""
    lengths = [step.length_mm for step in walk.steps]
    return closing(list(zip(headings(walk), lengths, strict=True)))


def so_far(walk: Walk) -> tuple[Point, ...]:
    """Lay a walk that is under way on paper, corners as square as the words; one corner more."""
    sign = 1 if walk.hand == "left" else -1
    places = [(0.0, 0.0)]
    for heading, step in zip(headings(walk), walk.steps, strict=True):
        x, y = places[-1]
        angle = math.radians(heading)
        length = step.length_mm
        places.append((x + length * math.cos(angle), y + sign * length * math.sin(angle)))
    return tuple(places)


def comes_back(walk: Walk) -> bool:
    """Return whether a walk is plainly back at its start: four turns in, the end near the start."""
    if len(walk.steps) < 4 or sum(TURNS[step.turn] for step in walk.steps) != 4:
        return False
    way = sum(step.length_mm for step in walk.steps)
    return raw_closing(walk).linear <= max(300.0, way / 20)


def _check_turns(walk: Walk) -> None:
    into = sum(step.turn == "in" for step in walk.steps)
    out = sum(step.turn == "out" for step in walk.steps)
    if abs(into - out - 4) > _ODD_TURNS:
        raise PlanError(
            Fault(
                "",
                f"{_times(into)} in and {_times(out)} out do not come round: a walk round a "
                "room turns in four times more often than out",
            )
        )


def _times(count: int) -> str:
    return f"{count} turn" if count == 1 else f"{count} turns"


def _check_diagonals(walk: Walk) -> None:
    count, faults = len(walk.steps), []
    for number, diagonal in enumerate(walk.diagonals, 1):
        where = f"diagonal:{number}"
        if max(diagonal.start, diagonal.end) > count:
            faults.append(Fault(where, f"there are {count} corners on this walk"))
        elif diagonal.start == diagonal.end:
            faults.append(Fault(where, "a diagonal runs between two different corners"))
    for number, height in enumerate(walk.heights, 1):
        if height.wall > count:
            faults.append(Fault(f"height:{number}", f"there are {count} walls on this walk"))
    if faults:
        raise PlanError(*faults)


def _too_long(walk: Walk, wrong: Impossible, units: Units) -> Fault:
    count = len(walk.steps)

    def name(index: int) -> str:
        if index < count:
            return f"wall {letter_at(index)}"
        diagonal = walk.diagonals[index - 2 * count]
        return f"the diagonal from corner {diagonal.start} to {diagonal.end}"

    def say(length: float) -> str:
        return format_length(length, units)

    long = (
        walk.steps[wrong.index].length_mm
        if wrong.index < count
        else (walk.diagonals[wrong.index - 2 * count].length_mm)
    )
    others = [name(i) for i in sorted(wrong.way)]
    together = " together" if len(others) > 1 else ""
    where = (
        f"wall:{wrong.index + 1}"
        if wrong.index < count
        else f"diagonal:{wrong.index - 2 * count + 1}"
    )
    return Fault(
        where,
        f"{name(wrong.index)} of {say(long)} cannot be: {listed(others)} are only "
        f"{say(wrong.allowed_mm)}{together}, {say(wrong.by_mm)} less",
    )


def listed(words: Sequence[str]) -> str:
    """Join words as a sentence does."""
    return words[0] if len(words) == 1 else f"{', '.join(words[:-1])} and {words[-1]}"


def _check_crossing(corners: Sequence[Point], units: Units) -> None:
    crossing = first_crossing(corners)
    if crossing is None:
        return
    count = len(corners)
    one, other = crossing
    if one == other:
        raise PlanError(Fault(f"wall:{one + 1}", f"wall {letter_at(one)} comes out without length"))
    (a, b), (c, d) = ((corners[i], corners[(i + 1) % count]) for i in crossing)
    by = min(_past(a, c, d), _past(b, c, d), _past(c, a, b), _past(d, a, b))
    raise PlanError(
        Fault(
            f"wall:{other + 1}",
            f"wall {letter_at(other)} runs into wall {letter_at(one)}, "
            f"{format_length(by, units)} past it: look at their lengths and at the turns between",
        )
    )


def _past(point: Point, start: Point, end: Point) -> float:
    """Return how far a point lies from the line of a wall."""
    dx, dy = end[0] - start[0], end[1] - start[1]
    across = (point[0] - start[0]) * dy - (point[1] - start[1]) * dx
    return abs(across) / (math.hypot(dx, dy) or 1.0)


def _check_corners(
    adjusted: Adjusted, seen: Sequence[Observation], raw: Closing, units: Units
) -> None:
    """Refuse lengths that only close when a corner turns quite otherwise than was said."""
    off = [
        (abs(adjusted.residuals[i]), turn)
        for i, turn in enumerate(seen)
        if isinstance(turn, Turn) and adjusted.used[i]
    ]
    worst, turn = max(off, key=lambda each: each[0], default=(0.0, None))
    if turn is None or worst <= _OUTRIGHT_DEG or len(adjusted.corners) < 4:
        return
    corners = adjusted.corners
    is_now = turn_deg(corners[turn.before], corners[turn.at], corners[turn.after])
    raise PlanError(
        Fault(
            "",
            "these lengths and turns cannot close: with those corners the last wall misses the "
            f"start by {format_length(raw.linear, units)}; corner {turn.at + 1} would have to turn "
            f"{abs(is_now):.0f}° {'in' if is_now >= 0 else 'out'}",
        )
    )
