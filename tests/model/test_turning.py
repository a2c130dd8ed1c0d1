"""A plan turned by quarters: nothing moves, and the words stay those of the door."""

from collections.abc import Iterator
from typing import Any, get_args

import pytest
from pydantic import BaseModel

from app.forms.room_edits import edit
from app.model.base import Point
from app.model.fronts import front_of, sides_on_paper, wall_names
from app.model.kit import Pose
from app.model.plan import Plan
from app.model.turning import door_below, turned_by_hand, turned_plan
from app.model.versions import load
from app.resources import folder
from tests.builders import judge, make_plan, make_room, place
from tests.forms.test_room_edits import after, door

TURNED = frozenset({"outline", "zone", "points", "at"})
SAMPLES = ("basement", "double-garage", "single-garage", "upstairs-room")


def sample(key: str) -> Plan:
    return load((folder("sample_rooms") / f"{key}.json").read_bytes())


def models(model: type[BaseModel], seen: set[type[BaseModel]]) -> Iterator[type[BaseModel]]:
    """Every model that a document may hold."""
    if model in seen:
        return
    seen.add(model)
    yield model
    for field in model.model_fields.values():
        stack: list[Any] = [field.annotation]
        while stack:
            here = stack.pop()
            if isinstance(here, type) and issubclass(here, BaseModel):
                yield from models(here, seen)
            stack += get_args(here)


def test_every_place_of_a_document_is_one_that_turns() -> None:
    point = get_args(Point)
    for model in models(Plan, set()):
        for name, field in model.model_fields.items():
            if get_args(field.annotation) == point or point in [
                get_args(inner) for inner in get_args(field.annotation)
            ]:
                assert name in TURNED, f"{model.__name__}.{name}"
        assert ("x_mm" in model.model_fields) == ("y_mm" in model.model_fields)


@pytest.mark.parametrize("key", SAMPLES)
def test_four_quarters_are_none_and_one_changes_no_verdict(key: str) -> None:
    plan = turned_by_hand(sample(key), 0)
    once = turned_by_hand(plan, 1)
    assert turned_plan(once, 3) == plan
    assert once.room.corners != plan.room.corners
    # the words too: left and right are as one looks in from the door, the walls have its names
    seen = ", seen from the door"

    def said(of: Plan) -> set[tuple[str, str]]:
        return {(s.key, s.sentence.replace(seen, "")) for s in judge(of)}

    assert said(once) == said(plan)


def test_the_door_is_drawn_below_whichever_wall_it_is_in() -> None:
    for wall in ("back", "right", "front", "left"):
        room = make_room(5000, 4000, openings=(door(wall=wall),))
        plan = door_below(Plan(name="Room", room=room))
        down = [y for _, y in plan.room.wall_ends(wall)]
        assert down[0] == down[1] == max(y for _, y in plan.room.corners)
        assert wall_names(plan).count("the door wall") == 1
        assert {name for name in wall_names(plan) if name != "the door wall"} == {
            "the back wall",
            "the left wall",
            "the right wall",
        }


def test_a_door_that_comes_later_turns_a_new_plan_and_no_old_one() -> None:
    fields = {"wall": "left", "kind": "roller", "offset": "500", "width": "2.40", "height": "2.10"}
    old = Plan(name="Room", room=make_room(5000, 4000))
    assert after(old, "add-opening", **fields).room.corners == old.room.corners
    new = after(old.model_copy(update={"drawn": "door-below"}), "add-opening", **fields)
    assert new.quarter_turns == 3
    assert {y for _, y in new.room.wall_ends("left")} == {max(y for _, y in new.room.corners)}
    # turned by hand it stays as somebody wants to see it
    by_hand = after(new, "turn", way="right")
    assert (by_hand.drawn, by_hand.quarter_turns) == ("as-turned", 0)
    assert after(by_hand, "turn", way="door").room.corners == new.room.corners
    assert edit(new, "turn", {"way": "door"}) is None


def test_directions_are_those_of_somebody_who_looks_in_from_the_door() -> None:
    room = make_room(5000, 4000, openings=(door(wall="left", kind="roller", width_mm=2400),))
    plan = turned_by_hand(make_plan(room=room), 0)
    # the door is drawn on the left: who looks in sees what is drawn below at the right hand
    words = front_of(plan).words(0, 270)
    assert words[0] == (270, "right, seen from the door")
    assert front_of(plan).words(-120, 0)[1] == (120, "towards the garage door")
    assert front_of(plan).words(300, 0)[1] == (300, "to the back")
    boiler = place("boiler", 4800, 2000, 90)
    far = plan.model_copy(update={"pieces": (boiler,)})
    assert front_of(far).words(300, 0)[1] == (300, "to the boiler wall")
    below = door_below(plan)
    assert front_of(below).words(270, 0)[0] == (270, "right")
    # so the card of a piece measures "from left" from the upper edge of the drawing
    around = {"left": "back", "right": "front", "back": "right", "front": "left"}
    assert sides_on_paper(plan) == around
    assert sides_on_paper(below) == {side: side for side in around}
    assert (
        Pose(x_mm=1, y_mm=2, angle_deg=350)
        == turned_plan(make_plan(place("boiler", 2, -1, 260), room=room), 1).pieces[0].pose
    )
