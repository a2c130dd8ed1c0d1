"""The sheet of the picture: a view that nobody measures with a ruler says so."""

from app.drawing.composed import NO_SCALE
from app.usecases.drawing_set import SET
from tests.drawing.reading import parse, seen
from tests.drawing.sheets.judged import sample, sheet


def test_a_picture_has_no_scale_no_bar_and_no_line_to_hold_a_ruler_to() -> None:
    drawn = sheet(sample("single-garage"), "picture")
    for svg in drawn.svgs:
        words = [t.words for t in seen(parse(svg))]
        assert NO_SCALE in words
        assert not any("not 100 mm" in one or one.startswith("1:") for one in words)
        assert "scale-bar" not in svg
    # its floor has squares of a size that is told
    said = " ".join(t.words for svg in drawn.svgs for t in seen(parse(svg)))
    assert "Squares of the floor 1.00 m" in said


def test_the_list_of_a_set_names_scales_of_drawings_alone() -> None:
    (cover, *_) = sheet(sample("single-garage"), SET).svgs
    words = [t.words for t in seen(parse(cover))]
    at = words.index("Picture")
    assert words[at + 1] == "–"
    assert words[words.index("Plan", words.index("Sheets")) + 1].startswith("1:")
