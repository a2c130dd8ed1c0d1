"""The open floor of rooms out of square, against sizes worked out by hand."""

import pytest

from app.arranging.open_floor import Floors, open_floor
from app.scene.build import build_scene
from tests.builders import make_plan, make_room


@pytest.mark.parametrize("out", [0.0, -0.05, 0.05, -20.0])
def test_a_back_wall_out_of_square_costs_its_wedge_of_floor(out: float) -> None:
    # by hand: along the long right wall lies a rectangle as wide as the room, from the front wall
    # to where the back wall comes nearest; beside a hair's breadth the wedges have no width
    corners = [(0, 0), (0, -5200), (2950.39, -5260.05), (2950, out)]
    scene = build_scene(make_plan(room=make_room(corners=corners, height=2300)))
    floor = open_floor(scene)
    assert floor is not None
    assert floor.short_mm == pytest.approx(2950, abs=2)
    assert floor.long_mm == pytest.approx(5200 + min(out, 0), abs=2)
    assert Floors(scene, ()).of({}) == floor
