"""The places a move is tried at: laws of geometry, no source."""

import math

import numpy as np
import pytest

from app.arrange.shifts import to_try
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place, turned_plan


@pytest.mark.parametrize("angle", [30.0, 90.0])
def test_a_room_that_is_turned_has_the_same_places_to_try(angle: float) -> None:
    # 4100 and 3300 are no whole steps of the mesh, and unlike: across is not along
    plan = make_plan(place("flat-bench", 1500, 1200, piece_id="bench"), room=make_room(4100, 3300))
    straight = to_try(build_scene(plan), "bench")
    turned = to_try(build_scene(turned_plan(plan, angle)), "bench")
    assert len(turned) == len(straight)
    sin, cos = math.sin(math.radians(angle)), math.cos(math.radians(angle))
    back = turned @ np.array([[cos, -sin], [sin, cos]])
    # a hundredth of a mm: pieces and corners are kept with few decimals
    places = {tuple(one) for one in (straight.round(0) + 0.0).tolist()}
    assert {tuple(one) for one in (back.round(0) + 0.0).tolist()} == places
