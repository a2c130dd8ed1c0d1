"""Rows of pieces of 1000 x 600 by hand, strips of 150 at the least: pieces, cuts, knife, slits."""

import math
import random
from itertools import pairwise

import pytest
import shapely
import shapely.affinity
from shapely import Polygon, box
from shapely.geometry.base import BaseGeometry

from app.takeoff.floor_lines import Grid, lines
from app.takeoff.floor_region import Start
from app.takeoff.floor_rows import Row, RowCutter, lay_at, outline_of
from app.takeoff.floor_shapes import inner_of, narrow_part, slits_of
from tests.takeoff.test_floor_shapes import drawn_floors

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


def cut_by_the_library(
    region: BaseGeometry, grid: Grid, low: float, high: float, columns: list[float]
) -> Row:
    """A row cut piece by piece out of the floor with the geometry library: slow and plain."""
    notched = narrow = whole = slits = 0
    cuts, knife, least = [], 0.0, min(grid.length, grid.depth)
    for a, b in pairwise(columns):
        for part in shapely.get_parts(shapely.intersection(region, box(a, low, b, high))):
            u0, v0, u1, v1 = part.bounds
            wide, deep = u1 - u0, v1 - v0
            if part.is_empty or part.geom_type != "Polygon" or min(wide, deep) <= 1:
                continue
            least = min(least, wide, deep)
            short, flat = wide < grid.length - 0.5, deep < grid.depth - 0.5
            knife += deep * short + wide * flat
            if short or flat:
                cuts.append((round(wide * 2) / 2, round(deep * 2) / 2))
            else:
                whole += 1
            needed = grid.least_at(part.bounds)
            if wide * deep - part.area >= 1:
                notched += 1
                knife += inner_of(part, part.bounds)
                knife += sum(slit.length for slit in slits_of(part))
                slits += len(part.interiors)
            narrow += min(wide, deep) < needed - 1 or narrow_part(part, needed)
    return Row(notched, narrow, whole, tuple(sorted(cuts)), knife, least, slits)


DOORWAY = ((2100.0, 900.0, 2500.0, 1000.0),)


@pytest.mark.parametrize(
    ("grid", "askew"),
    [
        (Grid(500, 300, 90), 0),
        # strips wider at a doorway are looked at piece by piece, an outline askew is cut out
        (Grid(500, 300, 90, DOORWAY, 150), 0),
        (Grid(500, 300, 90), 7),
    ],
)
def test_rows_are_cut_as_the_geometry_library_cuts_them(grid: Grid, askew: float) -> None:
    chance = random.Random(11)
    seen = 0
    for floor in drawn_floors(12):
        # away from where the frame begins
        there = shapely.affinity.translate(floor, 1700, 900)
        region = shapely.affinity.rotate(there, askew, origin=(1700, 900))
        cutter = RowCutter(region, grid)
        u0, v0, u1, v1 = region.bounds
        down = chance.uniform(v0, v0 + grid.depth)
        for low, high in pairwise(lines(v0, v1, down, grid.depth)):
            strip = cutter.strip(low, high)
            for phase in (chance.uniform(0, 500), chance.uniform(0, 500)):
                row = cutter.row(strip, phase)
                columns = lines(u0, u1, phase, grid.length)
                plain = cut_by_the_library(region, grid, low, high, columns)
                assert (row.notched, row.narrow, row.whole, row.slits) == (
                    plain.notched, plain.narrow, plain.whole, plain.slits
                )  # fmt: skip
                assert sorted(row.cuts) == list(plain.cuts)
                assert row.knife_mm == pytest.approx(plain.knife_mm)
                assert row.least_mm == pytest.approx(plain.least_mm)
                # joints that lie a whole piece on are the same joints
                assert cutter.row(strip, phase + 3 * grid.length) is row
                seen += len(row.cuts)
    assert seen > 100


@pytest.mark.parametrize("askew", [0, 7])
def test_a_floor_laid_from_rows_is_covered_once_by_pieces_between_its_joints(askew: float) -> None:
    grid = Grid(500, 300, 90)
    for floor in drawn_floors(6):
        there = shapely.affinity.translate(floor, 1700, 900)
        region = shapely.affinity.rotate(there, askew, origin=(1700, 900))
        u0, v0, u1, v1 = region.bounds
        rows = lines(v0, v1, 1010, grid.depth)
        phases = tuple(120.0 + 35 * number for number in range(len(rows) - 1))
        start = Start("back", False, True, "staggered", 1010, phases)
        cells = lay_at(RowCutter(region, grid), start)
        joints = {
            (a, low, b, high): number
            for number, (low, high) in enumerate(pairwise(rows))
            for a, b in pairwise(lines(u0, u1, phases[number], grid.length))
        }
        for cell in cells:
            assert joints[cell.whole] == cell.row
            assert cell.bounds == pytest.approx(cell.part.bounds)
            assert box(*cell.whole).buffer(0.01).covers(cell.part)
        # slivers of a millimetre are left out
        assert shapely.union_all([cell.part for cell in cells]).area == pytest.approx(
            sum(cell.part.area for cell in cells)
        )
        assert region.area - sum(cell.part.area for cell in cells) < 2 * region.length


def test_rows_that_differ_by_a_millimetre_are_not_alike() -> None:
    # out of the last piece of each row 200 wide and 100 or a little more deep
    def kinds(more: float) -> tuple[int, int]:
        holes = [box(3000, 0, 3200, 100), box(3000, 600, 3200, 700 + more)]
        region = box(0, 0, 3200, 1200).difference(shapely.union_all(holes))
        cutter = RowCutter(region, GRID)
        return cutter.strip(0, 600).kind, cutter.strip(600, 1200).kind

    same, other = kinds(0)
    assert same == other
    for more in (1, 2, 4):
        same, other = kinds(more)
        assert same != other


@pytest.mark.parametrize(("beyond", "cells"), [(0.8, 2), (1.2, 3)])
def test_a_thread_beside_or_below_the_last_piece_is_none(beyond: float, cells: int) -> None:
    start = Start("back", False, True, "straight", 0, (0, 0, 0))
    beside = lay_at(RowCutter(box(0, 0, 2000 + beyond, 600), GRID), start)
    assert len(beside) == cells
    below = lay_at(RowCutter(box(0, 0, 2000, 600 + beyond), GRID), start)
    assert len(below) == (2 if cells == 2 else 4)


def test_what_is_no_higher_than_the_tolerance_is_no_piece() -> None:
    # far off the wall by its coordinates, half a millimetre high
    sliver = box(0, 400, 1000, 400.5)
    region = shapely.union_all([box(0, 0, 1000, 300), sliver, box(1000, 0, 2000, 600)])
    assert isinstance(region, shapely.MultiPolygon | Polygon)
    cutter = RowCutter(region, GRID)
    found = [bounds for bounds, _, _ in cutter.strip(0, 600).pieces([0, 1000, 2000])]
    assert all(high - low > 1 for _, low, _, high in found), found
    assert len(found) == 2
