"""Ways out by two changes of which either alone is refused. Rooms of our own; common practice."""

import pytest

from app.arrange.remedy import Remedy
from app.arrange.ways_out import ways_out
from app.changes.commands import apply
from app.checks.run import run
from app.model.plan import Plan
from app.scene.build import build_scene
from tests.builders import make_person, make_plan, make_room, place, turned_plan


def _remedy(plan: Plan, movement: str) -> Remedy:
    """Return what is offered for the one stop of a plan, which is of a movement."""
    scene = build_scene(plan)
    snags = run(scene)
    (stop,) = (one for one in snags if one.severity == "stop")
    assert stop.movement == movement
    return ways_out(scene, snags).remedies[stop.key]


def _stops_after(plan: Plan, remedy: Remedy) -> list[str]:
    for command in remedy.commands:
        plan = apply(plan, command)
    return [one.who for one in run(build_scene(plan)) if one.severity == "stop"]


@pytest.mark.parametrize("angle", [0.0, 37.0])
@pytest.mark.parametrize(("off_mm", "moves"), [(125, False), (123, True), (10, True)])
def test_a_box_is_laid_on_its_side_and_moved_off_the_wall_in_one_step(
    angle: float, off_mm: float, moves: bool
) -> None:
    """Of 500 x 600, 750 high: on a side 500 high it is 750 wide, 125 more towards the wall.

    1.80 m and 750 need 2550 under 2500; on 500 there is the margin too.
    """
    box = place("jump-box", off_mm + 250, 4000, height=750, piece_id="box")
    people = [make_person(1800, want=["step-up"])]
    plan = turned_plan(make_plan(box, room=make_room(6000, 8000, 2500), people=people), angle)
    remedy = _remedy(plan, "step-up")
    first, _, then = remedy.sentence.partition(": then it is 500 mm high.")
    assert first == "Lay the jump box on its side"
    assert then.startswith(" Move the jump box ") == moves
    assert remedy.clears
    assert remedy.moved == ({"box"} if moves else set())
    assert len(remedy.commands) == 1
    assert not _stops_after(plan, remedy)


@pytest.mark.parametrize("angle", [0.0, 23.0])
@pytest.mark.parametrize(("ceiling_mm", "both"), [(2250, False), (2190, True)])
def test_a_pull_up_bar_goes_lower_and_who_squats_under_it_goes_before_the_posts(
    angle: float, ceiling_mm: float, both: bool
) -> None:
    """1.88 m hangs 97 too low under 2190; lower by that the bar hangs into who squats in there."""
    rack = place("mid-rack", 3000, 1500, piece_id="rack", bolted=True)
    bar = place("bar-20", 3000, 2013, piece_id="bar", carried_by="rack")
    people = [make_person(1880, want=["pull-up", "squat"])]
    room = make_room(6000, 6000, ceiling_mm)
    plan = turned_plan(make_plan(rack, bar, room=room, people=people), angle)
    remedy = _remedy(plan, "pull-up")
    assert "lower in its posts" in remedy.sentence
    front = "Hang the bar on the hooks in front of the mid rack, and squat there with rubber plates"
    assert (front in remedy.sentence) == both
    # nothing catches it there but the floor, and that is said
    assert ("no catches" in remedy.sentence) == both
    assert not _stops_after(plan, remedy)
