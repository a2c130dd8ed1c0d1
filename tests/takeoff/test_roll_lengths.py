"""Lengths off a roll: by hand, and by laws that no plan may break; a floor and its list of them."""

from __future__ import annotations

import math
from dataclasses import replace
from itertools import combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from app.model.flooring import FloorLaying
from app.model.plan import Plan
from app.published.register import overridden
from app.scene.build import build_scene
from app.takeoff.cutting_2d import Wanted
from app.takeoff.floor import floor_layout
from app.takeoff.floor_going import _off_the_roll
from app.takeoff.floor_layout import StockSheet
from app.takeoff.guillotine import NO_EDGE
from app.takeoff.quantities import take_off
from app.takeoff.roll_lengths import cut_off, least_steps, off_the_roll
from app.takeoff.stock_words import lengths_of, lengths_words
from tests.builders import make_plan, make_room
from tests.takeoff.test_floor_begun import begun

ROLL = FloorLaying(
    id="f", kind="roll", by_metre=True, length_mm=10_000, width_mm=1250, thickness_mm=8,
    density_kg_m3=1000, price_minor=2400,
)  # fmt: skip


def test_a_short_piece_lies_beside_a_narrow_one() -> None:
    # a sheet of paper: 484 and 700 lie side by side in 1250, 1884 and 1584 one after the other
    pieces = [(4084, 1250), (4084, 484), (1884, 700), (1584, 700)]
    plan = off_the_roll(pieces, 1250, 100)
    assert sorted(steps for steps, _ in plan.lengths) == [41, 41]
    # nothing lies beside the widest: 4084, and the area of the others over the width, 3523
    assert plan.least == 77
    # two halves of a roll lie side by side where no saw takes anything between them
    assert off_the_roll([(2000, 625), (2000, 625)], 1250, 100).steps == 20
    assert off_the_roll([(2000, 625), (2000, 625)], 1250, 100, 3).steps == 40
    # a millimetre over a step takes the next one
    assert off_the_roll([(2001, 700)], 1250, 100).steps == 21
    # three that are wider than half a roll lie alone, each measured off up to the tenth
    alone = off_the_roll([(4084, 700), (1884, 700), (1584, 700)], 1250, 100)
    assert alone.least == alone.steps == 41 + 19 + 16


def test_two_wide_pieces_one_after_the_other_may_take_a_step_less_than_each_by_itself() -> None:
    # 1501 and 1701 are 3202 together: 33 steps of 100 beside a strip of that length, not 16 + 18
    plan = off_the_roll([(1501, 626), (1701, 626), (3202, 50)], 1250, 100)
    assert plan.least == plan.steps == 33


@pytest.mark.parametrize("upright", [False, True])
@given(
    st.lists(st.tuples(st.integers(50, 5000), st.integers(50, 1250)), min_size=1, max_size=9),
    st.sampled_from([0, 3]),
)
def test_every_piece_comes_out_once_apart_from_the_others(
    upright: bool, pieces: list[tuple[int, int]], kerf: int
) -> None:
    plan = off_the_roll(pieces, 1250, 100, kerf)
    # no plan takes less than the bound, nor less than its area or its longest piece
    area = sum(long * wide for long, wide in pieces) / 1250
    assert math.ceil(max(area, *(long for long, _ in pieces)) / 100 - 0.001) <= plan.steps
    assert plan.least <= plan.steps <= sum(math.ceil(long / 100) for long, _ in pieces)
    # knives are found by another module, which raises where no cut from edge to edge frees a piece
    sheets = cut_off(plan, pieces, 1250, 100, upright, kerf)
    assert sorted(r.number for sheet, _ in sheets for r in sheet.rects) == [*range(len(pieces))]
    for sheet, (wide, high) in sheets:
        for r in sheet.rects:
            long, across = pieces[r.number]
            assert (r.width_mm, r.height_mm) == ((across, long) if upright else (long, across))
            assert 0 <= r.x_mm <= wide - r.width_mm + 0.1
            assert 0 <= r.y_mm <= high - r.height_mm + 0.1
        for a, b in combinations(sheet.rects, 2):
            beside = max(b.x_mm - a.x_mm - a.width_mm, a.x_mm - b.x_mm - b.width_mm)
            under = max(b.y_mm - a.y_mm - a.height_mm, a.y_mm - b.y_mm - b.height_mm)
            assert max(beside, under) >= kerf - 0.1


def test_lengths_off_the_roll_add_up_in_feet_too() -> None:
    # the shop measures tenths of a metre whatever the tape at home reads
    plan = make_plan(room=make_room(5016, 2516))
    data = {**plan.model_dump(), "units": "feet", "fit_out": {"floors": [ROLL.model_dump()]}}
    plan = Plan.model_validate(data)
    layout = floor_layout(build_scene(plan), plan.fit_out.floors[0], compare=False)
    assert layout.sentence.startswith(
        "10.0 m (32' 9 11/16\") of roll to buy: let the shop cut off 2 of 5.0 m (16' 4 7/8\") (from"
    )


