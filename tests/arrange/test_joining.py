"""A new bar or bench goes to the rack it is used in, where there is one for it."""

import math

import pytest

from app.arrange.joining import joined
from app.changes.commands import adds, apply
from app.checks.bars import rest_pose
from app.checks.run import run
from app.library.kit import kit_types
from app.model.kit import Piece, Pose
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place

RACK = place("full-rack", 2500, 1500, 90, piece_id="rack")
SECOND = place("mid-rack", 2500, 4000, piece_id="second")


def with_it(plan: Plan, type_key: str, chosen: str | None = None) -> Piece | None:
    way = joined(build_scene(plan), type_key, chosen)
    if way is None:
        return None
    return Piece(id="new", type=type_key, pose=way.pose, carried_by=way.host)


def test_a_bar_lies_on_the_hooks_of_the_only_rack() -> None:
    plan = make_plan(RACK)
    bar = with_it(plan, "bar-20")
    assert bar is not None
    assert bar.carried_by == "rack"
    # hooks 37 before the front of 1250, or 112 behind it; turned by 90 its front faces left
    assert bar.pose.y_mm == pytest.approx(1500)
    assert any(bar.pose.x_mm == pytest.approx(x) for x in (2500 - 662, 2500 - 513))
    assert not [s for s in run(build_scene(apply(plan, adds([bar])))) if s.code.startswith("bar-")]


def test_a_bench_stands_at_its_pressing_place_turned_to_the_front() -> None:
    bench = with_it(make_plan(place("full-rack", 2500, 1500, piece_id="rack")), "flat-bench")
    assert bench is not None
    # the starter sets place it 130 before the middle of the rack, its foot to the front
    assert (bench.carried_by, bench.pose) == ("rack", Pose(x_mm=2500, y_mm=1630, angle_deg=180))


def test_of_two_racks_only_a_chosen_one_is_taken() -> None:
    room = make_room(5000, 6000)
    plan = make_plan(RACK, SECOND, room=room)
    assert with_it(plan, "bar-20") is None
    chosen = with_it(plan, "bar-20", "second")
    assert chosen is not None
    assert chosen.carried_by == "second"
    # the chosen piece may be what lies in a rack: then it is that rack, unless it has a bar
    laid = place("bar-20", 2500, 4700, piece_id="bar", carried_by="second")
    one_left = with_it(make_plan(RACK, SECOND, laid, room=room), "bar-20", "bar")
    assert one_left is not None
    assert one_left.carried_by == "rack"


def test_what_falls_off_what_is_taken_and_other_kit_stand_for_themselves() -> None:
    assert with_it(make_plan(RACK), "curl-bar") is None
    assert with_it(make_plan(RACK), "plate-tree") is None
    assert with_it(make_plan(), "bar-20") is None
    hung = place("bar-20", 1838, 1500, 90, piece_id="bar", carried_by="rack")
    assert with_it(make_plan(RACK, hung), "bar-20") is None


@pytest.mark.parametrize("angle_deg", [0, 37, 180])
@pytest.mark.parametrize(
    "key", [key for key, kit in kit_types().items() if kit.rests and kit.group == "Racks"]
)
def test_whoever_lies_on_the_bench_has_the_bar_over_the_eyes(key: str, angle_deg: float) -> None:
    # eyes lie some 100 to 450 mm from the head end of a bench: common practice, no source
    plan = make_plan(place(key, 2500, 3000, angle_deg, piece_id="rack"), room=make_room(5000, 6000))
    bench = with_it(plan, "flat-bench")
    rack = kit_types()[key]
    if not any("bench" in use.needs for use in rack.uses):
        assert bench is None
        return
    assert bench is not None
    host = build_scene(plan).placed["rack"]
    hooks = [rest_pose(host, rest) for rest in rack.rests]
    turned = math.radians(bench.pose.angle_deg)
    from_head_mm = [
        kit_types()["flat-bench"].depth_mm / 2
        + (y - bench.pose.y_mm) * math.cos(turned)
        - (x - bench.pose.x_mm) * math.sin(turned)
        for x, y, _ in hooks
    ]
    assert any(100 <= one <= 450 for one in from_head_mm), from_head_mm
