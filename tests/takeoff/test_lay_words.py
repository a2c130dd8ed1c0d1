"""What is cut out of a piece, by hand, in the words of a cut list."""

import pytest

from app.drawing.floor_figure import cut_words
from app.model.flooring import FloorLaying
from app.scene.build import build_scene
from app.takeoff.floor_layout import lay_floor
from app.takeoff.floor_region import Start
from tests.builders import column, make_plan, make_room

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
         "notch (off its left, off its top) 294 mm, 0 mm; 0 mm, 196 mm"),
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
