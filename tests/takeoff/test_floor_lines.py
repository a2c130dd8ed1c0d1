"""Where joints run, worked by hand with pieces of 1000 x 600 and strips of 150 at the least."""

import pytest
import shapely
from shapely import Polygon, box

from app.model.flooring import Joints
from app.takeoff.floor_lines import Cell, Grid, in_order, lay, lines, narrow, shifts
from app.takeoff.floor_region import Start

GRID = Grid(1000, 600, 150)


def start(joints: Joints = "staggered", from_right: bool = False) -> Start:
    return Start("back", from_right, True, joints)


def joints_of(cells: tuple[Cell, ...], row: int) -> list[float]:
    """Where the pieces of a row begin and end, in laying order."""
    own = [cell.bounds for cell in cells if cell.row == row]
    return [own[0][0], *(u1 for _, _, u1, _ in own)]


def test_lines_begin_and_end_with_the_region() -> None:
    assert lines(0, 2500, 0, 1000) == [0, 1000, 2000, 2500]
    # the start lies before, within and beyond the region: joints are start + k x step
    assert lines(0, 2500, -300, 1000) == [0, 700, 1700, 2500]
    assert lines(0, 2500, 1300, 1000) == [0, 300, 1300, 2300, 2500]
    assert lines(100, 1100, 5100, 1000) == [100, 1100]
    # a joint within the tolerance of an end is that end
    assert lines(0, 2000.5, 0, 1000) == [0, 1000, 2000.5]
    assert lines(0.5, 2000, 0, 1000) == [0.5, 1000, 2000]


def test_shifts_widen_what_would_be_narrow() -> None:
    # 2100: a strip of 100 is left; begun 50 sooner the rest is 150
    assert shifts(0, 1000, [2100], 150) == [0, -50]
    # 1900: 100 lack to a whole piece: begun 100 sooner the joint lies on the edge
    assert shifts(0, 1000, [1900], 150) == [0, -100]
    assert shifts(0, 1000, [2150, 1850, 2000, 2000.5, 1999.5], 150) == [0]
    # none first, then the smallest
    assert shifts(0, 1000, [1900, 2100, 3120], 150) == [0, -30, -50, -100]


def test_nobody_cuts_a_strip_of_a_millimetre() -> None:
    # beyond the first piece the floor is so deep as told
    def laid(deep: float) -> list[tuple[float, ...]]:
        corners = [(0, 0), (2000, 0), (2000, deep), (1000, deep), (1000, 600), (0, 600)]
        return [cell.bounds for cell in lay(Polygon(corners), GRID, start("straight"), None)]

    assert laid(0.8) == [(0, 0, 1000, 600)]
    assert laid(1.2) == [(0, 0, 1000, 600), (1000, 0, 2000, 1.2)]


def test_what_is_narrow() -> None:
    def cell(u1: float, v1: float) -> Cell:
        return Cell(Polygon(), 0, (0, 0, u1, v1), (0, 0, 1000, 600))

    assert narrow(cell(148, 600), 150)
    assert narrow(cell(1000, 148), 150)
    # within the tolerance of a millimetre it is as wide as it should be
    assert not narrow(cell(149.5, 600), 150)
    assert not narrow(cell(150, 150), 150)


@pytest.mark.parametrize(
    ("bounds", "least"),
    [
        # a doorway from 1000 to 1900 along the wall, 500 to 600 off it: within, all of it, each
        # side just reached and just not
        ((1200, 520, 1500, 580), 300),
        ((0, 0, 3000, 1000), 300),
        ((0, 0, 1001, 1000), 300),
        ((0, 0, 1000, 1000), 150),
        ((1899, 0, 3000, 1000), 300),
        ((1900, 0, 3000, 1000), 150),
        ((0, 0, 3000, 501), 300),
        ((0, 0, 3000, 500), 150),
        ((0, 599, 3000, 1000), 300),
        ((0, 600, 3000, 1000), 150),
    ],
)
def test_at_a_doorway_strips_are_wider(
    bounds: tuple[float, float, float, float], least: float
) -> None:
    doors = ((1000.0, 500.0, 1900.0, 600.0), (9000.0, 9000.0, 9001.0, 9001.0))
    assert Grid(1000, 600, 150, doors, 300).least_at(bounds) == least
    assert Grid(1000, 600, 150, doors[::-1], 300).least_at(bounds) == least
    # never narrower than elsewhere
    assert Grid(1000, 600, 150, doors, 100).least_at(bounds) == 150


def test_a_leg_of_a_notched_piece_is_narrow_too() -> None:
    def piece(leg: float) -> Cell:
        corners = [(0, 0), (1000, 0), (1000, 300), (leg, 300), (leg, 600), (0, 600)]
        return Cell(Polygon(corners), 0, (0, 0, 1000, 600), (0, 0, 1000, 600))

    assert narrow(piece(100), 150)
    assert not narrow(piece(150), 150)


def test_balanced_cuts_at_both_ends() -> None:
    # 7 x 12 + 1.5: six whole and two cuts of 6.75 (docstring of the layout rule, ANSI A108.02:
    # no cut under half a tile where it can be helped)
    cells = lay(shapely.box(0, 0, 85.5, 12), Grid(12, 12, 3), start("balanced"), None)
    row = joints_of(cells, 0)
    assert row[1] - row[0] == pytest.approx(6.75)
    assert row[-1] - row[-2] == pytest.approx(6.75)
    assert len(cells) == 8
    # nothing left over: as it comes
    cells = lay(shapely.box(0, 0, 3000, 600), GRID, start("balanced"), None)
    assert joints_of(cells, 0) == [0, 1000, 2000, 3000]
    # less than one piece: cut once
    cells = lay(shapely.box(0, 0, 800, 500), GRID, start("balanced"), None)
    assert joints_of(cells, 0) == [0, 800]
    # a region that begins elsewhere: (400 + 1000) / 2 = 700 at both ends, by hand
    cells = lay(shapely.box(100, 0, 2500, 600), GRID, start("balanced"), None)
    assert joints_of(cells, 0) == pytest.approx([100, 800, 1800, 2500])


