"""Outlines as rectangles, by hand; the quick ways beside the geometry library's."""

import random
from collections.abc import Iterator

import pytest
import shapely
import shapely.affinity
from hypothesis import given, settings
from hypothesis import strategies as st
from shapely import MultiPolygon, Polygon, box
from shapely.geometry.base import BaseGeometry

from app.takeoff.floor_shapes import (
    Band,
    Bounds,
    bands_between,
    bands_of,
    inner_mm,
    inner_of,
    joined,
    narrow_boxes,
    narrow_part,
    seams,
    slit_of_frame,
    slits_mm,
    slits_of,
    touch_mm,
)

ELL = Polygon([(0, 0), (1000, 0), (1000, 400), (300, 400), (300, 900), (0, 900)])
RING = Polygon(box(0, 0, 900, 600).exterior, [box(300, 200, 500, 400).exterior])


def whole(boxes: list[Bounds]) -> Polygon:
    """One outline of rectangles that hang together."""
    part = shapely.union_all([box(*each) for each in boxes])
    assert isinstance(part, Polygon)
    return part


def test_bands_from_left_to_right() -> None:
    assert bands_of(ELL) == [(0, 300, ((0, 900),)), (300, 1000, ((0, 400),))]
    assert bands_of(RING) == [
        (0, 300, ((0, 600),)),
        (300, 500, ((0, 200), (400, 600))),
        (500, 900, ((0, 600),)),
    ]
    # two parts with nothing between them; alike neighbours are one
    apart = MultiPolygon([box(0, 0, 100, 100), box(300, 0, 400, 100)])
    assert bands_of(apart) == [(0, 100, ((0, 100),)), (300, 400, ((0, 100),))]
    dented = Polygon([(0, 0), (500, 0), (500, 0.05), (1000, 0.05), (1000, 400), (0, 400)])
    assert bands_of(dented) is not None
    notch = MultiPolygon([box(0, 0, 100, 100), box(100, 0, 200, 100)])
    assert bands_of(notch) == [(0, 200, ((0, 100),))]
    # askew: it goes the long way
    assert bands_of(Polygon([(0, 0), (1000, 0), (1000, 300), (0, 400)])) is None


def test_pieces_that_hang_together() -> None:
    def pieces(shape: MultiPolygon | Polygon) -> list[set[Bounds]]:
        return [set(piece) for piece in joined(bands_of(shape) or [])]

    assert pieces(ELL) == [{(0, 0, 300, 900), (300, 0, 1000, 400)}]
    # both arms of a ring come together again on its right
    assert [len(piece) for piece in pieces(RING)] == [4]
    # a C open to the left: two arms that only its back holds together
    back = Polygon(
        [(0, 0), (900, 0), (900, 600), (0, 600), (0, 400), (700, 400), (700, 200), (0, 200)]
    )
    assert [len(piece) for piece in pieces(back)] == [3]
    # side by side without a common edge, and meeting at a corner alone
    stairs = MultiPolygon([box(0, 0, 100, 100), box(100, 100, 200, 200), box(300, 0, 400, 100)])
    assert sorted(map(len, pieces(stairs))) == [1, 1, 1]


def test_what_has_come_together_goes_on_as_one_piece() -> None:
    # from one back two arms, and between them a tongue that joins the upper arm first; what goes
    # on from the lower arm, and what begins beside the place where they met, is of that piece
    bands: list[Band] = [
        (0, 100, ((0, 900),)),
        (100, 200, ((0, 100), (800, 900))),
        (200, 300, ((0, 100), (400, 500), (800, 900))),
        (300, 400, ((0, 100), (400, 850), (870, 900))),
        (400, 500, ((0, 50), (500, 800), (880, 900))),
    ]
    (piece,) = joined(bands)
    assert len(piece) == len(set(piece)) == 12
    assert sum((c - a) * (d - b) for a, b, c, d in piece) == (
        100 * (900 + 200 + 300 + 580) + 100 * (50 + 300 + 20)
    )
    # beside it another piece that never meets it stays its own
    apart = [(left, right, (*spans, (1000.0, 1100.0))) for left, right, spans in bands]
    first, second = sorted(joined(apart), key=len)
    assert (len(first), len(second)) == (5, 12)
    # a hair of 0.1 is nothing: what meets along less does not hold together
    hair: list[Band] = [(0, 100, ((0, 100),)), (100, 200, ((99.95, 200),))]
    assert [len(piece) for piece in joined(hair)] == [1, 1]
    meets: list[Band] = [(0, 100, ((0, 100),)), (100, 200, ((99.8, 200),))]
    assert [len(piece) for piece in joined(meets)] == [2]
    gap: list[Band] = [(0, 100, ((0, 100),)), (100.2, 200, ((0, 100),))]
    assert [len(piece) for piece in joined(gap)] == [1, 1]
    # a tenth of a millimetre apart they are one
    for beyond, pieces in ((100.08, [2]), (100.12, [1, 1])):
        near: list[Band] = [(0, 100, ((0, 100),)), (beyond, 200, ((0, 100),))]
        assert [len(piece) for piece in joined(near)] == pieces


