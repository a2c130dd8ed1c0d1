"""What hangs overhead where somebody trains.

A heating panel of 30 under the joists, 1.75 m and plates of 450: 1.204 H + 225 + 25 of shoe and
mats of 20 come to 2352; nothing is raised to a panel (common practice, no source).
"""

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st

from app.checks.hung_over import Over, hung_places, lowest_over
from app.checks.hung_over import under as floors_under
from app.checks.snag import Snag
from app.formulas.headroom import demand
from app.library.movements import movements
from app.model.kit import Piece, Pose
from app.model.plan import Plan
from app.placing.core import Core
from app.scene.build import Scene, build_scene
from app.scene.tolerance import Geometries
from tests.builders import (
    judge,
    low_thing,
    make_person,
    make_plan,
    make_room,
    place,
    rectangle,
    turned_plan,
)

TURNS = st.integers(0, 359_999).map(lambda thousandths: thousandths / 1000)
OTHERS = sorted({*movements()} - {"standing-press"})


def under(
    top: float, *, at: tuple[float, float] = (2500, 2300), kit: str = "radiant-panel"
) -> Plan:
    """Squat stands with their bar, somebody who presses before them, and kit over the place."""
    return make_plan(
        place("squat-stands", 2500, 1200, piece_id="stands"),
        place("bar-20", 2500, 1274, piece_id="bar", carried_by="stands", plate=450),
        place(kit, *at, piece_id="over", height=top),
        room=make_room(5000, 5000, 2600, covering=20),
        people=[make_person(1750, want=["standing-press"], no=OTHERS)],
    )


def said(plan: Plan) -> list[Snag]:
    return [snag for snag in judge(plan) if snag.code == "headroom"]


def test_what_is_raised_into_a_panel_is_a_stop_that_names_it() -> None:
    (snag,) = said(under(2350))
    assert (snag.severity, snag.measured, snag.required) == ("stop", 2320, 2352)
    assert "hit the radiant panel" in snag.sentence
    assert snag.pieces == ("stands", "over")


@pytest.mark.parametrize(("top", "expected"), [(2380, "stop"), (2383, "care")])
def test_the_least_counts_to_the_millimetre(top: float, expected: str) -> None:
    assert [snag.severity for snag in said(under(top))] == [expected]


@given(turn=TURNS)
def test_a_panel_is_met_at_any_angle_and_none_beside_the_place(turn: float) -> None:
    (snag,) = said(turned_plan(under(2350), turn))
    assert snag.measured == 2320
    assert said(turned_plan(under(2350, at=(2500, 4600)), turn)) == []


def test_what_stands_on_the_floor_is_not_overhead_and_all_that_hangs_is() -> None:
    assert not hung_places(build_scene(under(2140, kit="full-rack")))
    for top in (2020, 2031):
        assert [places[0] for places in hung_places(build_scene(under(top)))] == ["over"]


@pytest.mark.parametrize("on", ["stands", "mat", "step"])
@pytest.mark.parametrize("top", [1000, 2020, 2031])
def test_what_hangs_from_a_ceiling_is_over_everybody_however_low(top: float, on: str) -> None:
    others = [place("mat-space", 1000, 4000, piece_id="mat"), place("step", 4000, 4000)]
    plan = under(top)
    scene = build_scene(make_plan(*plan.pieces, *others, room=plan.room))
    (lowest,) = lowest_over(scene, on, over_all(scene, on))
    assert lowest is not None
    assert lowest[1].piece.id == "over"


def over_all(scene: Scene, on: str) -> dict[Over, Geometries]:
    """All of a room as the floor of somebody on a piece."""
    areas = np.array([shapely.box(0, 0, 5000, 5000)], dtype=object)
    return floors_under(scene.placed[on], areas, [False])


def test_a_panel_that_is_moved_is_judged_where_it_is() -> None:
    scene = build_scene(under(2350))
    away = scene.moved({"over": Pose(x_mm=2500, y_mm=4600)})
    assert hung_places(away) == (("over", 2500, 4600, 0),)
    assert hung_places(scene) == (("over", 2500, 2300, 0),)