def test_a_floor_off_the_roll_is_bought_by_the_metre() -> None:
    # 5016 x 2516 less 8 all round: two strips of 5.00 m, ten metres of 24.00, 50 kg each
    plan = make_plan(room=make_room(5016, 2516))
    data = {**plan.model_dump(), "fit_out": {"floors": [ROLL.model_dump()]}}
    plan = Plan.model_validate(data)
    layout = floor_layout(build_scene(plan), plan.fit_out.floors[0], compare=False)
    assert layout.proven
    assert layout.sentence.startswith(
        "10.0 m of roll to buy: let the shop cut off 2 of 5.0 m (from the back wall"
    )
    assert (layout.price_minor, layout.lift_kg, layout.mass_kg) == (24_000, 50, 100)
    line = take_off(build_scene(plan)).line("floor.f")
    assert (line.cost_minor, line.to_buy) == (24_000, 12.5)
    assert line.packs_worded("metric") == "10 m off the roll, 1250 mm wide"
    assert line.where == "the whole floor; let the shop cut off 2 of 5.0 m"
    # a shop that measures off half metres takes no more for it, one of 0.3 m takes 5.1 m
    with overridden({"flooring.roll-step-mm": 300.0}):
        fresh = floor_layout(build_scene(plan), plan.fit_out.floors[0], compare=False)
    assert fresh.price_minor == round(2400 * 2 * 5.1)


def test_no_line_of_head_joints_runs_over_a_floor_of_rolls() -> None:
    # 12 m of floor, rolls of 10 m: every strip has a head joint, each row its own
    plan = make_plan(room=make_room(12_016, 2516))
    whole = ROLL.model_copy(update={"by_metre": False, "price_minor": 21_000})
    for product in (ROLL, whole):
        laying = product.model_copy(update={"start_wall": "back", "along": True})
        laid = floor_layout(build_scene(plan), laying, compare=False).laid
        ends: dict[int, set[float]] = {}
        for mat in laid.mats:
            ends.setdefault(mat.row, set()).update(
                x for x in mat.polygon.bounds[::2] if 100 < x < 11_900
            )
        one, other = (ends[row] for row in sorted(ends))
        assert one
        assert other
        assert min(abs(a - b) for a in one for b in other) > 500


@pytest.mark.parametrize(
    ("pieces", "steps"),
    [
        # 1000 wide in steps of 100: by area; a quarter of a millimetre over a step is that step
        ([(1000, 1000)], 10), ([(1000.2, 1000)], 10), ([(1000.3, 1000)], 11), ([(1001, 1000)], 11),
        # half a roll lies beside another, more than half beside none
        ([(1000, 500)], 5), ([(1000, 500), (1000, 500)], 10), ([(1000, 501), (1000, 501)], 20),
        # beside 700 nothing of 301 lies, so it takes its area besides; of 300 it does
        ([(1000, 700), (1000, 301)], 14), ([(1000, 700), (1000, 300)], 10),
        # one length of 1900 holds both, one after the other
        ([(950, 600), (950, 600)], 19), ([], 0),
    ],
)  # fmt: skip
def test_no_plan_takes_fewer_steps(pieces: list[tuple[float, float]], steps: int) -> None:
    assert least_steps(pieces, 1000, 100) == steps


@pytest.mark.parametrize("upright", [False, True])
def test_the_knife_begins_at_the_end_of_a_length(upright: bool) -> None:
    # 2214 x 700 out of a roll 800 wide: 2300 are measured off, cut along all of it and then across
    pieces = [(2214.0, 700.0)]
    plan = off_the_roll(pieces, 800, 100, 3)
    ((sheet, size),) = cut_off(plan, pieces, 800, 100, upright, 3)
    along, across = ((0, 700), (2300, 700)), ((2214, 0), (2214, 700))
    (rect,) = sheet.rects
    if upright:
        assert size == (800, 2300)
        assert sheet.knife == tuple(tuple(at[::-1] for at in cut) for cut in (along, across))
        assert rect.bounds == (0, 0, 700, 2214)
    else:
        assert size == (2300, 800)
        assert sheet.knife == (along, across)
        assert rect.bounds == (0, 0, 2214, 700)


@pytest.mark.parametrize("along", [True, False])
def test_new_lengths_for_a_floor_that_goes_on_lie_as_the_roll_does(along: bool) -> None:
    # 1250 wide: 2500 x 1000 and 1200 x 200 side by side; as they lie where it runs across the rows
    laying = ROLL.model_copy(update={"begun": begun(along=along)})
    sizes = [(2500, 1000), (1200, 200)]
    wanted = [Wanted(*(size if along else size[::-1]), NO_EDGE, False) for size in sizes]
    (cuts,) = _off_the_roll([wanted[0], wanted[0], wanted[1]], [0, 2], laying)
    assert {rect.number for rect in cuts} == {0, 2}
    for rect in cuts:
        long, wide = sizes[0] if rect.number == 0 else sizes[1]
        assert (rect.width_mm, rect.height_mm) == ((long, wide) if along else (wide, long))
        left, top, right, bottom = rect.bounds
        assert min(left, top) >= 0
        assert (bottom if along else right) <= 1250
        assert (right if along else bottom) <= 2500


def test_the_shop_is_told_the_longest_length_first() -> None:
    scene = build_scene(make_plan(room=make_room(4100, 3000)))
    laid = floor_layout(scene, ROLL, compare=False).laid
    longs = (1200.0, 2500.0, 1200.0, 4100.0)
    sheets = tuple(StockSheet(n, long, 1250.0, (), ()) for n, long in enumerate(longs))
    cut = replace(laid, sheets=sheets)
    assert lengths_of(cut) == [(4.1, 1), (2.5, 1), (1.2, 2)]
    assert lengths_words(cut, "metric") == "1 of 4.1 m, 1 of 2.5 m and 2 of 1.2 m"
    assert lengths_words(replace(laid, sheets=sheets[:1]), "metric") == "1 of 1.2 m"
