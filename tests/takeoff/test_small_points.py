"""Clips and ledge screws by hand: as many as are counted, and no further apart than they may be.

Clips of a sheet stand at most 600 apart, a ledge is screwed every 300, a profile clipped every 500
(common practice, no source).
"""

import math
from itertools import pairwise

import pytest

from app.model.finishing import StripRun
from app.takeoff.fixings import PAIR_AT_A_STUD, ledge_screws, ledge_studs
from app.takeoff.mirrors import clips_of
from app.takeoff.profiles import clips_of_a_piece
from app.takeoff.small_points import (
    clip_points,
    edge_points,
    ledge_joints,
    ledge_points,
    pair_points,
    piece_points,
    profile_points,
    stud_points,
)
from tests.takeoff.test_mirrors import area, with_sockets


def test_clips_stand_on_the_upright_edges_of_each_sheet() -> None:
    # two sheets side by side over 2400, 1500 high from 508: three clips on each outer edge, and
    # three at the joint that hold both: two 2 mm apart could not be drilled
    points = clip_points(with_sockets(), area())
    assert len(points) == clips_of(with_sockets(), area()) == 9
    one = area()
    xs = sorted({round(x - one.offset_mm, 6) for x, _ in points})
    assert xs[0] == 0
    assert xs[-1] == one.width_mm
    # the joint is in the middle
    assert len(xs) == 3
    assert xs[1] == pytest.approx(one.width_mm / 2)
    zs = sorted({z for _, z in points})
    assert [z - one.bottom_mm for z in zs] == pytest.approx([250, 750, 1250])


def test_no_clip_stands_over_a_socket_nor_on_glued_glass() -> None:
    sockets = with_sockets((1700, 1100))
    assert len(clip_points(sockets, area())) == clips_of(sockets, area())
    assert clip_points(with_sockets(), area(held="adhesive")) == ()
    assert clip_points(with_sockets(), area(sheet="nobody-knows")) == ()


@pytest.mark.parametrize(("high", "each"), [(599, 2), (1200, 2), (1201, 3), (1800, 3)])
def test_the_clips_of_an_edge_are_evenly_spaced_and_off_its_ends(high: float, each: int) -> None:
    points = edge_points(0, 800, 500, 500 + high, each)
    assert len(points) == 2 * each
    zs = sorted({z for _, z in points})
    ways = [b - a for a, b in pairwise(zs)]
    assert max(ways) <= 600
    assert zs[0] - 500 == pytest.approx(ways[0] / 2)
    assert 500 + high - zs[-1] == pytest.approx(ways[0] / 2)


def test_a_ledge_is_screwed_50_within_both_ends_and_every_300_at_most() -> None:
    # a screw at the very end splits the grain; common practice, no source
    points = ledge_points(100, 800, 500)
    assert len(points) == ledge_screws(800) == 4
    assert [x for x, _ in points] == pytest.approx([150, 383.333, 616.667, 850], abs=0.001)
    # a ledge is some 50 high and lies under the glass, screwed half way down
    assert {z for _, z in points} == {475}


@pytest.mark.parametrize(("wide", "ends"), [(150, (37.5, 112.5)), (200, (50, 150))])
def test_the_screws_of_a_short_ledge_stay_within_it_and_apart(
    wide: float, ends: tuple[float, float]
) -> None:
    assert tuple(x for x, _ in ledge_points(0, wide, 500)) == pytest.approx(ends)


@pytest.mark.parametrize(("foot", "screws"), [(50, 25), (20, 10), (0, 0)])
def test_a_ledge_low_on_the_wall_is_no_higher_than_what_is_left_under_the_glass(
    foot: float, screws: float
) -> None:
    assert {z for _, z in ledge_points(0, 800, foot)} == {screws}
    assert all(0 <= z <= foot for _, z in stud_points(0, 800, foot))