def test_along_how_much_rectangles_meet() -> None:
    assert touch_mm((0, 0, 300, 900), (300, 500, 1000, 1200)) == 400
    assert touch_mm((0, 0, 300, 900), (300, 900, 1000, 1200)) == 0
    one, other, third = (0, 0, 300, 900), (300, 0, 1000, 400), (1000, 100, 1200, 1000)
    assert seams([one]) == (0, 0)
    assert seams([one, other]) == seams([other, one]) == (400, 1)
    assert seams([one, other, third]) == (700, 2)
    # apart, or meeting at a corner
    assert seams([one, third]) == (0, 0)
    assert seams([one, (300, 900, 400, 1000)]) == (0, 0)


def test_how_much_of_an_outline_is_cut() -> None:
    # of the L the edges within its box of 1000 x 900: 700 and 500; of the ring its hole as well
    ell = [(0.0, 0.0, 300.0, 900.0), (300.0, 0.0, 1000.0, 400.0)]
    assert inner_mm(ell, (0, 0, 1000, 900)) == pytest.approx(1200)
    # and wherever it lies
    there = [(a + 50, low + 70, b + 50, high + 70) for a, low, b, high in ell]
    assert inner_mm(there, (50, 70, 1050, 970)) == pytest.approx(1200)
    assert inner_of(ELL, (0, 0, 1000, 900)) == pytest.approx(1200)
    assert inner_of(RING, (0, 0, 900, 600)) == pytest.approx(800)
    assert inner_of(box(0, 0, 5, 4), (0, 0, 5, 4)) == 0
    # an edge askew is cut along its length: 3, 4, 5
    assert inner_of(Polygon([(0, 0), (7, 0), (7, 4), (3, 4)]), (0, 0, 7, 4)) == pytest.approx(5)


def test_slits_open_a_piece_the_short_way() -> None:
    (slit,) = slits_of(RING)
    assert slit.length == pytest.approx(200)
    assert slits_of(ELL) == []


@pytest.mark.parametrize(
    ("boxes", "narrow"),
    [
        ([(0, 0, 1000, 500)], False),
        # 100 wide, 500 long; 100 wide and 60 long; as wide as asked, a millimetre less, two less
        ([(0, 0, 1000, 500), (1000, 0, 1500, 100)], True),
        ([(0, 0, 1000, 500), (1000, 0, 1060, 100)], False),
        ([(0, 0, 1000, 500), (1000, 0, 1500, 150)], False),
        ([(0, 0, 1000, 500), (1000, 0, 1500, 149)], False),
        ([(0, 0, 1000, 500), (1000, 0, 1500, 148)], True),
        # as long as wide is a stub, longer is a leg
        ([(0, 0, 1000, 500), (1000, 0, 1100, 100)], False),
        ([(0, 0, 1000, 500), (1000, 0, 1102, 100)], True),
        # narrow all over
        ([(0, 0, 1000, 100)], True),
        ([(0, 0, 100, 1000)], True),
        # a waist between two wide ends: held at both, 200 long over twice 100
        ([(0, 0, 500, 500), (500, 0, 700, 100), (700, 0, 1200, 500)], False),
        ([(0, 0, 500, 500), (500, 0, 902, 100), (902, 0, 1400, 500)], True),
    ],
)
def test_legs_are_narrower_than_asked_and_longer_than_wide(
    boxes: list[Bounds], narrow: bool
) -> None:
    assert narrow_boxes(boxes, 150) is narrow
    turned = [(v0, u0, v1, u1) for u0, v0, u1, v1 in boxes]
    assert narrow_boxes(turned, 150) is narrow
    part = whole(boxes)
    assert narrow_part(part, 150) is narrow
    assert not narrow_part(part, 0)
    assert not narrow_part(part, 1)


