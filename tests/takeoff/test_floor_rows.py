"""Rows of pieces of 1000 x 600 by hand, strips of 150 at the least: pieces, cuts, knife, slits."""

import math

import pytest
from shapely import Polygon, box

from app.takeoff.floor_lines import Grid
from app.takeoff.floor_region import Start
from app.takeoff.floor_rows import Row, RowCutter, lay_at, outline_of

GRID = Grid(1000, 600, 150)


def weighed(region: Polygon, phase: float = 0, least: float = 150) -> Row:
    cutter = RowCutter(region, Grid(1000, 600, least))
    _, low, _, high = region.bounds
    return cutter.row(cutter.strip(low, high), phase)


def test_a_plain_row() -> None:
    # three whole and 200; begun with 100 the knife makes two strips of 100
    assert weighed(box(0, 0, 3200, 600)) == Row(0, 0, 3, ((200, 600),), 600, 200, 0)
    assert weighed(box(0, 0, 3200, 600), 100) == Row(
        0, 2, 3, ((100, 600), (100, 600)), 1200, 100, 0
    )
    # a strip as wide as asked is not narrow, nor one within the tolerance of a millimetre
    assert weighed(box(0, 0, 3150, 600)).narrow == weighed(box(0, 0, 3149.5, 600)).narrow == 0
    assert weighed(box(0, 0, 3148, 600)).narrow == 1
    assert weighed(box(0, 0, 3000, 600), least=600).narrow == 0
    # pieces that are sold narrower than a strip may be are narrow, whole as they are
    assert weighed(box(0, 0, 3000, 600), least=700).narrow == 3
    # nothing cut; less deep: each along its length, the last across too
    assert weighed(box(0, 0, 3000, 600)) == Row(0, 0, 3, (), 0, 600, 0)
    assert weighed(box(0, 0, 2500, 400)) == Row(
        0, 0, 0, ((1000, 400), (1000, 400), (500, 400)), 2500 + 400, 400, 0
    )
    # half a millimetre is no cut, two are
    assert weighed(box(0, 0, 2999.6, 600)).whole == 3
    assert weighed(box(0, 0, 2998, 600)).cuts == ((998, 600),)


def test_a_step_in_the_outline_is_cut_out() -> None:
    # half as deep from 1500 on: the second piece is an L, cut along 300 and 500; the third is 300
    # deep
    ell = Polygon([(0, 0), (3000, 0), (3000, 300), (1500, 300), (1500, 600), (0, 600)])
    assert weighed(ell) == Row(1, 0, 2, ((1000, 300),), 800 + 1000, 300, 0)
    # of 350 at the least both are too narrow: the third and the leg of the L
    assert weighed(ell, least=350).narrow == 2
    assert weighed(ell, least=301).narrow == 0
    assert weighed(ell, least=302).narrow == 2


def test_a_hole_is_cut_out_and_opened_by_a_slit() -> None:
    # 200 x 200 in the middle of the second piece: 800 round it and 200 to its edge
    hole = Polygon(box(0, 0, 3000, 600).exterior, [box(1400, 200, 1600, 400).exterior])
    assert weighed(hole) == Row(1, 0, 3, (), 1000, 600, 1)
    # a joint through it: each side has a bay of 200 by 100, cut along 100, 200 and 100
    led = weighed(hole, 500)
    assert (led.notched, led.slits, led.whole) == (2, 0, 2)
    assert led.knife_mm == pytest.approx(2 * 400 + 2 * 600)


def test_a_skewed_end_is_cut_along_its_slope() -> None:
    skew = Polygon([(0, 0), (3000, 0), (3200, 600), (0, 600)])
    row = weighed(skew)
    assert (row.notched, row.whole, row.cuts) == (1, 3, ((200, 600),))
    assert row.knife_mm == pytest.approx(600 + math.hypot(200, 600))
    # it runs out to a point
    assert row.narrow == 1
    # a hole beside it is opened all the same
    holed = Polygon(skew.exterior, [box(1400, 200, 1600, 400).exterior])
    assert weighed(holed).slits == 1
    assert weighed(holed).knife_mm == pytest.approx(row.knife_mm + 1000)


def test_two_pieces_between_two_joints() -> None:
    # a nib of 200 from 0 to 3000 through the middle of the row: what lies above and below it
    split = Polygon([(0, 0), (3000, 0), (3000, 200), (500, 200), (500, 400), (3000, 400),
        (3000, 600), (0, 600)])  # fmt: skip
    row = weighed(split)
    # a C of 1000 with a bay cut along 500, 200, 500; then two strips of 200 for each of two joints
    assert (row.notched, row.whole, row.cuts) == (1, 1, ((1000, 200),) * 4)
    assert row.knife_mm == pytest.approx(1200 + 4 * 1000)
    assert row.least_mm == 200


def test_rows_alike_are_weighed_once() -> None:
    cutter = RowCutter(box(0, 0, 3200, 1800), GRID)
    first, second = cutter.strip(0, 600), cutter.strip(600, 1200)
    row = cutter.row(first, 0)
    assert cutter.looks == 1 + 3 + 1
    assert cutter.row(second, 1000) is row
    assert cutter.strip(0, 600) is first
    assert cutter.looks == 5
    assert cutter.row(first, 100) is not row
    assert cutter.looks == 5 + 1 + 3 + 2
    # deeper or shallower it is another
    assert cutter.row(cutter.strip(1200, 1700), 0) is not row
    # before a garage door strips are wider: there each row stands for itself
    by_place = RowCutter(box(0, 0, 3200, 1800), Grid(1000, 600, 150, door_least=300))
    assert by_place.strip(0, 600).kind != by_place.strip(600, 1200).kind


def test_a_floor_laid_from_a_start() -> None:
    # rows from 300 on: 300, 600, 300 deep; joints at 0, 500 and 250 + k x 1000
    start = Start("back", False, True, "staggered", 300, (0, 500, 250))
    cells = lay_at(RowCutter(box(0, 0, 2200, 1200), GRID), start)
    ends = [[cell.bounds[2] for cell in cells if cell.row == row] for row in range(3)]
    assert ends == [[1000, 2000, 2200], [500, 1500, 2200], [250, 1250, 2200]]
    assert {cell.bounds[1::2] for cell in cells} == {(0, 300), (300, 900), (900, 1200)}
    assert sum(cell.part.area for cell in cells) == pytest.approx(2200 * 1200)
    # the last of the second row lies in a piece from 1500 to 2500, were the room as wide
    assert cells[5].whole[:2] == (1500, 300)


def test_rectangles_as_one_outline() -> None:
    ell = outline_of(((0, 0, 300, 900), (300, 0, 1000, 400)))
    assert ell.area == 300 * 900 + 700 * 400
    assert len(ell.exterior.coords) == 7
