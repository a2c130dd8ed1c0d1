"""The lid of a freezer comes to 1500, 80 deep at the back: nothing may be in its way."""

from __future__ import annotations

import numpy as np
import pytest

from app.arrange.ways_out import remedies
from app.changes.commands import apply
from app.checks.run import run
from app.model.plan import Override
from app.placing.core import Core
from app.scene.build import build_scene
from tests.builders import (
    found,
    low_thing,
    make_person,
    make_plan,
    make_room,
    place,
    rectangle,
    turned_plan,
)

CODE = "opened-"
FREEZER = place("chest-freezer", 2500, 2500)


@pytest.mark.parametrize("angle", [0, 23])
@pytest.mark.parametrize(
    ("height", "measured"), [(1500, None), (1499.5, None), (1499, 1499), (1498, 1498)]
)
def test_a_lid_under_the_ceiling(height: float, measured: int | None, angle: float) -> None:
    rows = found(turned_plan(make_plan(FREEZER, room=make_room(height=height)), angle), CODE)
    assert [(s.severity, s.measured, s.required) for s in rows] == (
        [] if measured is None else [("care", measured, 1500)]
    )


def test_it_says_what_is_over_it() -> None:
    room = make_room(low_things=[low_thing(rectangle(2000, 2100, 3000, 2300), 1400)])
    (snag,) = found(make_plan(FREEZER, room=room), CODE)
    assert snag.sentence == "With its lid up it comes to 1500; the beam is at 1400 mm over it."
    assert snag.pieces == ("chest-freezer",)
    assert snag.names == ("Chest freezer", "with its lid up")
    # a beam over its front is over no lid, and over a lid that is higher than it no matter
    front = make_room(low_things=[low_thing(rectangle(2000, 2600, 3000, 2800), 1400)])
    assert found(make_plan(FREEZER, room=front), CODE) == []
    drawn = FREEZER.model_copy(update={"state": "lid-up"})
    assert found(make_plan(drawn, room=room), CODE) == []


def test_a_boiler_over_the_lid_is_named_with_its_piece() -> None:
    # 1800 high and 750 long: its underside is at 1050
    boiler = place("boiler", 2500, 2250, stays=True)
    (snag,) = found(make_plan(FREEZER, boiler), CODE)
    assert (snag.measured, snag.pieces) == (1050, ("chest-freezer", "boiler"))
    assert "the boiler is at 1050 mm over it" in snag.sentence
    # beside the lid it is in nobody's way
    beside = place("boiler", 2500, 2000, stays=True)
    assert found(make_plan(FREEZER, beside), CODE) == []


def test_what_does_not_open_is_not_judged() -> None:
    washer = place("washing-machine", 2500, 2500)
    assert found(make_plan(washer, room=make_room(height=900)), CODE) == []


@pytest.mark.parametrize("angle", [0, 23])
@pytest.mark.parametrize(("bottom", "count"), [(1345, 0), (1338, 1)])
def test_a_lid_is_swung_past_what_hangs_over_its_front(
    bottom: float, count: int, angle: float
) -> None:
    """A pipe 420 before the hinge of a lid 640 deep, 860 up: 860 + sqrt(640^2 - 420^2) = 1342.9."""
    pipe = low_thing(rectangle(2000, 2180 + 420, 3000, 2180 + 500), bottom)
    plan = make_plan(FREEZER, room=make_room(low_things=[pipe]))
    rows = found(turned_plan(plan, angle), CODE)
    assert [s.severity for s in rows] == ["care"] * count
    for row in rows:
        assert row.sentence.startswith("On its way open it swings up to 134")


def test_a_deeper_lid_rises_higher() -> None:
    """As high again as it is deep: 860 + 750."""
    deep = FREEZER.model_copy(update={"depth_mm": 750.0})
    (snag,) = found(make_plan(deep, room=make_room(height=1605)), CODE)
    assert snag.required == 860 + 750
    assert not found(make_plan(deep, room=make_room(height=1610)), CODE)


def test_a_lid_that_is_opened_less_far_asks_for_less() -> None:
    """At 60 degrees its edge is 640 sin 60 = 554 up, over 320 before the hinge."""
    less = Override(id="lid.open-deg", value=60, reason="a stay holds it")
    for height, count in ((860 + 556, 0), (860 + 552, 1)):
        plan = make_plan(FREEZER, room=make_room(height=height))
        assert len(found(plan, CODE)) == 1
        assert len(found(plan.model_copy(update={"overrides": (less,)}), CODE)) == count


def test_a_lid_moves_out_from_under_a_pipe() -> None:
    pipe = low_thing(rectangle(0, 0, 5000, 200), 1450)
    plan = make_plan(
        place("chest-freezer", 2500, 350), room=make_room(low_things=[pipe]), people=[make_person()]
    )
    scene = build_scene(plan)
    (snag,) = (s for s in run(scene) if s.code.startswith(CODE))
    remedy = remedies(scene, [snag])[snag.key]
    for command in remedy.commands:
        plan = apply(plan, command)
    assert not found(plan, CODE)


@pytest.mark.parametrize("angle", [0, 37])
def test_the_core_knows_where_a_lid_does_not_open(angle: float) -> None:
    """A beam at 1450 as far as 200 off the back wall: with its back there the lid passes it."""
    beam = low_thing(rectangle(0, 0, 5000, 200), 1450)
    for y, free in ((200 + 320, True), (198 + 320, False), (350, False)):
        freezer = place("chest-freezer", 2500, y, piece_id="lid")
        plan = turned_plan(make_plan(freezer, room=make_room(low_things=[beam])), angle)
        scene = build_scene(plan)
        at = scene.placed["lid"]
        there = np.array([at.at])
        for wanted in (True, False):
            core = Core.of(scene, wanted)
            admitted = core.admits("lid", at.pose.angle_deg, there, core.layout())
            assert admitted.tolist() == [free or not wanted]
        assert bool(found(plan, CODE)) != free


def test_the_core_knows_a_lid_under_a_boiler() -> None:
    boiler = place("boiler", 2500, 175, piece_id="boiler", stays=True)
    plan = make_plan(place("chest-freezer", 2500, 2500, piece_id="lid"), boiler)
    core = Core.of(build_scene(plan), wanted=True)
    points = np.array([(2500, 320), (1000, 320)])
    assert core.admits("lid", 0, points, core.layout()).tolist() == [False, True]
