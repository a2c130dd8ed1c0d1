"""Electricity against worked examples."""

import math

import pytest

from app.formulas.electrical import (
    continuous_w,
    gives_w,
)
from app.published.register import published


def test_a_spur_gives_almost_three_kilowatts() -> None:
    # BS 1363: 13 A at 230 V, quoted everywhere as 3 kW
    assert gives_w(230, published("electric.spur.amps")) == 2990


@pytest.mark.parametrize(("amps", "watts"), [(15, 1440), (20, 1920)])
def test_lasting_load_at_120_volts(amps: float, watts: float) -> None:
    # NEC 210.20(A): 80 % of 1800 and of 2400 VA
    assert math.isclose(continuous_w(120, amps), watts)
