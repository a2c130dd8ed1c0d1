"""Ways out and offers of a plan in feet, told and made in what a tape in inches shows."""

from __future__ import annotations

from app.arrange.offer import fits
from app.arrange.ways_out import remedies
from app.changes.commands import apply
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import found, make_plan, make_room, place


def in_feet(plan: Plan) -> Plan:
    return Plan.model_validate(plan.model_dump() | {"units": "feet"})


def test_a_move_is_told_and_made_in_half_inches() -> None:
    # 118 mm deep in the wall: 9.3 half inches, so ten of them, 127 mm
    plan = in_feet(make_plan(place("jump-box", 132, 2500)))
    (snag,) = found(plan, "outside")
    remedy = remedies(build_scene(plan), [snag])[snag.key]
    assert remedy.sentence == 'Move the jump box 5" right.'
    (command,) = remedy.commands
    assert command.says == remedy.sentence
    assert apply(plan, command).piece("jump-box").pose.x_mm == 259


def test_the_same_move_in_millimetres() -> None:
    plan = make_plan(place("jump-box", 132, 2500))
    (snag,) = found(plan, "outside")
    assert remedies(build_scene(plan), [snag])[snag.key].sentence == "Move the jump box 120 right."


def test_an_offer_in_feet() -> None:
    scene = build_scene(in_feet(make_plan(room=make_room(height=2400))))
    # 100 and 2400 mm: 3.937 and 94.488 in
    too_high = fits(scene, 500, 500, 2500)
    assert too_high.sentence == 'It is 3 15/16" too high: 7\' 10 1/2" is the tallest here.'
    # 400 mm: 15.748 in
    assert fits(scene, 500, 500, 2000).sentence == (
        "It fits, with nothing in its way; 1' 3 3/4\" are left above it."
    )
    # 9000 mm: 354.33 in
    assert fits(scene, 9000, 9000, 2000).sentence == (
        "There is no free floor of 29' 6 5/16\" x 29' 6 5/16\" for it here."
    )