sides = st.sampled_from([60, 100, 140, 200, 400])


@given(st.lists(st.tuples(sides, sides), min_size=1, max_size=4))
@settings(max_examples=25, deadline=None)
def test_rectangles_and_the_geometry_library_say_the_same(steps: list[tuple[int, int]]) -> None:
    """Columns of floor side by side, as rectangles and as one outline turned by a quarter."""
    u, boxes = 0.0, list[Bounds]()
    for wide, high in steps:
        boxes.append((u, 0.0, u + wide, float(high)))
        u += wide
    part = whole(boxes)
    around = part.bounds
    assert inner_mm(boxes, around) == pytest.approx(inner_of(part, around), abs=0.01)
    (piece,) = joined(bands_of(part) or [])
    assert sum((c - a) * (d - b) for a, b, c, d in piece) == pytest.approx(part.area)
    quarter = shapely.affinity.rotate(part, 90, origin=(0, 0))
    assert narrow_part(part, 150) is narrow_part(quarter, 150) is narrow_boxes(boxes, 150)


@given(
    left=st.integers(1, 400),
    top=st.integers(1, 400),
    wide=st.integers(1, 300),
    high=st.integers(1, 300),
    right=st.integers(1, 400),
    bottom=st.integers(1, 400),
)
def test_the_slit_of_a_frame_is_its_shortest_side(
    left: int, top: int, wide: int, high: int, right: int, bottom: int
) -> None:
    a, b, c, d = left, left + wide, top, top + high
    u1, v1 = b + right, d + bottom
    boxes: list[Bounds] = [(0, 0, a, v1), (a, 0, b, c), (a, d, b, v1), (b, 0, u1, v1)]
    bounds = (0.0, 0.0, float(u1), float(v1))
    short = slit_of_frame(boxes, bounds)
    assert short == min(left, top, right, bottom)
    # the geometry library says the same
    (slit,) = slits_of(whole(boxes))
    assert slit.length == pytest.approx(short)


def test_what_is_no_frame_has_no_such_slit() -> None:
    bounds = (0.0, 0.0, 900.0, 900.0)
    frame = [(0, 0, 300, 900), (300, 0, 600, 300), (300, 600, 600, 900), (600, 0, 900, 900)]
    assert slit_of_frame(frame, bounds) == 300
    assert slit_of_frame(frame[:3], bounds) is None
    # the last band is short: a step in the corner beside the hole
    assert slit_of_frame([*frame[:3], (600, 0, 900, 800)], bounds) is None
    # the part above the hole does not reach the edge
    stepped = [frame[0], (300, 100, 600, 300), *frame[2:]]
    assert slit_of_frame(stepped, bounds) is None


@settings(deadline=None)
@given(
    holes=st.lists(
        st.tuples(st.integers(-2, 10), st.integers(-2, 8), st.integers(1, 5), st.integers(1, 5)),
        max_size=4,
    ),
    low=st.integers(0, 3),
    high=st.integers(4, 8),
)
def test_slits_and_rows_of_rectangles_are_those_of_the_geometry_library(
    holes: list[tuple[int, int, int, int]], low: int, high: int
) -> None:
    # 1200 x 800 less what stands in it, at its edges or within; shapely is the other road
    standing = [box(100 * u, 100 * v, 100 * (u + a), 100 * (v + b)) for u, v, a, b in holes]
    floor = box(0, 0, 1200, 800).difference(shapely.union_all(standing))
    bands = bands_of(floor)
    assert bands is not None
    for piece in joined(bands):
        slits = sorted(slit.length for slit in slits_of(whole(piece)))
        assert sorted(slits_mm(piece)) == pytest.approx(slits)
    row = bands_between(bands, 100.0 * low, 100.0 * high)
    cut = shapely.intersection(floor, box(0, 100 * low, 1200, 100 * high))
    assert sum((b - a) * (y - x) for a, b, spans in row for x, y in spans) == pytest.approx(
        cut.area
    )
    assert row == (bands_of(cut) or [])


