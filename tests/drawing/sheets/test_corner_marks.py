"""Names of corners: in the walls or outside of the room, nearer to their own corner than to all."""

import math

import pytest
import shapely

from app.drawing.sheets.setting_out import setting_out_sheet
from app.drawing.sheets.taping import corners_of
from app.scene.build import Scene, build_scene
from app.scene.naming import corner_name
from tests.builders import make_plan, make_room, place, turned_plan
from tests.drawing.reading import parse, seen
from tests.drawing.sheets.judged import sample

L = ((0, 0), (6000, 0), (6000, 2600), (3000, 2600), (3000, 5000), (0, 5000))


def names(scene: Scene, paper: str) -> dict[str, tuple[float, float]]:
    """Where the names of the corners stand, in mm of the room."""
    every = {corner_name(i) for i in range(len(corners_of(scene)))}
    found: dict[str, tuple[float, float]] = {}
    for svg in setting_out_sheet(scene, paper=paper).inside:
        for group in parse(svg).iter():
            if "layer-marks" in (group.get("data-ink") or ""):
                found |= {t.words: t.points[0] for t in seen(group) if t.words in every}
    assert set(found) == every
    return found


@pytest.mark.parametrize("angle", [0.0, 90.0, 33.0])
@pytest.mark.parametrize("paper", ["A3", "A4"])
def test_no_name_of_a_corner_stands_in_the_room_among_the_kit(paper: str, angle: float) -> None:
    kit = place("shelving", 700, 250), place("mid-rack", 4000, 1300)
    scene = build_scene(turned_plan(make_plan(*kit, room=make_room(corners=L)), angle))
    corners = corners_of(scene)
    for i, at in enumerate(corners):
        there = names(scene, paper)[corner_name(i)]
        assert not scene.room.free.covers(shapely.Point(there))
        assert min(corners, key=lambda one: math.dist(one, there)) == at


def test_in_the_samples_each_is_nearest_to_its_own_corner_and_to_no_mark() -> None:
    for key in ("double-garage", "single-garage", "basement", "upstairs-room"):
        scene = sample(key).scene
        corners = corners_of(scene)
        for i, at in enumerate(corners):
            there = names(scene, "A3")[corner_name(i)]
            assert not scene.room.free.covers(shapely.Point(there)), (key, i)
            assert min(corners, key=lambda one: math.dist(one, there)) == at
