"""The cheapest whole packs that hold what is needed: an integer purchase, solved exactly."""

from __future__ import annotations

import math
from collections.abc import Sequence
from fractions import Fraction
from functools import reduce

from app.takeoff.line import Bought, Offer
from app.units import KILO

UNITS_COUNTED_AT_MOST = 200_000
"""Steps of a purchase that are counted one by one; beyond them an integer
programme decides."""


_MILLI = KILO


def cheapest(need: float, offers: Sequence[Offer]) -> tuple[Bought, ...]:
    """Return the packs that hold at least `need` for the least money, the largest pack first.

    Of equal sums the one with fewer packs (one large tin is wanted sooner than two small ones),
    then the one with less left over. Packs without a price are taken only if none has one, and then
    the least left over decides. Sizes count to a thousandth of the unit. Raises ValueError without
    packs, or for a pack of nothing.
    Worked: 12 L from 1 L at 4, 5 L at 15, 8 L at 20: 5 + 8 for 35.
    """
    if not offers:
        raise ValueError("there is nothing to buy it in")
    priced = [offer for offer in offers if offer.price_minor is not None] or list(offers)
    sizes = [round(offer.size * _MILLI) for offer in priced]
    if min(sizes) <= 0:
        raise ValueError("a pack holds something")
    wanted = math.ceil(Fraction(round(need * _MILLI * _MILLI), _MILLI))
    if wanted <= 0:
        return ()
    step = reduce(math.gcd, sizes)
    if wanted / step <= UNITS_COUNTED_AT_MOST:
        counts = _by_steps(-(-wanted // step), [size // step for size in sizes], priced)
    else:
        counts = _by_programme(wanted, sizes, priced)
    chosen = zip(counts, priced, strict=True)
    bought = [offer.times(count) for count, offer in chosen if count]
    return tuple(sorted(bought, key=lambda pack: -pack.size))


def cheapest_lengths(
    lengths: Sequence[float], rings: Sequence[Offer], drum: Offer | None = None
) -> tuple[Bought, ...]:
    """Return the rings from which lengths are cut for the least money, none of them joined.

    Of equal sums the one with fewer rings, then the one with less left over; where a price lacks
    these decide. What is longer than any ring comes off the drum, by whole units of it. Up to
    `CUTS_SHARED_AT_MOST` lengths every way to share rings is weighed; of more so many at a time,
    the longest first. Raises ValueError without rings, for a ring of nothing, and for a length that
    comes off none of them.
    Worked: 15 m and 6 m from rings of 10 m at 12 and 25 m at 26: one of 25 for 26.
    """
    every = [*rings, drum] if drum is not None else [*rings]
    if not every:
        raise ValueError("there is nothing to buy it in")
    if min(offer.size for offer in every) <= 0:
        raise ValueError("a pack holds something")
    longest = max((offer.size for offer in rings), default=0.0) + _HAIR
    shared = sorted((length for length in lengths if 0 < length <= longest), reverse=True)
    counts: dict[Offer, int] = {}
    for start in range(0, len(shared), CUTS_SHARED_AT_MOST):
        for ring in _rings_for(shared[start : start + CUTS_SHARED_AT_MOST], rings):
            counts[ring] = counts.get(ring, 0) + 1
    if long := [length for length in lengths if length > longest]:
        if drum is None:
            raise ValueError("no ring is as long as that")
        counts[drum] = sum(math.ceil(length / drum.size - _HAIR) for length in long)
    bought = [offer.times(count) for offer, count in counts.items()]
    return tuple(sorted(bought, key=lambda pack: -pack.size))


CUTS_SHARED_AT_MOST = 9
"""Lengths of which every way to share rings is weighed: twenty thousand ways."""

_HAIR = 1e-9
"""What a length may be over a ring by the rounding of floating point."""


def _rings_for(lengths: Sequence[float], rings: Sequence[Offer]) -> list[Offer]:
    """Return the rings for some lengths: each set of lengths from the best ring that holds it."""
    every = (1 << len(lengths)) - 1
    together = [0.0] * (every + 1)
    for some in range(1, every + 1):
        low = some & -some
        together[some] = together[some ^ low] + lengths[low.bit_length() - 1]
    ranked = sorted(rings, key=lambda ring: (ring.price_minor or 0, ring.size))
    held = [next((ring for ring in ranked if ring.size >= long - _HAIR), None) for long in together]
    # best[some] is the least (money, rings, metres) that holds these lengths, and its rings
    best: list[tuple[tuple[float, int, float], list[Offer]]] = [((0.0, 0, 0.0), [])]
    for some in range(1, every + 1):
        ways, part = [], some
        while part:
            ring = held[part]
            # the first length lies in one of them: each way is weighed once
            if part & some & -some and ring is not None:
                (money, count, metres), before = best[some ^ part]
                here = money + (ring.price_minor or 0), count + 1, metres + ring.size
                ways.append((here, [*before, ring]))
            part = (part - 1) & some
        best.append(min(ways, key=lambda way: way[0]))
    return best[every][1]


def _by_steps(need: int, sizes: Sequence[int], offers: Sequence[Offer]) -> list[int]:
    """Count up: best[n] is the least that holds at least n steps: money, then packs, then volume;
    without prices volume before packs.
    """
    priced = any(offer.price_minor for offer in offers)
    best: list[tuple[int, int, int]] = [(0, 0, 0)]
    last: list[int] = [-1]
    for n in range(1, need + 1):
        cheapest = None
        for i, (size, offer) in enumerate(zip(sizes, offers, strict=True)):
            money, first, second = best[max(0, n - size)]
            more = (1, size) if priced else (size, 1)
            here = (money + (offer.price_minor or 0), first + more[0], second + more[1])
            if cheapest is None or here < cheapest[0]:
                cheapest = here, i
        assert cheapest is not None
        best.append(cheapest[0])
        last.append(cheapest[1])
    counts = [0] * len(sizes)
    n = need
    while n > 0:
        counts[last[n]] += 1
        n -= sizes[last[n]]
    return counts


def _by_programme(need: int, sizes: Sequence[int], offers: Sequence[Offer]) -> list[int]:
    """Solve the same as an integer programme: money, then packs at that money, then volume."""
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp

    amounts = np.array(sizes, dtype=np.float64)
    money = np.array([offer.price_minor or 0 for offer in offers], dtype=np.float64)
    enough = LinearConstraint(amounts, need, np.inf)
    whole = np.ones(len(sizes))
    rules = [enough]
    for weights in (money, whole) if money.any() else ():
        first = milp(weights, constraints=rules, integrality=whole, bounds=Bounds(0, np.inf))
        rules.append(LinearConstraint(weights, -np.inf, round(first.fun)))
    second = milp(amounts, constraints=rules, integrality=whole, bounds=Bounds(0, np.inf))
    return [round(count) for count in second.x]