def test_rows_that_only_touch_a_band_have_none_of_it() -> None:
    bands = [(0.0, 500.0, ((0.0, 1000.0),)), (500.0, 900.0, ((1000.0, 1600.0),))]
    assert bands_between(bands, 1000, 1600) == [(500.0, 900.0, ((1000.0, 1600.0),))]
    # what differs above or below the row makes no corner in it
    steps = [(0.0, 500.0, ((0.0, 1000.0),)), (500.0, 900.0, ((0.0, 1600.0),))]
    assert bands_between(steps, 0, 800) == [(0.0, 900.0, ((0.0, 800.0),))]


@pytest.mark.parametrize(("high", "narrow"), [(140, False), (180, True)])
def test_a_splinter_as_thin_as_the_tolerance_is_no_leg(high: float, narrow: bool) -> None:
    # on a skewed edge a spike 1 wide at its foot: of a square of 149 half the side by the
    # millimetre of the tolerance is 74.5 mm2; the spike has half its foot by its height
    spike = Polygon(
        [(0, 0), (1000, 0), (1000, 600), (501, 630), (500.5, 630 + high), (500, 630), (0, 660)]
    )
    assert bands_of(spike) is None
    assert narrow_part(spike, 150) is narrow


def drawn_floors(count: int) -> Iterator[BaseGeometry]:
    """Floors of 1200 x 800 less what stands in them, drawn by a seed."""
    chance = random.Random(5)
    for _ in range(count):
        standing = []
        for _ in range(chance.randint(1, 6)):
            u, v = chance.randint(-200, 1150), chance.randint(-200, 780)
            far = u + chance.randint(40, 600), v + chance.randint(40, 500)
            standing.append(box(u, v, *far))
        yield box(0, 0, 1200, 800).difference(shapely.union_all(standing))


def test_what_is_read_off_rectangles_is_what_the_geometry_library_says() -> None:
    holes = legs = 0
    for floor in drawn_floors(40):
        bands = bands_of(floor)
        assert bands is not None
        pieces = joined(bands)
        assert len(pieces) == len(shapely.get_parts(floor))
        for piece in pieces:
            part = whole(piece)
            opened = sorted(slit.length for slit in slits_of(part))
            assert sorted(slits_mm(piece)) == pytest.approx(opened)
            assert inner_mm(piece, part.bounds) == pytest.approx(inner_of(part, part.bounds))
            # of a frame the short way finds the same slit
            frame = slit_of_frame(piece, part.bounds)
            assert frame is None or [frame] == pytest.approx(opened)
            holes += len(opened)
            # turned by a quarter, or told from its end, it is as narrow
            there = [(v0, u0, v1, u1) for u0, v0, u1, v1 in piece]
            mirror = [(-u1, -v1, -u0, -v0) for u0, v0, u1, v1 in piece[::-1]]
            for least in (90, 150, 260):
                narrow = narrow_boxes(piece, least)
                assert narrow is narrow_boxes(there, least) is narrow_boxes(mirror, least)
                legs += narrow
        for low, high in ((0, 300), (170, 450), (399, 800)):
            cut = shapely.intersection(floor, box(0, low, 1200, high))
            assert bands_between(bands, low, high) == (bands_of(cut) or [])
    assert holes > 20
    assert legs > 20


def test_a_thread_beside_a_piece_is_a_leg_as_well() -> None:
    # legs of 1.2 and 1.6 that are 50 long: of 2.5 a millimetre is no matter
    for wide, narrow in ((1.2, True), (1.6, False)):
        leg = Polygon([(0, 0), (100, 0), (100, 50), (wide, 50), (wide, 100), (0, 100)])
        assert narrow_part(leg, 2.5) is narrow
        assert not narrow_part(leg, 1)
