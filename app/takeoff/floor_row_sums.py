"""The rows of one way to lay a floor: cut one after the other, and added up. Lengths in mm."""

from __future__ import annotations

import math
from collections.abc import Sequence

from app.takeoff.floor_joints import apart_mm
from app.takeoff.floor_rows import Row, RowCutter, Strip
from app.takeoff.floor_ways import Sizes


class Summed:
    """What rows come to together: sizes of all cuts, and what is added up. Lengths in mm."""

    def __init__(self, rows: Sequence[Row]) -> None:
        sizes: list[tuple[float, float]] = []
        self.count = self.narrow = self.slits = notched = 0
        self.knife_mm, self.least_mm = 0.0, math.inf
        for row in rows:
            sizes += row.cuts
            self.count += row.whole
            self.narrow += row.narrow
            self.slits += row.slits
            notched += row.notched
            self.knife_mm += row.knife_mm
            if row.least_mm < self.least_mm:
                self.least_mm = row.least_mm
        sizes.sort()
        self.sizes: Sizes = tuple(sizes)
        self.cuts = len(sizes) + notched


class Nearest:
    """Places for a joint in the order in which they lie to one; rows ask for the same again."""

    def __init__(self, places: Sequence[float], length: float) -> None:
        self._places, self._length = places, length
        self._known: dict[float, list[float]] = {}

    def to(self, phase: float) -> list[float]:
        """Return the places, the nearest to a joint first."""
        if phase not in self._known:
            length = self._length
            self._known[phase] = sorted(self._places, key=lambda at: apart_mm(at, phase, length))
        return self._known[phase]


def cut_rows(
    cutter: RowCutter, strips: Sequence[Strip], up: float, step: float, nearest: Nearest
) -> tuple[tuple[float, ...], list[Row]]:
    """Cut every row; one that would have a narrow strip takes the nearest joint that has none.

    The first row lies where it is told to: all its places are tried anyway.
    """
    length, least = cutter.grid.length, cutter.grid.least
    phases: list[float] = []
    cut: list[Row] = []
    for number, strip in enumerate(strips):
        phase = (up + number * step) % length
        row = cutter.row(strip, phase)
        if row.narrow and step and phases:
            for other in nearest.to(phase):
                # Joints in line over two rows open together.
                if apart_mm(other, phases[-1], length) < least:
                    continue
                tried = cutter.row(strip, other)
                if tried.narrow < row.narrow:
                    row, phase = tried, other % length
                if not row.narrow:
                    break
        phases.append(phase)
        cut.append(row)
    return tuple(phases), cut
