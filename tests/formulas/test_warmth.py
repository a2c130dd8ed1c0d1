"""Heat that a room loses, worked by hand."""

import math

import pytest
from pint import UnitRegistry

from app.formulas import warmth
from app.published.register import published


def test_heat_loss() -> None:
    # 265 W/K and 3 kW: 11 degrees, common practice
    assert math.isclose(warmth.lifts_k(3000, 265), 11.32, abs_tol=0.01)
    # 10 m2 at 2 W/m2K and 40 m3 changed 0.5 times an hour: 20 + 40 x 0.5 x 0.33
    assert math.isclose(warmth.loss_w_per_k([(10, 2)], 40, 0.5), 26.6)
    # 50 mm at 0.05 W/mK are 1 m2K/W: 1 / (1 / 2.2 + 1)
    assert math.isclose(warmth.lined_u(published("warmth.u.hollow-block"), 50), 0.6875)


def test_heat_that_air_carries() -> None:
    # 1.2 kg/m3 x 1006 J/kgK for a cubic metre an hour is 0.335 W/K
    unit: UnitRegistry[float] = UnitRegistry()
    carried = unit("1.2 kg/m^3") * unit("1006 J/kg/K") * unit("1 m^3/hour")
    assert math.isclose(
        published("air.heat-w-per-k-m3-h"), carried.to("W/K").magnitude, abs_tol=0.01
    )


def test_a_lining_twice_as_deep_saves_less_than_twice() -> None:
    # by hand, R of the linings 1 and 2 m2K/W: 1 / (0.5 + 1) and 1 / (0.5 + 2)
    assert math.isclose(warmth.lined_u(2, 50), 1 / 1.5)
    assert math.isclose(warmth.lined_u(2, 100), 0.4)
    assert math.isclose(warmth.lined_u(2, 0), 2)


def test_loss_is_the_sum_of_its_parts() -> None:
    # 10 x 2 + 5 x 3 = 35 W/K, no change of air
    assert math.isclose(warmth.loss_w_per_k([(10, 2), (5, 3)], 40, 0), 35)


def test_a_room_that_loses_nothing_is_refused() -> None:
    with pytest.raises(ValueError, match="loses heat"):
        warmth.lifts_k(1000, 0)


def test_a_room_that_loses_little_is_lifted_far() -> None:
    # 1 W and half a watt for each degree
    assert math.isclose(warmth.lifts_k(1, 0.5), 2)
    with pytest.raises(ValueError, match="every room loses heat"):
        warmth.lifts_k(1, 0)
