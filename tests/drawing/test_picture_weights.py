"""Weights on racks and shelves in the picture: as many as the symbol has, where they can lie."""

import math

import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from app.drawing.picture_room import kit_faces
from app.drawing.picture_view import DOWN_DEG, View
from app.drawing.picture_weights import weight_faces
from app.scene.build import Scene, build_scene
from tests.builders import make_plan, make_room, place


def alone(key: str, angle_deg: float = 0.0) -> Scene:
    piece = place(key, 2000, 2000, angle=angle_deg)
    return build_scene(make_plan(piece, room=make_room(4000, 4000)))


def test_each_kettlebell_is_a_ball_on_either_shelf() -> None:
    scene = alone("kettlebell-shelf")
    (placed,) = scene.order
    balls = list(weight_faces(placed, View(0)))
    # its symbol has two of radius 80 and two of 70, and it has two shelves
    wide = sorted(round(ball.flat.bounds[2] - ball.flat.bounds[0]) for ball in balls)
    assert wide == [140] * 4 + [160] * 4
    # the upper shelf is as high as the piece, 600, the lower at 260: 340 between each two balls
    feet: dict[int, list[float]] = {}
    for ball in balls:
        x0, _, x1, foot = ball.flat.bounds
        feet.setdefault(round(x0 + x1), []).append(foot)
    drops = [max(pair) - min(pair) for pair in feet.values()]
    assert drops == pytest.approx([340 * math.cos(math.radians(DOWN_DEG))] * 4)


@pytest.mark.parametrize("key", ["dumbbell-rack-2", "dumbbell-rack-3"])
@given(angle=st.integers(0, 359), corner=st.integers(0, 3))
def test_dumbbells_lie_on_their_rack_however_it_is_turned(
    key: str, angle: int, corner: int
) -> None:
    scene, view = alone(key, angle), View(corner)
    (placed,) = scene.order
    rack = shapely.union_all([face.flat for face in kit_faces(scene, placed, view)])
    weights = list(weight_faces(placed, view))
    # one face for the top of each tier, more for the side that is turned to the eye
    assert len(weights) >= int(key[-1])
    assert all(rack.buffer(2).covers(face.flat) for face in weights)


def test_what_holds_no_weights_shows_none() -> None:
    for key in ("plate-tree", "shelving", "flat-bench"):
        (placed,) = alone(key).order
        assert not list(weight_faces(placed, View(0)))
