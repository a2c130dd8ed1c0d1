"""What a way out may cost: a door and the floor behind a belt are no price for a strap.

Common practice, no source: nobody puts shelves where the door of the room opens.
"""

import pytest

from app.arrange.trial import price_of
from app.arrange.ways_out import ways_out
from app.checks.run import run
from app.model.base import json_of
from app.model.plan import Plan
from app.model.room import Opening, Room
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place, turned_plan


def tanked(room: Room) -> Room:
    """The room with all walls tanked but the right one."""
    data = json_of(room)
    walls = [{**wall, "tanked": wall["id"] != "right"} for wall in data["walls"]]
    return Room.model_validate({**data, "walls": walls})


def by_a_door(deep_mm: float, turn: float) -> Plan:
    """A shelf on a tanked wall; the only other wall for it is that which the door opens to."""
    door = Opening.model_validate(
        {
            "id": "door", "wall": "front", "kind": "hinged", "offset_mm": 20, "width_mm": 800,
            "height_mm": 2000, "hinge": "right", "swing": "in", "way_out": True,
        }
    )  # fmt: skip
    room = tanked(make_room(2600, deep_mm, openings=[door]))
    shelf = place("shelving", 1000, 225, piece_id="shelf")
    return turned_plan(make_plan(shelf, room=room), turn)


def behind_a_belt(off_mm: float, turn: float) -> Plan:
    """A shelf on a tanked wall; the only other for it is that beside which a belt runs out."""
    belt = place("running-machine", 3200 - off_mm - 425, 300 + 925, piece_id="belt")
    shelf = place("shelving", 475, 225, piece_id="shelf")
    return turned_plan(make_plan(belt, shelf, room=tanked(make_room(3200, 4400))), turn)


@pytest.mark.parametrize("turn", [0, 31])
@pytest.mark.parametrize(
    ("plan", "offered"),
    # the leaf of 800 meets a shelf of 900 in a corner that is less than 1700 deep
    [
        (by_a_door(1600, 0), False),
        (by_a_door(1650, 0), True),
        # a shelf of 450 reaches 50 into a run-off of 1000 that is 400 off the wall
        (behind_a_belt(400, 0), False),
        (behind_a_belt(600, 0), True),
    ],
)
def test_no_door_and_no_run_off_is_given_up_for_a_strap(
    plan: Plan, offered: bool, turn: float
) -> None:
    scene = build_scene(turned_plan(plan, turn))
    snags = run(scene)
    (care,) = (one for one in snags if one.code == "tanked")
    found = ways_out(scene, snags)
    assert (care.key in found.remedies) == offered


def test_a_door_that_something_stands_before_is_told_as_a_price() -> None:
    shelf = place("shelving", 2375, 450, 90, piece_id="shelf")
    plan = by_a_door(1600, 0)
    (care,) = (
        one
        for one in run(build_scene(make_plan(shelf, room=plan.room)))
        if one.code == "door-opens-door"
    )
    assert price_of(care).worded("metric") == "then also the shelving in the way of the door"
