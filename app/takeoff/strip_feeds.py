"""Where a run of light strip is fed, by which cable, and what guards each feed."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass

from app.formulas.low_voltage import cable_amps, cable_for, fuse_for, gauge_for
from app.units import Units
from app.wording import phrase

CABLES_TO_A_FEED = (1, 2)
"""How many cables lead to a feed, tried in this order: two where no single one does. More than two
nobody gets under one clamp."""


_COUNTS = {2: "two"}


@dataclass(frozen=True, slots=True)
class Feeding:
    """The feeds of a run: their places along the strip in m, and the current of each in A.

    `reach_m` is how far a feed must carry along the strip. `cable` is its cross-section in mm2 and
    the voltage lost in it, None where no cable does; `carries_a` is what that cable may carry.
    `side_by_side` are the cables that lead to each feed, alike and equally long: they share its
    current, and each has its own fuse, for where one comes loose the other carries all.
    """

    places_m: tuple[float, ...]
    reach_m: float
    amps: float
    cable: tuple[str, float] | None
    carries_a: float
    side_by_side: int = 1

    @property
    def amps_a_cable(self) -> float:
        """The current in each cable, in A."""
        return self.amps / self.side_by_side

    @property
    def fuse_a(self) -> float | None:
        """The fuse for each cable in A, None where none is made between its load and its limit."""
        return fuse_for(self.amps_a_cable, self.carries_a)


def feeding(
    whole_m: float,
    longest_m: float,
    amps: float,
    volts: float,
    cable_m: float,
    air_c: float,
    fused: bool = False,
) -> Feeding:
    """Return the plainest way to feed a strip for which there is a cable, and a fuse if `fused`.

    `longest_m` is the longest strip that one end feeds, `cable_m` the way from the supply to the
    start of the strip, `air_c` the warmest air there. Where no way has a cable, the first is given.
    """
    ways = []
    for cables in CABLES_TO_A_FEED:
        for places, reach in _ways(whole_m, longest_m):
            each = amps / len(places)
            cable = cable_for(
                cable_m + max(places), each / cables, volts, air_c, fused or cables > 1
            )
            carries = cable_amps(cable[0], air_c) if cable is not None else 0.0
            ways.append(Feeding(places, reach, each, cable, carries, cables))
            if cable is not None:
                return ways[-1]
    return ways[0]


def _ways(whole_m: float, longest_m: float) -> Iterator[tuple[tuple[float, ...], float]]:
    """Return places of feeds and how far each reaches: the usual way first, then more and longer.

    A strip that its start feeds whole, else the middles of as few shares as will do; then the
    middle, both ends, and twice the feeds: each halves what one cable carries.
    """
    count = math.ceil(whole_m / (2 * longest_m))
    if whole_m <= longest_m:
        yield (0.0,), whole_m
    yield _middles(whole_m, count), whole_m / (2 * count)
    if whole_m <= 2 * longest_m:
        yield (0.0, whole_m), whole_m / 2
    twice = count + count
    yield _middles(whole_m, twice), whole_m / (2 * twice)


def _middles(whole_m: float, count: int) -> tuple[float, ...]:
    """Return the middles of so many equal shares of a strip."""
    return tuple(whole_m * (2 * i + 1) / (2 * count) for i in range(count))


def needs_fuse(fed: Feeding, supply_a: float) -> bool:
    """Return whether the supply can give more than a feed's cable carries; of two always."""
    alone = fed.side_by_side == 1
    return fed.cable is not None and (supply_a > fed.carries_a or not alone)


def guard_words(fed: Feeding, supply_a: float, units: Units) -> str:
    """Say what keeps each feed's cable from more than it carries: a fuse, or the supply's limit.

    `supply_a` is the most that the largest supply gives.
    """
    each = "each feed" if len(fed.places_m) > 1 else "the feed"
    if not needs_fuse(fed, supply_a):
        return phrase(
            "{} needs no fuse of its own: the supply gives at most {:.1f} A and the cable carries "
            "{:.1f} A",
            each,
            supply_a,
            fed.carries_a,
        ).worded(units)
    if fed.side_by_side > 1:
        return phrase(
            "no single cable does: lead {} to {} side by side, alike and equally long, and fuse "
            "each of them at the supply with {} A: it carries {:.1f} A; each cable draws {:.1f} A",
            _COUNTS[fed.side_by_side],
            each,
            fuse_words(fed),
            fed.carries_a,
            fed.amps_a_cable,
        ).worded(units)
    return phrase(
        "fuse {} at the supply with {} A: its cable carries {:.1f} A and it draws {:.1f} A",
        each,
        fuse_words(fed),
        fed.carries_a,
        fed.amps,
    ).worded(units)


def cable_words(size: str, units: Units) -> str:
    """Return the size of a cable as a shop sells it: in feet by its gauge, never a thinner one.

    The mm2 stand beside it, for what it carries and loses is reckoned with them.
    """
    gauge = gauge_for(size) if units == "feet" else None
    return f"{size} mm²" if gauge is None else f"{gauge} AWG ({size} mm² or more)"


def fuse_words(fed: Feeding) -> str:
    """Return the size of the fuse as it stands on it: 3, 7.5."""
    assert fed.fuse_a is not None
    return f"{fed.fuse_a:g}"
