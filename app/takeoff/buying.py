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

    Of equal sums the one with less left over, then the one with fewer packs. Packs without a
    price are taken only if none has one, and then the least left over decides. Sizes count to a
    thousandth of the unit. Raises ValueError without packs, or for a pack of nothing.
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


def _by_steps(need: int, sizes: Sequence[int], offers: Sequence[Offer]) -> list[int]:
    """Count up: best[n] is the least (money, volume, packs) that holds at least n steps."""
    best: list[tuple[int, int, int]] = [(0, 0, 0)]
    last: list[int] = [-1]
    for n in range(1, need + 1):
        cheapest = None
        for i, (size, offer) in enumerate(zip(sizes, offers, strict=True)):
            money, volume, packs = best[max(0, n - size)]
            here = (money + (offer.price_minor or 0), volume + size, packs + 1)
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
    """Solve the same as an integer programme: money first, then volume at that money."""
    import numpy as np
    from scipy.optimize import Bounds, LinearConstraint, milp

    amounts = np.array(sizes, dtype=np.float64)
    money = np.array([offer.price_minor or 0 for offer in offers], dtype=np.float64)
    enough = LinearConstraint(amounts, need, np.inf)
    whole = np.ones(len(sizes))
    rules = [enough]
    if money.any():
        first = milp(money, constraints=rules, integrality=whole, bounds=Bounds(0, np.inf))
        rules.append(LinearConstraint(money, -np.inf, round(first.fun)))
    second = milp(amounts, constraints=rules, integrality=whole, bounds=Bounds(0, np.inf))
    return [round(count) for count in second.x]
