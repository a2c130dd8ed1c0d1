"""Sets of cuts and their boxes, by hand: stock of 10 x 6 steps."""

import random
from itertools import pairwise, product

import pytest

from app.takeoff.guillotine import NO_EDGE, Box, Edge, Form, fitting_sets, forms, turned_edges


def test_a_quarter_turn_clockwise() -> None:
    round_once = [Edge.LEFT, Edge.TOP, Edge.RIGHT, Edge.BOTTOM, Edge.LEFT]
    for one, after in pairwise(round_once):
        assert turned_edges(one) == after
    assert turned_edges(Edge.LEFT | Edge.BOTTOM) == Edge.TOP | Edge.LEFT
    assert turned_edges(NO_EDGE) == NO_EDGE


def test_each_way_to_lie_once() -> None:
    assert forms(3, 2, NO_EDGE, False) == (Form(3, 2, NO_EDGE, 0),)
    assert forms(3, 2, NO_EDGE, True) == (Form(3, 2, NO_EDGE, 0), Form(2, 3, NO_EDGE, 1))
    assert forms(3, 3, NO_EDGE, True) == (Form(3, 3, NO_EDGE, 0),)
    assert forms(3, 2, Edge.LEFT, True) == (
        *(Form(3, 2, Edge.LEFT, 0), Form(2, 3, Edge.TOP, 1)),
        *(Form(3, 2, Edge.RIGHT, 2), Form(2, 3, Edge.BOTTOM, 3)),
    )


def sizes(boxes: tuple[Box, ...]) -> set[tuple[int, int]]:
    return {(box.width, box.height) for box in boxes}


def still(width: int, height: int, edges: Edge = NO_EDGE) -> tuple[Form, ...]:
    return (Form(width, height, edges, 0),)


def test_two_beside_or_above_one_another_with_the_kerf_between() -> None:
    found = fitting_sets([still(3, 2), still(4, 3)], [1, 1], 10, 6, 1)
    assert (found.complete, found.whole_to) == (True, 2)
    # 3 + 1 + 4 wide and 3 high, or 4 wide and 2 + 1 + 3 high
    assert sizes(found.boxes[1, 1]) == {(8, 3), (4, 6)}
    # a kerf of 2: 9 wide still goes, 7 high does not
    assert sizes(fitting_sets([still(3, 2), still(4, 3)], [1, 1], 10, 6, 2).boxes[1, 1]) == {(9, 3)}
    # of 4: neither
    assert (1, 1) not in fitting_sets([still(3, 2), still(4, 3)], [1, 1], 10, 6, 4).boxes


def test_what_is_cut_to_be_used_is_less_than_the_box() -> None:
    one, other = still(3, 2), still(4, 3)
    found = fitting_sets([one, other], [1, 2], 20, 20, 1).boxes
    assert [box.cut_area for box in found[1, 0]] == [6]
    assert [box.cut_area for box in found[0, 1]] == [12]
    # 6 + 12 of 8 x 3 or 4 x 6, the kerf and what is left beside the smaller one are lost
    assert [box.cut_area for box in found[1, 1]] == [18] * 2
    assert {box.cut_area for box in found[1, 2]} == {30}


def test_a_set_that_fits_by_its_area_alone_does_not_fit() -> None:
    # 8 x 4 and 4 x 6 are 56 of 60 square steps, and go neither beside nor above one another
    found = fitting_sets([still(8, 4), still(4, 6)], [1, 1], 10, 6, 0)
    assert set(found.boxes) == {(1, 0), (0, 1)}
    assert (found.complete, found.whole_to) == (True, 2)
    # three that fit by twos only: 5 x 3 go four times, with 10 x 1 only two of them
    found = fitting_sets([still(5, 3), still(10, 1)], [4, 1], 10, 6, 0)
    assert set(found.boxes) == {(1, 0), (2, 0), (3, 0), (4, 0), (0, 1), (1, 1), (2, 1)}


def test_no_more_than_wanted_and_no_more_than_fits() -> None:
    found = fitting_sets([still(4, 3)], [3], 10, 6, 0)
    assert set(found.boxes) == {(1,), (2,), (3,)}
    # two beside each other and one above: 8 x 6; three in a row are too long
    assert sizes(found.boxes[3,]) == {(8, 6)}
    assert set(fitting_sets([still(4, 3)], [9], 10, 6, 0).boxes) == {(1,), (2,), (3,), (4,)}
    assert fitting_sets([still(11, 1)], [1], 10, 6, 0).boxes == {}
    assert fitting_sets([still(1, 7)], [1], 10, 6, 0).boxes == {}
    assert sizes(fitting_sets([still(10, 6)], [1], 10, 6, 0).boxes[1,]) == {(10, 6)}


