"""How high a roof is at its highest is told in a section, against the numbers it was made from."""

import pytest

from app.drawing.sheets.cutting_plane import Cut, hung
from app.drawing.sheets.section_chains import highest
from app.drawing.sheets.sections import sections_sheet
from app.model.room import LowThing, Plane
from app.scene.build import Scene, build_scene
from tests.builders import (
    make_plan,
    make_room,
    rectangle,
    turned_plan,
    turned_point,
    two_slopes,
)
from tests.drawing.reading import parse, seen


def found(scene: Scene, at: tuple[float, float], angle: float = 0.0) -> float | None:
    """What is found on a cut across a room of 5 m, turned by an angle, in mm above the datum."""
    cut = Cut(turned_point(at, angle), turned_point((1, 0), angle))
    runs = list(hung(scene, cut, scene.room.training))
    top = highest(scene, cut, cut.spans(scene.room.free), runs)
    return None if top is None else top[1]


@pytest.mark.parametrize("angle", [0.0, 31.0])
def test_a_ridge_is_told_and_a_lean_to_is_not(angle: float) -> None:
    # 2000 at the eaves and 300 a metre over 2500 mm
    ridge = make_plan(room=make_room(5000, 4000, planes=two_slopes(5000, 4000, 2000, 300)))
    scene = build_scene(turned_plan(ridge, angle))
    assert found(scene, (2500, 2000), angle) == pytest.approx(2750, abs=0.5)
    lean_to = make_plan(room=make_room(5000, 4000, planes=[Plane(id="r", height_mm=2000,
                                                                 rise_x=150)]))  # fmt: skip
    assert found(build_scene(turned_plan(lean_to, angle)), (2500, 2000), angle) is None


@pytest.mark.parametrize(("rise", "told"), [(0.3, None), (0.5, 2001.25)])
def test_a_ridge_a_millimetre_over_its_eaves_is_none(rise: float, told: float | None) -> None:
    # over 2500 mm, 0.3 a metre is 0.75 and 0.5 is 1.25
    room = make_room(5000, 4000, planes=two_slopes(5000, 4000, 2000, rise))
    top = found(build_scene(make_plan(room=room)), (2500, 2000))
    assert top == (None if told is None else pytest.approx(told, abs=0.01))


def test_two_planes_that_cross_are_highest_where_they_do() -> None:
    # neither has an outline: 2000 + 0.3 x and 2600 - 0.1 x meet at 1500, 2450 high
    planes = [Plane(id="a", height_mm=2000, rise_x=300), Plane(id="b", height_mm=2600, rise_x=-100)]
    scene = build_scene(make_plan(room=make_room(5000, 4000, planes=planes)))
    assert found(scene, (2500, 2000)) == pytest.approx(2450, abs=0.5)


def test_a_flat_middle_between_two_slopes_is_told_and_a_level_ceiling_is_not() -> None:
    left = Plane(id="l", height_mm=1500, rise_x=900, outline=rectangle(0, 0, 1000, 4000))
    right = Plane(
        id="r", height_mm=1500, at=(5000, 0), rise_x=-900, outline=rectangle(4000, 0, 5000, 4000)
    )
    flat = Plane(id="f", height_mm=2400)
    scene = build_scene(make_plan(room=make_room(5000, 4000, planes=[flat, left, right])))
    assert found(scene, (2500, 2000)) == pytest.approx(2400, abs=0.5)
    # what hangs at both ends lowers what is told there, and the ceiling is level all the same
    ends = [
        LowThing(id=name, kind="beam", outline=rectangle(x, 0, x + 300, 4000), bottom_mm=2100)
        for name, x in (("one", 0), ("two", 4700))
    ]
    level = build_scene(make_plan(room=make_room(5000, 4000, 2400, low_things=ends)))
    assert found(level, (2500, 2000)) is None


def test_the_sheet_draws_it_as_a_line_of_that_length_with_its_figure() -> None:
    room = make_room(5000, 4000, planes=two_slopes(5000, 4000, 2000, 300))
    drawn = sections_sheet(build_scene(make_plan(room=room)))
    groups = [
        element
        for svg in drawn.inside
        for element in parse(svg).iter()
        if element.get("data-highest") is not None
    ]
    # the other section runs along the ridge or beside it, level all along
    (group,) = groups
    assert group.get("data-highest") == "2750.00"
    things = list(seen(group))
    assert [one.words for one in things if one.tag == "text"] == ["2750 highest"]
    lines = [one.points for one in things if one.tag == "line" and one.ink == "dim"]
    assert any(
        x0 == x1 and abs(y0 - y1) == pytest.approx(2750, abs=0.5) for (x0, y0), (x1, y1) in lines
    )
