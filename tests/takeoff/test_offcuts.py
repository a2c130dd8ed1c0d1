"""What is cut out of offcuts before a new stock piece is, by hand: stock of 1000 x 1000."""

from __future__ import annotations

import pytest

from app.takeoff.cutting_2d import Wanted
from app.takeoff.guillotine import NO_EDGE, Edge, Sets
from app.takeoff.offcuts import CutAgain, Offcut, _chosen, cut_again

STOCK = (1000.0, 1000.0)
ALL = Edge.LEFT | Edge.TOP | Edge.RIGHT | Edge.BOTTOM


def offcut(wide: float, high: float, sheet: int = 1, at: tuple[float, float] = (0, 0)) -> Offcut:
    x, y = at
    return Offcut(sheet, (x, y, x + wide, y + high), ALL)


def still(wide: float, high: float, edges: Edge = NO_EDGE) -> Wanted:
    return Wanted(wide, high, edges, False)


def cut(wanted: list[Wanted], *offcuts: Offcut, kerf: float = 0) -> CutAgain:
    return cut_again(wanted, offcuts, *STOCK, kerf)


def old_numbers(made: CutAgain) -> list[tuple[int, list[int]]]:
    return [(one.sheet, sorted(r.number for r in rects)) for one, rects in made.from_offcuts]


def new_numbers(made: CutAgain) -> list[list[int]]:
    return [sorted(r.number for r in sheet.rects) for sheet in made.new]


def test_one_from_the_offcut_and_one_new_piece() -> None:
    made = cut([still(600, 1000), still(400, 1000)], offcut(450, 1000))
    assert old_numbers(made) == [(1, [1])]
    assert new_numbers(made) == [[0]]
    assert made.least == 1


def test_an_offcut_is_there_once() -> None:
    made = cut([still(400, 1000), still(400, 1000), still(700, 900)], offcut(450, 1000))
    ((_, numbers),) = old_numbers(made)
    assert len(numbers) == 1
    assert sorted(numbers + [n for each in new_numbers(made) for n in each]) == [0, 1, 2]
    assert len(made.new) == made.least == 2


def test_two_fit_side_by_side_unless_the_saw_takes_too_much() -> None:
    both = [still(225, 1000), still(225, 1000)]
    made = cut(both, offcut(450, 1000))
    assert (old_numbers(made), made.new, made.least) == ([(1, [0, 1])], (), 0)
    apart = cut(both, offcut(450, 1000), kerf=1)
    assert len(old_numbers(apart)[0][1]) == 1
    assert len(apart.new) == 1
    narrow = cut(both, offcut(451, 1000), kerf=1)
    assert (old_numbers(narrow), narrow.new) == ([(1, [0, 1])], ())


def test_each_offcut_gives_what_it_holds_where_it_lay() -> None:
    made = cut(
        [still(300, 500), still(200, 900)],
        offcut(320, 520, sheet=1, at=(680, 0)),
        offcut(210, 1000, sheet=2, at=(790, 0)),
    )
    assert made.new == ()
    places = {
        rect.number: (one.sheet, rect.x_mm, rect.y_mm)
        for one, rects in made.from_offcuts
        for rect in rects
    }
    # at the left top corner of its offcut, told in the stock piece
    assert places == {0: (1, 680, 0), 1: (2, 790, 0)}


def test_what_needs_a_makers_edge_is_cut_where_there_is_one() -> None:
    # its top has to be as it came: of two offcuts alike one has that edge
    wanted = [still(400, 400, Edge.TOP)]
    cut_off = Offcut(1, (0, 500, 450, 1000), Edge.LEFT | Edge.BOTTOM)
    came = Offcut(2, (0, 0, 450, 500), Edge.LEFT | Edge.TOP)
    assert old_numbers(cut(wanted, cut_off, came)) == [(2, [0])]
    alone = cut(wanted, cut_off)
    assert (alone.from_offcuts, new_numbers(alone)) == ((), [[0]])


