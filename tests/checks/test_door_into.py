"""A door that opens onto who lifts, on both sides of its leaf: common practice, no source."""

import pytest

from app.checks.door_behind import door_into
from app.model.plan import Plan
from app.model.room import Opening
from app.scene.build import build_scene
from tests.builders import make_person, make_plan, make_room, place, turned_plan

LEAF_MM = 838


def beside_a_door(off_mm: float, swing: str = "in", kit: str = "swing-space") -> Plan:
    """A space so far off the left wall, in the middle of which a door is."""
    door = Opening.model_validate(
        {
            "id": "door",
            "wall": "left",
            "kind": "hinged",
            "offset_mm": 2081,
            "width_mm": LEAF_MM,
            "height_mm": 1981,
            "swing": swing,
            "hinge": "left",
        }
    )
    half = build_scene(make_plan(place(kit))).order[0].extent.width_mm / 2
    return make_plan(
        place(kit, off_mm + half, 2500),
        room=make_room(5000, 5000, openings=(door,)),
        people=(make_person(want=("kettlebell-swing",)),),
    )


@pytest.mark.parametrize("turn", [0, 26])
@pytest.mark.parametrize(("off", "count"), [(LEAF_MM - 5, 1), (LEAF_MM + 5, 0)])
def test_the_leaf_swings_into_the_space_or_past_it(turn: float, off: float, count: int) -> None:
    plan = turned_plan(beside_a_door(off), turn)
    assert [snag.severity for snag in door_into(build_scene(plan))] == ["care"] * count


def test_a_door_that_opens_out_is_in_nobodys_way() -> None:
    assert not list(door_into(build_scene(beside_a_door(100, "out"))))


@pytest.mark.parametrize("turn", [0, 26])
@pytest.mark.parametrize(("off", "count"), [(LEAF_MM - 5, 1), (LEAF_MM + 5, 0)])
def test_who_lies_on_a_mat_is_met_by_the_leaf_too(turn: float, off: float, count: int) -> None:
    plan = turned_plan(beside_a_door(off, kit="mat-space"), turn)
    found = list(door_into(build_scene(plan)))
    assert [snag.severity for snag in found] == ["care"] * count
    for snag in found:
        assert snag.sentence.startswith("The door opens onto who lies there.")
    assert not list(door_into(build_scene(beside_a_door(off, "out", "mat-space"))))


def test_a_mat_on_which_nobody_wants_to_lie_is_no_such_place() -> None:
    plan = beside_a_door(100, kit="mat-space")
    no = make_person(no=("floor-work", "stretch", "handstand"))
    assert not list(door_into(build_scene(make_plan(*plan.pieces, room=plan.room, people=(no,)))))
