"""Somebody chooses between two layouts at the least, if a second one is about as good."""

import pytest

from app.arranging.best_layouts import BestLayouts, JudgedLayout, Looks
from app.arranging.choosing import WORTH_SHOWING, bears_a_mark, different, fewest_moves
from app.model.kit import Pose


def layout(number: int, total: float, backs: float, moved: int = 1) -> JudgedLayout:
    """The layout with the rack at a wall of its own; `backs` is its share of backs on walls."""
    what = tuple(f"thing-{i}" for i in range(moved))
    poses = {"rack": Pose(x_mm=1000 * number, y_mm=0)}
    looks = Looks(f"wall-{number}", "left")
    return JudgedLayout(poses, total, 0, 0, what, looks, {"backs": backs}, number=number)


@pytest.mark.parametrize(
    # by number: points and backs; a half of backs less is seen at once
    ("found", "shown"),
    [
        (((90, 1.0), (89, 0.5), (88, 0.5)), [0, 1]),
        (((90, 1.0), (89, 0.5), (88, 0.9)), [0, 2]),
        (((90, 1.0), (89, 0.9), (88, 0.5), (87, 0.9)), [0, 1, 3]),
        (((90, 1.0), (81, 0.5)), [0]),
    ],
)
def test_a_marked_layout_is_shown_where_there_would_be_no_choice(
    found: tuple[tuple[float, float], ...], shown: list[int]
) -> None:
    layouts = BestLayouts()
    every = [layout(number, *one) for number, one in enumerate(found)]
    for one in every:
        layouts.add(one)
    assert [one.number for one in different(layouts)] == shown
    assert bears_a_mark(layout(9, 89, 0.5), every[0])
    assert not bears_a_mark(layout(9, 89, 0.9), every[0])


@pytest.mark.parametrize(
    # points, how many it moves where all else moves eight, whether it is offered
    ("total", "moved", "offered"),
    [(60.0, 4, True), (60.0, 5, False), (60.0 - WORTH_SHOWING, 3, True), (51.9, 3, False)],
)
def test_what_takes_the_stops_away_with_half_the_moves_is_offered_if_it_is_no_worse_than_today(
    total: float, moved: int, offered: bool
) -> None:
    few, many = layout(0, total, 0.2, moved), layout(1, 90, 1.0, 8)
    layouts = BestLayouts()
    for one in (few, many):
        layouts.add(one)
    assert different(layouts) == (many,)
    assert fewest_moves(layouts, (many,), 60.0) == (few if offered else None)
    # what is chosen already is not offered twice
    assert fewest_moves(layouts, (few, many), 60.0) is None