def test_without_offcuts_and_without_wants() -> None:
    plain = cut([still(600, 1000), still(500, 1000)])
    assert (plain.from_offcuts, new_numbers(plain), plain.least) == ((), [[0], [1]], 2)
    nothing = cut([], offcut(450, 1000))
    assert nothing == CutAgain((), (), 0)


def test_no_stock_is_opened_where_offcuts_do_in_another_order() -> None:
    # the smallest first takes the 300 into the larger of both; then the 430 is left over
    made = cut([still(300, 1000), still(430, 1000)], offcut(310, 1000), offcut(440, 1000, sheet=2))
    assert dict(old_numbers(made)) == {1: [0], 2: [1]}
    assert (made.new, made.least) == ((), 0)


@pytest.mark.parametrize(
    ("x", "y", "holds"),
    [
        (100, 200, True), (399, 599, True), (400, 300, False), (200, 600, False),
        (99, 300, False), (200, 199, False), (99.995, 199.995, True),
    ],
)  # fmt: skip
def test_the_corner_of_a_cut_lies_in_its_offcut(x: float, y: float, holds: bool) -> None:
    assert offcut(300, 400, at=(100, 200)).holds(x, y) is holds


def test_the_size_of_an_offcut() -> None:
    assert offcut(300, 400, at=(100, 200)).size_mm == (300, 400)


def test_of_two_that_it_holds_an_offcut_gives_the_larger() -> None:
    # either way one new piece is opened: what is left of it is then the larger
    for order in (1, -1):
        both = [still(600, 1000), still(500, 1000)][::order]
        made = cut(both, offcut(620, 1000))
        ((_, (number,)),) = old_numbers(made)
        assert both[number].width_mm == 600
        assert len(made.new) == made.least == 1


def test_the_smaller_offcut_is_used_up_first() -> None:
    made = cut([still(300, 400)], offcut(900, 900, sheet=1), offcut(320, 420, sheet=2))
    assert old_numbers(made) == [(2, [0])]
    # by its area: 350 x 350 is less than 120 x 1020 and not as long
    two = (offcut(350, 350, sheet=1), offcut(1020, 130, sheet=2))
    for each in (two, two[::-1]):
        assert old_numbers(cut([still(100, 100)], *each)) == [(1, [0])]


def test_three_kinds_out_of_one_offcut_keep_their_numbers() -> None:
    # 300 and 200 wide side by side, 500 x 400 below them: all of 500 x 1000
    wanted = [still(700, 900), still(300, 600), still(200, 600), still(500, 400)]
    made = cut(wanted, offcut(500, 1000, at=(500, 0)))
    assert old_numbers(made) == [(1, [1, 2, 3])]
    assert new_numbers(made) == [[0]]
    ((_, rects),) = made.from_offcuts
    assert {rect.number: (rect.width_mm, rect.height_mm) for rect in rects} == {
        1: (300, 600), 2: (200, 600), 3: (500, 400),
    }  # fmt: skip
    # in the offcut, none over another
    assert all(rect.x_mm >= 500 and rect.x_mm + rect.width_mm <= 1000 for rect in rects)
    assert sum(rect.width_mm * rect.height_mm for rect in rects) == 500 * 1000


def test_nothing_new_is_opened_where_another_choice_of_offcuts_does() -> None:
    # 500 x 500 holds either, and by area would take the first; then 1000 x 300 holds neither more,
    # for 340 is higher. The other way round both come out of offcuts
    made = cut([still(480, 290), still(400, 340)], offcut(500, 500), offcut(1000, 300, sheet=2))
    assert sorted(old_numbers(made)) == [(1, [1]), (2, [0])]
    assert (made.new, made.least) == ((), 0)


def test_what_no_stock_gives_is_not_chosen() -> None:
    # of one kind there is nothing: neither in the offcut nor in a new piece
    bits = Sets({(1, 0): ()}, True, 2)
    assert _chosen([bits, bits], [1, 1]) == (None, 0)
