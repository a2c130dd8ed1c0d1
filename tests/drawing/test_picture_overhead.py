"""What hangs over the room in the picture: told as high as it was typed, named at its own lines."""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from app.drawing.picture import picture
from app.drawing.picture_glass import near_glass
from app.drawing.picture_overhead import overhead_lines, overhead_told
from app.drawing.picture_view import View
from app.scene.build import build_scene
from app.usecases.files import samples

SCENES = {one.key: build_scene(one.plan) for one in samples()}
TYPED = {
    # the lengths in the sample files, read by eye: joists of 150 under 2460; a door of 2130
    "double-garage": {"Joists 2310", "Garage door when open 2030"},
    "basement": {"Ceiling 2200", "Beam 1960", "Pipe 2010"},
    "single-garage": {"Ceiling 2050", "Ceiling 2750", "Garage door when open 1880"},
    "upstairs-room": {"Ceiling 1450", "Ceiling 2350"},
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


def test_the_corners_of_a_ceiling_that_slopes_are_let_down_to_the_far_walls() -> None:
    """A lean-to of 2050 to 2750: of its four corners the one whose walls are both near stays free.

    Walls are cut at 900 and heights are drawn in the share of the view; a level ceiling has none.
    """
    for corner in range(4):
        view = View(corner)
        ups = [
            abs(one.points[0][1] - one.points[1][1]) / view.height_share
            for one in overhead_lines(SCENES["single-garage"], view)
            if len(one.points) == 2 and abs(one.points[0][0] - one.points[1][0]) < 1e-6
        ]
        assert len(ups) == 3
        assert {round(high) for high in ups} == {2050 - 900, 2750 - 900}
        level = overhead_lines(SCENES["basement"], view)
        assert not [one for one in level if len(one.points) == 2]


def test_a_mirror_of_the_works_is_glass_on_a_far_wall_and_an_outline_on_a_near_one() -> None:
    for corner in range(4):
        drawn = picture(SCENES["upstairs-room"], View(corner))
        seen = any(part.face.owner.startswith("mirror-") for part in drawn.order.parts)
        # nobody is left without a word that there is to be one
        assert [one.words for one in drawn.names.named].count("Mirror") == 1
        assert len(list(near_glass(drawn.scene, drawn.view))) == int(not seen)


def test_a_mirror_that_is_a_piece_stands_before_nothing_on_a_near_wall() -> None:
    # the double garage's is on its back wall, which two of the four corners look at from behind
    scene = SCENES["double-garage"]
    (piece,) = [placed for placed in scene.order if placed.kit.key == "mirror"]
    near = 0
    for corner in range(4):
        drawn = picture(scene, View(corner))
        faces = [part for part in drawn.order.parts if part.face.owner == piece.piece.id]
        outlines = list(near_glass(scene, drawn.view))
        assert bool(faces) != bool(outlines)
        assert [one.words for one in drawn.names.named].count(piece.name) == 1
        for one in outlines:
            near += 1
            # 1500 of glass, drawn upright, as its height is drawn in this view
            (_, v0), _, _, (_, v1) = one.flat.tolist()
            assert v0 - v1 == pytest.approx(1500 * drawn.view.height_share)
            ring = tuple(tuple(xy) for xy in one.flat.tolist())
            assert any(getattr(g, "points", ())[:4] == ring for g in drawn.ghosts.children)
    assert near == 2


@pytest.mark.parametrize("key", ["boiler", "consumer-unit"])
def test_what_hangs_on_a_near_wall_is_an_outline_with_its_name_and_hides_no_kit(key: str) -> None:
    scene = SCENES["basement"]
    (piece,) = [placed for placed in scene.order if placed.kit.key == key]
    outlined = 0
    for corner in range(4):
        drawn = picture(scene, View(corner))
        faces = [part for part in drawn.order.parts if part.face.owner == piece.piece.id]
        outlines = [one for one in near_glass(scene, drawn.view) if one.name == piece.name]
        assert bool(faces) != bool(outlines)
        assert [one.words for one in drawn.names.named].count(piece.name) == 1
        outlined += len(outlines)
    # two of the four corners look at its wall from behind
    assert outlined == 2
