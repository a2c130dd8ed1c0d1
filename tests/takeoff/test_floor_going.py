"""A floor that goes on from what lies, by hand: where its frame, rows and joints are now."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from shapely import Polygon, box, union_all

from app.changes.commands import apply
from app.errors import PlanError
from app.model.base import json_of
from app.model.flooring import FloorLaying, LaidPiece
from app.model.plan import Plan
from app.scene.build import build_scene
from app.takeoff.floor import floor_layout
from app.takeoff.floor_going import (
    _like,
    _recognised,
    _slits,
    begun_now,
    frame_now,
    going_on,
    going_words,
    joint_of_row,
)
from app.takeoff.floor_layout import StockSheet
from app.takeoff.floor_lines import Cell
from app.usecases.laying import edit_laying
from tests.builders import make_plan, make_room
from tests.takeoff.test_floor_begun import begun


def test_a_frame_stays_where_it_was_begun() -> None:
    frame, start = frame_now(build_scene(make_plan(room=make_room(4000, 3000))), begun())
    assert (frame.origin, frame.inward) == ((0, 0), (0, 1))
    assert (start.wall, start.from_right, start.along) == ("back", False, True)
    assert (start.rows_at, start.phases) == (0, (0,))


@pytest.mark.parametrize(
    ("width", "origin"),
    [
        # begun at the right end: the corner goes out by 9 and the frame with it
        (4009, 9), (3990, -10), (4499, 499),
        # half a metre off it is another corner
        (4500, 0), (4600, 0),
    ],
)  # fmt: skip
def test_a_frame_goes_with_the_corner_it_was_begun_at(width: float, origin: float) -> None:
    made = build_scene(make_plan(room=make_room(width, 3000)))
    frame, _ = frame_now(made, begun(from_right=True))
    assert frame.origin == pytest.approx((origin, 0))
    # begun at the left end nothing moves
    left, _ = frame_now(made, begun())
    assert left.origin == pytest.approx((0, 0))
    now = begun_now(made, begun(from_right=True))
    assert [*now.points[0], *now.points[1]] == pytest.approx([origin, 0, origin, 10_000])


def test_a_frame_of_the_wall_across() -> None:
    # with one's face to the right wall its right end is at the front: 3000 deep, then 3020
    made = build_scene(make_plan(room=make_room(4000, 3020)))
    across = begun(
        points=((4000, 0), (-6000, 0)), wall="right", long_mm=3000, from_right=True
    )  # fmt: skip
    frame, _ = frame_now(made, across)
    assert frame.inward == pytest.approx((-1, 0))
    assert frame.origin == pytest.approx((4000, 20))


def test_where_the_wall_is_gone_the_longest_takes_its_name() -> None:
    made = build_scene(make_plan(room=make_room(3000, 4000)))
    frame, start = frame_now(made, begun(wall="pulled-down", points=((50, 60), (50, 1060))))
    assert (frame.origin, frame.inward) == ((50, 60), (0, 1))
    assert start.wall in ("left", "right")


@pytest.mark.parametrize(
    ("place", "joint"),
    # the rows that were planned are 2, 3 and 4; beyond them every other row is alike
    [(2, 10), (3, 20), (4, 30), (5, 20), (6, 30), (7, 20), (1, 20), (0, 10), (-1, 20)],
)
def test_a_row_that_came_with_a_longer_wall_goes_on_in_turn(place: int, joint: float) -> None:
    staggered = begun(phases=(10, 20, 30), first_row=2)
    assert joint_of_row(staggered, place) == joint
    assert joint_of_row(begun(phases=(10,), first_row=2), place) == 10
    two = begun(phases=(10, 20), first_row=2)
    assert joint_of_row(two, place) == (10 if place % 2 == 0 else 20)


def piece_of(*corners: tuple[float, float]) -> LaidPiece:
    return LaidPiece(id="1", outline=corners, sheet=1, rect=(0, 0, 500, 500), down=True)


@pytest.mark.parametrize(
    "corners",
    [
        # its sides cross, and one of both halves is larger: 5000 by the sum over its corners
        ((0, 0), (400, 0), (100, 300), (400, 100)),
        # on a line
        ((0, 0), (200, 0), (400, 0)),
    ],
)
def test_what_is_no_shape_is_not_gone_on_from(corners: tuple[tuple[float, float], ...]) -> None:
    made = build_scene(make_plan(room=make_room(3000, 4000)))
    laying = FloorLaying(id="f", begun=begun(), laid=(piece_of(*corners),))
    with pytest.raises(PlanError, match="is no shape"):
        going_on(made, laying)
    square = piece_of((8, 8), (508, 8), (508, 508), (8, 508))
    gone_on = going_on(made, laying.model_copy(update={"laid": (square,)}))
    assert [mat.polygon.area for mat in gone_on.mats if mat.down] == pytest.approx([500 * 500])


def test_whole_pieces_that_are_still_to_be_laid_lie_as_they_are_sold() -> None:
    # 3016 x 4016 less 8 all round, of which a mat in the first corner lies: eleven others, whole
    made = build_scene(make_plan(room=make_room(3016, 4016)))
    down = LaidPiece(
        id="1", outline=((8, 8), (1008, 8), (1008, 1008), (8, 1008)), sheet=1,
        rect=(0, 0, 1000, 1000), down=True, blank=(0, 0, 1000, 1000),
    )  # fmt: skip
    where = begun(rows_at=8, phases=(8,) * 4, long_mm=3016)
    floor = going_on(made, FloorLaying(id="f", gap_mm=8, begun=where, laid=(down,)))
    # one is opened and eleven more are needed; nothing of the 3 x 4 m is lost
    assert (floor.to_buy, floor.lower_bound, floor.proven) == (12, 12, True)
    assert (floor.area_m2, floor.waste_m2) == pytest.approx((12, 0))
    assert [sheet.knife for sheet in floor.sheets] == [()] * 12
    mats = floor.mats
    assert [(mat.number, mat.sheet) for mat in mats] == [(n, n) for n in range(1, 13)]
    assert {(mat.rect.bounds, mat.rect.quarters) for mat in mats} == {((0, 0, 1000, 1000), 0)}


def test_what_is_cut_of_the_rest_comes_from_what_is_open_and_from_new_pieces() -> None:
    # 2516 x 2016 less 8 all round: two columns of whole mats and one of halves. The first half lies
    # cut off the left of a mat of which 500 x 1000 is left; the wall is 16 longer than planned
    made = build_scene(make_plan(room=make_room(2516, 2016)))
    half = LaidPiece(
        id="3", outline=((2008, 8), (2508, 8), (2508, 1008), (2008, 1008)), sheet=3,
        rect=(0, 0, 500, 1000), down=True, blank=(0, 0, 1000, 1000), left=((500, 0, 1000, 1000),),
    )  # fmt: skip
    where = begun(rows_at=8, phases=(8,) * 2, long_mm=2516)
    floor = going_on(made, FloorLaying(id="f", gap_mm=8, begun=where, laid=(half,)))
    # four whole ones and the other half out of what is left
    assert (floor.to_buy, floor.lower_bound, len(floor.mats)) == (5, 5, 6)
    (other,) = [mat for mat in floor.mats if mat.sheet == 3 and not mat.down]
    assert other.rect.bounds == (500, 0, 1000, 1000)
    assert other.polygon.bounds == pytest.approx((2008, 1008, 2508, 2008))
    # rows are counted from the first one that was begun
    assert sorted(mat.row for mat in floor.mats) == [0, 0, 0, 1, 1, 1]
    assert (floor.area_m2, floor.waste_m2) == pytest.approx((5, 0))
    assert [sheet.number for sheet in floor.sheets if sheet.knife] == [3]
    # who tells of a saw only now has cut what lies without it
    sawn = FloorLaying(id="f", gap_mm=8, begun=where, laid=(half,), kerf_mm=3)
    later = going_on(made, sawn)
    assert [sheet.knife for sheet in later.sheets] == [sheet.knife for sheet in floor.sheets]


def test_a_start_without_a_direction_is_not_gone_on_from() -> None:
    made = build_scene(make_plan(room=make_room(3000, 4000)))
    square = piece_of((8, 8), (508, 8), (508, 508), (8, 508))
    where = begun(points=((0, 0), (0, 0)))
    with pytest.raises(PlanError, match="tells no direction"):
        going_on(made, FloorLaying(id="f", begun=where, laid=(square,)))


def test_what_is_spoiled_of_a_floor_that_nobody_began_is_begun_anew() -> None:
    square = piece_of((8, 8), (508, 8), (508, 508), (8, 508))
    floor = FloorLaying(id="f", spoiled=(square,))
    plan = make_plan(room=make_room(3000, 4000))
    plan = Plan.model_validate({**json_of(plan), "fit_out": {"floors": [json_of(floor)]}})
    with pytest.raises(PlanError, match="begin it anew"):
        floor_layout(build_scene(plan), floor)
    command = edit_laying(plan, "anew.f", {})
    assert command is not None
    assert apply(plan, command).fit_out.floors[0].spoiled == ()


def test_what_nobody_has_begun_does_not_go_on() -> None:
    made = build_scene(make_plan(room=make_room(3000, 4000)))
    with pytest.raises(PlanError, match="nobody has begun to lay it"):
        going_on(made, FloorLaying(id="f"))


def going(
    of: tuple[int, ...], down: tuple[int, ...], spoiled: tuple[int, ...] = (), **laid: Any
) -> str:
    """What is said of pieces out of stock pieces of these numbers, of which some lie."""
    made = build_scene(make_plan(room=make_room(3016, 2016)))
    plain = floor_layout(made, FloorLaying(id="f", joints="straight"), compare=False).laid
    kind = "roll" if "step_mm" in laid else "mat"
    lost = tuple(
        LaidPiece(id=str(90 + n), outline=((0, 0), (9, 0), (9, 9)), sheet=n, rect=(0, 0, 9, 9))
        for n in spoiled
    )
    mats = tuple(
        replace(plain.mats[0], number=i, sheet=sheet, down=i in down)
        for i, sheet in enumerate(of, 1)
    )
    numbers = sorted({*of, *spoiled})
    longs = {1: 2500.0, 2: 1200.0}
    sheets = tuple(
        StockSheet(n, longs.get(n, 1000.0), longs.get(n, 1000.0), (), (), n == 2) for n in numbers
    )
    laying = FloorLaying.model_validate({"id": "f", "kind": kind, "spoiled": lost})
    bound = {"lower_bound": len(numbers), **laid}
    return going_words(replace(plain, laying=laying, mats=mats, sheets=sheets, **bound), "metric")


@pytest.mark.parametrize(
    ("of", "fields", "words"),
    [
        ((1, 2, 3, 3, 4), {"down": (1, 2)}, "4 mats to buy in all: 2 of 5 pieces lie, for the rest "
            "2 mats and what is left of the 2 opened. Fewer are impossible."),
        # a spoiled piece opened another one
        ((1, 2, 3), {"down": (1,), "spoiled": (5,)}, "4 mats to buy in all: 1 of 3 pieces lie, for "
            "the rest 2 mats and what is left of the 2 opened; 1 piece spoiled. Fewer are "
            "impossible."),
        ((1, 1), {"down": (1,)}, "1 mat to buy in all: 1 of 2 pieces lie, for the rest what is "
            "left of the 1 opened, nothing new. Fewer are impossible."),
        ((1, 2), {"down": (1,), "lower_bound": 1}, "2 mats to buy in all: 1 of 2 pieces lie, for "
            "the rest 1 mat and what is left of the 1 opened; at least 1 mat by area."),
        ((1, 2), {"down": (1, 2)}, "2 mats in all, and all 2 pieces lie."),
        # lengths of 2.5 and 1.2 m off a roll, counted in tenths of a metre
        ((1, 2), {"down": (1,), "step_mm": 100.0, "lower_bound": 37}, "3.7 m of roll to buy in "
            "all: 1 of 2 pieces lie, for the rest 1.2 m of roll and what is left of the 1 opened. "
            "Less is impossible."),
        ((1, 2), {"down": (2,), "step_mm": 100.0, "lower_bound": 36}, "3.7 m of roll to buy in "
            "all: 1 of 2 pieces lie, for the rest 2.5 m of roll and what is left of the 1 opened; "
            "at least 3.6 m of roll by area."),
    ],
)  # fmt: skip
def test_how_far_a_floor_is_laid_and_what_the_rest_takes(
    of: tuple[int, ...], fields: dict[str, Any], words: str
) -> None:
    assert going(of, **fields) == words


PLATE = box(0, 0, 100, 100)


@pytest.mark.parametrize(
    ("other", "like"),
    [
        (PLATE, True),
        # by less than half a millimetre at any side
        (box(0.4, 0, 100.4, 100), True),
        (box(0, -0.4, 100, 99.6), True),
        (box(0.6, 0, 100.6, 100), False),
        (box(0, 0, 100, 100.6), False),
        (box(-0.6, 0, 100, 100), False),
        # of 100 x 100 it is 200 mm2, half a millimetre along the outline
        (PLATE.difference(box(90, 90, 100, 100)), True),
        (PLATE.difference(box(80, 80, 100, 100)), False),
    ],
)
def test_a_piece_is_known_again_by_its_outline(other: Polygon, like: bool) -> None:
    assert _like(PLATE, other) is like
    assert _like(other, PLATE) is like


def cell(x: float, y: float, wide: float = 100) -> Cell:
    part = box(x, y, x + wide, y + 100)
    return Cell(part, 0, part.bounds, part.bounds)


def test_what_is_left_is_known_by_the_numbers_that_were_planned() -> None:
    planned = {7: cell(0, 0), 3: cell(100, 0), 9: cell(0, 100)}
    rest = [cell(100, 0.2), cell(0, 100), cell(0.2, 0)]
    known = _recognised(rest, planned)
    assert known is not None
    assert [number for number, _ in known] == [3, 9, 7]
    # it is cut as it was planned
    assert [one.part.bounds for _, one in known] == [planned[n].part.bounds for n in (3, 9, 7)]
    assert _recognised(rest[:2], planned) is None
    assert _recognised([*rest[:2], cell(0, 0, 90)], planned) is None
    assert _recognised([rest[0], rest[0], rest[2]], planned) is None
    assert _recognised([], {}) == []


def test_a_slit_is_what_is_narrow_and_no_piece_was_planned_in() -> None:
    # a thread of 400 x 5 beside 1000 x 500; up to 50 stays bare (common practice, no source)
    whole = box(0, 0, 1000, 500)

    def slits(wide: float, planned: Polygon) -> list[float]:
        part = union_all([whole, box(1000, 200, 1400, 200 + wide)])
        assert isinstance(part, Polygon)
        return [one.area for one in _slits(part, planned)]

    assert slits(5, whole) == pytest.approx([400 * 5], rel=0.02)
    assert slits(5, box(0, 0, 1400, 500)) == []
    # where less than half of it was planned it is one all the same
    assert len(slits(5, box(0, 0, 1190, 500))) == 1
    assert slits(5, box(0, 0, 1210, 500)) == []
    # what is wide enough for a piece is none, nor is a hair
    assert slits(300, whole) == []
    assert slits(0.4, whole) == []


def test_a_piece_that_is_cut_alone_out_of_a_new_one_shows_its_cut() -> None:
    # 2516 x 1016 less 8 all round: a mat that lies, a whole one, and a half out of a third
    made = build_scene(make_plan(room=make_room(2516, 1016)))
    down = LaidPiece(
        id="1", outline=((8, 8), (1008, 8), (1008, 1008), (8, 1008)), sheet=1,
        rect=(0, 0, 1000, 1000), down=True, blank=(0, 0, 1000, 1000),
    )  # fmt: skip
    where = begun(rows_at=8, phases=(8,), long_mm=2516)
    floor = going_on(made, FloorLaying(id="f", gap_mm=8, begun=where, laid=(down,)))
    assert floor.to_buy == 3
    assert sorted(bool(sheet.knife) for sheet in floor.sheets) == [False, False, True]