@pytest.mark.parametrize(
    ("edges", "width", "fits"),
    [
        (Edge.LEFT | Edge.RIGHT, 9, False),
        (Edge.LEFT | Edge.RIGHT, 10, True),
        (Edge.LEFT, 9, True),
        (Edge.TOP | Edge.BOTTOM, 9, False),
        (Edge.TOP, 9, True),
    ],
)
def test_edges_on_both_sides_only_as_wide_as_the_stock(edges: Edge, width: int, fits: bool) -> None:
    assert bool(fitting_sets([still(width, 5, edges)], [1], 10, 6, 0).boxes) is fits


@pytest.mark.parametrize(
    ("one", "other", "found"),
    [
        # both need the same side: not beside each other; above each other they go
        (Edge.LEFT, Edge.LEFT, {(4, 6)}),
        (Edge.RIGHT, Edge.RIGHT, {(4, 6)}),
        (Edge.TOP, Edge.TOP, {(8, 3)}),
        (Edge.BOTTOM, Edge.BOTTOM, {(8, 3)}),
        # opposite sides either way
        (Edge.LEFT, Edge.RIGHT, {(8, 3), (4, 6)}),
        (Edge.RIGHT, Edge.LEFT, {(8, 3), (4, 6)}),
        (Edge.BOTTOM, Edge.TOP, {(8, 3), (4, 6)}),
    ],
)
def test_who_needs_a_factory_edge_lies_at_it(
    one: Edge, other: Edge, found: set[tuple[int, int]]
) -> None:
    boxes = fitting_sets([still(4, 3, one), still(4, 3, other)], [1, 1], 10, 6, 0).boxes[1, 1]
    assert sizes(boxes) == found
    for box in boxes:
        assert box.edges == one | other
        assert box.beside is (box.width == 8)
        assert box.first is not None
        assert box.second is not None
        first, second = (Edge.LEFT, Edge.RIGHT) if box.beside else (Edge.TOP, Edge.BOTTOM)
        assert second not in box.first.edges
        assert first not in box.second.edges


def test_only_boxes_that_no_other_beats() -> None:
    # four of 2 x 3 that turn: in a row, two by two standing or lying; 5 x 5 is a pinwheel, which no
    # cut from edge to edge opens
    found = fitting_sets([forms(2, 3, NO_EDGE, True)], [4], 10, 6, 0).boxes[4,]
    assert sizes(found) == {(8, 3), (4, 6), (6, 4)}


def test_past_the_limit_it_says_what_is_whole_and_keeps_the_rest() -> None:
    # 60 different cuts: some 1800 pairs fit, sets of three are too many to go through
    kinds = [still(10 + i, 20 + i) for i in range(60)]
    found = fitting_sets(kinds, [1] * 60, 1000, 1000, 0)
    assert (found.complete, found.whole_to) == (False, 2)
    sizes_of = [sum(counts) for counts in found.boxes]
    assert (sizes_of.count(1), sizes_of.count(2)) == (60, 60 * 59 // 2)
    assert sizes_of.count(3) > 0


def comes_out(cuts: tuple[tuple[int, int], ...], wide: int, high: int, kerf: int) -> bool:
    """Whether cuts that lie as they are come out by cuts from edge to edge, wherever those run."""
    if len(cuts) == 1:
        return cuts[0][0] <= wide and cuts[0][1] <= high
    for mask in range(1, 2 ** len(cuts) - 1):
        one = tuple(cut for i, cut in enumerate(cuts) if mask >> i & 1)
        other = tuple(cut for i, cut in enumerate(cuts) if not mask >> i & 1)
        for at in range(1, wide - kerf):
            if comes_out(one, at, high, kerf) and comes_out(other, wide - at - kerf, high, kerf):
                return True
        for at in range(1, high - kerf):
            if comes_out(one, wide, at, kerf) and comes_out(other, wide, high - at - kerf, kerf):
                return True
    return False


def test_the_sets_that_fit_are_those_that_come_out_wherever_the_cuts_run() -> None:
    chance = random.Random(4)
    fit = out = 0
    for _ in range(25):
        wide, high, kerf = chance.randint(4, 8), chance.randint(4, 8), chance.randint(0, 1)
        turns = chance.random() < 0.5
        sizes = [(chance.randint(1, 5), chance.randint(1, 5)) for _ in range(2)]
        wanted = [2, 1]
        kinds = [forms(*size, NO_EDGE, turns) for size in sizes]
        sets = fitting_sets(kinds, wanted, wide, high, kerf)
        assert sets.complete
        for counts in product(range(3), range(2)):
            if not any(counts):
                continue
            cuts = [size for size, n in zip(sizes, counts, strict=True) for _ in range(n)]
            ways = product(*[{cut, cut[::-1]} if turns else {cut} for cut in cuts])
            fits = any(comes_out(way, wide, high, kerf) for way in ways)
            assert (counts in sets.boxes) is fits, (sizes, counts, wide, high, kerf, turns)
            fit, out = fit + fits, out + (not fits)
            for box in sets.boxes.get(counts, ()):
                assert box.width <= wide
                assert box.height <= high
                assert box.cut_area == sum(a * b for a, b in cuts)
    assert fit > 20
    assert out > 20
