"""Carbon dioxide and outdoor air against worked examples."""

import math

import pytest
from pint import UnitRegistry

from app.formulas import air


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
    # 5 L/s a person and 0.3 L/s a square metre of 18
    flow = outdoor
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


def test_a_room_without_volume_is_refused() -> None:
    with pytest.raises(ValueError, match="volume"):
        air.co2_after_ppm(0.02, 0, 1, 60)


def test_without_people_the_air_stays_as_outdoors() -> None:
    # 420 ppm outdoors, whatever the air does
    assert air.co2_steady_ppm(0, 0) == air.co2_steady_ppm(0, 10) == 420
    assert air.co2_steady_ppm(0.01, -1) == math.inf


def test_on_its_way_to_what_it_settles_at() -> None:
    # after one time constant 1/e of the way is left: 1000 + (2000 - 1000) / e = 1367.88
    assert math.isclose(air.after(2000, 1000, 2, 30), 1367.88, abs_tol=0.01)
    assert math.isclose(air.after(500, 1000, 1, 0), 500)
