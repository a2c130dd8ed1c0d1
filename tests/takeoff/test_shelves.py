"""Small cuts in rows, worked by hand: first fit by falling height (Coffman and others 1980)."""

import pytest

from app.takeoff.guillotine import NO_EDGE, Box, Edge, Form, forms
from app.takeoff.shelves import in_rows


def kinds(*sizes: tuple[int, int], turns: bool = False) -> list[tuple[Form, ...]]:
    return [forms(width, height, NO_EDGE, turns) for width, height in sizes]


def leaves(box: Box) -> list[int]:
    """The kinds in a box, and the sizes that its parts come to."""
    if box.form is not None:
        return [box.kind]
    assert box.first is not None
    assert box.second is not None
    return leaves(box.first) + leaves(box.second)


def holds(box: Box, kerf: int) -> None:
    """Parts beside one another or above, a kerf between them, no higher than the first beside."""
    if box.first is None or box.second is None:
        return
    one, two = box.first, box.second
    if box.beside:
        assert box.width == one.width + kerf + two.width
        assert box.height == one.height >= two.height
    else:
        assert box.height == one.height + kerf + two.height
        assert box.width == max(one.width, two.width)
    holds(one, kerf)
    holds(two, kerf)


@pytest.mark.parametrize(
    ("size", "count", "kerf", "sheets"),
    [
        # 100 x 100: four of 50 x 50 without a kerf; with one of 1 only one a row and one row
        ((50, 50), 4, 0, 1),
        ((50, 50), 5, 0, 2),
        ((50, 50), 4, 1, 4),
        # two of 49 and a kerf of 2 are 100: two a row, two rows
        ((49, 49), 4, 2, 1),
        ((49, 49), 5, 2, 2),
        # three of 32 and two kerfs of 2 are exactly 100
        ((32, 32), 9, 2, 1),
        ((32, 32), 10, 2, 2),
        ((33, 32), 9, 2, 2),
        ((32, 33), 9, 2, 2),
        ((100, 100), 2, 5, 2),
    ],
)
def test_squares_in_rows(size: tuple[int, int], count: int, kerf: int, sheets: int) -> None:
    boxes = in_rows(kinds(size), [count], 100, 100, kerf)
    assert boxes is not None
    assert len(boxes) == sheets
    assert sum(len(leaves(box)) for box in boxes) == count
    for box in boxes:
        assert box.width <= 100
        assert box.height <= 100
        holds(box, kerf)


def test_the_highest_are_laid_first_and_lower_ones_fill_their_row() -> None:
    # two of 60 x 50 open two rows, 100 of 100 high; two of 40 x 30 fill them up
    boxes = in_rows(kinds((40, 30), (60, 50)), [2, 2], 100, 100, 0)
    assert boxes is not None
    (box,) = boxes
    assert leaves(box) == [1, 0, 1, 0]
    assert (box.width, box.height) == (100, 100)
    holds(box, 0)


def test_of_one_height_the_widest_come_first() -> None:
    # 70 + 30 and 60 + 40 fill two rows; by rising width 30 + 40 and 60 would need three
    boxes = in_rows(kinds((30, 50), (40, 50), (60, 50), (70, 50)), [1, 1, 1, 1], 100, 100, 0)
    assert boxes is not None
    (box,) = boxes
    assert leaves(box) == [3, 0, 2, 1]


def test_flat_or_tall_whichever_takes_fewer() -> None:
    # 90 x 30 in 100 x 100: flat three rows of one; tall 30 x 90: three in one row. 60 x 20 in
    # 100 x 60: flat one a row, three rows; tall 20 x 60: five in one row
    boxes = in_rows(kinds((60, 20), turns=True), [5], 100, 60, 0)
    assert boxes is not None
    assert len(boxes) == 1
    # the other way round: 20 x 60 in 60 x 100 lie flat, five rows of one
    boxes = in_rows(kinds((20, 60), turns=True), [5], 60, 100, 0)
    assert boxes is not None
    assert len(boxes) == 1
    # unturned only three fit flat: two pieces of stock
    boxes = in_rows(kinds((60, 20)), [5], 100, 60, 0)
    assert boxes is not None
    assert len(boxes) == 2


def test_what_fits_one_way_only_lies_that_way() -> None:
    boxes = in_rows(kinds((120, 40), turns=True), [2], 100, 120, 0)
    assert boxes is not None
    (box,) = boxes
    assert (box.width, box.height) == (80, 120)


def test_what_does_not_fit_or_needs_its_edges_is_left_to_others() -> None:
    assert in_rows(kinds((101, 50)), [1], 100, 100, 0) is None
    assert in_rows(kinds((50, 101)), [1], 100, 100, 0) is None
    assert in_rows(kinds((50, 50), (101, 101)), [1, 1], 100, 100, 0) is None
    assert in_rows([forms(50, 50, Edge.LEFT, False)], [1], 100, 100, 0) is None


def test_one_cut_that_needs_a_factory_edge_is_enough_to_leave_it() -> None:
    plain, edged = forms(40, 30, NO_EDGE, False), forms(40, 30, Edge.LEFT, False)
    assert in_rows([plain], [1], 100, 100, 0) is not None
    assert in_rows([plain, edged], [1, 1], 100, 100, 0) is None
