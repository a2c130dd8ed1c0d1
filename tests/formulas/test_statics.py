"""Statics against numbers printed elsewhere and worked by hand."""

import pytest
from hypothesis import given
from hypothesis import strategies as st
from pint import UnitRegistry

from app.formulas.statics import (
    Pull,
    fall_mm,
    glass_kg,
    hung_pull,
    mass_borne_kg,
    plates_on_sleeve,
    point_kn,
    pressure_kpa,
    wall_pull,
    weight_n,
)
from app.published.register import published, row

sizes = st.floats(50, 5000)


def test_a_bracket_with_two_rows() -> None:
    # 100 kg at 0.60 m, rows 0.30 m apart, 2 + 2 fixings: worked by hand, moment about the foot
    pull = wall_pull(981, 600, 300, top=2, count=4)
    assert pull.tension_n == pytest.approx(981)
    assert pull.shear_n == pytest.approx(245.25)
    assert pull.resultant_n == pytest.approx(1011.2, abs=0.05)


def test_a_factor_of_two_doubles_all() -> None:
    pull = wall_pull(weight_n(100, 2), 600, 300, top=2, count=4)
    assert pull.tension_n == pytest.approx(1962)
    assert pull.shear_n == pytest.approx(490.5)


def test_a_plate_on_a_wall_as_in_a_design_sheet() -> None:
    # a published check of a wall plate: 3.7 kN straight out and 3.7 x 0.27 kNm on rows 0.27 m
    # apart, 2 + 2 bolts; it gives the moment's 3.7 kN to one bolt, 1.85 + 3.7 = 5.55 kN, where
    # the two upper bolts share it: (3.7 + 3.7) / 2 = 3.7 kN; shear 4.9 / 4 = 1.225 kN as printed
    assert wall_pull(3700, 270, 270, 2, 4, level_n=3700).tension_n == pytest.approx(3700)
    assert wall_pull(4900, 0, 270, 2, 4).shear_n == pytest.approx(1225)


def test_a_load_that_hangs_straight_down() -> None:
    assert hung_pull(3000, 2).tension_n == 1500
    assert hung_pull(3000, 2).shear_n == 0


@pytest.mark.parametrize(
    ("drop", "top", "count"), [(0, 2, 4), (-1, 2, 4), (300, 0, 4), (300, 3, 2)]
)
def test_rows_that_are_none(drop: float, top: int, count: int) -> None:
    with pytest.raises(ValueError, match="two rows"):
        wall_pull(981, 600, drop, top, count)


def test_weight_of_a_pallet() -> None:
    # a published table of floor loads: 800 kg is 7848 N
    assert weight_n(800) == pytest.approx(7848)


def test_a_mirror_of_6_mm() -> None:
    assert glass_kg(1200, 1800, 6) == pytest.approx(32.4)  # EN 572-1: 2500 kg/m3
    assert weight_n(glass_kg(1200, 1800, 6)) == pytest.approx(317.8, abs=0.1)


@pytest.mark.parametrize(
    ("thickness", "per_m2"),
    # a published table of glass weights, kg/m2
    [(4, 10), (5, 12.5), (6, 15), (8, 20), (10, 25), (12, 30), (15, 37.5), (19, 47.5)],
)
def test_glass_by_thickness(thickness: float, per_m2: float) -> None:
    assert glass_kg(1000, 1000, thickness) == pytest.approx(per_m2)


def test_a_rack_with_its_user_on_a_floor() -> None:
    # 450 kg on 1.2 x 1.2 m: 4.41 kN, 3.07 kN/m2, above 1.5 to 2.0 for homes, below 5.0 (C4)
    assert weight_n(450) / 1000 == pytest.approx(4.41, abs=0.005)
    assert pressure_kpa(450, 1200, 1200) == pytest.approx(3.07, abs=0.005)
    # 1.4 kN / 9.81 m/s2 on a small foot; 1.5 kN/m2 x 1.44 m2 on a larger; 4 x 1.4 kN at the most
    assert mass_borne_kg(1.5, 1.4, 900, 450, 4) == pytest.approx(142.8, abs=0.1)
    assert mass_borne_kg(1.5, 1.4, 1200, 1200, 4) == pytest.approx(220.2, abs=0.1)
    assert mass_borne_kg(1.5, 1.4, 3000, 3000, 4) == pytest.approx(570.8, abs=0.1)
    assert point_kn(450, 4) == pytest.approx(1.104, abs=0.001)
    # Dutch annex: C4 5.0 kN/m2
    assert published("floor.home.pressure-kpa") < 3.07 < 5.0


