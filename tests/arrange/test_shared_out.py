"""A side that has too little is given some of what the other side has."""

import math

import pytest

from app.arrange.ways_out import ways_out
from app.changes.commands import apply
from app.checks.run import run
from app.scene.build import build_scene
from tests.builders import column, make_plan, make_room, place, turned_plan


@pytest.mark.parametrize("angle", [0.0, 37.0])
@pytest.mark.parametrize(("left_mm", "shared"), [(520, True), (500, False)])
def test_too_little_on_one_side_is_shared_with_the_other(
    angle: float, left_mm: float, shared: bool
) -> None:
    """120 and 520 beside a belt become 310 and 330; of 500 as much would be lost as is won."""
    # from the right wall: 120, 850 of the machine, what is to the left, and a chimney breast
    width = 120 + 850 + left_mm + 500
    belt = place("running-machine", width - 120 - 425, 1125, piece_id="belt")
    breast = column([(0, 0), (500, 0), (500, 4400), (0, 4400)])
    plan = turned_plan(make_plan(belt, room=make_room(width, 4400, columns=[breast])), angle)
    scene = build_scene(plan)
    remedy = ways_out(scene, run(scene)).remedies.get("room-beside-the-belt-right|belt|||")
    sentence = "" if remedy is None else remedy.sentence
    assert ("that helps: 310 of 500 mm" in sentence) == shared
    assert ("beside the belt, left: 330 of 500 mm" in sentence) == shared


@pytest.mark.parametrize("angle", [0.0, 37.0])
@pytest.mark.parametrize(("short_mm", "moved_mm"), [(55, 60), (60, 60), (61, 70), (125, 130)])
def test_what_clears_at_a_price_is_moved_straight_and_by_no_more_than_it_lacks(
    angle: float, short_mm: float, moved_mm: float
) -> None:
    """200 for plug and air at the cost of some of the 2000 behind the belt (rows of the library).

    Moves are told in whole steps of 10; there is room beside it, but none to turn it in.
    """
    deep = 4000
    belt = place("running-machine", 1200, 200 - short_mm + 925, piece_id="belt")
    scene = build_scene(turned_plan(make_plan(belt, room=make_room(2400, deep)), angle))
    (row,) = (one for one in run(scene) if one.code == "room-plug-and-air")
    remedy = ways_out(scene, [row]).remedies[row.key]
    was, now = scene.placed["belt"].pose, apply(scene.plan, remedy.commands[0]).piece("belt").pose
    far = math.hypot(now.x_mm - was.x_mm, now.y_mm - was.y_mm)
    assert far == pytest.approx(moved_mm, abs=0.02)
    left = deep - 1850 - (200 - short_mm) - moved_mm
    assert f"then the running machine, behind the belt: {left} of 2000 mm" in remedy.sentence
