"""Heat that a room loses, and how far a heater lifts it. Steady state, no sun, no people.

Loss = sum of area x U plus the air changed. The U-values are from memory: a guide to what a
heater is worth here, no design.
"""

from __future__ import annotations

from collections.abc import Iterable

from app.published.register import published
from app.units import KILO

_MM_A_METRE = KILO


def lined_u(u_w_m2k: float, lining_mm: float) -> float:
    """Return the U-value of a wall in W/m2K behind a lining of this depth in mm.

    Worked: 2.2 behind 50 mm at 0.05 W/mK: 1 / (1 / 2.2 + 1) = 0.6875.
    """
    metres = lining_mm / _MM_A_METRE
    return 1 / (1 / u_w_m2k + metres / published("warmth.lining-conductivity"))


def loss_w_per_k(
    parts: Iterable[tuple[float, float]], volume_m3: float, changes_per_hour: float
) -> float:
    """Return the loss in W for each degree: of parts (area in m2, U in W/m2K) and of changed air.

    Worked: 10 m2 at 2 and 40 m3 changed 0.5 times an hour: 20 + 6.6 = 26.6 W/K.
    """
    fabric = sum(area * u for area, u in parts)
    return fabric + volume_m3 * changes_per_hour * published("air.heat-w-per-k-m3-h")


def lifts_k(watts: float, loss_w_k: float) -> float:
    """Return by how many degrees a heater lifts a room above outdoors.

    Raises ValueError for a room that loses nothing. Worked: 3000 W, 265 W/K: 11.3 degrees.
    """
    if loss_w_k <= 0:
        raise ValueError("every room loses heat")
    return watts / loss_w_k
