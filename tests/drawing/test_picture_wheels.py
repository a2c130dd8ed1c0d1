"""Wheels that stand upright are discs in the picture, with their axle the short way."""

from pathlib import Path

import numpy as np
import pytest
import shapely

from app.drawing.picture_room import is_wheel, kit_faces
from app.drawing.picture_view import View
from app.file_commands.plan_file import read
from app.model.kit import Pose
from app.scene.build import Placed, Scene, build_scene


def rower(turn_deg: float = 0.0) -> tuple[Scene, Placed]:
    scene = build_scene(read(Path("sample_rooms/single-garage.json")))
    (placed,) = [one for one in scene.order if one.kit.key == "rower"]
    pose = placed.pose
    there = Pose.within(pose.x_mm, pose.y_mm, (pose.angle_deg + turn_deg) % 360)
    scene = scene.moved({placed.piece.id: there})
    return scene, scene.placed[placed.piece.id]


@pytest.mark.parametrize("turn_deg", [0.0, 90.0, 33.0])
@pytest.mark.parametrize("corner", range(4))
def test_the_flywheel_of_a_rower_turns_about_an_axle_across_it(
    turn_deg: float, corner: int
) -> None:
    """Common practice, no source: the chain runs along the rail, so the wheel lies in its plane."""
    scene, placed = rower(turn_deg)
    view = View(corner)
    pairs = zip(placed.polygons(), placed.shape.parts, strict=True)
    wheel = next(one for one, part in pairs if part == "wheel")
    angle = np.radians(placed.pose.angle_deg)
    along = np.array([-np.sin(angle), np.cos(angle)])
    reach = np.ptp(shapely.get_coordinates(wheel) @ along)
    assert reach == pytest.approx(560, abs=1)
    # a circle that is seen at a slant is an ellipse, as long as it is large
    dark = [one for one in kit_faces(scene, placed, view) if "dark" in one.ink]
    hub = [one for one in dark if one.ink.endswith("-left") and len(one.edges) > 24]
    (face,) = hub
    ring = shapely.get_coordinates(face.flat)
    middle = ring[:-1].mean(axis=0)
    assert np.hypot(*(ring - middle).T).max() == pytest.approx(280, abs=6)
    # its area is the circle's in the share in which the axle points at the eye
    axle = np.array([np.cos(angle), np.sin(angle), 0.0])
    share = abs(axle @ view.eye())
    assert face.flat.area == pytest.approx(np.pi * 280**2 * share, rel=0.03)


def test_only_what_stands_upright_and_is_round_is_a_wheel() -> None:
    wheel = shapely.box(0, 0, 200, 560)
    assert is_wheel("wheel", wheel, 560)
    assert is_wheel("wheel", shapely.affinity.rotate(wheel, 33), 560)
    # within a tenth as high as long is a wheel of which the tyre is a little flat; more is a box
    assert is_wheel("wheel", wheel, 510)
    assert not is_wheel("wheel", wheel, 500)
    assert not is_wheel("wheel", shapely.Point(0, 0).buffer(280), 560)
    assert not is_wheel("console", wheel, 560)
