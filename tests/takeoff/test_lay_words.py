"""What is printed of one piece, and what is cut out of it in a cut list, word for word."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest
from shapely import box

from app.drawing.floor_figure import cut_words
from app.drawing.lay_figure import cut_picture
from app.model.flooring import FloorLaying
from app.scene.build import build_scene
from app.takeoff.floor_layout import lay_floor
from app.takeoff.floor_region import Start
from app.takeoff.lay_steps import LayStep, Notch, Straight
from app.takeoff.lay_words import cut_rows, cut_steps, place_words, shape_words, source_words
from tests.builders import column, make_plan, make_room
from tests.takeoff.test_lay_steps import BOX, HOLE, STOCK, piece

START = Start("back", from_right=False, along=True, joints="straight", rows_at=8, phases=(8,))


@pytest.mark.parametrize(
    ("corners", "words"),
    [
        # one mat of a metre in 1016 x 1016, 8 off the walls and off what stands there
        (((400, 0), (600, 0), (600, 200), (400, 200)),
         "notch 216 mm × 200 mm out of its top edge, 384 mm off its left"),
        (((400, 816), (600, 816), (600, 1016), (400, 1016)),
         "notch 216 mm × 200 mm out of its bottom edge, 384 mm off its left"),
        (((816, 300), (1016, 300), (1016, 500), (816, 500)),
         "notch 200 mm × 216 mm out of its right edge, 284 mm off its top"),
        (((0, 0), (300, 0), (300, 200), (0, 200)),
         "notch 300 mm × 200 mm out of its top left corner"),
        (((716, 816), (1016, 816), (1016, 1016), (716, 1016)),
         "notch 300 mm × 200 mm out of its bottom right corner"),
        (((400, 300), (600, 300), (600, 700), (400, 700)),
         "hole 216 mm × 416 mm, 384 mm off its left, 284 mm off its top"),
        # what is no plain rectangle is told mark by mark
        (((0, 0), (300, 0), (0, 200)),
         "taper (off its left, off its top) 294 mm, 0 mm; 0 mm, 196 mm"),
    ],
)  # fmt: skip
def test_what_is_cut_out_is_told_as_one_would_mark_it(
    corners: tuple[tuple[float, float], ...], words: str
) -> None:
    room = make_room(1016, 1016, columns=[column(corners)])
    scene = build_scene(make_plan(room=room))
    laid = lay_floor(scene, FloorLaying(id="f"), START)
    (sheet,) = laid.sheets
    (line,) = cut_words((sheet,), laid.mats, "metric")
    assert line == f"1: 1000 × 1000; {words}"
    (feet,) = cut_words((sheet,), laid.mats, "feet")
    assert "mm" not in feet


PLAIN = piece((100, 200), (900, 200), (900, 700), (100, 700))
CUT = Straight("left", 800, 800, True, "left", ((800, 0), (800, 500)), BOX)
STEP = LayStep(PLAIN, (1000, 500), None, (CUT,), (), box(0, 0, 800, 500), 12, 8)


def test_marks_of_what_is_cut_out_are_lettered_in_the_drawing_as_in_their_rows() -> None:
    corner = Notch(((0, 100), (200, 100), (200, 0)))
    inner = ((300, 200), (400, 200), (400, 300), (300, 300))
    hole = Notch(inner, hole=True, slit=((300, 250), (0, 250)))
    step = replace(STEP, notches=(corner, hole))
    straight, out_of_it, through = cut_rows(step, "metric")
    assert straight == ("800 mm from the left edge, at both ends. Keep the left part.", ())
    assert out_of_it == (
        "Cut out along the marks A, B, C.",
        (("A", "0 mm", "100 mm"), ("B", "200 mm", "100 mm"), ("C", "200 mm", "0 mm")),
    )
    assert through[0] == "Cut out the hole between D, E, F, G. Open it by a slit from H to I."
    assert through[1][-1] == ("I", "0 mm", "250 mm")
    drawn = cut_picture(step, "metric", "")
    assert re.findall(r'class="lay-letter"[^>]*>(\w+)<', drawn) == [*"ABCDEFGHI"]


def test_straight_cuts() -> None:
    assert cut_steps(STEP, "metric") == (
        "800 mm from the left edge, at both ends. Keep the left part.",
    )
    askew = replace(CUT, second_mm=750)
    beside = replace(CUT, measured="top", keep="bottom", first_mm=40, second_mm=60, factory=False)
    assert cut_steps(replace(STEP, straight=(askew, beside)), "metric") == (
        "Askew: 800 mm from the left edge at the top, 750 mm at the bottom. Keep the left part.",
        "Askew: 40 mm from the top edge, itself cut at the left, 60 mm at the right. "
        "Keep the bottom part.",
    )


@pytest.mark.parametrize(("second", "askew"), [(800.4, False), (799.6, False), (800.5, True)])
def test_less_than_half_a_millimetre_is_not_askew(second: float, askew: bool) -> None:
    (told,) = cut_steps(replace(STEP, straight=(replace(CUT, second_mm=second),)), "metric")
    assert told.startswith("Askew") is askew


def test_notches_and_holes() -> None:
    corner = Notch(((600, -0.2), (600, 100)))
    hole = Notch(((200, 100), (300, 100), (200, 100)), True, ((200, 100), (200, 0)))
    assert cut_steps(replace(STEP, straight=(), notches=(corner, hole)), "metric") == (
        "Cut out along these marks on the piece: 600 mm from its left, 0 mm from its top; "
        "600 mm from its left, 100 mm from its top.",
        "Cut out the hole between these marks: 200 mm from its left, 100 mm from its top; "
        "300 mm from its left, 100 mm from its top; 200 mm from its left, 100 mm from its top. "
        "Open it by a slit: 200 mm from its left, 100 mm from its top; 200 mm from its left, "
        "0 mm from its top.",
    )


def test_a_cut_list_says_what_a_rectangle_does_not() -> None:
    assert shape_words(PLAIN, STOCK, "metric") == ()
    askew = piece((100, 200), (900, 200), (900, 640), (100, 700))
    assert shape_words(askew, STOCK, "metric") == (
        "askew, off the top edge 700 mm at its left, 640 mm at its right",
    )
    corner = piece((100, 200), (700, 200), (700, 300), (900, 300), (900, 700), (100, 700),
        holes=[HOLE])  # fmt: skip
    assert shape_words(corner, STOCK, "metric") == (
        "notch 200 mm × 100 mm out of its top right corner",
        "hole 100 mm × 200 mm, 200 mm off its left, 100 mm off its top",
    )
    # what is no rectangle is told mark by mark, the one that closes a hole once
    three = piece((100, 200), (900, 200), (900, 700), (100, 700), holes=[HOLE[:3]])
    assert shape_words(three, STOCK, "metric") == (
        "hole (off its left, off its top) 200 mm, 100 mm; 200 mm, 300 mm; 300 mm, 300 mm",
    )


@pytest.mark.parametrize(
    ("left", "deep", "words"),
    [
        (12, 8, "Its left edge 12 mm to the right of the left end of the back wall, its top 8 mm "
            "off it."),
        (0, 0, "Its left edge 0 mm to the right of the left end of the back wall, its top 0 mm "
            "off it."),
        (-30, -5, "Its left edge 30 mm to the left of the left end of the back wall, its top 5 mm "
            "beyond the line off it."),
    ],
)  # fmt: skip
def test_where_a_piece_goes(left: float, deep: float, words: str) -> None:
    at = replace(STEP, left_mm=left, deep_mm=deep)
    assert place_words(at, "the back wall", "metric") == words


def test_what_a_piece_is_cut_from() -> None:
    assert source_words(STEP, "mat", "metric") == "From a new mat, 1000 mm × 500 mm."
    assert source_words(replace(STEP, offcut_of=3), "mat", "metric") == (
        "From the offcut of piece 3: 1000 mm × 500 mm."
    )
    whole = replace(STEP, mat=replace(PLAIN, cut=False))
    assert source_words(whole, "mat", "metric") == "A whole mat, as it comes."
