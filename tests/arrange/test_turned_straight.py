"""What lies across is turned before anything is left out or bought: common practice, no source."""

import pytest

from app.arrange.ways_out import ways_out
from app.changes.commands import apply
from app.checks.run import run
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import make_plan, make_room, place


def _mended(plan: Plan, code: str) -> tuple[str, Plan]:
    scene = build_scene(plan)
    before = run(scene)
    snag = next(one for one in before if one.code.startswith(code))
    remedy = ways_out(scene, before).remedies[snag.key]
    for command in remedy.commands:
        plan = apply(plan, command)
    return remedy.sentence, plan


@pytest.mark.parametrize("askew_deg", [90, 60])
def test_a_bench_across_its_rack_is_turned_straight(askew_deg: float) -> None:
    plan = make_plan(
        place("mid-rack", 2500, 900, piece_id="rack", bolted=True),
        place("bar-20", 2500, 1562, piece_id="bar", carried_by="rack"),
        place("adjustable-bench", 2500, 1250, askew_deg, piece_id="bench", carried_by="rack"),
        room=make_room(5000, 5000, height=2600),
    )
    said, mended = _mended(plan, "clash")
    assert said.startswith("Turn the adjustable bench straight in the mid rack.")
    assert not [one for one in run(build_scene(mended)) if one.code.startswith("clash")]


def test_a_bar_that_lies_between_near_walls_is_turned_before_another_one_is_bought() -> None:
    # 2200 in 2400: 100 at each end, 150 at the least; along the room of 4000 there are 900
    bar = place("bar-20", 1200, 2000, piece_id="bar", on_floor=True)
    said, mended = _mended(make_plan(bar, room=make_room(2400, 4000)), "room-")
    assert said.startswith("Turn the bar 20 kg a quarter")
    assert mended.piece("bar").type == "bar-20"
    assert not [one for one in run(build_scene(mended)) if one.severity == "stop"]


def test_no_bar_is_offered_that_the_plates_do_not_go_on() -> None:
    # 2400 x 2400: no turn helps, and a thin bar takes none of the plates with a hole of 50
    bar = place("bar-20", 1200, 1200, piece_id="bar", on_floor=True)
    scene = build_scene(make_plan(bar, room=make_room(2400, 2400)))
    before = run(scene)
    found = ways_out(scene, before)
    assert any(one.severity == "stop" for one in before)
    assert not [one for one in found.remedies.values() if "thin bar" in one.sentence]
