"""A side that has too little is given some of what the other side has."""

import math

import pytest

from app.arrange.ways_out import ways_out
from app.changes.commands import apply
from app.checks.run import run
from app.scene.build import build_scene
from tests.builders import column, make_plan, make_room, place, turned_plan


@pytest.mark.parametrize("angle", [0.0, 37.0])
@pytest.mark.parametrize(("left_mm", "now_mm"), [(580, 310), (520, 310), (500, None)])
def test_too_little_on_one_side_is_shared_with_the_other(
    angle: float, left_mm: float, now_mm: float | None
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
    shared = now_mm is not None
    assert (f"that helps: {now_mm} of 500 mm" in sentence) == shared
    assert (f"beside the belt, left: {left_mm - 190} of 500 mm" in sentence) == shared


@pytest.mark.parametrize("angle", [0.0, 37.0])
@pytest.mark.parametrize(("short_mm", "moved_mm"), [(60, 60), (125, 130)])
def test_what_clears_at_a_price_is_moved_straight_and_by_no_more_than_it_lacks(
    angle: float, short_mm: float, moved_mm: float
) -> None:
    """500 beside a belt at the cost of less than half as much on its other side.

    Moves are told in whole steps of 10; there is room behind it, but none to turn it in.
    """
    spare = 0.6 * short_mm + 10
    # a chimney breast on either side: to a bare wall less is enough
    deep, free = 4400, 500 - short_mm + 850 + 500 + spare
    belt = place("running-machine", 500 + 500 - short_mm + 425, 1125, piece_id="belt")
    breasts = [
        column([(x, 0), (x + 500, 0), (x + 500, deep), (x, deep)], thing_id=name)
        for name, x in (("left", 0), ("right", 500 + free))
    ]
    room = make_room(500 + free + 500, deep, columns=breasts)
    plan = turned_plan(make_plan(belt, room=room), angle)
    scene = build_scene(plan)
    (row,) = (one for one in run(scene) if one.code.startswith("room-beside-the-belt"))
    remedy = ways_out(scene, [row]).remedies[row.key]
    was, now = scene.placed["belt"].pose, apply(scene.plan, remedy.commands[0]).piece("belt").pose
    far = math.hypot(now.x_mm - was.x_mm, now.y_mm - was.y_mm)
    assert far == pytest.approx(moved_mm, abs=0.02)


@pytest.mark.parametrize("angle", [0.0, 37.0])
@pytest.mark.parametrize(("behind_mm", "clears"), [(2060, True), (2059, False)])
def test_room_at_a_plug_is_got_at_no_cost_to_where_a_runner_lands(
    angle: float, behind_mm: float, clears: bool
) -> None:
    """Of 200 for plug and air 60 are short; of 2000 behind the belt nothing is given for them."""
    belt = place("running-machine", 1200, 140 + 925, piece_id="belt")
    room = make_room(2400, 140 + 1850 + behind_mm)
    scene = build_scene(turned_plan(make_plan(belt, room=room), angle))
    (row,) = (one for one in run(scene) if one.code == "room-plug-and-air")
    remedy = ways_out(scene, [row]).remedies[row.key]
    assert "behind the belt" not in remedy.sentence
    assert remedy.clears == clears
