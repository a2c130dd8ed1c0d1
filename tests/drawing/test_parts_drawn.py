"""Where parts of a ceiling and steps of a floor end is drawn within the room, not on its walls."""

from app.drawing.figure import levels_of
from app.drawing.figure_room import floor, low_things
from app.drawing.levels import height_levels
from app.drawing.medium import Medium
from app.drawing.primitives import Line
from app.model.room import Floor, Plane
from app.scene.build import build_scene
from app.units import Units
from tests.builders import make_plan, make_room

BACK = ((0, 0), (5000, 0), (5000, 1000), (0, 1000))


def test_a_low_part_ends_in_one_dashed_line_across_the_room() -> None:
    planes = [Plane(id="c", height_mm=2400), Plane(id="part-1", height_mm=2000, outline=BACK)]
    room = build_scene(make_plan(room=make_room(5000, 4000, planes=planes))).room
    lines = [item for item in low_things(room) if isinstance(item, Line)]
    # along the walls it is their line; across the room it lies 1 m from the back wall
    assert len(lines) == 1
    assert (lines[0].start[1], lines[0].end[1]) == (1000, 1000)


def test_a_step_is_drawn_and_its_height_lettered() -> None:
    bare = make_room(5000, 4000)
    step = Plane(id="part-1", height_mm=150, outline=BACK)
    raised = bare.model_copy(update={"floor": Floor(planes=(*bare.floor.planes, step))})
    room = build_scene(make_plan(room=raised)).room
    assert [type(item) for item in floor(room).children][1:] == [Line]
    assert "Step 150" in [
        level.words for level in height_levels(room, Medium(100, "metric", False))
    ]


def test_heights_of_a_room_are_in_the_units_of_who_asks() -> None:
    room = build_scene(make_plan(room=make_room(5000, 4000, 2438.4))).room
    asked: tuple[Units, ...] = ("metric", "feet", "metric")
    told = [level.words for units in asked for level in levels_of(room, Medium(100, units, False))]
    assert told == ["Ceiling 2438", "Ceiling 8' 0\"", "Ceiling 2438"]
