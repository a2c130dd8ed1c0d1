"""Sheets of words: a short list is lettered larger, in capitals of the series of ISO 3098-1."""

import pytest

from app.drawing.composed import Subject
from app.drawing.flow import Block, Words
from app.drawing.paper import PAPERS
from app.drawing.table_cells import Cells
from app.drawing.word_sheet import worded
from tests.builders import make_plan
from tests.drawing.boxes import lettered, overlaps

# ISO 3098-1:2015, table 1 (from memory): 1.8, 2.5, 3.5, 5, 7, 10, 14, 20 mm
SERIES = (2.5, 3.5)


def rows(count: int) -> list[Block]:
    cells = tuple(Cells((f"Thing {i}", f"{i}.00"), (0.7, 0.3), (False, True)) for i in range(count))
    return [Block("What it comes to", cells)]


def capitals(count: int, paper: str) -> tuple[int, float]:
    """How many pages a list takes, and how high its capitals are."""
    sheet = worded(make_plan(), Subject("x", "List"), rows(count), paper=paper, fields=None)
    words = [w for page in sheet.pages for w in lettered(page) if w.words.startswith("Thing")]
    assert len(words) == count
    (height,) = {round(w.capital_mm, 6) for w in words}
    # the font's own figure for its capitals, 0.714 of its size, is rounded
    return len(sheet.pages), round(height, 2)


@pytest.mark.parametrize("paper", PAPERS)
def test_a_longer_list_is_never_lettered_larger(paper: str) -> None:
    heights = [capitals(count, paper) for count in (1, 20, 40, 80, 400)]
    # a list of one thing too is lettered no higher than the title of its sheet
    assert heights[0] == (1, 3.5)
    assert [h for _, h in heights] == sorted((h for _, h in heights), reverse=True)
    assert all(h == pytest.approx(min(SERIES, key=lambda s: abs(s - h))) for _, h in heights)
    # more than a page is never lettered larger than the smallest
    assert heights[-1][0] > 1
    assert all(h == 2.5 for pages, h in heights if pages > 1)


@pytest.mark.parametrize("paper", ["A4", "A3"])
@pytest.mark.parametrize("count", [1, 17, 45])
def test_larger_lettering_stays_in_the_frame_and_off_itself(paper: str, count: int) -> None:
    long = Words("A sentence that goes on for longer than one line of any paper has room. " * 3)
    blocks = [*rows(count), Block("Mind", (long, long))]
    sheet = worded(make_plan(), Subject("x", "List"), blocks, paper=paper, fields=None)
    for page in sheet.pages:
        words = lettered(page)
        assert overlaps(words) == []
        for word in words:
            x0, y0, x1, y1 = word.box.bounds
            assert 0 <= x0 <= x1 <= page.width_mm
            assert 0 <= y0 <= y1 <= page.height_mm
        body = [w for w in words if w.words.startswith(("Thing", "A sentence"))]
        # inside the frame: 20 mm at the binding edge, 10 mm at the others (ISO 5457)
        assert all(w.box.bounds[0] >= 20 and w.box.bounds[2] <= page.width_mm - 10 for w in body)
