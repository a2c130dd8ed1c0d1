"""Electricity against worked examples."""

import math

import pytest
from pint import UnitRegistry

from app.formulas.electrical import (
    allowed_drop_v,
    continuous_w,
    gives_w,
    longest_run_m,
    volt_drop_v,
)
from app.published.register import published


def test_a_spur_gives_almost_three_kilowatts() -> None:
    # BS 1363: 13 A at 230 V, quoted everywhere as 3 kW
    assert gives_w(230, published("electric.spur.amps")) == 2990


@pytest.mark.parametrize(("amps", "watts"), [(15, 1440), (20, 1920)])
def test_lasting_load_at_120_volts(amps: float, watts: float) -> None:
    # NEC 210.20(A): 80 % of 1800 and of 2400 VA
    assert math.isclose(continuous_w(120, amps), watts)


@pytest.mark.parametrize(
    ("amps", "length_m", "drop"),
    [
        (13, 25, 5.85),  # BS 7671 app. 4 method, 2.5 mm2 at 18 mV/A/m
        (16, 18, 5.184),  # lesson on inspection and testing, printed as 5.18 V
        (32, 40, 23.04),  # question on a ring at full current, printed as 23.04
    ],
)
def test_volt_drop(amps: float, length_m: float, drop: float) -> None:
    assert math.isclose(volt_drop_v(amps, length_m, 18), drop)


def test_allowed_drop_at_230_volts() -> None:
    # BS 7671 app. 4, Table 4Ab: 3 % is 6.9 V, 5 % is 11.5 V
    assert math.isclose(allowed_drop_v(230, lighting=True), 6.9)
    assert math.isclose(allowed_drop_v(230, lighting=False), 11.5)


def test_longest_run() -> None:
    # 11.5 V / (0.018 V/A/m x 13 A) = 49.145 m
    assert math.isclose(longest_run_m(13, 11.5, 18), 49.145, abs_tol=0.001)
    with pytest.raises(ValueError, match="more than nothing"):
        longest_run_m(0, 11.5, 18)


def test_units_of_the_volt_drop() -> None:
    unit: UnitRegistry[float] = UnitRegistry()
    drop = unit("18 mV/A/m") * unit("13 A") * unit("25 m")
    assert math.isclose(drop.to("V").magnitude, volt_drop_v(13, 25, 18))


@pytest.mark.parametrize(("amps", "figure"), [(0, 18), (-1, 18), (13, 0), (13, -18)])
def test_no_current_and_no_cable_have_no_longest_run(amps: float, figure: float) -> None:
    with pytest.raises(ValueError, match="more than nothing"):
        longest_run_m(amps, 11.5, figure)
