"""Weights, temperatures and falls, typed and written in the units of a plan.

Worked by hand: 190 lb x 0.45359237 = 86.18255 kg; 5 °C x 1.8 + 32 = 41 °F; 1/8 inch a foot is
3.175 / 304.8 = 10.4167 mm a metre.
"""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.scales import MASS, TEMPERATURE, Scale, beside_kg, read_fall_permille, written_fall
from app.units import Units
from app.wording import measure_words, phrase


@pytest.mark.parametrize(
    ("scale", "text", "units", "expected"),
    [
        (MASS, "190", "feet", 86.18255),
        (MASS, "190 lbs", "metric", 86.18255),
        (MASS, "86 kg", "feet", 86),
        (MASS, "81,5", "metric", 81.5),
        (TEMPERATURE, "41", "feet", 5),
        (TEMPERATURE, "−2", "metric", -2),
        (TEMPERATURE, "20 °C", "feet", 20),
        (TEMPERATURE, "14 °F", "metric", -10),
    ],
)
def test_a_figure_means_the_unit_of_the_plan_or_its_own(
    scale: Scale, text: str, units: Units, expected: float
) -> None:
    assert scale.read(text, units) == pytest.approx(expected, abs=1e-4)


@pytest.mark.parametrize("text", ["", "light", "80 stone", "1/2", "--3", "80 kg lb"])
def test_what_is_no_figure_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match=text or "^$"):
        MASS.read(text, "metric")


@given(st.floats(0.5, 300), st.sampled_from(("metric", "feet")))
def test_a_weight_reads_back_as_it_was_written(mass_kg: float, units: Units) -> None:
    assert MASS.read(MASS.written(mass_kg, units), units) == pytest.approx(mass_kg, rel=1e-3)


@given(st.floats(0, 300), st.sampled_from(("metric", "feet")))
def test_a_fall_reads_back_as_it_was_written(permille: float, units: Units) -> None:
    assert read_fall_permille(written_fall(permille, units), units) == pytest.approx(
        permille, abs=0.1
    )


def test_a_fall_in_feet_is_inches_in_each_foot() -> None:
    assert read_fall_permille('1/8"', "feet") == pytest.approx(10.4167, abs=1e-4)
    assert written_fall(10.4166667, "feet") == '1/8"'
    assert written_fall(12.5, "metric") == "12.5"


def test_sentences_tell_weights_and_warmth_in_the_units_of_the_plan() -> None:
    said = phrase("{:kg} each and {:bare-kg} at most, at {:celsius}", 45, 25, 5)
    assert said.worded("metric") == "45 kg each and 25 at most, at 5 °C"
    assert said.worded("feet") == "99 lb each and 55 at most, at 41 °F"


def test_halves_are_rounded_up_as_people_do_it() -> None:
    # 45 kg by two and 110 by four
    assert phrase("{:kg} and {:kg}", 22.5, 27.5).worded("metric") == "23 kg and 28 kg"
    assert phrase("{:kg} and {:kg}", 22.49, 27.51).worded("metric") == "22 kg and 28 kg"
    assert MASS.words(0.15, "metric", 1) == "0.2 kg"


def test_quantities_in_kg_are_told_in_lb() -> None:
    assert measure_words(2, "kg", "metric") == "2 kg"
    assert measure_words(2, "kg", "feet") == "4.41 lb"
    # 20 kg/m2 x 2.204623 / 10.7639
    assert measure_words(20, "kg/m2", "feet") == "4.1 lb/ft²"


def test_what_is_sold_by_weight_keeps_it_with_pounds_beside() -> None:
    assert beside_kg("Bar 20 kg", "feet") == "Bar 20 kg (44 lb)"
    assert beside_kg("5 kg bag", "feet") == "5 kg (11 lb) bag"
    assert beside_kg("Bar 20 kg", "metric") == "Bar 20 kg"
    assert beside_kg("Flat bench", "feet") == "Flat bench"


def test_a_step_of_warmth_has_no_nought_of_its_own() -> None:
    assert TEMPERATURE.step_words(10, "feet") == "18 °F"
    assert TEMPERATURE.step_words(1.4, "metric", 1) == "1.4 °C"
