"""Where few pieces may move and not every stop can go: the layouts that take most of them away."""

from __future__ import annotations

from app.arranging.best_layouts import BestLayouts, JudgedLayout
from app.arranging.choosing import ENOUGH, Moves
from app.arranging.state import A_STOP


def in_part(layouts: BestLayouts, stops: int, value: float) -> tuple[JudgedLayout, ...]:
    """Return the best layouts that leave stops, those that leave fewest first, at most three.

    Each is better than the plan as it is, which has so many `stops` and is worth that `value`; in
    each other pieces move than in those before it, or the floor is open elsewhere.
    """
    chosen: list[JudgedLayout] = []
    for one in layouts.every:
        if len(chosen) == ENOUGH or (one.stops, -one.value) >= (stops, -value):
            break
        if one.moved and not any(_alike(one, other) for other in chosen):
            chosen.append(one)
    return tuple(chosen)


def _alike(one: JudgedLayout, other: JudgedLayout) -> bool:
    return set(one.moved) == set(other.moved) and one.looks.place == other.looks.place


def curve_in_part(layouts: BestLayouts, stops: int, value: float) -> tuple[Moves, ...]:
    """Return the best for each number of moves, also of those that leave stops.

    Each is better than the plan as it is and than all with fewer moves. Where any of them leaves a
    stop, each that is gone counts in the `gain`, as much as a search makes of it.
    """
    points: list[JudgedLayout] = []
    for count in sorted(layouts.by_moves):
        one = layouts.by_moves[count]
        best = min([(stops, -value), *((p.stops, -p.value) for p in points)])
        if count and (one.stops, -one.value) < best:
            points.append(one)
    of_a_stop = A_STOP if any(one.stops for one in points) else 0.0
    return tuple(
        Moves(len(one.moved), one, one.value - value + of_a_stop * (stops - one.stops))
        for one in points
    )
