"""Blocks of words in columns: what stays together, and what is said again."""

from itertools import pairwise

import pytest

from app.drawing.flow import LINE_MM, Block, Unparted, Words
from app.drawing.foot import foot_mm
from app.drawing.paper import Box
from app.drawing.pouring import AIRS_MM, aired, poured
from app.drawing.primitives import Item, Text

LEFT, RIGHT = Box(0, 0, 80, 100), Box(100, 0, 80, 100)


def words_of(items: tuple[Item, ...]) -> list[tuple[str, float, float]]:
    return [(one.words, *one.at) for one in items if isinstance(one, Text)]


def lines(name: str, count: int) -> tuple[Words, ...]:
    return tuple(Words(f"{name} {i}") for i in range(count))


def test_a_block_stays_whole_where_that_takes_no_further_sheet() -> None:
    # some 5.7 mm a line, 100 mm a column: the second block would begin at the foot of the left one
    blocks = [Block("First", lines("a", 12)), Block("Second", lines("b", 10))]
    (page,) = poured(blocks, [LEFT, RIGHT], [LEFT, RIGHT])
    right = {words for words, x, _ in words_of(page) if x >= 100}
    assert right == {"Second", *(f"b {i}" for i in range(10))}


def test_what_fits_one_sheet_only_when_parted_is_parted() -> None:
    # left 57 mm and right 57 mm hold no third block of 63 mm
    blocks = [
        Block("One", lines("a", 9)),
        Block("Two", lines("b", 9)),
        Block("Three", lines("c", 10)),
    ]
    pages = poured(blocks, [LEFT, RIGHT], [LEFT, RIGHT])
    assert len(pages) == 1
    assert len({x for words, x, _ in words_of(pages[0]) if words.startswith("b ")}) == 2


def test_what_is_kept_together_is_parted_before_a_sheet_is_added() -> None:
    def groups(count: int) -> Block:
        some = [lines(f"g{i}", 3) for i in range(count)]
        return Block("Groups", tuple(Unparted(each, loose=each) for each in some))

    def torn(block: Block) -> tuple[int, int]:
        pages = poured([block], [LEFT, RIGHT], [LEFT, RIGHT])
        columns: dict[str, set[tuple[int, float]]] = {}
        for number, page in enumerate(pages):
            for words, x, _ in words_of(page):
                columns.setdefault(words.split()[0], set()).add((number, x))
        return len(pages), sum(len(at) > 1 for name, at in columns.items() if name != "Groups,")

    assert torn(groups(10)) == (1, 0)
    # 33 lines fill both columns to the last: one group has to be torn
    assert torn(groups(11)) == (1, 1)


def test_the_head_of_a_table_stands_again_where_it_goes_on() -> None:
    head = Words("mark tape tape")
    block = Block("Marks", (head, *lines("row", 40)), again=head)
    pages = poured([block], [LEFT], [LEFT, RIGHT])
    assert len(pages) == 2
    for x in (0, 100):
        column = [(y, words) for words, at, y in words_of(pages[1]) if at == x]
        assert [words for _, words in sorted(column)][:2] == ["Marks, more", "mark tape tape"]
    told = [words for page in pages for words, _, _ in words_of(page)]
    assert sorted(w for w in told if w.startswith("row")) == sorted(f"row {i}" for i in range(40))


def test_a_block_does_not_leave_a_column_for_one_that_is_too_low_for_it() -> None:
    # 10 lines in all left of 12 and of 8: whole it would end on a further sheet
    low = [Box(0, 0, 80, 68), Box(100, 0, 80, 48)]
    blocks = [Block("Title", lines("a", 2)), Block("List", lines("b", 12))]
    pages = poured(blocks, low, [LEFT, RIGHT])
    assert len(pages) == 1
    assert {x for words, x, _ in words_of(pages[0]) if words.startswith("b ")} == {0, 100}


def test_what_goes_on_from_under_a_figure_is_whole_on_the_further_sheet() -> None:
    # one line is free under the figure: the block begins on the further sheet and stays together
    blocks = [Block("First", lines("a", 15)), Block("Second", lines("b", 8))]
    pages = poured(blocks, [LEFT], [LEFT, RIGHT])
    assert len(pages) == 2
    assert {x for words, x, _ in words_of(pages[1])} == {0}


def test_a_further_sheet_parts_a_long_block_that_leaves_a_column_empty() -> None:
    # the first sheet holds some three lines; 16 more, 91 mm, would fill one column of the next
    low = Box(0, 0, 80, 22)
    first, further = poured([Block("Marks", lines("a", 19))], [low], [LEFT, RIGHT])
    columns = {x for _, x, _ in words_of(further)}
    assert columns == {0, 100}
    assert max(y for _, _, y in words_of(further)) < 60
    assert len(words_of(first)) + len(words_of(further)) == 19 + 3


def test_a_line_or_two_too_many_stand_closer_and_save_a_sheet() -> None:
    column = Box(0, 0, 60, 100)
    rows = [Words(f"row {i}") for i in range(40)]
    for most in range(1, len(rows)):
        if len(poured([Block("", tuple(rows[: most + 1]))], [column], [column])) > 1:
            break
    # as many as stand in one column, closer where that helps, none left out and none over another
    (items,) = poured([Block("", tuple(rows[:most]))], [column], [column])
    feet = sorted(item.at[1] for item in items if isinstance(item, Text))
    assert len(feet) == most
    assert feet[-1] <= column.bottom
    steps = [b - a for a, b in pairwise(feet)]
    # never nearer than letters of one size stand in a paragraph
    assert min(steps) >= LINE_MM
    loose = [b - a for a, b in pairwise(_feet(rows[:10], column))]
    assert max(steps) < min(loose)
    # words that go on for long stay as airy as they are
    first, *_ = poured([Block("", tuple(rows))], [column], [column])
    airy = [b - a for a, b in pairwise(sorted(i.at[1] for i in first if isinstance(i, Text)))]
    assert min(airy) == pytest.approx(min(loose))


def _feet(rows: list[Words], column: Box) -> list[float]:
    (items,) = poured([Block("", tuple(rows))], [column], [column])
    return sorted(item.at[1] for item in items if isinstance(item, Text))


def test_a_list_that_leaves_its_paper_empty_has_more_air_and_no_further_sheet() -> None:
    boxes = [Box(20, 10, 90, 200), Box(120, 10, 90, 200)]
    for count, air in ((20, AIRS_MM[0]), (70, 0.0)):
        blocks = [Block("Rows", tuple(Words(f"row {i}") for i in range(count)))]
        plain, more = poured(blocks, boxes, boxes), aired(blocks, boxes, boxes)
        assert len(more) == len(plain)
        words = [one.words for page in more for one in page if isinstance(one, Text)]
        assert {f"row {i}" for i in range(count)} <= set(words)
        feet = [sorted(one.at[1] for one in pages[0] if isinstance(one, Text)
                       and one.words.startswith("row") and one.at[0] < 100)
                for pages in (plain, more)]  # fmt: skip
        steps = [column[1] - column[0] for column in feet]
        assert steps[1] - steps[0] == pytest.approx(air, abs=0.01)
        assert foot_mm(more[-1]) <= 210
