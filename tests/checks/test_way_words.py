"""Narrow places gathered and named; widths of ways: 450 at the least, 600 wanted, 760 easy."""

from app.checks.way_words import EASY, LEAST, WANTED, misses, necks_of
from app.scene.routes import Way


def way(width: float, *between: int) -> Way:
    return Way(width, between, (0.0, 0.0), 0)


def test_a_way_misses_a_width_by_more_than_the_tolerance() -> None:
    assert misses(way(448), LEAST)
    assert not misses(way(449.5), LEAST)
    assert misses(way(598), WANTED)
    assert not misses(way(760), EASY)


def test_ways_through_one_place_are_one_neck_as_wide_as_the_narrowest() -> None:
    ways = {0: way(500, 1, 2), 1: way(700, 3), 2: way(480, 1, 2), 3: way(400, 5), 4: way(590, 4)}
    necks = necks_of(ways, 450, WANTED)
    assert [(neck.way.width_mm, neck.to) for neck in necks] == [(480, (0, 2)), (590, (4,))]
    assert [neck.to for neck in necks_of(ways, 0, LEAST)] == [(3,)]
    assert [neck.to for neck in necks_of(ways, 600, EASY)] == [(1,)]


def test_no_way_at_all_counts_among_the_narrowest() -> None:
    assert [neck.to for neck in necks_of({0: way(0)}, 0, LEAST)] == [(0,)]
