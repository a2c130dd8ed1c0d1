"""Steps in the floor, on both sides of the limit and at a turned angle.

That feet take up 15 and that all stands on one level is common practice, no source.
"""

import pytest

from app.checks.levels import levels
from app.model.plan import Plan
from app.published.register import published
from app.scene.build import build_scene
from tests.builders import make_person, make_plan, make_room, place, rectangle, turned_plan

LEAST_MM = published("level.step-least-mm")


def stepped(to_y_mm: float, high_mm: float, *kit: str) -> Plan:
    """A room whose floor is so much higher as far as some line from the back wall."""
    room = make_room(height=2800).model_dump(mode="json")
    outline = rectangle(0, 0, 5000, to_y_mm)
    room["floor"]["planes"].append({"id": "up", "height_mm": high_mm, "outline": outline})
    pieces = [place(key, 2500, 1400, piece_id=key) for key in kit]
    people = (make_person(1750, want=("run", "squat", "skip", "floor-work")),)
    made = make_plan(*pieces, people=people)
    return Plan.model_validate({**made.model_dump(mode="json"), "room": room})


@pytest.mark.parametrize("turn", [0, 27])
@pytest.mark.parametrize(("high", "count"), [(LEAST_MM, 0), (LEAST_MM + 2, 1)])
def test_a_rack_across_a_step_is_a_stop_from_what_feet_take_up(
    turn: float, high: float, count: int
) -> None:
    plan = turned_plan(stepped(1400, high, "mid-rack"), turn)
    found = [s for s in levels(build_scene(plan)) if s.code == "across-a-step"]
    assert [s.severity for s in found] == ["stop"] * count


@pytest.mark.parametrize("turn", [0, 27])
def test_a_machine_is_a_care_and_right_beside_the_step_nothing_stands_across(turn: float) -> None:
    back = build_scene(stepped(1400, 60, "running-machine")).order[0].footprint.bounds[1]
    for to_y, expected in ((1400, ["care"]), (back - 1, []), (back + 3, ["care"])):
        plan = turned_plan(stepped(to_y, 60, "running-machine"), turn)
        found = [s for s in levels(build_scene(plan)) if s.code == "across-a-step"]
        assert [s.severity for s in found] == expected


@pytest.mark.parametrize("turn", [0, 27])
def test_in_the_run_off_a_step_is_a_care_once(turn: float) -> None:
    scene = build_scene(stepped(1400, 60, "running-machine"))
    front = scene.order[0].footprint.bounds[3]
    for beyond, count in ((500, 1), (2600, 0)):
        plan = turned_plan(stepped(front + beyond, 60, "running-machine"), turn)
        found = list(levels(build_scene(plan)))
        assert [(s.code, s.severity) for s in found] == [("step-in-the-way", "care")] * count


def test_what_hangs_or_lies_across_a_step_stands_on_none() -> None:
    assert not list(levels(build_scene(stepped(1400, 60, "radiant-panel"))))
    (mat,) = levels(build_scene(stepped(1400, 60, "mat-space")))
    assert mat.code == "step-in-the-way"


def test_a_level_floor_has_no_steps() -> None:
    plan = make_plan(place("mid-rack", 2500, 1400), people=(make_person(1750, want=("squat",)),))
    assert not list(levels(build_scene(plan)))


def test_a_step_in_the_way_matters_while_somebody_trains() -> None:
    rows = [
        one
        for one in levels(build_scene(stepped(3000, 60, "running-machine")))
        if one.code == "step-in-the-way"
    ]
    assert rows
    assert all(one.while_training and one.hangs_on_place for one in rows)
