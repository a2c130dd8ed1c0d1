"""Walks round a room for tests: lengths, words, and exact tapes of an outline."""

import math
from itertools import combinations

from hypothesis import strategies as st

from app.formulas.survey import Distance, Observation, Turn, turn_deg

Point = tuple[float, float]


def dms(degrees: float, minutes: float, seconds: float = 0) -> float:
    return degrees + minutes / 60 + seconds / 3600


def walls(lengths: list[float], error: float = 5) -> list[Observation]:
    count = len(lengths)
    return [Distance(i, (i + 1) % count, each, error) for i, each in enumerate(lengths)]


def words(turns: list[float]) -> list[Observation]:
    count = len(turns)
    return [Turn((i - 1) % count, i, (i + 1) % count, turn, 3) for i, turn in enumerate(turns)]


def taped(corners: list[Point], diagonals: list[tuple[int, int]]) -> list[Observation]:
    """Exact lengths of all walls and some diagonals, with the words of the nearest quarter turn."""
    count = len(corners)
    turns = [turn_deg(corners[i - 1], corners[i], corners[(i + 1) % count]) for i in range(count)]
    sides = [math.dist(corners[i], corners[(i + 1) % count]) for i in range(count)]
    return [
        *walls(sides),
        *words([90.0 * round(turn / 90) for turn in turns]),
        *(Distance(a, b, math.dist(corners[a], corners[b]), 10) for a, b in diagonals),
    ]


def bent(draw: st.DrawFn, base: list[Point]) -> list[Point]:
    """An outline whose corners are moved by up to 300 mm each."""
    move = st.floats(-300, 300)
    return [(x + draw(move), y + draw(move)) for x, y in base]


SHAPES: list[list[Point]] = [
    [(0, 0), (5000, 0), (5000, 4000), (0, 4000)],
    [(0, 0), (6000, 0), (6000, 3000), (3500, 3000), (3500, 6000), (0, 6000)],
    [(0, 0), (2500, 0), (2500, 1200), (5500, 1200), (5500, 5000), (0, 5000)],
]


@st.composite
def outlines(draw: st.DrawFn) -> list[Point]:
    return bent(draw, draw(st.sampled_from(SHAPES)))


def braces(count: int) -> list[tuple[int, int]]:
    return [(a, b) for a, b in combinations(range(count), 2) if 1 < b - a < count - 1]


# five corners as a room is walked, none quite square; in metres by hand
FIVE: list[Point] = [(0, 0), (5100, 40), (5060, 3000), (3000, 4300), (30, 4200)]


# what a tape in a hand is off by, in mm, drawn once
NOISE = (2, -3, 1, -2, 3, 0, 2, -1, 3, -2)


def off_by(
    corners: list[Point],
    spare: list[tuple[int, int]],
    which: int,
    by: float,
    error: float | None = None,
) -> tuple[list[Observation], int]:
    """Taped lengths with a little noise, one of them wrong; gives its number with them."""
    seen = taped(corners, spare)
    lengths = [i for i, each in enumerate(seen) if isinstance(each, Distance)]
    for n, i in enumerate(lengths):
        each = seen[i]
        assert isinstance(each, Distance)
        wrong = NOISE[n] + (by if n == which else 0)
        seen[i] = Distance(each.start, each.end, each.length_mm + wrong, error or each.error_mm)
    return seen, lengths[which]


SQUARE: list[Point] = [(0, 0), (4200, 30), (4180, 5400), (-20, 5380)]
