"""Rows of points told as a chain: where the first is, and how many steps alike follow it."""

from __future__ import annotations

from collections.abc import Collection, Iterator, Sequence
from itertools import pairwise

from app.units import Units, format_short

LEAST_STEPS = 3
"""So many spaces alike are told together: of fewer each figure is as soon read."""
_ALIKE_MM = 0.5
"""Spaces that differ by no more are alike: less than the millimetre they are told to."""


def runs_alike(
    stops_mm: Sequence[float], among: Collection[float] | None = None
) -> Iterator[tuple[int, int]]:
    """Yield of stops in their order which spaces belong together: the first stop and the last.

    Together are so many spaces alike as are worth it, with `among` between these stops only; each
    other one is by itself.
    """
    first = 0
    spaces = [b - a for a, b in pairwise(stops_mm)]
    one_row = [among is None or stop in among for stop in stops_mm]
    while first < len(spaces):
        last = first + 1
        while (
            last < len(spaces)
            and abs(spaces[last] - spaces[first]) <= _ALIKE_MM
            and all(one_row[first : last + 2])
        ):
            last += 1
        if last - first < LEAST_STEPS:
            last = first + 1
        yield first, last
        first = last


def in_steps(stops_mm: Sequence[float], units: Units) -> str:
    """Say where points of a row are: "1390, then 3 × 267 to 2190", "750 and 1250"."""
    stops = sorted(stops_mm)
    said = [format_short(stops[0], units)]
    for first, last in runs_alike(stops):
        end = format_short(stops[last], units)
        if last - first > 1:
            step = (stops[last] - stops[first]) / (last - first)
            end = f"then {last - first} × {format_short(step, units)} to {end}"
        said.append(end)
    if len(said) == 1 or said[-1].startswith("then"):
        return ", ".join(said)
    return f"{', '.join(said[:-1])} and {said[-1]}"
