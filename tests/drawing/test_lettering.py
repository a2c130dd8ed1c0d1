"""Lettering is measured generously, shortened and wrapped within its place."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.drawing.lettering import shorten, width_of, wrap

words = st.text(st.characters(codec="utf-8"), max_size=60)


# advance widths of DejaVu Sans 2.37, the widest of the usual system fonts, in em
@pytest.mark.parametrize(
    ("text", "em"), [("Double garage", 7.384), ("5320", 2.544), ("Running machine", 8.759)]
)
def test_widths_are_a_little_over_the_true_ones(text: str, em: float) -> None:
    assert em <= width_of(text, 1) <= em * 1.05


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


def test_last_line_tells_that_there_is_more() -> None:
    lines = wrap("one two three four five six seven", 2.5, 20, 2)
    assert len(lines) == 2
    assert lines[1].endswith("…")