def test_of_several_the_lowest_of_another_station_counts() -> None:
    # panels 30 thick over one another, the highest first and the own one first of all
    tops = {"a-own": 2100, "b": 2400, "c": 2300, "d": 2350}
    panels = [
        place("radiant-panel", 2500, 2500, piece_id=name, height=top) for name, top in tops.items()
    ]
    scene = build_scene(make_plan(*panels))
    here, beside = shapely.box(2400, 2400, 2600, 2600), shapely.box(100, 100, 200, 200)
    areas = np.array([here, beside], dtype=object)
    lowest, none = lowest_over(scene, "a-own", {"all": areas})
    assert none is None
    assert lowest is not None
    assert (lowest[0], lowest[1].piece.id) == (2300 - 30, "c")
    (own, _) = lowest_over(scene, "c", {"all": areas})
    assert own is not None
    assert (own[0], own[1].piece.id) == (2100 - 30, "a-own")


@pytest.mark.parametrize("turn", [0, 37])
@pytest.mark.parametrize(("over", "count"), [(0.0, 0), (-2.0, 1)])
def test_who_steps_up_under_what_is_on_a_wall_hits_it(over: float, count: int, turn: float) -> None:
    """The grip of a wall bar, 36 thick and its front 600 off the wall, over a step's back edge."""
    step = place("step", 2500, 760, piece_id="step", depth=400)
    who = make_person(1750, want=["step-up"])
    least = demand("step-up", 1750, deck_mm=build_scene(make_plan(step)).order[0].extent.height_mm)
    bar = place("pull-up-bar-wall", 2500, 300, piece_id="bar", height=least.least_mm + 36 + over)
    plan = turned_plan(make_plan(step, bar, people=[who]), turn)
    assert [s.severity for s in said(plan) if s.severity == "stop"] == ["stop"] * count
    for snag in said(plan):
        assert snag.severity == "care" or snag.pieces == ("step", "bar")
    for root in ("step", "bar"):
        core = Core.of(build_scene(plan))
        at = core.scene.placed[root]
        there = np.array([at.at])
        free = core.admits(root, at.pose.angle_deg, there, core.layout(core.free))
        assert free.tolist() == [not count]


@pytest.mark.parametrize("turn", [0, 37])
@pytest.mark.parametrize(
    ("back", "bag_at", "stops"),
    # a bag over the floor before the step; behind it a wall 100 off, a duct at 1700, or nothing
    [("wall", 800, 1), ("wall", 1135, 0), ("duct", 2800, 1), ("duct", 3135, 0), ("free", 2800, 0)],
)
def test_onto_a_step_one_steps_from_the_side_over_which_nothing_hangs(
    back: str, bag_at: float, stops: int, turn: float
) -> None:
    y = 300 if back == "wall" else 2300
    step = place("step", 2500, y, piece_id="step", depth=400)
    bag = place("hung-bag", 2500, bag_at, piece_id="bag")
    ducts = [low_thing(rectangle(0, 0, 5000, 2000), 1700, "duct")] if back == "duct" else []
    room = make_room(low_things=ducts)
    plan = turned_plan(
        make_plan(step, bag, room=room, people=[make_person(1750, want=["step-up"])]), turn
    )
    core = Core.of(build_scene(plan))
    found = [s for s in judge(plan) if s.movement == "step-up" and s.severity == "stop"]
    assert len(found) == stops
    for root in ("step", "bag"):
        at = core.scene.placed[root]
        free = core.admits(root, at.pose.angle_deg, np.array([at.at]), core.layout(core.free))
        assert free.tolist() == [not stops]


def test_what_is_on_a_wall_hangs_over_nobody_who_lies_beside_it_nor_over_the_thin() -> None:
    boiler = place("boiler", 2500, 175, piece_id="boiler", stays=True)
    beside = place("step", 2500, 175 + 175 + 200 + 5, piece_id="step", depth=400)
    under_it = place("step", 2500, 200, piece_id="step", depth=400)
    switch = place("consumer-unit", 2500, 60, piece_id="unit", stays=True)
    mat = place("mat-space", 2500, 700, piece_id="mat")
    who = [make_person(1750, want=["step-up", "floor-work"])]
    for pieces, count in (
        ((boiler, beside), 0), ((boiler, under_it), 1), ((switch, under_it), 0), ((boiler, mat), 0)
    ):  # fmt: skip
        stops = [s for s in said(make_plan(*pieces, people=who)) if s.severity == "stop"]
        assert len(stops) == count, pieces


