"""Lettering is measured generously, shortened and wrapped within its place."""

import pytest
from fontTools.ttLib import TTFont
from hypothesis import given
from hypothesis import strategies as st

from app.drawing.face import font_file, printed
from app.drawing.lettering import shorten, shorten_list, width_of, wrap

words = st.text(st.characters(codec="utf-8"), max_size=60)


def true_width(text: str, bold: bool) -> float:
    """The width that the font's own library reads in its file, in sizes of the font."""
    font = TTFont(font_file(bold))
    glyphs, widths = font.getBestCmap(), font["hmtx"]
    return float(sum(widths[glyphs[ord(sign)]][0] for sign in text) / font["head"].unitsPerEm)


@pytest.mark.parametrize("bold", [False, True])
@pytest.mark.parametrize("text", ["Double garage", "5320", "7' 10 1/2\"", "שלום", "Ωμέγα", "ňŘ"])
def test_widths_are_those_of_the_font(text: str, bold: bool) -> None:
    assert width_of(text, 3, bold=bold) == pytest.approx(3 * true_width(text, bold), rel=1e-9)


def test_figures_are_all_of_one_width() -> None:
    assert len({width_of(digit, 1) for digit in "0123456789"}) == 1


def test_what_the_font_lacks_is_printed_by_its_name() -> None:
    # names of the Unicode character database
    assert printed("Rack \N{WEIGHT LIFTER}\N{VARIATION SELECTOR-16}") == "Rack [weight lifter]"
    assert printed("مد") == "[arabic letter meem][arabic letter dal]"
    assert printed("plain – 1½ m²") == "plain – 1½ m²"


@given(text=words, room=st.floats(1, 80))
def test_shortened_fits(text: str, room: float) -> None:
    short = shorten(text, 2.5, room)
    assert width_of(short, 2.5) <= room or short == ""
    assert short == text or short.endswith("…") or short == ""


@given(text=words, room=st.floats(5, 80))
def test_wrapped_fits_and_loses_nothing(text: str, room: float) -> None:
    lines = wrap(text, 2.5, room)
    assert all(width_of(line, 2.5) <= room or len(line) == 1 for line in lines)
    assert "".join("".join(lines).split()) == "".join(text.split())


@pytest.mark.parametrize(
    "whole",
    # SI Brochure, 9th edition, 5.4.3: a number and its unit stand with a space between them; that
    # a line does not end there is common practice, no source
    ["1142 mm", "16.2 m²", "2.0 kW", "80 %", "15 °C", "7' 10 1/2\"", "0' 9 11/16\"", '9 1/16"'],
)
def test_a_number_stays_with_its_unit_and_a_length_in_feet_whole(whole: str) -> None:
    text = f"First joint {whole} off it, then {whole}. A wall of 3 men, 11 April"
    for room in range(30, 90):
        lines = wrap(text, 2.5, room)
        assert " ".join(lines) == text
        assert sum(line.count(whole) for line in lines) == 2
    # what is no unit is parted as any word is
    assert "of 3" in {line[-4:] for room in range(10, 90) for line in wrap(text, 2.5, room)}


def test_last_line_tells_that_there_is_more() -> None:
    lines = wrap("one two three four five six seven", 2.5, 15, 2)
    assert len(lines) == 2
    assert lines[1].endswith("…")


@pytest.mark.parametrize(
    ("words", "short"),
    [
        ("Unpack: rower, bike, box and 7 more", "Unpack: rower, bike, box and 7 more"),
        ("Unpack: rower, bike, box and 7 more", "Unpack: rower, bike and 8 more"),
        ("Unpack: rower, bike, box and 7 more", "Unpack: rower and 9 more"),
        ("Unpack: rower, upright bike, jump box", "Unpack: rower and 2 more"),
        ("Unpack: rower, upright bike, jump box", "Unpack: row…"),
        ("Look for cables, pipes and damp", "Look for cab…"),
    ],
)
def test_a_list_names_fewer_things_and_counts_the_rest(words: str, short: str) -> None:
    # room for what is to come of it and no more
    assert shorten_list(words, 10.0, width_of(short, 10.0) + 0.01) == short
