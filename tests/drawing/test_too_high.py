"""What is higher than the room is red wherever the judge has it a stop, and nowhere else."""

import pytest

from app.drawing.picture import picture
from app.drawing.picture_sheet import picture_words
from app.drawing.picture_view import View
from app.drawing.sheets.cutting_plane import Cut, pieces_behind
from app.drawing.sheets.sections import sections_sheet
from app.drawing.too_high import missing_mm, too_high
from app.scene.build import build_scene
from app.usecases.files import samples
from tests.builders import low_thing, make_plan, make_room, place
from tests.drawing.reading import parse, seen
from tests.drawing.sheets.judged import sample, sheet

KEYS = [one.key for one in samples()]


@pytest.mark.parametrize("key", KEYS)
def test_it_is_what_the_judge_says_is_too_tall(key: str) -> None:
    of = sample(key)
    judged = {
        snag.pieces[0]: (snag.required or 0.0) - (snag.measured or 0.0)
        for snag in of.judged.findings.snags
        if snag.code == "too-tall"
    }
    found = too_high(of.scene)
    assert set(found) == set(judged)
    for piece, over in found.items():
        # the judge's are whole millimetres
        assert missing_mm(of.scene.placed[piece], over) == pytest.approx(judged[piece], abs=1)


def test_under_a_beam_it_is_red_from_the_beam_on() -> None:
    # a rack of 2030 under a beam at 1900 from wall to wall: 130 too high, and 0 under the ceiling
    beam = low_thing([(1000, 0), (2000, 0), (2000, 3000), (1000, 3000)], 1900)
    room = make_room(4000, 3000, 2400, low_things=[beam])
    rack = place("mid-rack", 1500, 1500, piece_id="rack")
    scene = build_scene(make_plan(rack, room=room))
    drawn = sections_sheet(scene, "rack")
    figures = [list(seen(parse(svg))) for svg in drawn.inside]
    words = [t.words for things in figures for t in things]
    assert words.count("130 too high") == 2
    assert any(t.ink == "stuck" for things in figures for t in things)
    # 2030 and nothing of floor covering: from the underside of the beam up to the top
    (cut,) = pieces_behind(scene, Cut((1500, 1500), (1, 0)))
    assert {box.over for box in cut.boxes if box.high > box.over} == {1900}
    assert max(box.high for box in cut.boxes) == 2030
    shown = picture(scene, View(0))
    assert {"picture-over"} <= {part.face.ink.removesuffix("-left") for part in shown.order.parts}
    assert "Mid rack: 130 mm higher than the room there, in red" in picture_words(shown)
    away = build_scene(make_plan(place("mid-rack", 3200, 1500), room=room))
    assert not too_high(away)
    assert not [p for p in picture(away, View(0)).order.parts if "over" in p.face.ink]


def test_a_box_stands_on_the_side_it_is_stepped_on_from_in_section_and_picture_alike() -> None:
    of = sample("double-garage")
    drawn = sheet(of, "section")
    tops = []
    for svg in drawn.inside:
        for element in parse(svg).iter():
            if (
                element.get("data-piece")
                and "Jump box" in of.scene.placed[element.get("data-piece", "")].name
            ):
                zs = [-y for t in seen(element) for _, y in t.points]
                tops.append(max(zs) - min(zs))
    # 500 by the side it is used on (the library's note), not the 750 it is on the plan
    assert min(tops) == pytest.approx(500, abs=1)
    words = " ".join(t.words for svg in drawn.inside for t in seen(parse(svg)))
    assert "Jump box turned to 500 high for this; on the plan it is 750." in words
