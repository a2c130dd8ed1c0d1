"""What each block of the sheet of light and power is about is said in its heading."""

from tests.drawing.reading import parse, seen
from tests.drawing.sheets.judged import sample, sheet


def test_a_strip_with_a_name_of_the_household_is_called_a_light_strip() -> None:
    of = sample("double-garage")
    (run,) = of.scene.plan.fit_out.strips
    assert run.label == "Over the mirror"
    words = [t.words for svg in sheet(of, "power").inside for t in seen(parse(svg))]
    assert "Light strip: over the mirror" in words
    assert run.label not in words
