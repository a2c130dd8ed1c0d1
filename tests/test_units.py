"""Lengths as people write them. 1 in = 25.4 mm exactly (international agreement, 1959)."""

import contextlib
import itertools

import pint
import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.errors import LengthError
from app.units import (
    Units,
    format_length,
    format_money,
    format_short,
    lengths_between,
    parse_length_mm,
    told_mm,
)

METRIC = [
    ("2.4", 2400), ("2,40", 2400), ("2.40", 2400), ("2400", 2400), ("2 400 mm", 2400),
    ("2\u202f400", 2400), ("2400mm", 2400), ("2400 mm", 2400), ("240cm", 2400),
    ("240 cm", 2400), ("240,5 cm", 2405), ("2.4 m", 2400), ("2,4m", 2400), ("2m40", 2400),
    ("2 m 40", 2400), ("2m405", 2405), ("2 m 40 cm", 2400), ("2 m 5 cm", 2050),
    ("2 m 405 mm", 2405), ("2.405", 2405), ("2,405", 2405), ("2.4 metres", 2400),
    ("2.4 meter", 2400), ("2,400 mm", 2400), ("0.9", 900), (".9", 900), ("0,9 m", 900),
    ("20", 20), ("12.5 mm", 12.5), ("2400.5", 2400.5), ("5.18", 5180), ("  5.32  ", 5320),
    ("0", 0), ("100 m", 100_000), ("7' 10 1/2\"", 2400.3), ("8 ft", 2438.4),
    ("2 M", 2000), ("19.99", 19_990), ("2 m and 2 cm", 2020), ("2m and 40", 2400),
    ("2 m & 405 mm", 2405), ("2 metres and 5 cm", 2050), ("7 ft and 10 1/2 in", 2400.3),
    ("7'-10-1/2\"", 2400.3),
]  # fmt: skip
FEET = [
    ("7' 10 1/2\"", 2400.3), ("7'10 1/2\"", 2400.3), ("7' 10.5\"", 2400.3), ("94 1/2\"", 2400.3),
    ("94.5\"", 2400.3), ("94 1/2", 2400.3), ("7-10 1/2", 2400.3), ("7 10 1/2", 2400.3),
    ("7'-10 1/2\"", 2400.3), ("7′ 10½″", 2400.3), ("7’ 10 ½”", 2400.3), ("7'10½", 2400.3),
    ("7ft 10 1/2in", 2400.3), ("7 ft. 10 1/2 in.", 2400.3), ("7 feet 10 1/2 inches", 2400.3),
    ("94 ½ inch", 2400.3), ("7ft 10in", 2387.6), ("7 ft 10", 2387.6), ("7ft10", 2387.6),
    ("7'10''", 2387.6), ("7 foot", 2133.6), ("7'", 2133.6), ("7.5'", 2286), ("6", 152.4),
    ("94", 2387.6), ("10-1/2\"", 266.7), ("3/4\"", 19.05), ("3/4", 19.05), ("¾\"", 19.05),
    ("7-10-1/2", 2400.3), ("7'-10-1/2\"", 2400.3), ("7 10-1/2", 2400.3), ("7-10", 2387.6),
    ("7 feet and 10 1/2 inches", 2400.3), ("7' & 10\"", 2387.6), ("10 and 1/2 in", 266.7),
    ("2 m and 2 cm", 2020),
    ("0'", 0), ("2.4 m", 2400), ("2400 mm", 2400), ("7' 1/2\"", 2146.3), ("7' 0\"", 2133.6),
]  # fmt: skip
REFUSED: list[tuple[str, Units, str]] = [
    ("", "metric", "no length"),
    ("   ", "feet", "no length"),
    ("2.400,5", "metric", "both a point and a comma"),
    ("1,234.5 mm", "metric", "both a point and a comma"),
    ("20,400", "metric", "write 20.4 mm or 20400 mm"),
    ("1,200 cm", "metric", "write 1.2 cm or 1200 cm"),
    ("2m4", "metric", "write 2.4 m or 2 m and 4 cm"),
    ("2 m 1200 mm", "metric", "a metre or more"),
    ("-2.4", "metric", "less than nothing"),
    ("− 3", "metric", "less than nothing"),
    ("two metres", "metric", "“two metres” cannot be read"),
    ("5 32", "metric", "only one goes here"),
    ("3.1 x 5.4", "metric", "only one goes here: write it like 2.40 m"),
    ("3.1m × 5.4m", "metric", "only one goes here"),
    ("5.4 3.1", "feet", "only one goes here: write it like 7' 10"),
    ("3 or so", "metric", "cannot be read as a length"),
    ("2.4.1", "metric", "cannot be read"),
    ("1e3", "metric", "cannot be read"),
    ("nan", "metric", "cannot be read"),
    ("inf", "metric", "cannot be read"),
    ("7-10 1/2", "metric", "no unit: if it is feet and inches, write 7' 10 1/2\""),
    ("7-10-1/2", "metric", "no unit: if it is feet and inches, write 7' 10 1/2\""),
    ("7-10", "metric", "cannot be read"),
    ("2 m 4056", "metric", "cannot be read"),
    ("2m2", "metric", "write 2.2 m or 2 m and 2 cm"),
    ("2 and 2", "feet", "cannot be read"),
    ("100.001 m", "metric", "at most 100 m"),
    ("9" * 5000, "metric", "cannot be read"),
    ("7.5", "feet", "write 7.5' or 7.5\""),
    ("7' 14\"", "feet", "12 inches or more"),
    ("7' 10 3/2\"", "feet", "no part of an inch"),
    ('1/0"', "feet", "no part of an inch"),
    ("7.5' 3\"", "feet", "cannot be read"),
    ("<b>5</b>", "feet", "cannot be read"),
]


