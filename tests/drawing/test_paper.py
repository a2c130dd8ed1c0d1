"""Paper sizes, scales and the arithmetic of what fits."""

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from app.drawing.paper import (
    PAPERS,
    SCALES,
    SheetError,
    Size,
    arrangements,
    block_of,
    largest_scale,
    paper_of,
    round_about,
    scale_at,
    scale_words,
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
    # ISO 5455 reductions 1:10, 1:20, 1:50, 1:100, 1:200, 1:500; 1:25 is trade practice. 1/2 in to
    # the foot is 12 / 0.5 = 24, 3/8 in 12 / 0.375 = 32, 1/4 in 12 / 0.25 = 48.
    assert SCALES["metric"] == (10, 20, 25, 50, 100, 200, 500)
    assert SCALES["feet"] == (16, 24, 32, 48, 96, 192, 480)
    assert scale_words(24) == "1/2 in to the foot (1:24)"
    assert scale_words(32) == "3/8 in to the foot (1:32)"
    assert scale_words(48) == "1/4 in to the foot (1:48)"
    assert scale_words(25) == "1:25"


def figure(width: float, depth: float) -> Size:
    """A room of so many mm with 26 mm of paper round it for its chains."""
    return lambda scale: (width / scale + 26, depth / scale + 26)


@pytest.mark.parametrize(
    ("width", "depth", "paper", "units", "scale"),
    [
        # 5460 / 25 = 218 mm and 26 make 244, within the 250 that A3 leaves over its title block
        (5600, 5460, "A3", "metric", 25),
        # at 1:25 the same are more than the 163 of A4 lying and the 236 of A4 upright
        (5600, 5460, "A4", "metric", 50),
        # 5460 / 24 = 228 and 26 are 254, over the 232 of Tabloid lying; 5600 / 24 + 26 are 259,
        # over the 249 of Tabloid upright
        (5600, 5460, "Tabloid", "feet", 32),
        (4800, 4800, "Tabloid", "feet", 24),
        (2000, 1500, "A3", "metric", 10),
        (12000, 9000, "A4", "metric", 100),
        (40000, 6000, "A3", "metric", 200),
    ],
)
def test_largest_scale(width: float, depth: float, paper: str, units: Units, scale: int) -> None:
    assert largest_scale(figure(width, depth), paper_of(paper), units) == scale


def test_a_scale_too_large_gives_way_to_the_next_and_says_so() -> None:
    assert scale_at(figure(5600, 5460), paper_of("A4"), 25) == (
        50,
        "at 1:25 the room does not fit on A4: drawn at 1:50; at 1:25 take A3",
    )
    assert scale_at(figure(5600, 5460), paper_of("A3"), 25) == (25, "")
    assert scale_at(figure(5600, 5460), paper_of("A3"), None) == (25, "")


def test_no_paper_would_do() -> None:
    with pytest.raises(SheetError, match="even at 1:500: no paper known here would do"):
        largest_scale(figure(900_000, 900_000), paper_of("A3"))


def test_unknown_scale_is_refused() -> None:
    with pytest.raises(SheetError, match="no scale 1:33"):
        scale_at(figure(1000, 1000), paper_of("A3"), 33)


@given(
    width=st.floats(1000, 15_000),
    depth=st.floats(1000, 15_000),
    paper=st.sampled_from(sorted(PAPERS)),
)
def test_the_scale_given_is_the_largest(width: float, depth: float, paper: str) -> None:
    size, sheet = figure(width, depth), paper_of(paper)
    scale = largest_scale(size, sheet)
    for larger in (s for s in SCALES["metric"] if s < scale):
        wide, high = size(larger)
        assert not any(
            wide <= a.figure.width and high <= a.figure.height for a in arrangements(sheet)
        )


@pytest.mark.parametrize("key", SIZES)
def test_parts_of_a_sheet_keep_to_the_frame_and_off_one_another(key: str) -> None:
    paper = paper_of(key)
    lying = (paper.long_mm, paper.short_mm)
    # two figures with words beside and under them: in a corner, and as far as leaves five lines
    round_it = [*round_about(*lying, 100, 80), *round_about(*lying, 120, lying[1] - 120)]
    assert len(round_it) > 1
    for way in (*arrangements(paper), *round_it):
        # ISO 5457: 20 at the binding edge, 10 at the others
        assert (way.frame.x, way.frame.y) == (20, 10)
        assert way.width_mm - way.frame.right == pytest.approx(10)
        assert way.height_mm - way.frame.bottom == pytest.approx(10)
        assert {way.width_mm, way.height_mm} == set(SIZES[key])
        frame = shapely.box(way.frame.x, way.frame.y, way.frame.right, way.frame.bottom)
        block = block_of(way.frame)
        # ISO 7200: 180 wide, so that it stands within the frame of an A4 upright
        assert block.width == 180
        boxes = [
            shapely.box(box.x, box.y, box.right, box.bottom)
            for box in (way.figure, way.strip, *way.columns, block)
        ]
        assert all(frame.buffer(1e-6).covers(box) for box in boxes)
        for i, one in enumerate(boxes):
            assert all(one.intersection(other).area < 1e-6 for other in boxes[i + 1 :])
