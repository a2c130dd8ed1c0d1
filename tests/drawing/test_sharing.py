"""Words of several sheets on one page of the set, told by where they stand on the paper."""

from collections.abc import Sequence

from app.drawing.foot import foot_mm
from app.drawing.frame import TitleBlock, TitleWords
from app.drawing.paper import frame_of
from app.drawing.primitives import Circle, Group, Item, Line, Text
from app.drawing.sharing import Bound, bound
from app.drawing.sheet import Page, Sheet
from tests.drawing.boxes import lettered, outside, overlaps

A4 = (297.0, 210.0)


def page(name: str, words: Sequence[str] = (), size: tuple[float, float] = A4) -> Page:
    """Return a page of a drawing, or one that holds words alone, 10 mm from line to line."""
    block = TitleBlock(
        TitleWords("Garage", name, "drawing", "1:50", "", name[:2], "1", ""), frame_of(*size)
    )
    items: tuple[Item, ...] = tuple(
        Text((30.0, 18.0 + 10 * i), line, "small", "start") for i, line in enumerate(words)
    )
    return Page(items, *size, name, block, "1 of 1", words=items)


def sheet(*pages: Page) -> Sheet:
    return Sheet(pages, "A4", 50)


def said(one: Bound) -> list[str]:
    return [each.words for each in lettered(one.page)]


def test_a_few_words_of_two_sheets_stand_on_one_page_behind_the_first() -> None:
    sheets = [
        sheet(page("Plan"), page("Plan", ["one", "two"])),
        sheet(page("Picture")),
        sheet(page("Walls"), page("Walls", ["three"])),
    ]
    pages, firsts = bound(sheets)
    # plan, the words of the first and the last, picture, walls
    assert len(pages) == 4
    assert firsts == (0, 2, 3)
    assert [one.goes_on for one in pages] == [1, None, None, 1]
    words = said(pages[1])
    for wanted in ("Plan, more", "one", "two", "Walls, more", "three", "Plan, Walls"):
        assert wanted in words
    # as read from the top down
    inside = [w for w in words if w in ("one", "two", "three")]
    assert inside == ["one", "two", "three"]
    boxes = lettered(pages[1].page)
    assert not overlaps(boxes)
    assert not outside(pages[1].page, boxes)


def test_a_drawing_says_in_its_title_block_where_its_words_go_on() -> None:
    pages, _ = bound([sheet(page("Plan"), page("Plan", ["one"]))])
    assert [one.goes_on for one in pages] == [1, None]
    told = pages[0].page.numbered("1 of 2", "2")
    assert "drawing; more: sheet 2" in [each.words for each in lettered(told)]
    assert "drawing" in [each.words for each in lettered(pages[0].page)]


def test_words_that_find_no_room_together_keep_pages_of_their_own() -> None:
    # between frame and title block of A4 lying there are 163 mm: 8 lines and 8 lines do not go in
    long = [f"line {i}" for i in range(8)]
    several = [sheet(page(name), page(name, long)) for name in ("Plan", "Walls")]
    pages, firsts = bound(several)
    assert len(pages) == 4
    assert firsts == (0, 2)
    # nor do words of upright paper with those of paper that lies
    upright = (210.0, 297.0)
    mixed = [
        sheet(page("Plan"), page("Plan", ["one"])),
        sheet(page("Costs", size=upright), page("Costs", ["two"], size=upright)),
    ]
    assert len(bound(mixed)[0]) == 4


def test_how_far_down_a_page_something_reaches() -> None:
    assert foot_mm([]) == 0
    assert foot_mm([Line((0, 3), (4, 7), "rule")]) == 7
    assert foot_mm([Circle((0, 10), 2, "dark")]) == 12
    # moved down by 5, turned clockwise by a quarter so that its right comes down, and doubled
    turned = Group((Line((0, 0), (10, 1), "rule"),), "", move=(0, 5), turn_deg=90, scale=2)
    assert abs(foot_mm([turned]) - 25) < 1e-9
    # letters of 3.5 mm hang a quarter of their size under their line
    assert 20 < foot_mm([Text((0, 20), "gy", "small")]) < 21.5


def test_a_page_of_words_that_is_left_over_waits_for_what_finds_room_on_it() -> None:
    long = [f"line {i}" for i in range(14)]
    pages, firsts = bound(
        [
            sheet(page("Plan"), page("Plan", ["one"])),
            sheet(page("Walls"), page("Walls", long)),
            sheet(page("Power"), page("Power", ["two"])),
        ]
    )
    # the long words stand alone behind their drawing, the short ones together behind the first
    # that they belong to: there somebody looks for what the numbers on it mean
    assert len(pages) == 5
    assert firsts == (0, 2, 4)
    assert [one.goes_on for one in pages] == [1, None, 3, None, 1]
    assert {"Plan, more", "one", "Power, more", "two"} <= set(said(pages[1]))
    assert "line 13" in said(pages[3])


def test_the_title_block_of_words_of_many_sheets_names_them_all_by_number() -> None:
    names = ("Setting out", "Sections X-X and Y-Y", "Headroom", "Ceiling, light and power",
             "Floor, as it is laid and cut from rolls", "Quantities")  # fmt: skip
    blocks = [
        TitleBlock(TitleWords("Den", n, "drawing", "", "", f"SGUA-0{i}", "", ""), frame_of(*A4))
        for i, n in enumerate(names, 4)
    ]
    one = blocks[0].of_several(blocks[1:])
    assert (one.words.name, one.words.ident) == (
        "Words of 6 sheets",
        "SGUA-04, 05, 06, 07, 08, 09",
    )
    # what both lines of the field hold is named
    four = blocks[0].of_several(blocks[1:4])
    assert four.words.name == ", ".join(names[:4])
