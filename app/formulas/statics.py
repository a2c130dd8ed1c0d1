"""Plain statics: what pulls at fixings, what presses on a floor, what a sheet of glass weighs.

Every result is a demand. What a wall, ceiling or floor bears is not computed here: that is for
the maker's data, a test on the spot, or an engineer.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

from app.published.register import published
from app.units import KILO


@dataclass(frozen=True, slots=True)
class Pull:
    """What one fixing of the most loaded row gets, in newtons."""

    tension_n: float
    shear_n: float

    @property
    def resultant_n(self) -> float:
        """Tension and shear together."""
        return math.hypot(self.tension_n, self.shear_n)


def weight_n(mass_kg: float, factor: float = 1) -> float:
    """Return the weight of a mass in newtons, times the factor of its use.

    An 800 kg pallet weighs 7848 N (a published table of floor loads).
    """
    return mass_kg * published("statics.gravity-m-s2") * factor


def wall_pull(
    load_n: float, out_mm: float, drop_mm: float, top: int, count: int, level_n: float = 0
) -> Pull:
    """Share a load that hangs `out_mm` off a wall among fixings in two rows `drop_mm` apart.

    Moment about the lower row, which presses: the upper row is pulled with W e / h; all share the
    shear. 981 N at 600 mm, rows 300 mm apart, 2 + 2 fixings: 981 N tension and 245.25 N shear
    each, 1011.2 N together. What pulls straight out of the wall (`level_n`) is cautiously given to
    the upper row alone. Raises ValueError where the rows are not apart.
    """
    if drop_mm <= 0 or top < 1 or count < top:
        raise ValueError("two rows of fixings are wanted, one above the other")
    return Pull((load_n * out_mm / drop_mm + level_n) / top, load_n / count)


def hung_pull(load_n: float, count: int) -> Pull:
    """Share a load that hangs straight down among the fixings of a ceiling: 3000 N on 2, 1500."""
    return Pull(load_n / count, 0.0)


def glass_kg(width_mm: float, height_mm: float, thickness_mm: float) -> float:
    """Return the mass of a sheet of glass: 1.2 x 1.8 m of 6 mm is 32.4 kg (density of EN 572-1)."""
    per_m2 = published("mirror.glass-kg-per-m2-per-mm") * thickness_mm
    return per_m2 * _metres(width_mm) * _metres(height_mm)


def pressure_kpa(mass_kg: float, width_mm: float, depth_mm: float) -> float:
    """Spread a mass over its footprint, in kN/m2: 450 kg on 1.2 x 1.2 m is 3.07 (statics)."""
    newtons = weight_n(mass_kg) / (_metres(width_mm) * _metres(depth_mm))
    return _metres(newtons)


def point_kn(mass_kg: float, feet: float) -> float:
    """Return the force under each of several feet in kN: 450 kg on 4 is 1.10 (statics)."""
    return _metres(weight_n(mass_kg)) / feet


def mass_borne_kg(
    pressure_kpa: float, point_kn: float, width_mm: float, depth_mm: float, feet: float
) -> float:
    """Return the mass that a floor bears on a footprint: its spread load, or its single one.

    1.5 kN/m2 on 0.9 x 0.45 m are 61.9 kg, a single load of 1.4 kN is 142.8 kg: so much is borne
    there. On 1.2 x 1.2 m it is 220 kg, and never more than the single load on each foot (statics).
    """
    spread = pressure_kpa * _metres(width_mm) * _metres(depth_mm)
    newtons = min(max(spread, point_kn), point_kn * feet) * KILO
    return newtons / weight_n(1)


def fall_mm(rise_x: float, rise_y: float, dx_mm: float, dy_mm: float) -> float:
    """Return by how much a plane rises over a distance; rises in mm a metre.

    1 in 100 over 5180 mm is 51.8 mm, over a rack of 1250 mm 12.5 mm.
    """
    return rise_x * _metres(dx_mm) + rise_y * _metres(dy_mm)


def plates_on_sleeve(sleeve_mm: float, plate_mm: float) -> int:
    """Return how many plates of one thickness go on a sleeve: 415 mm takes 4 of 95 or 6 of 60."""
    return int(sleeve_mm // plate_mm)


def _metres(thousandths: float) -> float:
    return thousandths / KILO
