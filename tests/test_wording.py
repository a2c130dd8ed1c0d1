"""Sentences with lengths: one template, told in millimetres or in feet and inches."""

from __future__ import annotations

import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.units import parse_length_mm
from app.wording import (
    counted,
    joined,
    length_words,
    lower,
    open_words,
    phrase,
    several,
    told_beside,
)


@pytest.mark.parametrize(
    ("length_mm", "words"),
    [
        # 720 mm = 28.346 in = 28 in and 5.5 sixteenths, to the even 6: 28 3/8 in
        (720, "2' 4 3/8\""),
        # 19.05 mm = 0.75 in
        (19.05, '3/4"'),
        # 2134 mm = 84.016 in = 7 ft
        (2134, "7' 0\""),
        (0.4, '0"'),
        # 0.6 mm is 1 mm in metric words, so it is not nothing here
        (0.6, '1/16"'),
        (-0.6, '-1/16"'),
        (0.0, '0"'),
    ],
)
def test_lengths_in_feet(length_mm: float, words: str) -> None:
    assert length_words(length_mm, "feet") == words


def test_a_template_says_what_its_figures_are() -> None:
    said = phrase("{} is {:mm} wide, {:bare} is the least; {:.0f} kg", "The rack", 720, 609.8, 80.2)
    assert said.worded("metric") == "The rack is 720 mm wide, 610 is the least; 80 kg"
    # 609.8 mm = 24.008 in
    assert said.worded("feet") == "The rack is 2' 4 3/8\" wide, 2' 0\" is the least; 80 kg"


def test_rough_lengths_and_areas() -> None:
    said = phrase("{:metres} off, a cord is about {:bare-metres}", 4523, 1800)
    assert said.worded("metric") == "4.5 m off, a cord is about 1.8"
    # 4523 mm = 178.07 in = 14 ft 10 in; 1800 mm = 70.87 in, to the inch 5 ft 11 in
    assert said.worded("feet") == "14' 10\" off, a cord is about 5' 11\""
    pane = phrase("{:area} of {:bare-area}", 0.29, 0.33)
    assert pane.worded("metric") == "0.29 square metres of 0.33"
    # 1 m2 = 10.7639 ft2: 3.12 and 3.55
    assert pane.worded("feet") == "3.1 square feet of 3.6"


def test_what_is_open_is_counted_as_one_says_it() -> None:
    assert open_words({"stop": 1, "care": 2, "note": 0}) == "1 stop, 2 cares, 0 notes"
    assert open_words({"stop": 0, "care": 1, "note": 5}, ("stop", "care")) == "0 stops, 1 care"


def test_phrases_are_values_of_phrases() -> None:
    part = phrase("its edge is at {:bare}", 508)
    said = phrase("{:cap}. {:cap}", joined("; ", (part, "a socket is there")), "then")
    assert said.worded("metric") == "Its edge is at 508; a socket is there. Then"
    assert said.worded("feet") == "Its edge is at 1' 8\"; a socket is there. Then"


def test_two_lengths_that_differ_never_read_alike() -> None:
    # 748.8 and 750 mm are both 29 1/2 in to the sixteenth; to 1/32 they are 29 15/32 and 29 17/32
    said = phrase("{:bare} is clear, {:bare} is the least", 748.8, 750)
    assert said.worded("feet") == "2' 5 15/32\" is clear, 2' 5 17/32\" is the least"
    same = phrase("{:bare} of {:bare}", 750, 750)
    assert same.worded("feet") == "2' 5 1/2\" of 2' 5 1/2\""


@given(st.floats(min_value=0.8, max_value=100_000))
def test_what_is_told_is_read_back_to_a_thirty_second_of_an_inch(length_mm: float) -> None:
    told = phrase("{:mm}", length_mm).worded("feet")
    assert abs(parse_length_mm(told, "feet") - length_mm) <= 25.4 / 32 + 1e-6


@given(
    st.floats(min_value=10, max_value=20_000, allow_subnormal=False),
    st.floats(min_value=1.0, max_value=500),
)
def test_a_shortfall_never_reads_as_nothing(clear_mm: float, short_mm: float) -> None:
    said = phrase("{:bare} short: {:bare} of {:bare}", short_mm, clear_mm, clear_mm + short_mm)
    short, clear, least = re.split(" short: | of ", said.worded("feet"))
    assert short != '0"'
    assert clear != least


def test_a_name_goes_on_small_within_a_sentence_and_led_stays_a_word() -> None:
    assert lower("Chest freezer") == "chest freezer"
    assert lower("LED batten 1500") == "LED batten 1500"
    assert lower("") == ""


@pytest.mark.parametrize(
    ("kind", "words"),
    [
        ("Bicycle", "two bicycles"),
        ("Jump box", "two jump boxes"),
        ("Leg press", "two leg presses"),
        ("Wall pulley", "two wall pulleys"),
        ("Multi-station for two, boxy", "two multi-stations for two, boxy"),
        ("Kettlebell shelf", "two kettlebell shelves"),
        ("Stack of rubber plates", "two stacks of rubber plates"),
        ("Bench with uprights", "two benches with uprights"),
        ("Bar 20 kg", "two bars 20 kg"),
        ("Wall bars", "two sets of wall bars"),
        ("Bar hooks on the wall", "two sets of bar hooks on the wall"),
        ("Shelving", "two sets of shelving"),
    ],
)
def test_a_kind_has_a_plural(kind: str, words: str) -> None:
    assert several(2, kind) == words


def test_things_of_a_kind_are_counted_and_what_a_household_calls_them_is_left_alone() -> None:
    names = ["the mid rack", "the bicycle", "the Rolf", "the bicycle", "the Rolf"]
    assert counted(names, {"bicycle"}) == ("the mid rack", "two bicycles", "2 × Rolf")


@pytest.mark.parametrize(
    ("value", "other", "words"),
    [
        (1.52, 1.5, ("1.52", "1.50")),
        (1.402, 1.4, ("1.402", "1.400")),
        (1.6, 1.5, ("1.6", "1.5")),
        # what is at it reads as at it, also after a sum of fractions
        (1.5, 1.5, ("1.5", "1.5")),
        (0.1 + 0.2, 0.3, ("0.3", "0.3")),
        (1.45, 1.1, ("1.5", "1.1")),
    ],
)
def test_what_is_just_over_a_limit_is_not_told_as_at_it(
    value: float, other: float, words: tuple[str, str]
) -> None:
    assert (told_beside(value, other), told_beside(other, value)) == words
