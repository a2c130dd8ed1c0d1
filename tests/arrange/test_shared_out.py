"""A side that has too little is given some of what the other side has."""

import pytest

from app.arrange.ways_out import ways_out
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
