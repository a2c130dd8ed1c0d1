"""Carbon dioxide of people who train, and the outdoor air that keeps it down.

Well mixed room of one zone. Sources: Persily and de Jonge 2017, table 4 (given off, in
proportion above 4 met); ASHRAE 62.1 table 6-1 (outdoor air).
"""

from __future__ import annotations

import math

from app.published.register import published
from app.units import KILO, L_S_PER_M3_H, MEGA, MINUTES_AN_HOUR

_LITRES, _MILLION = KILO, MEGA
_SIXTY = MINUTES_AN_HOUR


def given_off_l_s(people: int, met: float) -> float:
    """Return the carbon dioxide in L/s that people give off. Worked: one at 6 met, 0.0228 L/s."""
    return people * met * published("air.co2.l-s-met")


def flow_l_s(volume_m3: float, changes_per_hour: float) -> float:
    """Return the flow in L/s that changes a room's air so often. Worked: 43.2 m3, 1/h: 12 L/s."""
    return volume_m3 * changes_per_hour * L_S_PER_M3_H


def after(start: float, steady: float, changes_per_hour: float, minutes: float) -> float:
    """Return what a concentration has become on its way from `start` to its `steady` value."""
    hours = minutes / _SIXTY
    return steady + (start - steady) * math.exp(-changes_per_hour * hours)


def co2_steady_ppm(given_l_s: float, air_l_s: float) -> float:
    """Return the carbon dioxide in ppm that the room settles at; without air it has no end.

    Worked: 0.0228 L/s in 15.4 L/s of outdoor air at 420 ppm: 1900.5 ppm.
    """
    if air_l_s <= 0:
        return math.inf if given_l_s > 0 else published("air.co2.outdoor-ppm")
    return published("air.co2.outdoor-ppm") + _MILLION * given_l_s / air_l_s


def co2_after_ppm(
    given_l_s: float, volume_m3: float, changes_per_hour: float, minutes: float
) -> float:
    """Return the carbon dioxide in ppm after a session that began with outdoor air.

    Raises ValueError for a room without volume.
    Worked: 0.0228 L/s in 43.2 m3 with 1.283 changes an hour, 45 minutes: 1335 ppm.
    """
    if volume_m3 <= 0:
        raise ValueError("a room has a volume")
    outdoor = published("air.co2.outdoor-ppm")
    if changes_per_hour <= 0:
        seconds = minutes * _SIXTY
        return outdoor + _MILLION * given_l_s * seconds / (volume_m3 * _LITRES)
    steady = co2_steady_ppm(given_l_s, flow_l_s(volume_m3, changes_per_hour))
    return after(outdoor, steady, changes_per_hour, minutes)


def co2_guideline_ppm() -> float:
    """Return the carbon dioxide in ppm that a weight room should stay under: outdoors and 1500."""
    return published("air.co2.outdoor-ppm") + published("air.co2.rise-ppm")
