"""Water in the air against a library of moist air and steam tables."""

import math

import psychrolib
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.formulas import damp


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


@pytest.mark.parametrize("percent", [0, -1, 100.1])
def test_a_humidity_that_is_none_is_refused(percent: float) -> None:
    with pytest.raises(ValueError, match="humidity"):
        damp.dew_point_c(20, percent)


@given(st.floats(0.1, 40), st.floats(0, 40))
def test_dew_points_beside_a_library(dew_c: float, above_c: float) -> None:
    # psychrolib (ASHRAE Handbook Fundamentals 2017) takes ice below 0 C, the Magnus form here
    # water: compared where the dew point lies above freezing
    psychrolib.SetUnitSystem(psychrolib.SI)
    air_c = min(dew_c + above_c, 40)
    percent = min(psychrolib.GetRelHumFromTDewPoint(air_c, dew_c) * 100, 100)
    assert math.isclose(damp.dew_point_c(air_c, percent), dew_c, abs_tol=0.05)


def test_vapour_of_half_dry_air() -> None:
    # 23.3 hPa at 20 C (steam tables), half of it: 216.7 x 11.67 / 293.15 = 8.62 g/m3, by hand
    assert math.isclose(damp.vapour_g_m3(20, 50), 8.62, abs_tol=0.02)


def test_more_vapour_than_air_holds_has_settled() -> None:
    # at 20 C air holds 17.3 g/m3 (steam tables): what is put in beyond that lies on the walls
    assert damp.dew_point_of_vapour_c(30, 20) == 20
    assert damp.dew_point_of_vapour_c(8.62, 20) < 20
    with pytest.raises(ValueError, match="some water"):
        damp.dew_point_of_vapour_c(0, 20)
