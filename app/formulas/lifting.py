"""What a pair of hands may lift: the revised NIOSH equation, and guideline weights a head.

Sources: NIOSH 94-110 (constants p. 7, limits pp. 8-15), HSE L23 figure 20. They judge carrying
kit in, not training. Not valid for one hand, kneeling, slippery floors or cramped places.
"""

from __future__ import annotations

import math

from app.published.register import published


def recommended_kg(
    horizontal_cm: float,
    vertical_cm: float,
    travel_cm: float,
    twist_deg: float = 0,
    frequency: float = 1,
    grip: float = 1,
) -> float:
    """Return the recommended weight limit in kg.

    Hands so far from the ankles and so high above the floor at the start, travelling so far up
    or down; `frequency` and `grip` are the multipliers of the manual's tables. Nought where the
    lift is out of reach. Raises ValueError for a length below nothing.
    Worked: 25, 55, 95 cm, 0.88 and 0.95: 23 x 1 x 0.94 x 0.8674 x 0.88 x 0.95 = 15.68 kg.
    """
    if min(horizontal_cm, vertical_cm, travel_cm, twist_deg) < 0:
        raise ValueError("lengths and angles of a lift are 0 or more")
    least_h, reach = published("lift.horizontal-cm"), published("lift.vertical-most-cm")
    if (
        horizontal_cm > published("lift.horizontal-most-cm")
        or max(vertical_cm, travel_cm) > reach
        or twist_deg > published("lift.twist-most-deg")
    ):
        return 0.0
    horizontal = least_h / max(horizontal_cm, least_h)
    off = abs(vertical_cm - published("lift.vertical-cm"))
    vertical = 1 - published("lift.vertical-ratio") * off
    far = max(travel_cm, published("lift.travel-least-cm"))
    travel = published("lift.travel-base") + published("lift.travel-cm") / far
    twist = 1 - published("lift.twist-ratio") * twist_deg
    return published("lift.load-kg") * horizontal * vertical * travel * twist * frequency * grip


def box_limit_kg() -> float:
    """Return what one person should lift when a box is picked up from the floor, in kg.

    30 cm out, from 20 to 75 cm, fair grip, now and then: 13.7 kg.
    """
    low, high = published("lift.box.low-cm"), published("lift.box.high-cm")
    out = published("lift.box.out-cm")
    # a household may set the hands lower at the end than at the start: then it is set down
    return recommended_kg(out, low, abs(high - low), grip=published("lift.grip.fair-low"))


def people_for(mass_kg: float) -> tuple[int, bool]:
    """Return how many people a part asks for, one for each 25 kg, and whether they find a hold.

    Worked: 45 kg: two. 110 kg: five, but only four find a hold.
    """
    count = max(1, math.ceil(mass_kg / published("lift.guide-kg")))
    most = int(published("lift.hands-at-most"))
    return min(count, most), count <= most