@pytest.mark.parametrize(("text", "expected"), METRIC)
def test_metric_as_written(text: str, expected: float) -> None:
    assert parse_length_mm(text) == expected


@pytest.mark.parametrize(("text", "expected"), FEET)
def test_feet_and_inches_as_written(text: str, expected: float) -> None:
    assert parse_length_mm(text, "feet") == expected


@pytest.mark.parametrize(("text", "units", "sentence"), REFUSED)
def test_what_has_no_single_reading_is_refused(text: str, units: Units, sentence: str) -> None:
    with pytest.raises(LengthError) as caught:
        parse_length_mm(text, units)
    assert sentence in caught.value.sentence
    assert len(caught.value.sentence) < 160


@pytest.mark.parametrize(
    ("text", "units"),
    [("2m2", "metric"), ("2m4", "metric"), ("20,400", "metric"),
     ("1,200 cm", "metric"), ("7.5", "feet"), ("7-10 1/2", "metric"), ("7-10-1/2", "metric")],
)  # fmt: skip
def test_what_a_refusal_proposes_is_read(text: str, units: Units) -> None:
    with pytest.raises(LengthError) as caught:
        parse_length_mm(text, units)
    proposed = caught.value.sentence.partition("write ")[2].split(" or ")
    assert len(proposed) in (1, 2)
    lengths = {parse_length_mm(one, units) for one in proposed}
    assert len(lengths) == len(proposed)


@given(st.text(alphabet="0123456789.,'\"/- mcftin½′″", max_size=12), st.sampled_from(["m", "f"]))
def test_any_text_is_a_length_or_a_sentence(text: str, which: str) -> None:
    length = 0.0
    with contextlib.suppress(LengthError):
        length = parse_length_mm(text, "metric" if which == "m" else "feet")
    assert 0 <= length <= 100_000


@given(st.integers(0, 100_000))
def test_metric_round_trip(length: int) -> None:
    assert parse_length_mm(format_short(length)) == length
    assert parse_length_mm(format_length(length)) == length


@given(st.integers(0, 62_000))
def test_feet_round_trip_to_the_sixteenth(sixteenths: int) -> None:
    length = sixteenths * 25.4 / 16
    assert parse_length_mm(format_short(length, "feet"), "feet") == pytest.approx(length, abs=1e-9)


