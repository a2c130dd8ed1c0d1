"""Chained dimensions of rooms that are not quite square read and stand as those of square ones."""

import math

import pytest

from app.drawing.dimensions import Dimensions, dimensions
from app.drawing.medium import Medium
from app.drawing.primitives import Line, Text
from app.model.room import Room
from app.scene.room import room_shape
from tests.builders import make_room

MEDIUM = Medium(125.0, "metric", False)
# An L of six walls, first corner at the top left, then clockwise; sizes in mm, our own.
SQUARE = ((0, 0), (6000, 0), (6000, 3400), (3600, 3400), (3600, 5800), (0, 5800))
SKEWED = ((0, 0), (6000, 0), (6012, 3404), (3610, 3395), (3618, 5810), (0, 5800))


def room_of(corners: tuple[tuple[float, float], ...]) -> Room:
    data = make_room(6000, 5800, 2400).model_dump(mode="json")
    wall = data["walls"][0]
    data["walls"] = [
        {**wall, "id": f"wall-{i}", "x_mm": x, "y_mm": y} for i, (x, y) in enumerate(corners)
    ]
    return Room.model_validate(data)


def figures(drawn: Dimensions) -> dict[str, Text]:
    return {item.words: item for item in drawn.group.children if isinstance(item, Text)}


@pytest.mark.parametrize("corners", [SQUARE, SKEWED], ids=["square", "out of square"])
def test_figures_read_from_the_foot_or_the_right_of_the_sheet(
    corners: tuple[tuple[float, float], ...],
) -> None:
    # ISO 129-1: values are read from the bottom or from the right-hand side of the drawing.
    turns = [
        item.turn_deg for item in figures(dimensions(room_shape(room_of(corners)), MEDIUM)).values()
    ]
    upright = [turn for turn in turns if abs(abs(turn) - 90) < 5]
    lying = [turn for turn in turns if abs(turn) < 5]
    assert len(upright) >= 2
    assert len(upright) + len(lying) == len(turns)
    assert all(turn < 0 for turn in upright)


def test_walls_out_of_square_stand_in_the_rows_of_square_ones() -> None:
    square = figures(dimensions(room_shape(room_of(SQUARE)), MEDIUM))
    skewed = figures(dimensions(room_shape(room_of(SKEWED)), MEDIUM))
    # By hand: the wall of 2400 below and that of 3600 stand side by side in one row.
    assert abs(square["3600"].at[1] - square["2400"].at[1]) < 1
    widths = {words: item for words, item in skewed.items() if abs(item.turn_deg) < 5}
    bottom = [item.at[1] for item in widths.values() if item.at[1] > 5000]
    assert len(bottom) == 2
    assert abs(bottom[0] - bottom[1]) < MEDIUM.em_mm / 2


def test_a_whole_is_not_told_beside_a_wall_that_shows_it_but_for_a_little() -> None:
    drawn = dimensions(room_shape(room_of(SKEWED)), MEDIUM)
    widest = max(math.dist(a, b) for a, b in zip(SKEWED, SKEWED[1:] + SKEWED[:1], strict=True))
    near = [words for words in figures(drawn) if abs(float(words) - widest) < 30]
    assert near == [f"{widest:.0f}"]


def test_a_whole_that_no_wall_shows_has_a_word_with_it() -> None:
    # the wall of 5420 leans, so that the room is 5467 across from corner to corner
    askew = ((0, 0), (5420, 0), (5467, 3560), (3127, 3560), (3090, 6060), (13, 6020))
    words = set(figures(dimensions(room_shape(room_of(askew)), MEDIUM)))
    assert {"5420", "whole 5467"} <= words
    assert "5467" not in words


@pytest.mark.parametrize("turned", [False, True], ids=["at the foot", "at the top"])
def test_on_paper_a_figure_too_wide_for_its_piece_is_led_to_and_in_no_other_span(
    turned: bool,
) -> None:
    # ISO 129-1 lets a value that finds no room stand at a leader (from memory)
    data = room_of(SQUARE).model_dump(mode="json")
    if turned:
        for wall in data["walls"]:
            wall.update(x_mm=6000 - wall["x_mm"], y_mm=5800 - wall["y_mm"])
    # 800 of door, 200 from the inner corner of the wall of 3600
    door = {"id": "door", "wall": "wall-4", "kind": "hinged", "offset_mm": 200, "width_mm": 800}
    room = Room.model_validate({**data, "openings": [{**door, "height_mm": 1981}]})
    drawn = dimensions(room_shape(room), Medium(175.0, "metric", True))
    found = figures(drawn)
    (x, y), em = found["200"].at, 175.0
    # the piece runs from 3600 to 3400, or from 2400 to 2600
    middle = 2500 if turned else 3500
    assert x == pytest.approx(middle)
    neighbours = [found["800"], found["2600"]]
    assert all(abs(one.at[1] - y) > em for one in neighbours)
    ends = [(one.start, one.end) for one in drawn.group.children if isinstance(one, Line)]
    assert any(a[0] == b[0] == pytest.approx(middle) and abs(b[1] - y) < em for a, b in ends)
