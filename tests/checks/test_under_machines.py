"""What stands under a machine that is used. Common practice, no source.

A rower is 600 x 2450 with its rail 250 to 380 over the floor and its seat at 470 (its own row): a
step of 150 goes under both and meets nothing.
"""

import numpy as np
import pytest

from app.checks.run import run
from app.library.kit import kit_types
from app.model.kit import Piece
from app.model.plan import Plan
from app.model.situations import OUT
from app.placing.core import Core
from app.scene.build import build_scene
from tests.builders import (
    column,
    found,
    make_person,
    make_plan,
    make_room,
    place,
    rectangle,
    turned_plan,
)
from tests.placing.by_place import decided_by_place

CODE = "under-machine"
TURNS = [0, 90, 31]
THICK_MM = 30.0
RIDDEN = sorted(key for key, kit in kit_types().items() if kit.takes_floor)


def admitted(plan: Plan, root: str) -> bool:
    """Whether the core lets a station stand where it does; the judge says the same of stops."""
    scene = build_scene(plan)
    core, at = Core.of(scene), scene.placed[root]
    points = np.array([at.at])
    free = bool(core.admits(root, at.pose.angle_deg, points, core.layout(core.free))[0])
    assert free == (not any(map(decided_by_place, run(scene, full=False))))
    return free


def test_a_step_under_the_rail_of_a_rower_is_a_stop_and_the_only_row_of_the_two() -> None:
    plan = make_plan(place("rower"), place("step", 2500, 2700), people=[make_person()])
    (snag,) = found(plan, CODE)
    assert (snag.severity, snag.pieces) == ("stop", ("step", "rower"))
    assert snag.sentence.startswith("Step reaches ")
    assert snag.sentence.endswith(" under the rower, where its user moves. Keep that floor free.")
    assert found(plan, "clash") == []
    assert [s.code for s in run(build_scene(plan)) if {"step", "rower"} == {*s.pieces}] == [CODE]


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize("root", ["rower", "other-thing"])
@pytest.mark.parametrize(("in_mm", "free"), [(0, True), (2, False)])
def test_beside_the_rail_the_floor_is_taken_as_far_as_the_feet_reach(
    root: str, in_mm: float, free: bool, turn: float
) -> None:
    """The hull goes from the foot at the back, 600 wide, to the one in front, 360 wide."""
    # 60 of depth at the back corner and 10 off the front: the line between both, 2320 apart
    slope = np.degrees(np.arctan2((600 - 360) / 2, 2450 - 60 - 10))
    middle = np.array([(300 + 180) / 2, (-1225 + 60 + 1225 - 10) / 2])
    out = np.array([np.cos(np.radians(slope)), np.sin(np.radians(slope))])
    x, y = np.array([4000, 4000]) + middle + out * (100 - in_mm)
    box = place("other-thing", x, y, slope, width=200, depth=300, height=300)
    plan = make_plan(place("rower", 4000, 4000), box, room=make_room(8000, 8000, 2600))
    assert found(plan, "clash") == []
    assert admitted(turned_plan(plan, turn), root) == free


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize("kit", RIDDEN)
def test_each_machine_that_somebody_moves_on_owns_its_floor(kit: str, turn: float) -> None:
    """A box in the very middle of it, and the same box beyond it."""
    for y, count in ((2500, 1), (2500 + kit_types()[kit].depth_mm / 2 + 200, 0)):
        box = place("other-thing", 2500, y, width=60, depth=60, height=55)
        plan = turned_plan(make_plan(place(kit), box), turn)
        assert len([*found(plan, CODE), *found(plan, "clash")]) == count


@pytest.mark.parametrize(("high", "count"), [(50, 0), (51, 1)])
def test_what_is_low_enough_to_step_over_lies_under_it_as_a_mat_does(
    high: float, count: int
) -> None:
    mat = place("other-thing", 2500, 2700, width=60, depth=60, height=high)
    assert len(found(make_plan(place("rower"), mat), CODE)) == count
    assert found(make_plan(place("rower"), place("mat-space", 2500, 2700)), CODE) == []


@pytest.mark.parametrize(("low", "count"), [(471, 0), (468, 1)])
def test_what_hangs_higher_than_its_seat_is_not_under_it(low: float, count: int) -> None:
    """Its seat is at 470; beside the seat and the rail nothing else is met."""
    kit = kit_types()["radiant-panel"]
    panel = place("radiant-panel", 2300, 2700, width=60, depth=60, height=low + THICK_MM)
    plan = make_plan(place("rower"), panel)
    shape = build_scene(plan).placed["radiant-panel"].shape
    assert (float(shape.low_mm.min()), kit.fixing) == (low, "ceiling")
    assert len(found(plan, CODE)) == count


@pytest.mark.parametrize("turn", TURNS)
def test_a_column_under_it_is_named(turn: float) -> None:
    there = column(rectangle(2650, 2700, 2700, 2760))
    plan = make_plan(place("rower"), room=make_room(columns=[there]))
    (snag,) = found(turned_plan(plan, turn), CODE)
    assert (snag.severity, snag.pieces, snag.meets) == ("stop", ("rower",), "column")
    assert not admitted(turned_plan(plan, turn), "rower")


def test_put_away_it_takes_no_more_than_it_is() -> None:
    for state in ("stood", OUT):
        stood = Piece.model_validate({**place("rower").model_dump(), "state": state})
        assert found(make_plan(stood, place("step", 2500, 3300)), CODE) == []


def test_what_runs_into_a_part_of_it_is_told_as_that_alone() -> None:
    plan = make_plan(place("rower"), place("plate-tree", 2500, 3000))
    assert len(found(plan, "clash")) == 1
    assert found(plan, CODE) == []


def test_two_machines_of_which_each_reaches_under_the_other_are_one_row() -> None:
    """Two rowers head to tail: the wide foot of each beside the narrow end of the other."""
    other = place("rower", 2500 + 300 + 185, 2350, 180, piece_id="other")
    plan = make_plan(place("rower"), other)
    assert found(plan, "clash") == []
    (snag,) = found(plan, CODE)
    assert {*snag.pieces} == {"rower", "other"}
    apart = place("rower", 2500 + 300 + 200, 2350, 180, piece_id="other")
    assert found(make_plan(place("rower"), apart), CODE) == []
