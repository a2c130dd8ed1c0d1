"""Paper sizes, scales and the arithmetic of what fits."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.drawing.paper import (
    MARGIN_MM,
    PAPERS,
    SCALES,
    SheetError,
    arrange_at,
    arrangements,
    largest_scale,
    paper_of,
    scale_words,
    size_of_room,
)
from app.units import Units

# A4 and A3: ISO 216:2007, table of the A series. Letter and Tabloid: 8.5 x 11 in and 11 x 17 in,
# sizes A and B of ASME Y14.1; 1 in = 25.4 mm.
SIZES = {
    "A4": (210, 297),
    "A3": (297, 420),
    "Letter": (215.9, 279.4),
    "Tabloid": (279.4, 431.8),
}


@pytest.mark.parametrize("key", SIZES)
def test_paper_has_the_size_of_its_standard(key: str) -> None:
    paper = paper_of(key)
    assert (paper.short_mm, paper.long_mm) == pytest.approx(SIZES[key])


def test_only_these_papers() -> None:
    assert set(PAPERS) == set(SIZES)
    assert paper_of(" letter ").key == "Letter"
    with pytest.raises(SheetError, match="no paper 'A0'"):
        paper_of("A0")


def test_scales_are_those_of_drawing_offices() -> None:
    # ISO 5455 reductions 1:10, 1:20, 1:50, 1:100; 1:25 is trade practice. 1/2 in to the foot is
    # 12 / 0.5 = 24, 1/4 in 12 / 0.25 = 48, 1/8 in 12 / 0.125 = 96.
    assert SCALES["metric"] == (10, 20, 25, 50, 100)
    assert SCALES["feet"] == (24, 48, 96)
    assert scale_words(24) == "1/2 in to the foot (1:24)"
    assert scale_words(48) == "1/4 in to the foot (1:48)"
    assert scale_words(25) == "1:25"


@pytest.mark.parametrize(
    ("width", "depth", "paper", "units", "scale"),
    [
        # 5460 / 25 = 218 mm and chains of 32 make 250, within the 263 that A3 leaves
        (5600, 5460, "A3", "metric", 25),
        # at 1:25 the same 250 mm are more than the 210 of A4's short side
        (5600, 5460, "A4", "metric", 50),
        # at 1:24 5460 and chains are 260 mm, over the 245 of Tabloid lying; 5600 and chains are
        # 265, over the 259 of Tabloid upright
        (5600, 5460, "Tabloid", "feet", 48),
        (5000, 4800, "Tabloid", "feet", 24),
        (2000, 1500, "A3", "metric", 10),
        (12000, 9000, "A4", "metric", 100),
    ],
)
def test_largest_scale(width: float, depth: float, paper: str, units: Units, scale: int) -> None:
    assert largest_scale(size_of_room(width, depth), paper_of(paper), units) == scale


def test_too_large_says_what_would_do() -> None:
    size = size_of_room(5600, 5460)
    with pytest.raises(SheetError) as found:
        arrange_at(size, paper_of("A4"), 25)
    assert found.value.sentence == (
        "at 1:25 the room does not fit on A4: take 1:50, or take A3 or Tabloid"
    )


def test_no_paper_would_do() -> None:
    with pytest.raises(SheetError, match="even at 1:100: no paper known here would do"):
        largest_scale(size_of_room(90_000, 90_000), paper_of("A3"))


def test_unknown_scale_is_refused() -> None:
    with pytest.raises(SheetError, match="no scale 1:33"):
        arrange_at(size_of_room(1000, 1000), paper_of("A3"), 33)


@given(
    width=st.floats(1000, 15_000),
    depth=st.floats(1000, 15_000),
    paper=st.sampled_from(sorted(PAPERS)),
)
def test_the_scale_given_is_the_largest(width: float, depth: float, paper: str) -> None:
    size, sheet = size_of_room(width, depth), paper_of(paper)
    try:
        scale = largest_scale(size_of_room(width, depth), sheet)
    except SheetError:
        scale = 10_000
    for larger in (s for s in SCALES["metric"] if s < scale):
        wide, high = size(larger)
        assert not any(
            wide <= a.figure.width and high <= a.figure.height for a in arrangements(sheet)
        )


@pytest.mark.parametrize("key", SIZES)
def test_parts_of_a_sheet_keep_to_the_frame(key: str) -> None:
    for way in arrangements(paper_of(key)):
        assert way.frame.x == way.frame.y == MARGIN_MM == 10
        assert {way.width_mm, way.height_mm} == set(SIZES[key])
        for box in (way.figure, way.strip, *way.columns):
            assert box.x >= way.frame.x - 1e-9
            assert box.y >= way.frame.y - 1e-9
            assert box.right <= way.frame.right + 1e-9
            assert box.bottom <= way.frame.bottom + 1e-9
        area = sum(b.width * b.height for b in (way.figure, way.strip, *way.columns))
        assert area == pytest.approx(way.frame.width * way.frame.height)
