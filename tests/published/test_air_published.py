"""Air, warmth and damp against worked examples and a library of moist air."""

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pint import UnitRegistry

from app.formulas import air, damp, warmth
from app.published.register import published


@pytest.mark.parametrize(
    ("people", "outdoor", "steady", "after_45"),
    [
        # 18 m2 x 2.4 m, men of 30 to 40 at 6 met, by hand from ASHRAE 62.1 and Persily and de Jonge
        (1, 15.4, 1900.5, 1335.0),
        (2, 25.4, 2215.3, 1848.3),
    ],
)
def test_carbon_dioxide_of_a_weight_room(
    people: int, outdoor: float, steady: float, after_45: float
) -> None:
    flow = air.outdoor_air_l_s(people, 18)
    assert math.isclose(flow, outdoor)
    given_off = air.given_off_l_s(people, 6)
    assert math.isclose(given_off, people * 0.0228)
    assert math.isclose(air.co2_steady_ppm(given_off, flow), steady, abs_tol=0.05)
    changes = flow * 3.6 / 43.2
    reached = air.co2_after_ppm(given_off, 43.2, changes, 45)
    assert math.isclose(reached, after_45, abs_tol=0.1)


def test_carbon_dioxide_table() -> None:
    # Persily and de Jonge 2017, Table 4, men 30 to 40: 0.0037, 0.0076, 0.0114, 0.0152 at 1 to 4 met
    for met, printed in ((1, 0.0037), (2, 0.0076), (3, 0.0114), (4, 0.0152)):
        assert math.isclose(air.given_off_l_s(1, met), printed, abs_tol=0.00011)


def test_guideline() -> None:
    # 1500 ppm above outdoors (420)
    assert air.co2_guideline_ppm() == 1920


def test_without_fresh_air_it_rises_in_a_line() -> None:
    # 0.019 L/s for 3600 s in 50 m3: 68.4 L of 50 000 L are 1368 ppm
    assert math.isclose(air.co2_after_ppm(0.019, 50, 0, 60), 420 + 1368)
    assert math.isinf(air.co2_steady_ppm(0.019, 0))


def test_flow_in_units() -> None:
    unit: UnitRegistry[float] = UnitRegistry()
    flow = (unit("43.2 m^3") / unit("1 h")).to("L/s").magnitude
    assert math.isclose(air.flow_l_s(43.2, 1), flow, rel_tol=1e-5)


@pytest.mark.parametrize(
    ("air_c", "percent", "dew"),
    [
        # computed with psychrolib 2.5.0 (ASHRAE Handbook Fundamentals 2017), GetTDewPointFromRelHum
        (20, 50, 9.272),
        (5, 80, 1.841),
        (15, 80, 11.582),
        (25, 60, 16.701),
        (30, 30, 10.548),
        (10, 100, 10.0),
    ],
)
def test_dew_point(air_c: float, percent: float, dew: float) -> None:
    assert math.isclose(damp.dew_point_c(air_c, percent), dew, abs_tol=0.03)


@pytest.mark.parametrize(
    ("air_c", "pascal"),
    # computed with psychrolib 2.5.0, GetSatVapPres
    [(5, 872.487), (10, 1227.995), (20, 2338.804), (30, 4246.030)],
)
def test_saturated_vapour(air_c: float, pascal: float) -> None:
    assert math.isclose(damp.saturated_hpa(air_c) * 100, pascal, rel_tol=0.003)


def test_vapour_in_a_cubic_metre() -> None:
    # saturated air at 20 C holds 17.3 g/m3 (steam tables: specific volume 57.8 m3/kg)
    assert math.isclose(damp.vapour_g_m3(20, 100), 17.3, abs_tol=0.1)


@given(st.floats(-10, 40), st.floats(1, 100))
def test_dew_point_and_vapour_agree(air_c: float, percent: float) -> None:
    dew = damp.dew_point_c(air_c, percent)
    assert dew <= air_c + 1e-9
    held = damp.vapour_g_m3(air_c, percent)
    assert math.isclose(damp.dew_point_of_vapour_c(held, air_c), dew, abs_tol=1e-6)


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


def test_what_makes_no_sense_is_refused() -> None:
    with pytest.raises(ValueError, match="humidity"):
        damp.dew_point_c(20, 0)
    with pytest.raises(ValueError, match="volume"):
        air.co2_after_ppm(0.02, 0, 1, 60)
    with pytest.raises(ValueError, match="loses heat"):
        warmth.lifts_k(1000, 0)
