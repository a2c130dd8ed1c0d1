"""Water in the air and where it settles: the Magnus form over water (WMO guide)."""

from __future__ import annotations

import math

from app.published.register import published
from app.units import KELVIN_AT_0_C, PERCENT

_WHOLE = PERCENT


def saturated_hpa(air_c: float) -> float:
    """Return the pressure of saturated vapour in hPa. Worked: 20 C: 23.33 hPa."""
    a, b = published("damp.magnus.a"), published("damp.magnus.b-c")
    return published("damp.magnus.e-hpa") * math.exp(a * air_c / (b + air_c))


def _dew_c(vapour_hpa: float) -> float:
    a, b = published("damp.magnus.a"), published("damp.magnus.b-c")
    log = math.log(vapour_hpa / published("damp.magnus.e-hpa"))
    return b * log / (a - log)


def dew_point_c(air_c: float, humidity_percent: float) -> float:
    """Return the temperature in C under which water settles from this air.

    Raises ValueError for a humidity of nothing or over 100 %.
    Worked: 20 C at 50 %: 9.26 C.
    """
    if not 0 < humidity_percent <= _WHOLE:
        raise ValueError(f"a humidity lies over 0 and up to 100 %, not {humidity_percent!r}")
    return _dew_c(saturated_hpa(air_c) * humidity_percent / _WHOLE)


def vapour_g_m3(air_c: float, humidity_percent: float) -> float:
    """Return the water in a cubic metre of air in g. Worked: 20 C at 100 %: 17.2 g."""
    share = humidity_percent / _WHOLE
    kelvin = air_c + KELVIN_AT_0_C
    return published("damp.vapour-g-k-hpa") * saturated_hpa(air_c) * share / kelvin


def dew_point_of_vapour_c(vapour_g: float, air_c: float) -> float:
    """Return the dew point in C of air at `air_c` that holds so many g of water in a cubic metre.

    It is never above `air_c`: what is more has settled already. Raises ValueError for no vapour.
    """
    if vapour_g <= 0:
        raise ValueError("air always holds some water")
    kelvin = air_c + KELVIN_AT_0_C
    pressure = vapour_g * kelvin / published("damp.vapour-g-k-hpa")
    return min(air_c, _dew_c(pressure))
