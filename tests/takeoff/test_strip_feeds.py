"""Feeds of a strip by hand: 3 % of 12 V are 0.36 V; mV per A and m, and A, of BS 7671 Table 4F3.

0.75 mm2: 62 and 6; 1 mm2: 46 and 10; 2.5 mm2: 19 and 25; 4 mm2: 12 and 32; 6 mm2: 7.64 and 32.
"""

import pytest

from app.takeoff.strip_feeds import (
    Feeding,
    _ways,
    cable_words,
    feeding,
    guard_words,
    needs_fuse,
)


@pytest.mark.parametrize(
    ("whole", "longest", "amps", "volts", "cable", "places", "reach", "size", "drop"),
    [
        # 4 m that its start feeds: 4.8 A over 1 m lose 62 x 4.8 = 0.298 V in 0.75 mm2
        (4, 5.16, 4.8, 12, 1, (0,), 4, "0.75", 0.2976),
        # over 4 m 2.5 mm2 lose 0.365 V, 4 mm2 0.230
        (4, 5.16, 4.8, 12, 4, (0,), 4, "4.0", 0.2304),
        # over 12 m no cable does, nor over 14 to the middle; half of it over 16 m to the far end:
        # 7.64 x 2.4 x 16
        (4, 5.16, 4.8, 12, 12, (0, 4), 2, "6.0", 0.2934),
        # as long as its start feeds; a hair longer is fed in the middle
        (5, 5, 4.8, 12, 1, (0,), 5, "0.75", 0.2976),
        (5.001, 5, 4.8, 12, 0, (2.5005,), 2.5005, "2.5", 0.228),
        # 6 m: at 3.00, 3.5 m of cable: 12 x 7.2 x 3.5
        (6, 5.16, 7.2, 12, 0.5, (3,), 3, "4.0", 0.3024),
        # twice as long as one end feeds: from the middle 17 m are too far, so both ends at 24 V
        (10, 5, 6, 24, 12, (0, 10), 5, "6.0", 0.5042),
        # 12 m where one end feeds 5: two feeds at 3 and 9; 10 m of cable at 7.2 A are too much, so
        # four of 3.6 A, the farthest 1 + 10.5 m off
        (12, 5, 14.4, 12, 1, (1.5, 4.5, 7.5, 10.5), 1.5, "6.0", 0.3163),
        (12, 5, 1.2, 12, 1, (3, 9), 3, "1.0", 0.276),
    ],
)
def test_the_plainest_way_for_which_there_is_a_cable(
    whole: float, longest: float, amps: float, volts: float, cable: float,
    places: tuple[float, ...], reach: float, size: str, drop: float,
) -> None:  # fmt: skip
    fed = feeding(whole, longest, amps, volts, cable, 20)
    assert fed.places_m == pytest.approx(places)
    assert fed.reach_m == pytest.approx(reach)
    assert fed.amps == pytest.approx(amps / len(places))
    assert fed.cable is not None
    assert fed.cable[0] == size
    assert fed.cable[1] == pytest.approx(drop, abs=1e-3)
    assert fed.carries_a == {"0.75": 6, "1.0": 10, "2.5": 25}.get(size, 32)


def test_where_no_way_has_a_cable_the_usual_one_is_told_without() -> None:
    # 12 mV/A/m of 4 mm2 (BS 7671, Table 4F3B): with two feeds of two cables each, 1.2 A lose 0.92 V
    # on 64 m, and 0.36 may be lost
    assert feeding(4, 5.16, 4.8, 12, 60, 20) == Feeding((0,), 4, 4.8, None, 0)


def test_two_cables_side_by_side_share_the_current() -> None:
    # on 24 m the same lose 0.35 V, and one cable for each feed 0.69
    two = feeding(4, 5.16, 4.8, 12, 20, 20)
    assert (two.places_m, two.side_by_side, two.amps_a_cable) == ((0, 4), 2, 1.2)
    assert two.cable is not None
    assert two.cable[0] == "4.0"
    assert two.cable[1] == pytest.approx(0.012 * 24 * 1.2)


def test_in_warm_air_a_thicker_one() -> None:
    # at 35 C 0.75 mm2 carry 6 x 0.91 = 5.46 A, 1 mm2 9.1
    assert feeding(4, 5, 5.4, 12, 0.5, 35).carries_a == pytest.approx(5.46)
    warm = feeding(4, 5, 5.9, 12, 0.5, 35)
    assert warm.cable is not None
    assert warm.cable[0] == "1.0"
    assert warm.carries_a == pytest.approx(9.1)


def test_a_fuse_where_the_supply_gives_more_than_the_cable_carries() -> None:
    one = Feeding((0,), 4, 4.8, ("0.75", 0.3), 6)
    two = Feeding((0, 4), 2, 2.4, ("0.75", 0.3), 6)
    assert [needs_fuse(one, supply) for supply in (5.9, 6, 6.1)] == [False, False, True]
    assert not needs_fuse(Feeding((0,), 4, 4.8, None, 0), 6)
    assert guard_words(one, 6, "metric") == (
        "the feed needs no fuse of its own: the supply gives at most 6.0 A and the cable carries "
        "6.0 A"
    )
    assert guard_words(two, 10, "metric") == (
        "fuse each feed at the supply with 5 A: its cable carries 6.0 A and it draws 2.4 A"
    )


@pytest.mark.parametrize(
    ("whole", "ways"),
    [
        # one end feeds 5 m: from the start, the middle, both ends, two quarters
        (4, [((0,), 4), ((2,), 2), ((0, 4), 2), ((1, 3), 1)]),
        (5, [((0,), 5), ((2.5,), 2.5), ((0, 5), 2.5), ((1.25, 3.75), 1.25)]),
        # longer than it feeds, up to twice that
        (5.01, [((2.505,), 2.505), ((0, 5.01), 2.505), ((1.2525, 3.7575), 1.2525)]),
        (10, [((5,), 5), ((0, 10), 5), ((2.5, 7.5), 2.5)]),
        # longer than that both ends do not reach
        (10.01, [((2.5025, 7.5075), 2.5025),
            ((1.25125, 3.75375, 6.25625, 8.75875), 1.25125)]),
        (14, [((3.5, 10.5), 3.5), ((1.75, 5.25, 8.75, 12.25), 1.75)]),
    ],
)  # fmt: skip
def test_every_way_to_feed_a_strip(
    whole: float, ways: list[tuple[tuple[float, ...], float]]
) -> None:
    found = list(_ways(whole, 5))
    assert len(found) == len(ways)
    for (places, reach), (want_places, want_reach) in zip(found, ways, strict=True):
        assert places == pytest.approx(want_places)
        assert reach == pytest.approx(want_reach)


@pytest.mark.parametrize(
    ("size", "metric", "feet"),
    [
        ("2.5", "2.5 mm²", "12 AWG (2.5 mm² or more)"),
        ("0.75", "0.75 mm²", "18 AWG (0.75 mm² or more)"),
        # thicker than any that is sold by gauge: told as it is
        ("16", "16 mm²", "16 mm²"),
    ],
)
def test_a_cable_is_told_as_a_shop_sells_it(size: str, metric: str, feet: str) -> None:
    assert (cable_words(size, "metric"), cable_words(size, "feet")) == (metric, feet)
