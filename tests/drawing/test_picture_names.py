"""The names of a picture: what does not fit is told beside a name of any length."""

from app.drawing.picture import picture
from app.drawing.picture_view import View
from app.drawing.primitives import Group, Text
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place

LETTER_MM = 90.0


def test_a_name_of_120_letters_is_cut_short_and_how_much_is_too_high_is_not() -> None:
    # 2030 high under 1900: 130 over
    label = "rack of the house by the river " * 4
    rack = place("mid-rack", 2000, 1500).model_copy(update={"label": label[:200]})
    drawn = picture(build_scene(make_plan(rack, room=make_room(4000, 3000, height=1900))), View(0))
    items, _ = drawn.lettered(LETTER_MM)
    (names,) = [one for one in items if isinstance(one, Group) and one.ink == "picture-names"]
    loud = [
        one.words for one in names.children if isinstance(one, Text) and one.ink == "picture-loud"
    ]
    assert len(loud) == 2
    assert loud[0].endswith("…")
    assert loud[1] == "130 mm too high"
