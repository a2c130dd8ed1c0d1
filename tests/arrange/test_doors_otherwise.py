"""Doors hung otherwise: offered where what stops a leaf stays, of the door that is meant."""

from app.arrange.ways_out import ways_out
from app.changes.commands import apply
from app.checks.run import run
from app.checks.snag import Snag
from app.model.plan import Plan
from app.model.room import Opening
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place

DOOR = Opening(
    id="door", wall="left", kind="hinged", offset_mm=300, width_mm=838, height_mm=1981, swing="in"
)
SIDE_DOOR = Opening(
    id="side-door",
    wall="right",
    kind="hinged",
    offset_mm=1000,
    width_mm=838,
    height_mm=1981,
    swing="in",
    label="Side door",
)


def two_doors(chest_y: float) -> Plan:
    """A chest that stays 500 before the second of two doors whose names end alike."""
    room = make_room(3500, 3500, openings=(DOOR, SIDE_DOOR))
    chest = place("other-thing", 2700, chest_y, width=600, depth=600, height=800, stays=True)
    return make_plan(chest, room=room)


def about_doors(plan: Plan) -> list[Snag]:
    return [snag for snag in run(build_scene(plan)) if snag.opening is not None]


def test_the_door_that_meets_a_thing_is_hung_otherwise_and_no_other() -> None:
    # the leaf meets the far corner of the chest: 500 off the hinge's wall and 560 along it
    plan = two_doors(1260)
    (snag,) = about_doors(plan)
    assert (snag.opening, snag.severity) == ("side-door", "stop")
    remedy = ways_out(build_scene(plan), (snag,)).remedies[snag.key]
    assert remedy.sentence.startswith("Hang the side door ")
    for command in remedy.commands:
        plan = apply(plan, command)
    assert about_doors(plan) == []
    assert plan.room.openings[0] == DOOR


def test_hinges_change_sides_where_that_is_enough() -> None:
    # beside the hinges the chest is out of the arc of a leaf hung on the other side
    plan = two_doors(800)
    (snag,) = about_doors(plan)
    remedy = ways_out(build_scene(plan), (snag,)).remedies[snag.key]
    assert remedy.sentence == (
        "Hang the side door the other way: hinges on the right, seen from inside."
    )