def test_every_other_row_begins_with_half_a_piece() -> None:
    cells = lay(shapely.box(0, 0, 3200, 1800), GRID, start(), None)
    assert joints_of(cells, 0) == [0, 1000, 2000, 3000, 3200]
    assert joints_of(cells, 1) == [0, 500, 1500, 2500, 3200]
    assert joints_of(cells, 2) == joints_of(cells, 0)


def test_from_the_right_it_is_the_mirror() -> None:
    cells = lay(shapely.box(0, 0, 3200, 1200), GRID, start(from_right=True), None)
    assert [cell.bounds[::2] for cell in cells if cell.row == 0] == [
        (2200, 3200),
        (1200, 2200),
        (200, 1200),
        (0, 200),
    ]
    assert next(cell.bounds[::2] for cell in cells if cell.row == 1) == (2700, 3200)


def test_straight_joints_run_through() -> None:
    cells = lay(shapely.box(0, 0, 3200, 1800), GRID, start("straight"), None)
    assert [joints_of(cells, row) for row in range(3)] == [[0, 1000, 2000, 3000, 3200]] * 3
    # a strip of 100 would be left: begun 50 sooner, 950 and 150
    cells = lay(shapely.box(0, 0, 2100, 600), GRID, start("straight"), None)
    assert joints_of(cells, 0) == [0, 950, 1950, 2100]
    cells = lay(shapely.box(0, 0, 2100, 600), GRID, start("straight", from_right=True), None)
    assert [cell.bounds[::2] for cell in cells] == [(1150, 2100), (150, 1150), (0, 150)]


def test_no_narrow_row_is_left_at_the_far_wall() -> None:
    # 1300 deep: 600 + 600 and 100; begun 50 sooner 550, 600 and 150
    cells = lay(shapely.box(0, 0, 2000, 1300), GRID, start("straight"), None)
    assert sorted({cell.bounds[1::2] for cell in cells}) == [(0, 550), (550, 1150), (1150, 1300)]


def test_rows_begin_where_they_are_told() -> None:
    cells = lay(shapely.box(0, 0, 2000, 1500), GRID, start("straight"), -100)
    assert sorted({cell.bounds[1::2] for cell in cells}) == [(0, 500), (500, 1100), (1100, 1500)]


def test_a_row_that_cannot_keep_its_half_moves_off_the_joints_before() -> None:
    # 1580 wide: the second row begins with 500 and would end with 80; moved by 70 the joints are
    # at 430 and 1430, 430 off those of the first row
    cells = lay(shapely.box(0, 0, 1580, 1200), GRID, start(), None)
    assert joints_of(cells, 0) == [0, 1000, 1580]
    assert joints_of(cells, 1) == [0, 430, 1430, 1580]


@pytest.mark.parametrize("low", [900, 1110])
def test_a_row_moves_off_the_joints_before_though_nothing_in_it_is_narrow(low: float) -> None:
    # Strips of 300 at the least, by hand. The first row is 2050 wide: 50 would be left, so it
    # begins 250 sooner. The second begins with 500, 250 off those joints: too near, though its own
    # pieces of 500, 1000, 1000 and 300 are wide enough. Its step at 1600 leaves 100 beyond the
    # joint at 1500, where that is 90 deep no more than a stub; moved by 200 for that, the joints
    # are at 300 and 1300, 450 off.
    region = Polygon(
        [
            *((0, 0), (2050, 0), (2050, 600), (2800, 600)),
            *((2800, low), (1600, low), (1600, 1200), (0, 1200)),
        ]
    )
    cells = lay(region, Grid(1000, 600, 300), start(), None)
    assert joints_of(cells, 0) == [0, 750, 1750, 2050]
    assert joints_of(cells, 1) == [0, 300, 1300, 2300, 2800]


def test_an_l_is_laid_in_its_parts() -> None:
    # an L of 3000 x 600 and 1000 x 600 below it: three pieces, then one that begins at 0 with
    # half a piece
    region = Polygon([(0, 0), (3000, 0), (3000, 600), (1000, 600), (1000, 1200), (0, 1200)])
    cells = lay(region, GRID, start(), None)
    assert joints_of(cells, 0) == [0, 1000, 2000, 3000]
    assert joints_of(cells, 1) == [0, 500, 1000]
    assert sum(cell.part.area for cell in cells) == pytest.approx(region.area)
    assert [cell.whole for cell in cells[:1]] == [(0, 0, 1000, 600)]


def test_two_pieces_of_one_row_at_one_place_come_nearest_the_wall_first() -> None:
    near, far = (0.0, 0.0, 900.0, 200.0), (0.0, 300.0, 400.0, 600.0)
    whole = (0.0, 0.0, 1000.0, 600.0)
    cells = [Cell(box(*bounds), 0, bounds, whole) for bounds in (far, near)]
    ordered = in_order(cells, Start("back", False, True, "straight"))
    assert [cell.bounds for cell in ordered] == [near, far]