def test_a_ledge_on_studs_has_a_pair_at_each_of_them() -> None:
    # studs 400 apart at the closest: 2400 of glass crosses seven at the most
    points = stud_points(675, 2400, 508)
    assert len(points) == PAIR_AT_A_STUD * ledge_studs(2400) == 14
    assert sorted({x for x, _ in points}) == pytest.approx([725 + i * 2300 / 6 for i in range(7)])
    # both in the 50 of the ledge, 15 off its edges
    assert {z for _, z in points} == {493, 473}


@pytest.mark.parametrize(
    ("wide", "joints"),
    [
        # 2000 is one length; from there on two meet between the screws nearest to the middle
        (2000, []),
        (2002, [1001]),
        (2400, [1056.25]),
        # 3950 leave 1950 to 2000 to meet in, with a screw at 1975: off it
        (3950, [1950]),
        # three of equal length would meet at 1400 and 2800
        (4200, [1367.86, 2832.14]),
    ],
)
def test_a_ledge_longer_than_it_is_sold_meets_between_two_screws(
    wide: float, joints: list[float]
) -> None:
    screws = [x for x, _ in ledge_points(0, wide, 500)]
    found = ledge_joints(0, wide, screws, 2000)
    assert list(found) == pytest.approx(joints, abs=0.5)
    ends = [0, *found, wide]
    assert max(b - a for a, b in pairwise(ends)) <= 2000
    assert all(abs(joint - screw) > 15 for joint in found for screw in screws)


def test_fixings_of_a_piece_before_studs_are_no_closer_than_studs() -> None:
    # 900 cross two studs 400 apart for sure, wherever they are; one of 390 crosses one
    points = pair_points(200, 1100, 0, 1500, 4)
    assert sorted({x for x, _ in points}) == [450, 850]
    assert sorted({z for _, z in points}) == [1360, 1410]
    assert len(points) == 4
    assert {x for x, _ in pair_points(0, 390, 0, 1500, 4)} == {195}
    assert len(set(pair_points(0, 390, 0, 1500, 4))) == 4
    # 1300 cross three; what hangs has them near its lower edge too
    hung = pair_points(0, 1300, 1200, 1800, 6)
    assert sorted({x for x, _ in hung}) == [250, 650, 1050]
    assert sorted({z for _, z in hung}) == [1260, 1740]


def test_a_piece_of_which_nothing_is_told_is_fixed_near_its_top_or_at_its_corners() -> None:
    on_floor = piece_points(100, 1000, 0, 1800, 4)
    assert len(on_floor) == 4
    assert {z for _, z in on_floor} == {1800 - 90}
    assert (min(x for x, _ in on_floor), max(x for x, _ in on_floor)) == (190, 910)
    hung = piece_points(100, 1000, 1200, 1800, 4)
    assert sorted({z for _, z in hung}) == [1260, 1740]
    assert sorted({x for x, _ in hung}) == [160, 940]


def test_clips_of_a_profile_follow_it_round_its_corners() -> None:
    run = StripRun(
        id="s", wall="back", points=((500, 2000), (1700, 2000), (1700, 1300)),
        profile="profile-surface",
    )  # fmt: skip
    points = profile_points(run)
    # each leg is a piece of its own: 1200 in three parts of at most 500, 700 in two
    assert len(points) == clips_of_a_piece(1200) + clips_of_a_piece(700) == 4 + 3
    # both ends of each sit 25 within it
    assert points[0] == (525, 2000)
    assert points[3] == pytest.approx((1675, 2000))
    assert points[4] == pytest.approx((1700, 1975))
    assert points[-1] == pytest.approx((1700, 1325))
    assert math.dist(points[0], points[1]) == pytest.approx((1200 - 50) / 3)
    assert profile_points(run.model_copy(update={"profile": None})) == ()


def test_a_leg_longer_than_the_stock_has_clips_at_both_sides_of_its_joint() -> None:
    # 3000 from stock of 2000: pieces of 2000 and 1000 with 5 and 3 clips, as many as are bought
    run = StripRun(
        id="s", wall="back", points=((0, 2000), (3000, 2000)), profile="profile-surface",
        stock_mm=2000,
    )  # fmt: skip
    points = profile_points(run)
    assert len(points) == 5 + 3
    assert [x for x, _ in points][4:6] == [1975, 2025]
