"""Bars of a typed length: one that is shorter than its type has a shorter shaft too."""

from __future__ import annotations

from functools import cache

import numpy as np

from app.library.kit import BarShape
from app.published.register import published
from app.scene.build import Placed
from app.scene.tolerance import falls_short

SHORT_MM = 1500
"""The shortest length of bars whose shafts are in the register."""
MIDDLE_MM = 1800
"""The other length of bars whose shafts are in the register."""
RULED_MM = 2010
"""The shorter of the two bars of the rules, whose shaft is as long as that of the longer."""
SHAFTS = (
    "bar.of-1500.shaft-least-mm",
    "bar.of-1500.shaft-most-mm",
    "bar.of-1800.shaft-least-mm",
    "bar.of-1800.shaft-most-mm",
)


def shaft_range_mm(placed: Placed) -> tuple[float, float]:
    """Return from and to how long the shaft of a bar may be, in mm; twice its type's own if known.

    Of a length between two of the register it lies between theirs; under the least the sleeves
    stay as long. ValueError for what is no bar.
    """
    bar = placed.kit.bar
    if bar is None:
        raise ValueError(f"{placed.kit.key} is no bar")
    length = placed.extent.width_mm
    if not falls_short(length, placed.kit.width_mm):
        return bar.shaft_mm, bar.shaft_mm
    of_short, of_middle = SHAFTS[:2], SHAFTS[2:]
    shafts: dict[float, tuple[float, float]] = {
        long: (published(least), published(most))
        for long, (least, most) in ((SHORT_MM, of_short), (MIDDLE_MM, of_middle))
    }
    ruled = published("bar.long.shaft-mm")
    shafts[RULED_MM] = ruled, ruled
    # as long as its type again it is what its type is
    own = placed.kit.width_mm
    shafts = {long: pair for long, pair in shafts.items() if long < own}
    shafts[own] = bar.shaft_mm, bar.shaft_mm
    lengths = sorted(shafts)
    less = max(lengths[0] - length, 0.0)
    least, most = (
        min(float(np.interp(length, lengths, [shafts[one][i] for one in lengths])), bar.shaft_mm)
        for i in (0, 1)
    )
    return max(least - less, 1.0), max(most - less, 1.0)


def bar_of(placed: Placed) -> BarShape | None:
    """Return what a bar is in the length that was typed; None for what is no bar."""
    bar = placed.kit.bar
    if bar is None or not falls_short(placed.extent.width_mm, placed.kit.width_mm):
        return bar
    shaft = sum(shaft_range_mm(placed)) / 2
    # a length that no bar has leaves something of each
    sleeve = max((placed.extent.width_mm - shaft) / 2, 1.0)
    return _bar(shaft, sleeve, bar.shaft_diameter_mm, bar.sleeve_diameter_mm)


@cache
def _bar(shaft_mm: float, sleeve_mm: float, thin_mm: float, thick_mm: float) -> BarShape:
    return BarShape(
        shaft_mm=shaft_mm,
        sleeve_mm=sleeve_mm,
        shaft_diameter_mm=thin_mm,
        sleeve_diameter_mm=thick_mm,
    )
