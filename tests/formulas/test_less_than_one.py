"""Half of a unit is more than nothing: what is refused or endless at 0 is reckoned at 0.5.

Each figure is worked by hand from the formula as its source gives it.
"""

import math
from collections.abc import Callable

import pytest

from app.formulas import air, damp, light, low_voltage, paint, statics, warmth

HALVES: dict[str, tuple[Callable[[], float], float]] = {
    # 100 N x 10 mm / 0.5 mm in one fixing
    "a wall's rows": (lambda: statics.wall_pull(100, 10, 0.5, 1, 2).tension_n, 2000),
    # 420 + 1e6 x 0.0001 / 0.5
    "air in a second": (lambda: air.co2_steady_ppm(0.0001, 0.5), 620),
    # no air at all: 420 + 1e6 x 0.0001 L/s x 60 s / 500 L
    "a volume": (lambda: air.co2_after_ppm(0.0001, 0.5, 0, 1), 432),
    # 100 m3 changed 0.5 times an hour are 13.889 L/s: settled at 420 + 1000 / 13.889 = 492; in
    # two hours 1/e of the way is left: 492 - 72 / e
    "changes of air": (lambda: air.co2_after_ppm(0.001, 100, 0.5, 120), 465.51),
    # 0.5 x 2 / (1 x 2.5), 2 x 0.5 / (1 x 2.5), 2 x 2 / (0.5 x 4)
    "a length": (lambda: light.room_index(0.5, 2, 1), 0.4),
    "a width": (lambda: light.room_index(2, 0.5, 1), 0.4),
    "a height": (lambda: light.room_index(2, 2, 0.5), 2),
    "a wall's area": (lambda: light.mean_reflectance([(0.2, 0.8), (0.3, 0.3)]), 0.5),
    "a segment": (lambda: low_voltage.cut_length_mm(1.2, 0.5), 1.0),
    # 10 x 0.5 / 100 m2 and 10 x 50 / 0.5 m2 a litre
    "solids": (lambda: paint.theoretical_rate_m2_l(0.5, 100), 0.05),
    "a film": (lambda: paint.theoretical_rate_m2_l(50, 0.5), 1000),
    # 125 x 100 / 0.5
    "solids of a wet film": (lambda: paint.wet_um(125, 0.5), 25_000),
    "what a litre covers": (lambda: paint.litres(3, 2, 0.5), 12),
    # 525 mg in half an hour at 525 mg/m3
    "half an hour": (lambda: paint.fresh_air_m3_h(0.525, 0.5), 2),
    "a loss of heat": (lambda: warmth.lifts_k(2, 0.5), 4),
    # 0.5 g x 293.15 K / 216.7 g K/hPa is the pressure of water over its dew point
    "water in air": (lambda: damp.saturated_hpa(damp.dew_point_of_vapour_c(0.5, 20)), 0.6764),
}


@pytest.mark.parametrize("what", HALVES)
def test_less_than_one_is_reckoned_with(what: str) -> None:
    worked, expected = HALVES[what]
    assert worked() == pytest.approx(expected, rel=1e-3)


def test_a_breath_in_still_air_has_no_end() -> None:
    # less than one litre in a second is breathed out, and nothing comes in
    assert air.co2_steady_ppm(0.5, 0) == math.inf
