"""Arithmetic on the corners of an outline that needs no geometry library."""

from __future__ import annotations

from collections.abc import Sequence

Corners = Sequence[tuple[float, float]]


def signed_area_mm2(corners: Corners) -> float:
    """Return the area in mm2: positive when the corners run clockwise as drawn (y downwards)."""
    total = 0.0
    for (x0, y0), (x1, y1) in zip(corners, [*corners[1:], corners[0]], strict=True):
        total += x0 * y1 - x1 * y0
    return total / 2


def first_crossing(corners: Corners) -> tuple[int, int] | None:
    """Find two sides of the outline that touch or cross where they should not.

    Side i runs from corner i to the next. Gives the pair of side numbers, or None for a simple
    outline. Sides that follow one another may share their corner and nothing else.
    """
    count = len(corners)
    sides = [(corners[i], corners[(i + 1) % count]) for i in range(count)]
    for i, (a, b) in enumerate(sides):
        if a == b:
            return (i, i)
        for j in range(i + 1, count):
            c, d = sides[j]
            neighbours = j == i + 1 or (i == 0 and j == count - 1)
            if neighbours:
                shared, far_one, far_two = (b, a, d) if j == i + 1 else (a, b, c)
                if _turn(far_one, shared, far_two) == 0 and _ahead(shared, far_one, far_two):
                    return (i, j)
            elif _meet(a, b, c, d):
                return (i, j)
    return None


def _turn(a: tuple[float, float], b: tuple[float, float], c: tuple[float, float]) -> float:
    return (b[0] - a[0]) * (c[1] - a[1]) - (b[1] - a[1]) * (c[0] - a[0])


def _ahead(
    origin: tuple[float, float], one: tuple[float, float], other: tuple[float, float]
) -> bool:
    """Return whether two points lie on the same side of the origin: the outline folds back."""
    return (one[0] - origin[0]) * (other[0] - origin[0]) + (one[1] - origin[1]) * (
        other[1] - origin[1]
    ) > 0


def _meet(
    a: tuple[float, float],
    b: tuple[float, float],
    c: tuple[float, float],
    d: tuple[float, float],
) -> bool:
    turns = (_turn(a, b, c), _turn(a, b, d), _turn(c, d, a), _turn(c, d, b))
    if turns[0] * turns[1] < 0 and turns[2] * turns[3] < 0:
        return True
    on_side = ((a, b, c, turns[0]), (a, b, d, turns[1]), (c, d, a, turns[2]), (c, d, b, turns[3]))
    return any(turn == 0 and _within(p, q, r) for p, q, r, turn in on_side)


def _within(p: tuple[float, float], q: tuple[float, float], r: tuple[float, float]) -> bool:
    return min(p[0], q[0]) <= r[0] <= max(p[0], q[0]) and min(p[1], q[1]) <= r[1] <= max(p[1], q[1])
