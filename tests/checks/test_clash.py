"""Solid against solid. Touching is not overlapping; the tolerance of 1 mm is the project's own."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from shapely import affinity

from app.checks.clash import clashes, narrow_mm
from app.model.kit import Piece
from app.scene.build import build_scene
from tests.builders import (
    column,
    found,
    judge,
    make_plan,
    make_room,
    place,
    rectangle,
    severities,
    turned_plan,
)

TURNS = st.integers(0, 359_999).map(lambda thousandths: thousandths / 1000)


def box(x: float, y: float = 2500, piece_id: str = "box") -> Piece:
    """A plain box of 500 x 600."""
    return place("jump-box", x, y, piece_id=piece_id)


def test_an_empty_room_has_nothing_to_say() -> None:
    assert judge(make_plan()) == ()


def test_two_boxes_apart_do_not_clash() -> None:
    assert found(make_plan(box(1000), box(1600, piece_id="other")), "clash") == []


def test_two_boxes_in_one_another_are_a_stop_with_the_depth() -> None:
    (snag,) = found(make_plan(box(1000), box(1400, piece_id="other")), "clash")
    assert (snag.severity, snag.measured, snag.pieces) == ("stop", -100, ("box", "other"))


@given(turn=TURNS)
def test_touching_passes_at_any_angle(turn: float) -> None:
    plan = make_plan(box(1000), box(1500, piece_id="other"))
    assert found(turned_plan(plan, turn), "clash") == []


@given(turn=TURNS)
def test_two_millimetres_over_do_not_pass_at_any_angle(turn: float) -> None:
    plan = make_plan(box(1000), box(1498, piece_id="other"))
    (snag,) = found(turned_plan(plan, turn), "clash")
    assert snag.severity == "stop"
    assert snag.measured == pytest.approx(-2, abs=1)


def test_what_hangs_above_does_not_clash_with_what_stands_below() -> None:
    above = place("radiant-panel", 1000, 2500, height=2290)
    assert found(make_plan(box(1000), above), "clash") == []


def test_a_bench_stands_inside_a_rack() -> None:
    plan = make_plan(place("mid-rack"), place("flat-bench", carried_by="mid-rack"))
    assert found(plan, "clash") == []


def test_a_bench_across_a_post_clashes_though_it_belongs_to_the_rack() -> None:
    plan = make_plan(place("mid-rack"), place("flat-bench", 3100, 2500, carried_by="mid-rack"))
    assert severities(plan, "clash") == ["stop"]


@pytest.mark.parametrize("flat", ["mat-space", "platform"])
def test_things_may_stand_on_a_mat_or_platform(flat: str) -> None:
    assert found(make_plan(place("mid-rack"), place(flat)), "clash") == []


def test_a_column_clashes_and_is_named() -> None:
    room = make_room(columns=[column(rectangle(2400, 2400, 2700, 2700))])
    (snag,) = found(make_plan(box(2250), room=room), "clash")
    assert (snag.severity, snag.measured, snag.pieces) == ("stop", -100, ("box",))
    assert "column" in snag.sentence
    assert found(make_plan(box(2150), room=room), "clash") == []


def test_the_least_width_of_any_shape() -> None:
    # by hand: a triangle of 3, 4 and 5 is 12/5 wide over its longest side; a rectangle 2 x 7,
    # turned by 30 degrees, 2; a line and a point have none
    triangle = shapely.Polygon([(0, 0), (3, 0), (0, 4)])
    flat = affinity.rotate(shapely.box(0, 0, 7, 2), 30)
    line, point = shapely.LineString([(0, 0), (5, 5)]), shapely.Point(1, 1)
    shapes = np.array([triangle, flat, line, point, triangle], dtype=object)
    assert narrow_mm(shapes) == pytest.approx([2.4, 2, 0, 0, 2.4])


def test_a_clash_at_a_corner_is_as_deep_as_its_narrow_side() -> None:
    # boxes of 500 x 600 that overlap by 40 and 90 (by hand)
    (snag,) = found(make_plan(box(1000, 2500), box(1460, 3010, "other")), "clash")
    assert snag.measured == -40
    assert snag.where is not None
    assert snag.where == pytest.approx((1230, 2755))


def test_a_piece_in_two_others_is_said_of_each() -> None:
    snags = found(make_plan(box(1000), box(1450, piece_id="b"), box(1900, piece_id="c")), "clash")
    assert [(snag.pieces, snag.measured) for snag in snags] == [
        (("b", "box"), -50),
        (("b", "c"), -50),
    ]


def test_how_many_pairs_are_left_out_is_counted() -> None:
    # 46 boxes in one place are 46 x 45 / 2 = 1035 pairs, of which 1000 are told
    boxes = [place("jump-box", 2500, 2500, piece_id=f"b{i}") for i in range(46)]
    *rows, rest = clashes(build_scene(make_plan(*boxes)))
    assert [row.code for row in rows] == ["clash"] * 1000
    assert (rest.code, rest.severity, rest.measured) == ("clash-unseen", "stop", 35)
