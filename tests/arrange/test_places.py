"""Free places in a large room: thinned out without asking each about each."""

import math
import sys
from types import FrameType
from typing import Any

from app.arrange.places import free_poses
from app.scene.build import build_scene
from tests.builders import make_plan, make_room

SIDE_MM, APART_MM = 9000, 300


def test_places_in_a_hall_lie_apart_and_are_found_without_asking_each_about_each() -> None:
    scene = build_scene(make_plan(room=make_room(SIDE_MM, SIDE_MM)))
    asked = 0

    def look(_: FrameType, event: str, called: Any) -> None:
        nonlocal asked
        asked += event == "c_call" and called is math.dist

    sys.setprofile(look)
    try:
        poses = free_poses(scene, 2 * APART_MM, 2 * APART_MM, 0, 1000)
    finally:
        sys.setprofile(None)
    tried = 4 * (SIDE_MM // 100 + 1) ** 2
    # each about each would be some hundred times as many
    assert asked < 10 * tried
    facing_front = [(x, y) for x, y, angle in poses if angle == poses[0][2]]
    assert len(facing_front) > (SIDE_MM / APART_MM / 2) ** 2
    for number, one in enumerate(facing_front):
        assert all(math.dist(one, other) >= APART_MM for other in facing_front[:number])
