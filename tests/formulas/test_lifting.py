"""The lifting equation against worked examples."""

import math

import pytest

from app.formulas.lifting import box_limit_kg, people_for, recommended_kg


def test_a_worked_lift() -> None:
    # 12 kg, H 25, V 55, D 95 cm, 3 lifts a minute for 45 minutes (0.88), fair (0.95): an
    # exercise that prints VM 0.940, DM 0.867, RWL 15.7 kg and LI 0.76
    limit = recommended_kg(25, 55, 95, frequency=0.88, grip=0.95)
    assert math.isclose(limit, 15.68, abs_tol=0.005)


def test_the_first_example_of_the_manual() -> None:
    # NIOSH 94-110, example 1, 44 lb, H 23 in, V 15 to 63 in, D 48 in, fair. It prints 16.3 and
    # 14.5 lb with its rounded tables; the equation itself gives 16.03 and 14.31 lb
    inch, pound = 2.54, 0.45359237
    start = recommended_kg(23 * inch, 15 * inch, 48 * inch, grip=0.95)
    end = recommended_kg(23 * inch, 63 * inch, 48 * inch, grip=1)
    # within 3.5 %: the metric constants are rounded from 51 lb, 10 / H and 0.0075
    assert math.isclose(start / pound, 16.03, rel_tol=0.035)
    assert math.isclose(end / pound, 14.31, rel_tol=0.035)


def test_limits_of_the_equation() -> None:
    # NIOSH 94-110, pp. 8-15
    assert recommended_kg(20, 75, 20) == recommended_kg(25, 75, 25) == 23
    assert recommended_kg(63.1, 75, 25) == 0
    assert recommended_kg(25, 176, 25) == 0
    assert recommended_kg(25, 75, 176) == 0
    assert recommended_kg(25, 75, 25, twist_deg=136) == 0
    assert math.isclose(recommended_kg(25, 75, 25, twist_deg=90), 23 * 0.712)
    with pytest.raises(ValueError, match="0 or more"):
        recommended_kg(-1, 75, 25)


def test_a_box_from_the_floor() -> None:
    # 23 x 25/30 x 0.835 x (0.82 + 4.5/55) x 0.95
    assert math.isclose(box_limit_kg(), 13.71, abs_tol=0.005)


@pytest.mark.parametrize(
    ("mass", "people", "enough"),
    [(10, 1, True), (25, 1, True), (25.1, 2, True), (45, 2, True), (100, 4, True), (110, 4, False)],
)
def test_people(mass: float, people: int, enough: bool) -> None:
    # common practice: one for each 25 kg, at most four find a hold
    assert people_for(mass) == (people, enough)


def test_a_lift_below_the_knuckles() -> None:
    # NIOSH 94-110: V 25 cm is 50 under 75, so VM 0.85; H 50 gives 25/50; D 45: 0.82 + 4.5/45
    # 23 x 0.5 x 0.85 x 0.92 = 8.993 kg
    assert math.isclose(recommended_kg(50, 25, 45), 8.993, abs_tol=0.001)
    # as far above 75 as below it
    assert math.isclose(recommended_kg(50, 125, 45), 8.993, abs_tol=0.001)


def test_on_the_limits_something_may_be_lifted() -> None:
    # NIOSH 94-110, pp. 8-15: H 63, V 175, D 175 cm and 135 degrees are still within
    assert recommended_kg(63, 75, 25) == pytest.approx(23 * 25 / 63)
    assert recommended_kg(25, 175, 25) == pytest.approx(23 * 0.7)
    assert recommended_kg(25, 75, 175) == pytest.approx(23 * (0.82 + 4.5 / 175))
    assert recommended_kg(25, 75, 25, twist_deg=135) == pytest.approx(23 * (1 - 0.0032 * 135))


@pytest.mark.parametrize("which", range(4))
def test_no_length_of_a_lift_is_below_nothing(which: int) -> None:
    lift = [25.0, 75.0, 25.0, 0.0]
    lift[which] = -0.5
    with pytest.raises(ValueError, match="0 or more"):
        recommended_kg(*lift)


def test_frequency_and_grip_multiply() -> None:
    # 23 x 0.5 x 0.8
    assert recommended_kg(25, 75, 25, frequency=0.5, grip=0.8) == pytest.approx(9.2)


def test_nothing_to_carry_asks_for_one() -> None:
    assert people_for(0) == (1, True)