def test_floor_loads_as_printed() -> None:
    # BS 6399-1:1996 table 1: dwelling 1.5 kN/m2, 1.4 kN
    assert published("floor.home.pressure-kpa") == 1.5
    assert published("floor.home.point-kn") == 1.4


def test_the_fall_of_a_garage_floor() -> None:
    # 1 in 100: 52 mm over 5.18 m, 13 to 16 mm under a rack
    assert fall_mm(0, 10, 0, 5180) == pytest.approx(51.8)
    assert fall_mm(0, 10, 0, 1250) == pytest.approx(12.5)
    # 1/8 in a foot: 3.175 / 304.8
    assert published("floor.garage-fall-mm-per-m") == pytest.approx(3.175 / 0.3048, abs=0.05)


def test_plates_on_a_sleeve() -> None:
    # a sleeve of 415 takes 5 to 6 rubber plates of 20 kg of the thin kind, 4 of the thickest
    assert plates_on_sleeve(415, 60) == 6
    assert plates_on_sleeve(415, 95) == 4
    assert plates_on_sleeve(380, 95) == 4


def test_factors_of_use_cover_what_was_measured() -> None:
    # pull-ups: peak force 151 % of body weight (Emerson and others 2014, abstract)
    assert published("fixing.factor.strict") > 1.51
    # a full swing on rings: 9 body weights (Brewin and others, abstract): the factor is no cover
    assert published("fixing.factor.swinging") < 9
    assert row("fixing.factor.swinging").status == "practice"


@given(sizes, sizes, sizes, st.integers(1, 4), st.integers(0, 4))
def test_farther_out_pulls_more_and_rows_farther_apart_pull_less(
    load: float, out: float, drop: float, top: int, more: int
) -> None:
    here = wall_pull(load, out, drop, top, top + more)
    assert wall_pull(load, out * 2, drop, top, top + more).tension_n > here.tension_n
    assert wall_pull(load, out, drop * 2, top, top + more).tension_n < here.tension_n
    assert here.resultant_n >= max(here.tension_n, here.shear_n)


@given(st.floats(-30, 30), st.floats(-30, 30), st.floats(-6000, 6000), st.floats(-6000, 6000))
def test_a_plane_falls_back_as_it_rose(rx: float, ry: float, dx: float, dy: float) -> None:
    assert fall_mm(rx, ry, dx, dy) == pytest.approx(-fall_mm(rx, ry, -dx, -dy))


def test_a_pull_straight_out_goes_to_the_upper_row() -> None:
    # (1000 x 300 / 200 + 500) / 4 = 500 N; shear 1000 / 5 = 200 N; hypot 538.5 (by hand)
    pull = wall_pull(1000, 300, 200, 4, 5, level_n=500)
    assert (pull.tension_n, pull.shear_n) == (500, 200)
    assert pull.resultant_n == pytest.approx(538.52, abs=0.01)


def test_one_row_of_fixings_alone_may_carry_all() -> None:
    # all fixings in the upper row
    assert wall_pull(900, 300, 300, 3, 3) == Pull(300, 300)


def test_a_fall_both_ways_adds_up() -> None:
    # 10 mm a metre over 2 m and 5 over 4 m: 20 + 20 mm; across it they cancel
    assert fall_mm(10, 5, 2000, 4000) == pytest.approx(40)
    assert fall_mm(10, 5, 2000, -4000) == pytest.approx(0)


def test_pressure_in_units() -> None:
    unit: UnitRegistry[float] = UnitRegistry()
    weight = unit("200 kg") * unit("9.81 m/s^2")
    area = unit("500 mm") * unit("800 mm")
    assert pressure_kpa(200, 500, 800) == pytest.approx((weight / area).to("kPa").magnitude)
    assert point_kn(200, 4) == pytest.approx(weight.to("kN").magnitude / 4)
