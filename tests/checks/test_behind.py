"""The wall that a piece hangs on, worked by hand in a room of 5000 x 4000."""

import pytest

from app.checks.behind import wall_behind, wall_name
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place

ROOM = make_room(5000, 4000)


@pytest.mark.parametrize(
    ("x", "y", "angle", "wall", "gap"),
    [
        # a cupboard 450 deep, its back 25 off each wall in turn
        (2500, 250, 0, "back", 25),
        (4750, 2000, 90, "right", 25),
        (2500, 3750, 180, "front", 25),
        (250, 2000, 270, "left", 25),
        # its back counts, not its middle: near the left wall, its back to the far one
        (1000, 500, 0, "back", 275),
        # in a corner the nearer of two; its back 100 off one, 225 + 300 off the other
        (1000, 325, 0, "back", 100),
    ],
)
def test_the_nearest_wall_to_its_back(
    x: float, y: float, angle: float, wall: str, gap: float
) -> None:
    scene = build_scene(make_plan(place("shelving", x, y, angle), room=ROOM))
    shape, away = wall_behind(scene, scene.order[0])
    assert shape.id == wall
    assert away == pytest.approx(gap)
    assert wall_name(scene, shape) == f"the {wall} wall"


def test_beyond_the_end_of_a_wall_its_corner_is_nearest() -> None:
    # an L: its inner corner at (2000, 2000). The back of a piece at (2300, 2400) turned to it
    # lies at (2300, 2175): 300 beyond the end of the wall along x = 2000 and 175 off it
    corners = ((0, 0), (5000, 0), (5000, 4000), (2000, 4000), (2000, 2000), (0, 2000))
    scene = build_scene(make_plan(place("shelving", 2300, 2400), room=make_room(corners=corners)))
    shape, away = wall_behind(scene, scene.order[0])
    assert shape.id == "w4"
    assert away == pytest.approx(300)
    scene = build_scene(make_plan(place("shelving", 2300, 1925), room=make_room(corners=corners)))
    shape, away = wall_behind(scene, scene.order[0])
    # its back at (2300, 1700): 300 and 300 off the corner
    assert away == pytest.approx(300 * 2**0.5)
