"""Rectangles from a corner on, by hand: stock of 10 x 6 steps."""

import pytest

from app.takeoff.guillotine import NO_EDGE, Box, Edge, Form, forms
from app.takeoff.quick_cuts import quick_boxes

SIZE = (10, 6)


def still(width: int, height: int, edges: Edge = NO_EDGE) -> tuple[Form, ...]:
    return (Form(width, height, edges, 0),)


def count(kinds: list[tuple[Form, ...]], wanted: list[int], kerf: int = 0) -> int | None:
    boxes = quick_boxes(kinds, wanted, SIZE, kerf)
    return None if boxes is None else len(boxes)


def cuts(box: Box | None) -> int:
    if box is None:
        return 0
    return 1 if box.form is not None else cuts(box.first) + cuts(box.second)


def size(box: Box, kerf: int) -> tuple[int, int]:
    """Width and height of a box, by those of the cuts in it and the kerf between."""
    if box.first is None or box.second is None:
        return (box.width, box.height) if box.form is None else (box.form.width, box.form.height)
    (a, b), (c, d) = size(box.first, kerf), size(box.second, kerf)
    return (a + kerf + c, max(b, d)) if box.beside else (max(a, c), b + kerf + d)


@pytest.mark.parametrize(
    ("kinds", "wanted", "kerf", "pieces"),
    [
        ([still(5, 6)], [2], 0, 1),
        ([still(5, 6)], [2], 1, 2),
        ([still(10, 3)], [2], 0, 1),
        ([still(10, 3)], [2], 1, 2),
        # 5 x 3 four times; with a kerf of 1 one alone
        ([still(5, 3)], [4], 0, 1),
        ([still(5, 3)], [4], 1, 4),
        # 4 x 2 with a kerf of 1: two beside each other, two above
        ([still(4, 2)], [4], 1, 1),
        ([still(4, 2)], [5], 1, 2),
        # a whole one and what fills another: 7 x 6 and 3 x 6
        ([still(10, 6), still(7, 6), still(3, 6)], [1, 1, 1], 0, 2),
        # only turned it fits
        ([forms(6, 10, NO_EDGE, True)], [1], 0, 1),
        # beside 6 x 4 what is left is split either way: 4 x 6 beside it, or 10 x 2 below it
        ([still(6, 4), still(4, 6), still(6, 2)], [1, 1, 1], 0, 1),
        ([still(6, 4), still(10, 2), still(4, 4)], [1, 1, 1], 0, 1),
    ],
)
def test_by_hand(kinds: list[tuple[Form, ...]], wanted: list[int], kerf: int, pieces: int) -> None:
    assert count(kinds, wanted, kerf) == pieces
    boxes = quick_boxes(kinds, wanted, SIZE, kerf)
    assert boxes is not None
    assert sum(map(cuts, boxes)) == sum(wanted)
    assert all(box.width <= 10 and box.height <= 6 for box in boxes)
    assert [(box.width, box.height) for box in boxes] == [size(box, kerf) for box in boxes]


def test_none_where_edges_are_asked_for_or_a_cut_does_not_fit() -> None:
    assert count([still(5, 6), still(5, 6, Edge.LEFT)], [1, 1]) is None
    assert count([still(11, 1)], [1]) is None
    assert count([still(1, 7)], [1]) is None
    assert count([still(10, 6)], [3]) == 3


def test_the_first_plan_that_is_enough_will_do() -> None:
    # by area first 7 x 4 and then what is left: two pieces of stock; the longest side first: one
    kinds = [still(7, 4), still(10, 2), still(3, 4)]
    loose = quick_boxes(kinds, [1, 1, 1], SIZE, 0, 9)
    best = quick_boxes(kinds, [1, 1, 1], SIZE, 0)
    assert loose is not None
    assert best is not None
    assert len(best) == 1 <= len(loose)