# How far from its nose the head of somebody on a machine is at its nearest, and how low a thing is
# that hits it there and does not stand on the machine: 300 off it is the handlebar, 400 the fan
# alone, 500 are the foot plates of a rower, 250 a console (common practice, no source).
RIDDEN = [
    ("bike", "bike", 300, 1500),
    ("fan-bike", "bike", 400, 1500),
    ("rower", "machine-row", 500, 1300),
    ("stair-machine", "stair-machine", 250, 2100),
]


def severities(plan: Plan) -> list[str]:
    return [snag.severity for snag in said(plan)]


@pytest.mark.parametrize("turn", [0, 37])
@pytest.mark.parametrize(("kit", "movement", "nose", "low"), RIDDEN)
def test_a_beam_over_the_nose_of_a_machine_alone_is_over_nobody_s_head(
    kit: str, movement: str, nose: float, low: float, turn: float
) -> None:
    who = make_person(1750, want=[movement])
    machine = place(kit, 2500, 2500, piece_id="machine")
    deep = build_scene(make_plan(machine)).order[0].extent.depth_mm
    ends = 2500 - deep / 2, 2500 + deep / 2
    for back, front, expected in (
        (0, ends[0] + nose - 2, []),
        (0, ends[0] + nose + 2, ["stop"]),
        # the body is over the other end
        (ends[1] - 300, 5000, ["stop"]),
    ):
        beam = low_thing(rectangle(0, back, 5000, front), low)
        plan = make_plan(machine, room=make_room(low_things=[beam]), people=[who])
        assert severities(turned_plan(plan, turn)) == expected, (back, front)


@pytest.mark.parametrize("turn", [0, 37])
@pytest.mark.parametrize("angle", [0, 180])
@pytest.mark.parametrize(("kit", "movement", "nose", "low"), RIDDEN)
def test_a_machine_stands_with_its_nose_under_a_bar_on_a_wall_and_not_with_its_saddle(
    kit: str, movement: str, nose: float, low: float, angle: float, turn: float
) -> None:
    """The grip is 36 thick, its front 600 off the wall; the core tells the same as the judge."""
    who = make_person(1750, want=[movement])
    bar = place("pull-up-bar-wall", 2500, 300, piece_id="bar", height=low + 36)
    deep = build_scene(make_plan(place(kit, 2500, 2500))).order[0].extent.depth_mm
    for under in (nose - 2, nose + 2):
        machine = place(kit, 2500, 600 - under + deep / 2, angle, piece_id="machine")
        plan = turned_plan(make_plan(bar, machine, people=[who]), turn)
        hits = angle == 180 or under > nose
        assert severities(plan) == ["stop"] * hits, under
        for root in ("machine", "bar"):
            core = Core.of(build_scene(plan))
            at = core.scene.placed[root]
            free = core.admits(root, at.pose.angle_deg, np.array([at.at]), core.layout(core.free))
            assert bool(free[0]) == (not hits), (root, under)


@pytest.mark.parametrize(
    ("kit", "typed", "low", "words"),
    [
        # rows of the library: a tube of 32 under joists, arms on a wall whose lower edge lies 62
        # under the middle of their bar, rings 30 thick below the grip
        ("pull-up-bar-ceiling", 2100, 2084, "; the middle of its bar is 16 higher."),
        ("pull-up-bar-wall", 2200, 2138, "; the middle of its bar is 62 higher."),
        ("rings", 2100, 2070, "; the middle of their grip is 30 higher."),
        ("radiant-panel", 2120, 2090, "needed."),
    ],
)
@pytest.mark.parametrize("turn", [0, 37])
def test_a_bar_is_typed_to_its_middle_and_met_at_its_underside(
    kit: str, typed: float, low: float, words: str, turn: float
) -> None:
    if kit == "radiant-panel":
        over = place(kit, 2500, 2300, piece_id="over", height=typed)
    else:
        hung = place(kit, 2500, 2300, piece_id="over").model_dump(mode="json")
        over = Piece.model_validate({**hung, "bar_height_mm": typed})
    at = (2120, 2620) if kit == "pull-up-bar-wall" else (2500, 2400)
    step = place("step", *at, piece_id="step")
    person = make_person(1950, want=["step-up"])
    plan = make_plan(over, step, room=make_room(5000, 5000, 2600), people=[person])
    rows = [one for one in said(turned_plan(plan, turn)) if one.movement == "step-up"]
    assert [one.measured for one in rows] == [low]
    assert rows[0].sentence.endswith(words)
