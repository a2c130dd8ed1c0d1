"""What is cut of one piece, read off its outline: by hand in a stock piece of 1000 x 1000."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Any

import pytest
from shapely import Polygon

from app.changes.commands import apply
from app.model.base import json_of
from app.model.flooring import FloorLaying, LaidPiece
from app.model.plan import Plan
from app.scene.build import Scene, build_scene
from app.takeoff.cutting_2d import CutRect
from app.takeoff.floor import Layout, floor_layout
from app.takeoff.floor_layout import Mat, StockSheet
from app.takeoff.lay_steps import (
    LayStep,
    Notch,
    Side,
    Straight,
    _straight,
    _taper,
    _Turn,
    _with_taper,
    lay_frame,
    lay_step,
    shape_of,
)
from app.usecases.laying import tick_laying
from tests.builders import column, make_plan, make_room
from tests.takeoff.test_floor_begun import SQUARE, begun

STOCK = (1000.0, 1000.0)
BOX = (100.0, 200.0, 900.0, 700.0)
Corner = tuple[float, float]
HOLE = [(300, 300), (300, 500), (400, 500), (400, 300)]


def piece(*corners: Corner, holes: Sequence[Sequence[Corner]] = (), quarters: int = 0) -> Mat:
    """A piece whose rectangle lies at BOX in its stock piece."""
    x0, y0, x1, y1 = BOX
    rect = CutRect(1, x0, y0, x1 - x0, y1 - y0, quarters)
    outline = Polygon(corners, holes)
    return Mat(1, outline, outline, 0, 1, rect, True, True, False, 0)


def test_a_plain_rectangle_has_nothing_more_to_cut() -> None:
    assert shape_of(piece((100, 200), (900, 200), (900, 700), (100, 700)), STOCK) == ([], [])


def test_a_piece_is_measured_as_it_lies() -> None:
    corners = ((100, 200), (900, 200), (900, 700), (100, 700))
    assert [piece(*corners, quarters=n).size_mm for n in range(4)] == [
        (800, 500), (500, 800), (800, 500), (500, 800)
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("corners", "measured", "first", "second"),
    [
        # the right edge runs in from 900 to 850, then the left one from 100 to 150
        ([(100, 200), (900, 200), (850, 700), (100, 700)], "left", 900, 850),
        ([(100, 200), (900, 200), (900, 700), (150, 700)], "right", 900, 850),
        # the bottom from 700 at its left to 640, the top from 200 to 270 at its right
        ([(100, 200), (900, 200), (900, 640), (100, 700)], "top", 700, 640),
        ([(100, 200), (900, 270), (900, 700), (100, 700)], "bottom", 800, 730),
        # by a millimetre it is cut as well
        ([(100, 200), (900, 200), (899, 700), (100, 700)], "left", 900, 899),
        ([(100, 200), (900, 200), (900, 700), (100, 699.4)], "top", 699.4, 700),
        # the other way round
        ([(100, 200), (850, 200), (900, 700), (100, 700)], "left", 850, 900),
        ([(150, 200), (900, 200), (900, 700), (100, 700)], "right", 850, 900),
        ([(100, 270), (900, 200), (900, 700), (100, 700)], "bottom", 730, 800),
    ],
)
def test_a_skewed_edge_is_one_cut_off_the_makers_edge_across(
    corners: list[Corner], measured: str, first: float, second: float
) -> None:
    (cut,), notches = shape_of(piece(*corners), STOCK)
    assert notches == []
    assert (cut.measured, cut.first_mm, cut.second_mm) == (measured, first, second)
    # what is kept hangs on the edge that the tape is hooked to
    assert cut.keep == measured
    assert cut.factory
    assert cut.box == BOX


@pytest.mark.parametrize(
    ("spots", "keep"),
    [
        (((900, 200), (850, 700)), "left"),
        (((100, 200), (150, 700)), "right"),
        (((100, 700), (900, 640)), "top"),
        (((100, 200), (900, 270)), "bottom"),
    ],
)
def test_the_edge_that_a_skewed_cut_is_measured_from_came_so_or_was_cut(
    spots: tuple[Corner, Corner], keep: Side
) -> None:
    # cut on all sides out of 1000 x 1000; as it came where the stock piece ends there, too
    cut = _taper(spots, BOX, (0, 0, 1000, 1000))
    assert cut is not None
    assert (cut.measured, cut.keep, cut.factory) == (keep, keep, False)
    ends = [*(0.0, 0.0, 1000.0, 1000.0)]
    at = ("left", "top", "right", "bottom").index(keep)
    for off, factory in ((0, True), (0.4, True), (-0.4, True), (0.6, False), (-0.6, False)):
        ends[at] = BOX[at] + off
        cut = _taper(spots, BOX, (ends[0], ends[1], ends[2], ends[3]))
        assert cut is not None
        assert cut.factory is factory


def test_a_corner_cut_out_is_marked_from_the_pieces_own_left_and_top() -> None:
    corner = piece((100, 200), (700, 200), (700, 300), (900, 300), (900, 700), (100, 700))
    tapers, (notch,) = shape_of(corner, STOCK)
    assert tapers == []
    assert notch == Notch(((600, 0), (600, 100), (800, 100)))


def test_a_point_on_a_straight_line_is_no_mark() -> None:
    corner = piece((100, 200), (700, 200), (700, 250), (700, 300), (800, 300), (900, 300),
        (900, 700), (100, 700))  # fmt: skip
    assert shape_of(corner, STOCK)[1] == [Notch(((600, 0), (600, 100), (800, 100)))]


def test_two_corners_are_two_notches_wherever_the_outline_begins() -> None:
    corners = [
        (200, 200), (700, 200), (700, 300), (900, 300), (900, 700), (100, 700), (100, 260),
        (200, 260),
    ]  # fmt: skip
    for start in range(len(corners)):
        turned = corners[start:] + corners[:start]
        tapers, notches = shape_of(piece(*turned), STOCK)
        assert tapers == []
        assert {notch.spots for notch in notches} == {
            ((600, 0), (600, 100), (800, 100)),
            ((0, 60), (100, 60), (100, 0)),
        }


def test_a_slope_that_ends_before_the_far_side_is_a_notch() -> None:
    # from 900 | 200 to 850 | 500 alone: no cut from edge to edge
    bent = piece((100, 200), (900, 200), (850, 500), (850, 700), (100, 700))
    tapers, (notch,) = shape_of(bent, STOCK)
    assert tapers == []
    assert notch.spots == ((800, 0), (750, 300), (750, 500))


def test_a_hole_is_a_notch_of_its_own() -> None:
    pierced = piece((100, 200), (900, 200), (900, 700), (100, 700), holes=[HOLE])
    tapers, (notch,) = shape_of(pierced, STOCK)
    assert tapers == []
    assert notch == Notch(((200, 100), (200, 300), (300, 300), (300, 100), (200, 100)), True)


def laid(depth: float = 3016, width: float = 3016, **more: Any) -> tuple[Scene, Layout]:
    """A room of 3016 x 3016 with a column of 200 in the middle: nine mats of 1000, gap 8."""
    post = ((1400, 1450), (1600, 1450), (1600, 1650), (1400, 1650))
    room = make_room(width, depth, columns=(column(post),))
    floor = {"id": "f", "start_wall": "back", "start_end": "left", "joints": "straight",
        "first_mm": 1000, "first_row_mm": 1000, "gap_mm": 8, **more}  # fmt: skip
    data = {**json_of(make_plan(room=room)), "fit_out": {"floors": [floor]}}
    scene = build_scene(Plan.model_validate(data))
    return scene, floor_layout(scene, scene.plan.fit_out.floors[0], compare=False)


def steps(scene: Scene, layout: Layout) -> list[LayStep]:
    return [lay_step(scene, layout.laid, mat) for mat in layout.mats]


def test_the_piece_round_a_column_is_opened_by_its_shortest_slit() -> None:
    made = steps(*laid())
    (middle,) = [step for step in made if step.notches]
    assert (middle.mat.number, middle.straight) == (5, ())
    (notch,) = middle.notches
    # the column with its gap of 8, in a mat that begins at 1008 | 1008
    xs, ys = ([spot[axis] for spot in notch.spots] for axis in (0, 1))
    assert (min(xs), max(xs), min(ys), max(ys)) == pytest.approx((384, 600, 434, 650))
    assert notch.hole
    assert notch.slit is not None
    (ax, ay), (bx, by) = notch.slit
    # 350 are left below it, 384 beside and 434 above it
    assert abs(ax - bx) < 0.1
    assert sorted((ay, by)) == pytest.approx([650, 1000])
    assert (middle.left_mm, middle.deep_mm) == pytest.approx((1008, 1008))
    assert middle.blank_mm == (1000, 1000)


def test_a_last_row_is_cut_off_the_makers_edge() -> None:
    # a gap of 8 at both ends: rows of 1000, 1000 and 600, and of each mat in the last one 600
    scene, layout = laid(2616)
    made = steps(scene, layout)
    cut = [step for step in made if step.straight]
    assert {step.mat.row for step in cut} == {2}
    for step in cut:
        (one,) = step.straight
        assert one.first_mm == one.second_mm == pytest.approx(600)
        assert one.factory
        assert step.piece.area == pytest.approx(600_000)
        assert step.deep_mm == pytest.approx(2008)
    assert [step.left_mm for step in cut] == pytest.approx([8, 1008, 2008])
    assert all(step.offcut_of is None for step in made)
    frame, left = lay_frame(scene, layout.laid)
    assert left == pytest.approx(0)
    assert frame.inward == (0, 1)


@pytest.mark.parametrize(
    ("width", "depth", "near", "far"),
    [(3016, 1316, "top", "bottom"), (1316, 3016, "left", "right")],
)
def test_what_is_cut_out_of_a_mat_is_measured_from_a_makers_edge(
    width: float, depth: float, near: str, far: str
) -> None:
    # three strips of 300 come out of one mat of 1000: one is cut off its near edge, one off its far
    # edge (turned round for it, it is the near one), and the third off the inner side of that; the
    # waste of 100 lies between.
    made = steps(*laid(depth, width))
    last = [step for step in made if step.straight]
    assert len({step.mat.sheet for step in last}) == 1
    cuts = [
        [(cut.measured, round(cut.first_mm), cut.keep, cut.factory) for cut in step.straight]
        for step in sorted(last, key=lambda step: step.mat.rect.bounds)
    ]
    assert cuts == [
        [(near, 300, near, True)],
        [(far, 600, far, True), (far, 300, near, True)],
        [(near, 300, near, True)],
    ]
    axis = 1 if near == "top" else 0
    for step in last:
        for cut in step.straight:
            assert cut.first_mm == cut.second_mm
            # from edge to edge of what it is cut from
            (ax, ay), (bx, by) = cut.ends
            assert abs((ax, ay)[axis] - (bx, by)[axis]) < 0.01
            assert abs(ax - bx) + abs(ay - by) == pytest.approx(1000)


def test_what_lies_is_told_with_the_blank_that_it_was_cut_from_itself() -> None:
    # three strips of 300 off one mat, in their order: off 1000, off the 700 and the 300 then left
    scene, _ = laid(1316)
    plan = scene.plan
    for number in range(1, 7):
        command = tick_laying(plan, "laid.f", {"piece": str(number)})
        assert command is not None
        plan = apply(plan, command)
    now = build_scene(plan)
    made = steps(now, floor_layout(now, plan.fit_out.floors[0], compare=False))
    assert all(step.mat.down for step in made)
    assert [step.blank_mm for step in made] == [(1000, 1000)] * 4 + [(1000, 700), (1000, 300)]


def test_a_floor_of_which_something_lies_is_told_from_where_it_was_begun() -> None:
    # begun at the right end of 4000; the wall turns out 9 longer: its left end is 9 before the
    # frame, which went along. Where nothing lies yet the frame is that of the wall
    scene = build_scene(make_plan(room=make_room(4009, 3000)))
    plain = floor_layout(scene, FloorLaying(id="f", start_wall="back"), compare=False).laid
    kept = begun(from_right=True)
    first = LaidPiece(id="1", outline=SQUARE, sheet=1, rect=(0, 0, 100, 100), down=True)
    for fields, origin in (
        ({"begun": kept, "laid": (first,)}, 9),
        ({"begun": kept}, 0),
        ({"laid": (first,)}, 0),
        ({}, 0),
    ):
        laying = FloorLaying(id="f", start_wall="back", **fields)
        frame, left = lay_frame(scene, replace(plain, laying=laying))
        assert frame.origin == pytest.approx((origin, 0))
        assert left == pytest.approx(-origin)


@pytest.mark.parametrize(
    ("quarters", "size", "box", "whole"),
    [
        (0, (500, 300), (0, 0, 100, 50), (-100, -200, 900, 800)),
        # what was at the left is at the bottom, then at the right, then on top
        (1, (300, 500), (0, 400, 50, 500), (-200, -400, 800, 600)),
        (2, (500, 300), (400, 250, 500, 300), (-400, -500, 600, 500)),
        (3, (300, 500), (250, 0, 300, 100), (-500, -100, 500, 900)),
    ],
)
def test_a_blank_is_turned_back_as_its_piece_lies(
    quarters: int, size: Corner, box: Sequence[float], whole: Sequence[float]
) -> None:
    # 500 x 300 at (100, 200) of the stock piece, of which the left top corner of 100 x 50 is kept
    turn = _Turn((100, 200, 600, 500), quarters)
    assert turn.size == size
    assert turn.box((100, 200, 200, 250)) == tuple(box)
    assert turn.box((0, 0, *STOCK)) == tuple(whole)


def test_a_piece_out_of_the_far_corner_is_measured_from_the_makers_edges() -> None:
    # 400 x 300 out of the right bottom corner of 1000 x 800, by hand: 300 off the bottom, then 400
    # off the right; a corner of 50 x 40 is missing and a square of 50 in the middle, 200 off its
    # left and 100 off its top edge, to which it is opened
    scene = build_scene(make_plan(room=make_room(4000, 3000)))
    laying = FloorLaying(id="f", start_wall="back", start_end="left", joints="straight")
    plain = floor_layout(scene, laying, compare=False).laid
    on_floor = Polygon(
        [(2050, 1000), (2400, 1000), (2400, 1300), (2000, 1300), (2000, 1040), (2050, 1040)],
        [[(2200, 1100), (2250, 1100), (2250, 1150), (2200, 1150)]],
    )
    rect = CutRect(1, 600, 500, 400, 300, 0)
    mat = Mat(1, on_floor, on_floor, 0, 1, rect, True, True, False, 0)
    sheet = StockSheet(1, 1000, 800, (rect,), ())
    step = lay_step(scene, replace(plain, mats=(mat,), sheets=(sheet,)), mat)
    assert (step.blank_mm, step.left_mm, step.deep_mm) == ((1000, 800), 2000, 1000)
    assert [
        (cut.measured, cut.first_mm, cut.second_mm, cut.factory, cut.keep, cut.ends)
        for cut in step.straight
    ] == [
        ("bottom", 300, 300, True, "bottom", ((0, 500), (1000, 500))),
        ("right", 400, 400, True, "right", ((600, 500), (600, 800))),
    ]
    corner, hole = step.notches
    assert set(corner.spots) == {(50, 0), (50, 40), (0, 40)}
    assert set(hole.spots) == {(200, 100), (250, 100), (250, 150), (200, 150)}
    assert (corner.hole, hole.hole) == (False, True)
    assert corner.slit is None
    assert hole.slit == ((200, 100), (200, 0))
    assert step.piece.bounds == (600, 500, 1000, 800)
    assert step.offcut_of is None
    # of the same stock piece 3 and 5 lie already, 6 does not yet, and 8 came from another one
    small = CutRect(1, 0, 0, 100, 100, 0)
    others = [
        Mat(number, on_floor, on_floor, 0, of, small, True, False, False, 0, down)
        for number, of, down in ((3, 1, True), (5, 1, True), (6, 2, False), (8, 2, True))
    ]
    both = (sheet, replace(sheet, number=2))
    among = replace(plain, mats=(mat, *others), sheets=both)
    assert lay_step(scene, among, mat).offcut_of == 5
    # nor does a piece that lies come from what is left of itself
    assert lay_step(scene, among, others[1]).offcut_of == 3


@pytest.mark.parametrize(
    ("now", "part", "measured", "away", "factory", "keep", "ends"),
    [
        # of a whole piece of 1000 x 800: from the edge of what is kept
        ((0, 0, 1000, 800), (0, 0, 600, 800), "left", 600, True, "left", ((600, 0), (600, 800))),
        ((0, 0, 1000, 800), (400, 0, 1000, 800), "right", 600, True, "right",
            ((400, 0), (400, 800))),
        ((0, 0, 1000, 800), (0, 0, 1000, 300), "top", 300, True, "top", ((0, 300), (1000, 300))),
        ((0, 0, 1000, 800), (0, 500, 1000, 800), "bottom", 300, True, "bottom",
            ((0, 500), (1000, 500))),
        # where that is cut already, by a millimetre too, from the other one
        ((200, 0, 1000, 800), (200, 0, 600, 800), "right", 400, True, "left",
            ((600, 0), (600, 800))),
        ((1, 0, 1000, 800), (1, 0, 600, 800), "right", 400, True, "left", ((600, 0), (600, 800))),
        ((0, 0, 800, 800), (300, 0, 800, 800), "left", 300, True, "right", ((300, 0), (300, 800))),
        ((0, 100, 1000, 800), (0, 100, 1000, 300), "bottom", 500, True, "top",
            ((0, 300), (1000, 300))),
        ((0, 0, 1000, 700), (0, 200, 1000, 700), "top", 200, True, "bottom",
            ((0, 200), (1000, 200))),
        # less than half a millimetre is none
        ((0.4, 0, 1000, 800), (0.4, 0, 600.4, 800), "left", 600, True, "left",
            ((600.4, 0), (600.4, 800))),
        # where both are cut, from the edge of what is kept all the same
        ((200, 0, 900, 800), (200, 0, 600, 800), "left", 400, False, "left",
            ((600, 0), (600, 800))),
        ((0, 100, 1000, 700), (0, 400, 1000, 700), "bottom", 300, False, "bottom",
            ((0, 400), (1000, 400))),
    ],
)  # fmt: skip
def test_from_which_edge_a_straight_cut_is_measured(
    now: Any, part: Any, measured: str, away: float, factory: bool, keep: str, ends: Any
) -> None:
    cut = _straight(now, part, (0, 0, 1000, 800))
    assert (cut.measured, cut.factory, cut.keep, cut.box) == (measured, factory, keep, now)
    assert (cut.first_mm, cut.second_mm) == pytest.approx((away, away))
    assert cut.ends == ends


LEFT_CUT = Straight("left", 850, 850, True, "left", ((850, 0), (850, 500)), (0, 0, 1000, 500))
ASKEW = Straight("left", 800, 750, False, "left", ((800, 0), (750, 500)), (0, 0, 850, 500))


def test_a_skewed_cut_takes_the_place_of_a_last_one_along_it() -> None:
    top = replace(LEFT_CUT, measured="top", keep="top")
    # none before it, one across it, one that keeps the other side: both are made
    assert _with_taper([], ASKEW) == [ASKEW]
    assert _with_taper([top], ASKEW) == [top, ASKEW]
    right = replace(LEFT_CUT, measured="right", keep="right")
    assert _with_taper([right], ASKEW) == [right, ASKEW]
    # along it from the same edge: one cut out of what the last one was made in
    assert _with_taper([top, LEFT_CUT], ASKEW) == [
        top, replace(ASKEW, factory=True, box=LEFT_CUT.box),
    ]  # fmt: skip


@pytest.mark.parametrize(
    ("measured", "keep", "ends", "first", "second"),
    [
        # from the right edge at 1000, as the last one was
        ("right", "left", ((800, 0), (750, 500)), 200, 250),
        ("left", "right", ((300, 0), (250, 500)), 300, 250),
        # from the bottom at 500 and the top at 0
        ("bottom", "top", ((0, 400), (1000, 350)), 100, 150),
        ("top", "bottom", ((0, 120), (1000, 90)), 120, 90),
    ],
)
def test_it_is_measured_from_the_far_edge_where_the_last_one_was(
    measured: Side, keep: Side, ends: tuple[Corner, Corner], first: float, second: float
) -> None:
    box = (0.0, 0.0, 1000.0, 500.0)
    last = Straight(measured, 9, 9, True, keep, ((0, 0), (0, 0)), box)
    taper = Straight(keep, 1, 2, False, keep, ends, (1, 1, 2, 2))
    before = replace(last, measured="top" if measured in ("left", "right") else "left")
    (kept, made) = _with_taper([before, last], taper)
    assert kept == before
    assert made == Straight(measured, first, second, True, keep, ends, box)


def test_what_is_askew_by_less_than_half_a_millimetre_is_square() -> None:
    outline = ((100, 200), (900, 200.4), (899.6, 700), (100, 699.6))
    assert shape_of(piece(*outline), STOCK) == ([], [])
