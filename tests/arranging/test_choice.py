"""Somebody chooses between two layouts at the least, if a second one is about as good."""

from dataclasses import replace

import pytest

from app.arranging.best_layouts import BestLayouts, JudgedLayout, Looks, Seen
from app.arranging.choosing import (
    bears_a_mark,
    different,
    differs,
    elsewhere,
    few_words,
    fewest_moves,
    is_mirrored,
    rearranged,
)
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
    [
        (63.0, 4, True),
        (63.0, 5, False),
        (62.9, 3, False),
        # one piece alone
        (60.0, 1, True),
        (59.9, 1, False),
    ],
)
def test_what_takes_the_stops_away_with_half_the_moves_is_offered_if_it_gains_something(
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


@pytest.mark.parametrize(
    # points with one, two and four moved, where all else moves nine: the one shown
    ("points", "moves"),
    [((61, 63, 64), 2), ((61, 80, 82), 2), ((61, 62, 85), 4), ((58, 59, 63), 4), ((61, 62, 62), 1)],
)
def test_of_few_moves_those_are_shown_after_which_more_gain_little(
    points: tuple[float, ...], moves: int
) -> None:
    layouts, many = BestLayouts(), layout(9, 95, 1.0, 9)
    for number, (total, moved) in enumerate(zip(points, (1, 2, 4), strict=True)):
        layouts.add(layout(number, total, 0.2, moved))
    layouts.add(many)
    least = fewest_moves(layouts, (many,), 60.0)
    assert least is not None
    assert len(least.moved) == moves


def test_what_is_got_at_sideways_is_never_the_first_of_those_that_are_about_as_good() -> None:
    layouts = BestLayouts()
    for number, total, way in ((0, 90, 0.0), (1, 83, 0.2), (2, 81, 1.0)):
        made = layout(number, total, 1.0)
        layouts.add(replace(made, parts={**made.parts, "way-in": way}))
    # the last lies farther below than what is shown
    assert [one.number for one in different(layouts)] == [1, 0]


@pytest.mark.parametrize("sideways", [False, True])
@pytest.mark.parametrize("total", [70.0, 88.0])
def test_what_moves_least_is_none_where_it_alone_is_got_at_sideways(
    total: float, sideways: bool
) -> None:
    # clearly worse than the best, and about as good
    layouts = BestLayouts()
    many, few = layout(0, 90.0, 1.0, 8), layout(1, total, 1.0, 3)
    few = replace(few, looks=many.looks, parts={**few.parts, "way-in": 0.0 if sideways else 0.2})
    many = replace(many, parts={**many.parts, "way-in": 1.0})
    for one in (many, few):
        layouts.add(one)
    chosen = different(layouts)
    shown = few in chosen or fewest_moves(layouts, chosen, 60.0) == few
    assert shown is not sideways


def test_where_all_that_bears_no_mark_is_got_at_sideways_there_is_still_a_choice() -> None:
    layouts = BestLayouts()
    for number, total, backs, way in ((0, 90, 1.0, 0.0), (1, 85, 0.5, 1.0)):
        made = layout(number, total, backs)
        layouts.add(replace(made, parts={**made.parts, "way-in": way}))
    assert [one.number for one in different(layouts)] == [1, 0]


THINGS = {"rack": (-1500, -1900), "bike": (1800, 0), "bench": (900, 1500), "shelf": (2000, 2200)}


def standing(**moved: tuple[float, float]) -> JudgedLayout:
    """A layout with four things at places from the middle of a room."""
    there = Seen((0.1, 0.0), 0, 0.5, THINGS | moved)
    return JudgedLayout({}, 90, 0, 0, (), Looks("back", "left"), {}, seen=there)


@pytest.mark.parametrize(
    ("moved", "image"),
    [
        # rack and bike across the room as in a mirror, 690 or 710 off it
        ({"rack": (1500, -1900), "bike": (-1800, 690)}, True),
        ({"rack": (1500, -1900), "bike": (-1800, 710)}, False),
        # along it, and turned about
        ({"rack": (-1500, 1900), "shelf": (2000, -2200)}, True),
        ({"rack": (1500, 1900), "shelf": (-2000, -2200)}, True),
        ({"rack": (1500, -1900), "bike": (1800, 1900)}, False),
    ],
)
def test_the_mirror_image_of_a_layout_is_the_same_idea(
    moved: dict[str, tuple[float, float]], image: bool
) -> None:
    one, other = standing(), standing(**moved)
    assert is_mirrored(one, other) is image
    assert is_mirrored(other, one) is image
    assert not (image and rearranged(one, other))


def seen(at: float, turn: float, floor: float, **looks: str) -> JudgedLayout:
    """A layout with its rack at a share of the room, turned, and the open floor at another."""
    poses = {"rack": Pose(x_mm=10_000 * at, y_mm=0, angle_deg=turn)}
    kind = Looks(looks.get("wall", "back"), looks.get("half", "left"))
    there = Seen((at, 0.0), turn, floor)
    return JudgedLayout(poses, 90, 0, 0, ("rack",), kind, {}, seen=there)


@pytest.mark.parametrize(
    ("other", "told"),
    [
        # the rack at another wall: turned to it, or a quarter of the room along
        (seen(0.1, 90, 0.4, wall="left"), True),
        (seen(0.2, 0, 0.4, wall="left"), False),
        (seen(0.36, 0, 0.4, wall="left"), True),
        # the floor in the other half: past its middle by a step is no other floor
        (seen(0.1, 0, 0.6, half="right"), False),
        (seen(0.1, 0, 0.66, half="right"), True),
        (seen(0.1, 0, 0.4), False),
    ],
)
def test_what_differs_is_seen(other: JudgedLayout, told: bool) -> None:
    one = seen(0.1, 0, 0.4)
    assert elsewhere(one, other) is told
    assert elsewhere(other, one) is told


@pytest.mark.parametrize(("moved", "told"), [(1, False), (2, True)])
def test_who_trains_beside_whom_alone_needs_half_of_it_elsewhere(moved: int, told: bool) -> None:
    pair = frozenset({frozenset({"rack", "bike"})})
    one, other = (
        JudgedLayout(
            {f"piece-{i}": Pose(x_mm=1000 * (i < count), y_mm=0) for i in range(4)},
            90,
            0,
            0,
            (),
            Looks("back", "left", (), pairs),
            {},
        )
        for count, pairs in ((0, frozenset()), (moved, pair))
    )
    assert differs(other, one) is told
    assert not differs(one, other)


def test_few_layouts_say_at_which_walls_there_is_room() -> None:
    assert few_words(1) == "All else that was found was much like this one, or clearly worse."
    words = few_words(2, "half rack", ["the back wall", "the right wall"])
    assert words.endswith(
        "Room for the half rack was found only at the back wall and the right wall."
    )
