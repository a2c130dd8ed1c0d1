"""A side that has too little is given some of what the other side has."""

import math
import re

import pytest

from app.arrange.ways_out import ways_out
from app.changes.commands import apply
from app.checks.run import run
from app.scene.build import build_scene
from tests.builders import column, make_plan, make_room, place, turned_plan


@pytest.mark.parametrize("angle", [0.0, 37.0])
@pytest.mark.parametrize(("left_mm", "shared"), [(580, True), (500, True), (490, False)])
def test_too_little_on_one_side_is_shared_with_the_other(
    left_mm: int, shared: bool, angle: float
) -> None:
    """Beside a belt 120 to a bare wall become the 300 that will do there, 180 less on the left.

    Of 490 more would be lost than half of what is won: 200 of 500, where 380 of 500 are lacking.
    """
    # from the right wall: 120, 850 of the machine, what is to the left, and a chimney breast
    width = 120 + 850 + left_mm + 500
    belt = place("running-machine", width - 120 - 425, 1125, piece_id="belt")
    breast = column([(0, 0), (500, 0), (500, 4400), (0, 4400)])
    plan = turned_plan(make_plan(belt, room=make_room(width, 4400, columns=[breast])), angle)
    scene = build_scene(plan)
    remedy = ways_out(scene, run(scene)).remedies.get("room-beside-the-belt-right|belt|||")
    said = [] if remedy is None else re.findall(r"(\d+) of 500 mm", remedy.sentence)
    if shared:
        (left,) = map(int, said)
        assert 300 <= 120 + left_mm - left <= 310
    else:
        assert remedy is None or not remedy.clears


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
    if clears:
        # straight, and by no more than it lacks
        was, now = (p.piece("belt").pose for p in (scene.plan, apply(scene.plan, *remedy.commands)))
        far = math.hypot(now.x_mm - was.x_mm, now.y_mm - was.y_mm)
        assert far == pytest.approx(60, abs=0.02)
