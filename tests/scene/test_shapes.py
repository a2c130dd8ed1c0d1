"""Round things as polygons: they hold the circle and touch what the circle touches."""

import pytest
from shapely import Point

from app.checks.run import run
from app.scene.build import build_scene
from app.scene.shapes import circle
from tests.builders import make_plan, make_room, place


def test_a_circle_is_held_and_no_wider_along_the_axes() -> None:
    around = circle((100.0, -50.0), 225.0)
    # the box of a circle of radius 225 about (100, -50)
    assert around.bounds == pytest.approx((-125.0, -275.0, 325.0, 175.0), abs=1e-9)
    assert around.buffer(1e-6).covers(Point(100.0, -50.0).buffer(225.0, quad_segs=64))


@pytest.mark.parametrize("angle", [0, 90, 180, 270])
def test_a_round_stack_that_touches_a_wall_is_not_inside_it(angle: float) -> None:
    # a stack of 450 across, its middle 225 from the right wall of a room 5000 wide
    stack = place("rubber-plates", 4775, 2500, angle, piece_id="stack")
    snags = run(build_scene(make_plan(stack, room=make_room(5000, 5000, 2400))))
    assert [s.code for s in snags if s.severity == "stop"] == []
