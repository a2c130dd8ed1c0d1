"""What hangs over the room in the picture: told as high as it was typed, named at its own lines."""

import numpy as np
import shapely
from hypothesis import given
from hypothesis import strategies as st

from app.drawing.picture_overhead import overhead_lines, overhead_told
from app.drawing.picture_view import View
from app.scene.build import build_scene
from app.usecases.files import samples

SCENES = {one.key: build_scene(one.plan) for one in samples()}
TYPED = {
    # the lengths in the sample files, read by eye: joists of 150 under 2460; a door of 2130
    "double-garage": {"Joists 2310", "Garage door when open 2030"},
    "basement": {"Ceiling 2200", "Beam 1960", "Pipe 2010"},
    "single-garage": {"Ceiling 2050 to 2750", "Garage door when open 1880"},
    "upstairs-room": {"Ceiling 1450 to 2350"},
}


def test_heights_are_told_as_they_were_typed() -> None:
    told = {key: {one.words for one in overhead_told(s, View(0))} for key, s in SCENES.items()}
    assert told == TYPED


@given(key=st.sampled_from(sorted(TYPED)), corner=st.integers(0, 3))
def test_a_height_is_led_to_a_line_that_is_drawn(key: str, corner: int) -> None:
    scene, view = SCENES[key], View(corner)
    lines = shapely.union_all([shapely.LineString(p.points) for p in overhead_lines(scene, view)])
    for one in overhead_told(scene, view):
        assert np.max(shapely.distance(lines, shapely.points(one.points))) < 1