@given(st.floats(0, 99_999))
def test_written_lengths_are_near(length: float) -> None:
    assert abs(parse_length_mm(format_length(length)) - length) <= 0.5 + 1e-9
    again = parse_length_mm(format_length(length, "feet"), "feet")
    assert abs(again - length) <= 25.4 / 32 + 1e-9


REGISTRY: "pint.UnitRegistry[float]" = pint.UnitRegistry()


@given(st.decimals(0, 9, places=3), st.sampled_from(["mm", "cm", "m", "ft", "in"]))
def test_units_agree_with_an_independent_registry(amount: object, unit: str) -> None:
    # three decimals of mm or cm read as thousands: a fourth keeps it to one reading
    theirs = REGISTRY.Quantity(float(str(amount)), unit).to("mm").magnitude
    ours = parse_length_mm(f"{amount}0 {unit}")
    assert ours == pytest.approx(theirs, abs=1e-9)


@pytest.mark.parametrize(
    ("length", "units", "expected"),
    [
        (2400, "metric", "2.40 m"),
        (2405, "metric", "2.405 m"),
        (450, "metric", "450 mm"),
        (1000, "metric", "1.00 m"),
        (-118.2, "metric", "-118 mm"),
        (2400.3, "feet", "7' 10 1/2\""),
        (2438.4, "feet", "8' 0\""),
        (2146.3, "feet", "7' 0 1/2\""),
        (266.7, "feet", '10 1/2"'),
        (19.05, "feet", '3/4"'),
        (0, "feet", '0"'),
        (304.79, "feet", "1' 0\""),
        (-25.4, "feet", '-1"'),
    ],
)
def test_written_with_its_unit(length: float, units: Units, expected: str) -> None:
    assert format_length(length, units) == expected


def test_short_metric_is_bare_millimetres() -> None:
    assert format_short(2400.4) == "2400"


@pytest.mark.parametrize(
    ("minor", "currency", "expected"),
    [
        (123_450, "EUR", "€1,234.50"),
        (5, "GBP", "£0.05"),
        (-19_900, "USD", "-$199.00"),
        (1200, "JPY", "1,200 JPY"),
        (1234, "KWD", "1.234 KWD"),
        (99_900, "SEK", "999.00 SEK"),
    ],
)
def test_money(minor: int, currency: str, expected: str) -> None:
    assert format_money(minor, currency) == expected


@given(
    st.lists(st.floats(0.0, 9_000.0), min_size=1, max_size=8),
    st.sampled_from(("metric", "feet")),
)
def test_each_length_of_a_chain_is_rounded_by_itself(parts: list[float], units: Units) -> None:
    stops = [sum(parts[:i]) for i in range(len(parts) + 1)]
    # read again in hundredths of a millimetre: a sixteenth of an inch is 1.5875
    told = lengths_between(stops, units)
    half = 25.4 / 16 / 2 if units == "feet" else 0.5
    for (a, b), words in zip(itertools.pairwise(stops), told, strict=True):
        assert abs(parse_length_mm(_marked(words, units), units) - (b - a)) < half + 0.01


def _marked(words: str, units: Units) -> str:
    return words if units == "feet" else f"{words} mm"


def test_what_is_summed_is_a_whole_millimetre_in_metric_and_exact_in_feet() -> None:
    # by hand: 2294.6 mm are 90.339 in, 7 ft 6 5/16; 2295 are 90.354, 7 ft 6 3/8
    assert told_mm(2294.6, "metric") == 2295
    assert format_short(told_mm(2294.6, "feet"), "feet") == "7' 6 5/16\""
    assert format_short(told_mm(2294.6, "metric"), "feet") == "7' 6 3/8\""


def test_lengths_of_a_chain_that_are_alike_are_told_alike() -> None:
    # by hand: 283.4 mm is 178.52 sixteenths, 7 ft 1344; the whole is 1701.04, one less than 1702
    told = lengths_between([0, 283.4, 283.4 + 2133.6, 2700.4], "feet")
    assert told == ['11 3/16"', "7' 0\"", '11 3/16"']
