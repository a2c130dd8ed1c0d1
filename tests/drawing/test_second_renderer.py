"""Other programs than a browser see the same ink in the SVG of a sheet as in its PDF.

Every dark spot of one has a dark spot of the other within 0.25 mm, words included.
"""

import math

import pytest

from app.drawing.primitives import Line, Polygon, Text
from app.drawing.sheet import Page, as_pdf
from app.usecases.drawing_set import names_of
from app.usecases.files import samples
from tests.drawing.rasters import A_MM, alone, ink, of_pdf, of_svg
from tests.drawing.sheets.judged import sample, sheet
from tests.thinned import one_of

WITHIN_PX = 2
EXTENT_MM = 0.15


def differences(pages: tuple[Page, ...]) -> list[tuple[float, float]]:
    found = []
    for page, printed in zip(pages, of_pdf(as_pdf(pages, "test")), strict=True):
        drawn = of_svg(page.as_svg())
        # a picture is as large as its paper, to a pixel
        for high, wide in (drawn.shape, printed.shape):
            assert (high, wide) == pytest.approx(
                (page.height_mm * A_MM, page.width_mm * A_MM), abs=1.01
            )
        assert ink(drawn) == pytest.approx(ink(printed), abs=EXTENT_MM)
        found += alone(drawn, printed, WITHIN_PX) + alone(printed, drawn, WITHIN_PX)
    return found


@pytest.mark.parametrize("which", one_of(3, ["setting-out", "section", "plan"]))
def test_svg_and_pdf_have_the_same_ink(which: str) -> None:
    assert differences(sheet(sample("upstairs-room"), which, "A4").pages) == []


@pytest.mark.long
@pytest.mark.parametrize(("units", "paper"), [("metric", "A3"), ("feet", "Letter")])
@pytest.mark.parametrize("key", [one.key for one in samples()])
def test_svg_and_pdf_of_every_sheet_have_the_same_ink(key: str, units: str, paper: str) -> None:
    of = sample(key, "feet" if units == "feet" else "metric")
    for which, _ in names_of(of.plan):
        assert differences(sheet(of, which, paper).pages) == [], which


@pytest.mark.parametrize(
    ("one", "other"),
    [
        (Line((20, 20), (60, 20), "frame"), Line((20, 20), (60.6, 20), "frame")),
        (Line((20, 20), (60, 20), "dim"), Line((20, 20.6), (60, 20.6), "dim")),
        (Text((20, 20), "1200", "dimt", "start"), Text((20, 20), "1290", "dimt", "start")),
    ],
    ids=["longer", "lower", "another figure"],
)
def test_what_is_drawn_otherwise_is_seen(one: Line | Text, other: Line | Text) -> None:
    drawn = of_svg(Page((one,), 100, 80, "one").as_svg())
    (printed,) = of_pdf(as_pdf([Page((other,), 100, 80, "other")], "other"))
    assert alone(drawn, printed, WITHIN_PX) + alone(printed, drawn, WITHIN_PX)


def test_lines_end_where_they_end_and_sharp_corners_are_cut_short() -> None:
    # 0.7 wide: with caps a line would reach 0.35 further, with its miter this corner some 2 mm
    sharp = Polygon(((20, 40), (70, 43), (20, 46)), "frame")
    page = Page((Line((20, 20), (60, 20), "frame"), sharp), 100, 80, "ends")
    (printed,) = of_pdf(as_pdf([page], "ends"))
    line, corner = printed[: 30 * A_MM], printed[30 * A_MM :]
    left, _, right, _ = ink(line)
    assert (left, right) == pytest.approx((20, 60), abs=EXTENT_MM)
    _, _, right, _ = ink(corner)
    assert right < 70 + 0.35 / math.sin(math.atan2(3, 50)) - 1
    assert differences((page,)) == []
