"""Parts of a ceiling over a room against areas worked by hand."""

import pytest

from app.model.base import Point
from app.model.room import Plane, Room
from app.scene.part_cover import bare_share, counts_nowhere, highest_given_mm, is_clear_of
from tests.builders import make_room

# 4 m by 3 m: 12 m2
ROOM = make_room(4000, 3000)


def rectangle(x0: float, y0: float, x1: float, y1: float) -> tuple[Point, ...]:
    return ((x0, y0), (x1, y0), (x1, y1), (x0, y1))


def ceiling(*planes: Plane) -> Room:
    whole = type(ROOM.ceiling)(planes=planes)
    return Room(**{**ROOM.model_dump(), "ceiling": whole.model_dump()})


def part(*outline: Point, name: str = "part", height: float = 2000) -> Plane:
    return Plane(id=name, height_mm=height, outline=outline)


def test_the_bare_share_is_an_area_and_no_count_of_points() -> None:
    # a triangle over half of 4 x 3 m leaves 6 of 12 m2 bare
    half = ceiling(part((0, 0), (4000, 0), (0, 3000)))
    assert bare_share(half) == pytest.approx(0.5, abs=1e-12)
    # a gap 10 mm wide over 3 m: 0.03 of 12 m2; no point of a grid of 24 by 24 lies in it
    gap = ceiling(part(*rectangle(0, 0, 1990, 3000)),
                  part(*rectangle(2000, 0, 4000, 3000), name="other"))  # fmt: skip
    assert bare_share(gap) == pytest.approx(0.0025, abs=1e-12)
    # what touches within the tolerance of 1 mm leaves nothing bare
    close = ceiling(part(*rectangle(0, 0, 1999.5, 3000)),
                    part(*rectangle(2000, 0, 4000, 3000), name="other"))  # fmt: skip
    assert bare_share(close) == 0


def test_a_part_counts_where_it_is_lower_within_the_room() -> None:
    whole = Plane(id="whole", height_mm=2400)
    room = ceiling(whole)
    assert counts_nowhere(room, part(*rectangle(0, 0, 1000, 1000), height=2400), "ceiling")
    assert not counts_nowhere(room, part(*rectangle(0, 0, 1000, 1000), height=2390), "ceiling")
    # it begins 3 m left of the room at 2.9 m and falls 100 mm a metre: below 2.4 m from x = 2 m on

    def sloping(right: float) -> Plane:
        outline = rectangle(-3000, 0, right, 1000)
        return Plane(id="part", height_mm=2900, at=(-3000, 0), rise_x=-100, outline=outline)

    assert counts_nowhere(room, sloping(1500), "ceiling")
    assert not counts_nowhere(room, sloping(2500), "ceiling")
    assert counts_nowhere(room, part(*rectangle(0, 0, 1000, 1000), height=-5), "floor")


def test_under_a_ridge_a_part_between_both_slopes_counts_nowhere() -> None:
    # two slopes of 500 mm a metre that meet at 3 m over x = 2 m; the lower of the two counts
    left = Plane(id="left", height_mm=2000, at=(0, 0), rise_x=500)
    right = Plane(id="right", height_mm=2000, at=(4000, 0), rise_x=-500)
    room = ceiling(left, right)
    # at 3.1 m it is above one slope or the other everywhere, at 2.9 m it cuts the ridge off
    assert counts_nowhere(room, part(*rectangle(0, 0, 4000, 3000), height=3100), "ceiling")
    assert not counts_nowhere(room, part(*rectangle(0, 0, 4000, 3000), height=2900), "ceiling")


def test_an_outline_is_clear_of_the_room_where_it_only_touches_it() -> None:
    assert is_clear_of(ROOM, rectangle(4000, 0, 5000, 1000))
    # 2 mm of a strip 60 m long lie within: a grid over the strip misses them
    assert not is_clear_of(ROOM, rectangle(3998, 0, 64_000, 1000))


def test_a_part_counts_where_it_is_the_whole_or_there_is_no_whole() -> None:
    whole, low, high = (
        Plane(id="whole", height_mm=2500),
        part((0, 0), (4000, 0), (0, 3000), height=2400),
        part((0, 0), (4000, 0), (0, 3000), height=2600),
    )
    assert not counts_nowhere(ceiling(whole, low), whole, "ceiling")
    assert not counts_nowhere(ceiling(low), low, "ceiling")
    assert not counts_nowhere(ceiling(whole, low), low, "ceiling")
    # behind the whole one nobody sees it
    assert counts_nowhere(ceiling(whole, high), high, "ceiling")


def test_where_no_ceiling_is_told_it_is_as_high_as_the_highest_told() -> None:
    # it rises by 100 a metre: 2800 at the far side of 4 m
    slope = Plane(id="slope", height_mm=2400, rise_x=100)
    assert highest_given_mm(ceiling(slope)) == 2800
    assert highest_given_mm(ceiling(Plane(id="slope", height_mm=2400, rise_y=-100))) == 2400
    # of a part what lies over the floor counts, not what goes on beyond it
    beyond = Plane(id="part", height_mm=2000, rise_x=100, outline=rectangle(1000, 0, 9000, 3000))
    assert highest_given_mm(ceiling(beyond)) == 2400
    assert highest_given_mm(ceiling(beyond, slope)) == 2800
    # one that lies nowhere over the floor is taken as if it lay all over it
    off = Plane(id="part", height_mm=2000, rise_x=100, outline=rectangle(5000, 0, 9000, 3000))
    assert highest_given_mm(ceiling(off)) == 2400


def test_under_a_plane_without_outline_nothing_is_bare() -> None:
    small = part(*rectangle(0, 0, 1000, 1000))
    assert bare_share(ceiling(small)) == pytest.approx(11 / 12)
    assert bare_share(ceiling(small, Plane(id="all", height_mm=2400))) == 0
