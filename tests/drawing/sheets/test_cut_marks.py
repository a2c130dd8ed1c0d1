"""Marks of the cuts on a plan: both ends of each, on its line, looking as its section does."""

import numpy as np
import pytest
import shapely

from app.drawing.plan_sheet import plan_sheet
from app.drawing.sheets.cuts import cuts_of
from app.drawing.sheets.tightest import stands
from app.scene.build import Scene, build_scene
from app.units import Units
from tests.builders import make_plan, make_room, place, turned_plan
from tests.drawing.boxes import lettered
from tests.drawing.reading import parse, seen
from tests.drawing.sheets.judged import sample

L = ((0, 0), (6000, 0), (6000, 2600), (3000, 2600), (3000, 5000), (0, 5000))
NEAR_MM = 1.0


def marks_agree(scene: Scene, paper: str) -> None:
    """Ask both ends of both cuts of their stroke, arrow and letter, in mm of the room."""
    drawn = plan_sheet(scene, paper=paper, flags=False)
    cuts = {cut.name: cut for cut in cuts_of(scene, None, stands(scene))}
    ends: dict[str, list[float]] = {name: [] for name in cuts}
    for svg in drawn.inside:
        for group in parse(svg).iter():
            if (group.get("data-ink") or "") != "cut-mark":
                continue
            every = list(seen(group))
            (words,) = [one.words for one in every if one.words]
            cut = cuts[words]
            (stroke,) = [one.points for one in every if one.ink == "cut-end"]
            (head,) = [one.points for one in every if one.ink == "dark"]
            flat = cut.flat(np.array([*stroke, head[0]]))
            # the stroke runs along the cut, from the face of a wall outwards
            assert np.abs(flat[:2, 1]).max() < NEAR_MM
            assert scene.room.outline.boundary.distance(shapely.Point(stroke[0])) < NEAR_MM
            assert not scene.room.outline.contains(shapely.Point(stroke[1]))
            # one looks where the arrow points to, square to the cut
            assert flat[2, 1] > 0
            assert abs(flat[2, 0] - flat[1, 0]) < NEAR_MM
            ends[words].append(float(flat[0, 0]))
    for name, cut in cuts.items():
        spans = cut.spans(scene.room.outline)
        assert sorted(ends[name]) == pytest.approx([spans[0][0], spans[-1][1]], abs=NEAR_MM)
    letters = [one.words for page in drawn.pages for one in lettered(page)]
    assert [letters.count(name) for name in cuts] == [2, 2]


@pytest.mark.parametrize("units", ["metric", "feet"])
@pytest.mark.parametrize("paper", ["A3", "A4"])
@pytest.mark.parametrize("key", ["double-garage", "single-garage", "basement", "upstairs-room"])
def test_both_ends_of_both_cuts_of_every_sample_are_marked(
    key: str, paper: str, units: Units
) -> None:
    marks_agree(sample(key, units).scene, paper)


@pytest.mark.parametrize("angle", [0.0, 90.0, 33.0])
def test_in_a_room_that_is_turned_they_are_found_too(angle: float) -> None:
    kit = place("shelving", 700, 250), place("mid-rack", 4000, 1300)
    marks_agree(build_scene(turned_plan(make_plan(*kit, room=make_room(corners=L)), angle)), "A3")


def test_the_key_tells_what_they_are() -> None:
    (page, *_) = plan_sheet(build_scene(make_plan(room=make_room(4000, 3000)))).pages
    words = " ".join(one.words for one in lettered(page))
    assert "cut of section X or Y, seen as the arrow points" in words
    assert page.number == "1 of 1"
