"""Straight rows of fittings against every way to hang them, tried one by one on a small grid."""

import math
from itertools import combinations, pairwise, product
from random import Random

import numpy as np
import pytest

from app.takeoff.light_places import places
from app.takeoff.light_rows import Grid, even_middles, straight_rows, uneven
from tests.drawing.sheets.judged import sample
from tests.takeoff.test_light_places import FITTING

LONG, WIDE = 3000.0, 2400.0


def tried(seed: int) -> Grid:
    chance = Random(seed)
    along, lines = np.arange(300.0, 2800, 300), np.arange(300.0, 2200, 300)
    cost = [[math.inf if chance.random() < 0.45 else 0.0 for _ in along] for _ in lines]
    return Grid(along, lines, np.array(cost))


def by_hand(grid: Grid, rows: int, size: int, length: float) -> float:
    """The least that rows of as many each are moved, over every choice of lines and places."""
    count = rows * size
    between = math.sqrt(LONG * WIDE / count)
    gap = max(length, between / 2, 0.6 * LONG / size)
    apart = max(0.6 * WIDE / rows, between / 2, 100.0)
    in_row = []
    for row in range(len(grid.lines)):
        ways = [
            sum(
                abs(grid.along[p] - i)
                for p, i in zip(some, even_middles(size, 0, LONG), strict=True)
            )
            for some in combinations(range(len(grid.along)), size)
            if all(grid.along[b] - grid.along[a] >= gap - 1 for a, b in pairwise(some))
            and all(math.isfinite(grid.cost_mm[row, p]) for p in some)
        ]
        in_row.append(min(ways, default=math.inf))
    totals = [
        sum(
            in_row[line] + size * abs(grid.lines[line] - middle)
            for line, middle in zip(some, even_middles(rows, 0, WIDE), strict=True)
        )
        for some in combinations(range(len(grid.lines)), rows)
        if all(grid.lines[b] - grid.lines[a] >= apart - 1 for a, b in pairwise(some))
    ]
    return min(totals, default=math.inf) + count * uneven(count, rows, LONG, WIDE) * between / 2


@pytest.mark.parametrize(("seed", "count"), list(product(range(8), (1, 2, 4))))
def test_rows_are_moved_as_little_as_can_be(seed: int, count: int) -> None:
    grid = tried(seed)
    cost, spots = straight_rows(grid, count, (0.0, LONG, 0.0, WIDE), (600.0, 100.0), 0.0)
    # the evenest number of rows alone, which divides each of these counts
    rows = min(range(1, count + 1), key=lambda one: uneven(count, one, LONG, WIDE))
    assert count % rows == 0
    best = by_hand(grid, rows, count // rows, 600.0)
    assert cost == pytest.approx(best)
    assert len(spots) == (count if math.isfinite(best) else 0)
    for u, v in spots:
        place, line = grid.along.tolist().index(u), grid.lines.tolist().index(v)
        assert math.isfinite(grid.cost_mm[line, place])
    assert len({v for _, v in spots}) == (rows if spots else 0)


def test_a_row_with_fewer_hangs_in_line_with_the_others() -> None:
    # by hand: five in two rows, three evenly at 1000, 3000, 5000; of two alone it would be 1500 and
    # 4500, and half a metre aside they hang in line
    grid = Grid(np.arange(500.0, 5600, 500), np.array([1000.0, 3000.0]), np.zeros((2, 11)))
    _, spots = straight_rows(grid, 5, (0.0, 6000.0, 0.0, 4000.0), (1000.0, 80.0), 0.0)
    (fewer, more) = sorted(([u for u, v in spots if v == line] for line in (1000, 3000)), key=len)
    assert (sorted(fewer), sorted(more)) == ([1000, 5000], [1000, 3000, 5000])


def test_no_fitting_of_a_row_is_moved_far_for_hanging_in_line() -> None:
    # by hand: three at 500, 3000 and 5500 where the middle of the row is kept free but for 3000;
    # of the two beside it each would come 1000 out of its place, and hangs at 1500 and 4500
    cost = np.zeros((2, 11))
    cost[0, [1, 2, 3, 4, 6, 7, 8, 9]] = math.inf
    grid = Grid(np.arange(500.0, 5600, 500), np.array([1000.0, 3000.0]), cost)
    _, spots = straight_rows(grid, 5, (0.0, 6000.0, 0.0, 4000.0), (1000.0, 80.0), 0.0)
    rows = [sorted(u for u, v in spots if v == line) for line in (1000, 3000)]
    assert rows == [[500, 3000, 5500], [1500, 4500]]


@pytest.mark.parametrize("key", ["single-garage", "basement", "upstairs-room"])
def test_where_no_even_pattern_hangs_free_rows_are_straight(key: str) -> None:
    found = places(sample(key).scene, FITTING, 4)
    assert found.even or found.straight
    xs, ys = ({round(at[i]) for at in found.at} for i in (0, 1))
    assert min(len(xs), len(ys)) <= 2


def test_no_fitting_hangs_under_the_eaves_where_it_need_not() -> None:
    # the room upstairs is 2350 high and 1450 under its eaves, which are a metre deep
    scene = sample("upstairs-room").scene
    found = places(scene, FITTING, 4)
    assert found.straight
    assert all(y > 1000 for _, y in found.at)
