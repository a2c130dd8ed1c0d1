"""The lumen method: how many fittings light a room, and what dark walls cost.

Sources: lighting textbooks after CIBSE (N = E A / (n F UF MF), K = L W / (h (L + W))). The
utilisation factor hangs on the fitting: the three figures here are placeholders, and say so.
"""

from __future__ import annotations

import math
from collections.abc import Iterable

from app.published.register import published

_NAMES = "light.reflectance."


def room_index(length_m: float, width_m: float, mounted_m: float) -> float:
    """Return the room index of a room with fittings so high above the working plane.

    Raises ValueError where a length is not positive. Worked: 6 x 3 m, 2.4 m: 0.833.
    """
    if min(length_m, width_m, mounted_m) <= 0:
        raise ValueError("length, width and height of the fittings must be more than nothing")
    return length_m * width_m / (mounted_m * (length_m + width_m))


def lamps_needed(
    wanted_lux: float, area_m2: float, lumens: float, used: float, maintained: float
) -> float:
    """Return the number of fittings, before rounding up.

    Worked: 300 lx on 18 m2, 4000 lm, 0.40, 0.80: 4.22, so 5.
    """
    return wanted_lux * area_m2 / (lumens * used * maintained)


def gives_lux(
    fittings: int, area_m2: float, lumens: float, used: float, maintained: float
) -> float:
    """Return the light in lx of so many fittings.

    Worked: 6 of 5000 lm on 27.6 m2 at 0.45 and 0.80: 391 lx.
    """
    return fittings * lumens * used * maintained / area_m2


def reflectance(colour: str) -> float | None:
    """Return the reflectance of a colour named in the register, None for any other.

    Worked: "Light grey" is 0.4.
    """
    try:
        return published(_NAMES + "-".join(colour.lower().split()))
    except KeyError:
        return None


def mean_reflectance(walls: Iterable[tuple[float, float]]) -> float:
    """Return the mean of walls (area, reflectance), by area. Raises ValueError without area.

    Worked: two white walls (0.8) and two black ones (0.1) of one size: 0.45.
    """
    parts = list(walls)
    whole = math.fsum(area for area, _ in parts)
    if whole <= 0:
        raise ValueError("walls have an area")
    return math.fsum(area * value for area, value in parts) / whole


def used_share(wall_reflectance: float) -> float:
    """Return the share of the lamps' light that arrives, by the mean reflectance of the walls.

    In a line between black, light grey and white walls; beyond them it stays.
    Worked: walls of 0.4: 0.4; white walls: 0.5.
    """
    points = [
        (published(_NAMES + colour), published(f"light.used.{name}"))
        for colour, name in (("black", "dark"), ("light-grey", "mixed"), ("white", "white"))
    ]
    (x0, y0), (x1, y1), (x2, y2) = points
    x = min(max(wall_reflectance, x0), x2)
    if x <= x1:
        return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    return y1 + (y2 - y1) * (x - x1) / (x2 - x1)
