"""What hangs where one stands before a rack: a head in shoes, 25 thick, and 50 to spare.

Common practice, no source; the shoe is that of the register. What hangs under the shoulders of the
shortest grown-up is in the way of a body, and the floor up to it counts.
"""

import numpy as np
import pytest

from app.checks.heads_before import heads_before
from app.checks.run import run
from app.model.kit import Piece
from app.model.plan import Plan
from app.model.room import Opening
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

TUBE_MM = 16
"""Half of the tube of a ceiling pull-up bar: its height is typed to its middle."""


def with_bar(stature: float, under: float, y: float = 2200) -> Plan:
    """A mid rack whose posts end at 1400, and a bar under the ceiling, its underside so high."""
    hung = place("pull-up-bar-ceiling", 2500, y, piece_id="over").model_dump(mode="json")
    return make_plan(
        place("mid-rack", 2500, 775, bolted=True),
        Piece.model_validate({**hung, "bar_height_mm": under + TUBE_MM}),
        room=make_room(5000, 5000),
        people=(make_person(stature, want=("bench-press",)),),
    )


@pytest.mark.parametrize("turn", [0, 33, 90])
@pytest.mark.parametrize(
    ("stature", "under", "count"),
    [(1880, 1953, 1), (1880, 1955, 0), (1600, 1673, 1), (1600, 1675, 0), (1600, 1884, 0)],
)
def test_the_head_of_who_is_there_decides(
    stature: float, under: float, count: int, turn: float
) -> None:
    told = turned_plan(with_bar(stature, under), turn, (300, -200))
    rows = [s for s in found(told, "") if {"mid-rack", "over"} == {*s.pieces}]
    assert [(s.severity, s.measured, s.required) for s in rows] == [
        ("care", under, stature + 75)
    ] * count
    assert all("ceiling pull-up bar hangs at" in row.sentence for row in rows)
    scene = build_scene(told)
    rack = scene.placed["mid-rack"]
    core = Core.of(scene)
    assert core.admits(
        rack.root, rack.pose.angle_deg, np.array([rack.at]), core.layout(["over"])
    ).all()


@pytest.mark.parametrize(("off", "count"), [(-2, 1), (2, 0)])
def test_it_reaches_to_the_end_of_the_room_to_step_out(off: float, count: int) -> None:
    # 1300 before posts that end at 1400
    hung = build_scene(with_bar(1880, 1700)).placed["over"]
    low = hung.shape.low_mm + hung.lift_mm < 1955
    near = min(float(one.bounds[1]) for one in hung.polygons()[low]) - 2200
    plan = with_bar(1880, 1700, 2700 - near + off)
    assert len(list(heads_before(build_scene(plan)))) == count


def test_what_hangs_under_the_shoulders_takes_the_floor() -> None:
    # who is taken for grown up by the register is 1450: a shoulder at 0.818 H (Drillis and Contini)
    shoulder = 0.818 * 1450
    for under, codes in ((shoulder + 2, ["heads-before"]), (shoulder - 2, ["room-"])):
        rows = [s for s in found(with_bar(1880, under), "") if s.pieces == ("mid-rack", "over")]
        assert [s.code[: len(c)] for s, c in zip(rows, codes, strict=True)] == codes


def test_nobody_has_no_height_and_the_floor_counts() -> None:
    plan = with_bar(1880, 1700)
    assert found(plan, "heads-before")
    bare = make_plan(*plan.pieces, room=plan.room)
    assert list(heads_before(build_scene(bare))) == []
    (row,) = (s for s in found(bare, "room-") if s.pieces == ("mid-rack", "over"))
    assert row.severity == "care"


def test_what_is_said_of_the_squat_there_is_said_once() -> None:
    open_room = with_bar(1880, 1800)
    plan = make_plan(
        *open_room.pieces,
        place("bar-20", 2500, 1437, carried_by="mid-rack", plate=450),
        room=open_room.room,
        people=(make_person(1880, want=("squat",)),),
    )
    assert len(list(heads_before(build_scene(plan)))) == 1
    codes = [s.code for s in found(plan, "")]
    assert "stepping-out" in codes
    assert "heads-before" not in codes


def with_beam(under: float, near: float, far: float, **more: float) -> Plan:
    """A mid rack whose posts end at 1400, and a beam from near to far, the room wide."""
    left, right = more.get("left", 0), more.get("right", 5000)
    beam = low_thing(rectangle(left, near, right, far), under)
    return make_plan(
        place("mid-rack", 2500, 775, bolted=True),
        room=make_room(5000, 5000, low_things=(beam,)),
        people=(make_person(1880, want=("bench-press",)),),
    )


@pytest.mark.parametrize("turn", [0, 33, 90])
@pytest.mark.parametrize(("under", "count"), [(1953, 1), (1955, 0), (1000, 1)])
@pytest.mark.parametrize("near", [1400, 1955, 2690])
def test_a_beam_across_is_met_from_the_posts_on(
    near: float, under: float, count: int, turn: float
) -> None:
    plan = with_beam(under, near, near + 150)
    scene = build_scene(turned_plan(plan, turn, (300, -200)))
    rows = list(heads_before(scene))
    assert [(s.severity, s.measured, s.required) for s in rows] == [("care", under, 1955)] * count
    rack = scene.placed["mid-rack"]
    core = Core.of(scene)
    assert core.admits(rack.root, rack.pose.angle_deg, np.array([rack.at]), core.layout()).all()


@pytest.mark.parametrize("turn", [0, 33])
@pytest.mark.parametrize(
    ("near", "far", "left", "right", "count"),
    [
        (1200, 1402, 0, 5000, 1), (1200, 1398, 0, 5000, 0),
        (2698, 2900, 0, 5000, 1), (2702, 2900, 0, 5000, 0),
        # the rack is 1220 wide: from 1890 to 3110
        (1900, 2000, 0, 1892, 1), (1900, 2000, 0, 1888, 0),
        (1900, 2000, 3108, 5000, 1), (1900, 2000, 3112, 5000, 0),
    ],
)  # fmt: skip
def test_it_counts_over_the_floor_to_step_out_alone(
    near: float, far: float, left: float, right: float, count: int, turn: float
) -> None:
    plan = turned_plan(with_beam(1700, near, far, left=left, right=right), turn)
    assert len(list(heads_before(build_scene(plan)))) == count


def test_a_low_ceiling_is_said_of_no_rack() -> None:
    plan = with_beam(1700, 1900, 2000)
    low = make_plan(*plan.pieces, room=make_room(5000, 5000, 1930), people=plan.people)
    assert found(plan, "heads-before")
    assert found(low, "heads-before") == []


def test_what_is_said_of_the_way_to_the_rack_is_said_once() -> None:
    # the beam reaches out of the room to step out: from the door nobody comes there but under it
    plan = with_beam(1700, 2600, 2900)
    door = Opening.model_validate(
        {
            "id": "d",
            "wall": "front",
            "kind": "hinged",
            "offset_mm": 200,
            "width_mm": 900,
            "height_mm": 2000,
        }
    )
    room = make_room(5000, 5000, low_things=plan.room.low_things, openings=(door,))
    told = make_plan(*plan.pieces, room=room, people=plan.people)
    heads = [s.code for s in run(build_scene(told)) if s.code in ("heads-before", "low-over-way")]
    assert len(list(heads_before(build_scene(told)))) == 1
    assert len(heads) == 1
