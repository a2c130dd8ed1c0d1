"""What a household will do to its room: nothing is counted until it is asked for."""

from __future__ import annotations

import pytest

from app.changes.commands import apply
from app.errors import CommandError, PlanError
from app.forms.new_room import plan_from_form
from app.model.plan import Plan
from app.model.room import Room
from app.scene.build import build_scene
from app.takeoff.quantities import take_off
from app.usecases.will import EDITS, edit_will, wills
from tests.builders import make_plan, make_room
from tests.takeoff.making import scene_of

FIELDS = {
    "name": "Garage", "width": "5.5", "depth": "5", "height": "2.5", "covering": "rubber-20",
    "door": "tracks", "door_wall": "front", "door_width": "2.4", "door_height": "2.1",
    "person1_stature": "1.80",
}  # fmt: skip
ASKED = {
    "will-floor": "floor",
    "will-walls": "paint",
    "will-ceiling": "paint",
    "will-light": "light",
    "will-mirror": "mirrors",
    "will-strip": "strip",
    "will-seal": "small",
}


def new_plan() -> Plan:
    return plan_from_form({**FIELDS, "covering": "other", "covering_mm": "20"})


def said(plan: Plan, name: str) -> Plan:
    command = edit_will(plan, name, {})
    assert command is not None
    return apply(plan, command)


def parts(plan: Plan) -> set[str]:
    return {line.part for line in take_off(build_scene(plan)).lines}


def test_a_new_plan_counts_nothing_until_it_is_asked_for() -> None:
    plan = new_plan()
    assert take_off(build_scene(plan)).lines == ()
    assert [will.key for will in wills(plan) if will.chosen] == []


@pytest.mark.parametrize(("name", "part"), ASKED.items())
def test_a_yes_is_counted_and_nothing_is_assumed_beside_it(name: str, part: str) -> None:
    plan = said(new_plan(), name)
    found = take_off(build_scene(plan))
    assert part in {line.part for line in found.lines}
    assert [line.key for line in found.lines if line.assumed] == []
    assert found.problems == ()
    kinds = {"floor", "paint", "light", "mirrors", "strip", "projection"}
    assert {line.part for line in found.lines} & kinds == {part} & kinds


@pytest.mark.parametrize("name", EDITS)
def test_what_is_said_yes_to_is_chosen_then(name: str) -> None:
    plan = said(new_plan(), name)
    assert [f"will-{will.key}" for will in wills(plan) if will.chosen] == [name]


def test_all_of_it_hangs_free_and_is_counted_without_a_fault() -> None:
    plan = new_plan()
    for name in EDITS:
        plan = said(plan, name)
    found = take_off(build_scene(plan))
    assert found.problems == ()
    assert all(will.chosen for will in wills(plan))


def test_the_floor_is_the_one_that_headroom_is_counted_with() -> None:
    # rubber of 20 mm is nearest to the covering typed
    (floor,) = said(new_plan(), "will-floor").fit_out.floors
    assert (floor.material, floor.thickness_mm) == ("rubber", 20)


def test_a_mirror_that_stands_on_the_plan_is_held_and_carried() -> None:
    plan = said(new_plan(), "will-screen")
    with_mirror = plan.model_copy(
        update={"pieces": (plan.pieces[0].model_copy(update={"type": "mirror"}),)}
    )
    lines = {line.key: line for line in take_off(build_scene(with_mirror)).lines}
    assert "Mirror" in lines["fixings.plug-8"].where
    assert {"tools.suction-grip", "protection.gloves-cut"} <= lines.keys()


def test_no_wall_free_is_a_sentence() -> None:
    small = scene_of(room=make_room(500, 500)).plan
    with pytest.raises(PlanError, match="no wall has a free stretch"):
        edit_will(small, "will-mirror", {})
    with pytest.raises(CommandError, match="cannot be changed that way"):
        edit_will(small, "will-roof", {})


def test_a_first_strip_of_light_is_clear_of_beams_and_the_garage_door_and_its_cable_reaches() -> (
    None
):
    # the free wall beside the garage door, from the end of it that is nearer to the socket
    data = make_room(5500, 5000).model_dump() | {
        "openings": [
            {"id": "g", "wall": "front", "kind": "tracks", "offset_mm": 500, "width_mm": 4000,
             "height_mm": 2100},
        ],
        "sockets": [{"id": "s", "wall": "right", "offset_mm": 4000, "height_mm": 300}],
        "low_things": [
            {"id": "b", "kind": "beam", "bottom_mm": 2000,
             "outline": [[2700, 0], [2900, 0], [2900, 5000], [2700, 5000]]},
        ],
    }  # fmt: skip
    room = Room.model_validate(data)
    plan = said(make_plan(room=room), "will-strip")
    (run,) = plan.fit_out.strips
    assert run.wall == "right"
    assert [x for x, _ in run.points] == [5000, 0]
    told = " ".join(take_off(build_scene(plan)).says)
    assert "in its way" not in told
    assert "does not reach" not in told
    # with a pipe before that wall as high as the strip it goes to another one
    pipe = {"id": "p", "kind": "pipe", "bottom_mm": 2000,
            "outline": [[5200, 0], [5350, 0], [5350, 5000], [5200, 5000]]}  # fmt: skip
    low = Room.model_validate(data | {"low_things": [*data["low_things"], pipe]})
    (elsewhere,) = said(make_plan(room=low), "will-strip").fit_out.strips
    assert elsewhere.wall != "right"
