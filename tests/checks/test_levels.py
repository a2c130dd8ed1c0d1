"""Steps in the floor, on both sides of the limit and at a turned angle.

That feet take up 15 and that all stands on one level is common practice, no source.
"""

import pytest

from app.checks.levels import levels
from app.model.kit import Piece
from app.model.plan import Plan
from app.model.room import Opening
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


@pytest.mark.parametrize("turn", [0, 27])
@pytest.mark.parametrize(("high", "said"), [(15, []), (60, ["care"]), (400, ["stop"])])
def test_a_platform_lies_on_one_level(turn: float, high: float, said: list[str]) -> None:
    """It is stiff, unlike a mat: common practice, no source."""
    plan = turned_plan(stepped(1400, high, "platform"), turn)
    found = [s.severity for s in levels(build_scene(plan)) if s.code == "across-a-step"]
    assert found == said


def test_what_hangs_or_lies_across_a_step_stands_on_none() -> None:
    assert not list(levels(build_scene(stepped(1400, 60, "radiant-panel"))))
    (mat,) = levels(build_scene(stepped(1400, 60, "mat-space")))
    assert mat.code == "step-in-the-way"


def over_a_drop(high_mm: float, wall: str, *pieces: Piece, way_out: bool = True) -> Plan:
    """A room of 5 x 5 m whose front half lies so much lower, with a door in one wall."""
    door = opening_of(wall) if way_out else []
    room = make_room(height=2800, openings=door).model_dump(mode="json")
    room["floor"]["planes"] = [
        {"id": "up", "height_mm": 0, "outline": rectangle(0, 0, 5000, 2500)},
        {"id": "low", "height_mm": -high_mm, "outline": rectangle(0, 2500, 5000, 5000)},
    ]
    return Plan.model_validate({**make_plan(*pieces).model_dump(mode="json"), "room": room})


def opening_of(wall: str) -> list[Opening]:
    given = {"id": "door", "wall": wall, "kind": "hinged", "offset_mm": 300, "swing": "out"}
    return [Opening.model_validate({**given, "width_mm": 900, "height_mm": 2000})]


@pytest.mark.parametrize("turn", [0, 27])
@pytest.mark.parametrize(
    ("high", "wall", "beyond"),
    [
        # common practice, no source: a drop of 380 is fallen from, who is over it needs stairs
        (1400, "front", ["tree"]),
        (1400, "back", ["bike"]),
        (382, "front", ["tree"]),
        (379, "front", []),
    ],
)
def test_who_gets_out_only_over_a_drop_is_stopped_on_the_side_without_the_door(
    turn: float, high: float, wall: str, beyond: list[str]
) -> None:
    pieces = [
        # what hangs keeps nobody in
        place("radiant-panel", 3900, 1000, piece_id="hung"),
        place("plate-tree", 1000, 1000, piece_id="tree"),
        place("bike", 1500, 4000, piece_id="bike"),
    ]
    scene = build_scene(turned_plan(over_a_drop(high, wall, *pieces), turn))
    found = [one for one in levels(scene) if one.code == "beyond-an-edge"]
    told = {piece for one in found for piece in one.pieces}
    assert told == set(beyond)
    assert {one.severity for one in found} <= {"stop"}
    assert all(one.measured == -high for one in found)


@pytest.mark.parametrize("turn", [0, 11, 27])
def test_an_edge_of_a_floor_along_a_wall_is_none(turn: float) -> None:
    # the whole floor is drawn as one patch that lies below the door: nothing is stepped over
    plan = over_a_drop(1400, "front", place("running-machine", 2500, 4000), way_out=True)
    room = plan.room.model_dump(mode="json")
    low = {"id": "low", "height_mm": -1400, "outline": rectangle(0, 0, 5000, 5000)}
    room["floor"]["planes"] = [low]
    whole = Plan.model_validate({**plan.model_dump(mode="json"), "room": room})
    assert not list(levels(build_scene(turned_plan(whole, turn))))


def test_without_a_way_out_nothing_is_said_of_the_way_to_it() -> None:
    tree = place("plate-tree", 1000, 1000)
    plan = over_a_drop(1400, "front", tree, way_out=False)
    assert not [one for one in levels(build_scene(plan)) if one.code == "beyond-an-edge"]


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
