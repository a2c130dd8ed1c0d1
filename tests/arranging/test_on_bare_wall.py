"""What is made for a wall hangs across nothing in a layout: common practice, no source."""

import numpy as np
import pytest

from app.arranging.arrange import Answers
from app.arranging.on_bare_wall import BareWallCore, widest_that_hangs
from app.arranging.problem import Problem, Task
from app.checks.hung_across import hung_across_of
from app.checks.run import run
from app.model.plan import Plan
from app.model.room import Opening
from app.scene.build import build_scene
from tests.arranging.test_search import searched
from tests.builders import SIDES, make_plan, make_room, place, turned_plan

WIDE, DEEP = 3000, 4000


def window(wall: str, offset: float, width: float) -> Opening:
    return Opening(
        id=f"window-{wall}",
        wall=wall,
        kind="window",
        offset_mm=offset,
        width_mm=width,
        height_mm=1000,
        sill_mm=900,
    )


def plan_with(*openings: Opening, at: float = 1500, width: float = 1200) -> Plan:
    """A mirror at the back wall, and a box to move as well."""
    mirror = place("mirror", at, 15, piece_id="mirror", width=width)
    box = place("jump-box", 2200, 2200, piece_id="box")
    return make_plan(mirror, box, room=make_room(WIDE, DEEP, 2600, openings=openings))


@pytest.mark.parametrize("turned", [0, 30])
@pytest.mark.parametrize(
    # a window from 1300 to 2300 of the back wall; the mirror is 1200 wide
    ("at", "free"),
    [(699, True), (703, False), (1800, False), (2897, False)],
)
def test_a_place_across_a_window_is_refused_as_the_judge_finds_it(
    at: float, free: bool, turned: float
) -> None:
    scene = build_scene(turned_plan(plan_with(window("back", 1300, 1000), at=at), turned))
    mirror, core = scene.placed["mirror"], BareWallCore(scene)
    assert core.nowhere == frozenset()
    point = np.array([mirror.at])
    across = hung_across_of(scene, mirror)
    assert bool(core.admits("mirror", mirror.pose.angle_deg, point, core.layout())[0]) is free
    assert free or across or at > WIDE - 600


def test_over_or_under_a_window_it_hangs_on_wall() -> None:
    high = window("back", 1300, 1000).model_copy(update={"sill_mm": 2000, "height_mm": 400})
    core = BareWallCore(build_scene(plan_with(high, at=1800)))
    assert core.admits("mirror", 0.0, np.array([(1800.0, 15.0)]), core.layout())[0]


def test_no_layout_hangs_a_mirror_across_a_window() -> None:
    plan = plan_with(window("back", 700, 1600), window("left", 500, 3000))
    problem = Problem(Task(plan))
    assert [snag.pieces for snag in problem.stops(run(problem.as_is))] == [("mirror",)]
    whole = [one for one in searched(plan, 12).layouts.every if not one.stops]
    assert whole
    for one in whole:
        there = problem.at(one.poses)
        assert hung_across_of(there, there.placed["mirror"]) == ()


def windows(beside: float) -> list[Opening]:
    """A window in the middle of every wall that leaves so much on either side of it."""
    long = {"back": WIDE, "front": WIDE, "left": DEEP, "right": DEEP}
    return [window(wall, beside, long[wall] - 2 * beside) for wall in SIDES]


def test_what_no_bare_wall_has_room_for_is_left_out_and_told_with_the_width_that_has_room() -> None:
    # beside the windows are 900: the next size below 1200 in steps of 50 is that
    plan = plan_with(*windows(900))
    problem = Problem(Task(plan))
    assert problem.homeless == {"mirror"}
    assert problem.stops(run(problem.as_is)) == []
    assert widest_that_hangs(plan, "mirror") == 900
    (words,) = Answers(problem).unmended
    assert "no wall has 1200 mm free for it" in words
    assert "One 900 mm wide has a place." in words
    whole = [one for one in searched(plan, 6).layouts.every if not one.stops]
    assert whole
    assert {one.looks.left_out for one in whole} == {("mirror",)}
    # nothing of 600 or more hangs beside windows that leave 500
    assert widest_that_hangs(plan_with(*windows(500)), "mirror") is None


def test_where_few_may_move_it_stays_where_it_hangs() -> None:
    plan = plan_with(*windows(900))
    search = searched(plan, 6, task=Task(plan, moves_at_most=1))
    assert "mirror" in search.problem.free
    assert {one.looks.left_out for one in search.layouts.every} == {()}
