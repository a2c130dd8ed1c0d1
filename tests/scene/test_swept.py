"""What rises in a movement: bars of the rules, by hand.

IWF: the long bar is 2200, its shaft 1310, its sleeves 415 and its shaft 28 thick; plates 450. The
wander of each movement is common practice (the movement's own row).
"""

import pytest

from app.library.movements import movements
from app.scene.build import build_scene
from app.scene.swept import area_size_mm, parts, put, usual_bar
from tests.builders import make_plan, place


def test_the_usual_bar_is_that_of_the_rules() -> None:
    bar = usual_bar()
    assert (bar.length_mm, bar.sleeve_mm, bar.shaft_diameter_mm) == (2200, 415, 28)
    assert bar.plate_mm == 450
    assert usual_bar(280).plate_mm == 280


def test_the_parts_of_a_bar() -> None:
    wander = movements()["standing-press"].wander_mm
    assert wander > 0
    hands, bar, left, right = parts("standing-press", usual_bar())
    # the bar of the rules is 2200 long (IWF): 1310 of shaft, two sleeves of 415 and two collars of
    # 30 between them; half of it and the wander
    assert bar.area.bounds == pytest.approx(
        (-1100 - wander, -14 - wander, 1100 + wander, 14 + wander)
    )
    # the middle of a sleeve is 1100 - 415 / 2 = 892.5 off; plates may be anywhere on it
    assert right.area.bounds == pytest.approx(
        (892.5 - 207.5 - wander, -225 - wander, 892.5 + 207.5 + wander, 225 + wander)
    )
    assert left.area.bounds[2] == pytest.approx(-right.area.bounds[0])
    # rectangles, with all four corners
    assert bar.area.area == pytest.approx((2200 + 2 * wander) * (28 + 2 * wander))
    assert right.area.area == pytest.approx((415 + 2 * wander) * (450 + 2 * wander))
    assert hands.area.bounds[1] == bar.area.bounds[1]
    assert -hands.area.bounds[0] == hands.area.bounds[2] < 1100
    assert [part.name for part in (hands, bar, left, right)] == ["hands", "bar", "plates", "plates"]


def test_where_no_bar_is_held_a_head_or_hands_rise() -> None:
    for key, movement in movements().items():
        if movement.held == "bar":
            continue
        (part,) = parts(key, usual_bar())
        wide = (
            movement.head_mm[0]
            if movement.head_mm
            else (2200 if movement.area_width_mm == "bar" else movement.area_width_mm)
        )
        deep = movement.head_mm[1] if movement.head_mm else movement.area_depth_mm
        x, y = wide / 2 + movement.wander_mm, deep / 2 + movement.wander_mm
        assert part.area.bounds == pytest.approx((-x, -y, x, y)), key
        assert part.name == ("hands" if movement.held == "fists" else "head")


def test_the_floor_of_a_movement_has_its_wander_on_every_side() -> None:
    for key, movement in movements().items():
        wide = 2200 if movement.area_width_mm == "bar" else movement.area_width_mm
        assert area_size_mm(key, usual_bar()) == (
            wide + 2 * movement.wander_mm,
            movement.area_depth_mm + 2 * movement.wander_mm,
        )


def test_an_area_is_put_where_its_piece_stands() -> None:
    # (10, 20) before a piece at (2500, 2000) that is turned by 90 degrees clockwise as drawn:
    # x becomes y, y becomes -x (by hand)
    scene = build_scene(make_plan(place("bike", 2500, 2000, 90)))
    (part, *_) = parts("standing-press", usual_bar())
    x0, y0, x1, y1 = part.area.bounds
    moved = put(part.area, scene.order[0], (10, 20))
    assert moved.bounds == pytest.approx(
        (2500 - 20 - y1, 2000 + 10 + x0, 2500 - 20 - y0, 2000 + 10 + x1)
    )
