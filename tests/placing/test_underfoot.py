"""What the core knows of steps and platforms: places on both sides of a limit, at turned angles.

Each answer is held to the judge's own of the same place.
"""

import numpy as np
import pytest

from app.checks.run import run
from app.formulas.headroom import demand
from app.model.plan import Plan
from app.placing.core import Core
from app.scene.build import build_scene
from tests.builders import place, turned_plan
from tests.checks.test_levels import over_a_drop, stepped
from tests.checks.test_platforms import HIGH_MM, RACK_MM, on_platform
from tests.placing.by_place import decided_by_place

TURNS = [0, 27]


def admitted(plan: Plan, root: str, wanted: bool = False) -> bool:
    """Whether the core lets a station stand where it does; the judge says the same of stops."""
    scene = build_scene(plan)
    core = Core.of(scene, wanted)
    at = scene.placed[root]
    points = np.array([at.at])
    free = bool(core.admits(root, at.pose.angle_deg, points, core.layout(core.free))[0])
    if not wanted:
        assert free == (not any(map(decided_by_place, run(scene, full=False))))
    return free


@pytest.mark.parametrize("turn", TURNS)
def test_a_rack_stands_beside_a_step_and_not_across_it(turn: float) -> None:
    back = build_scene(stepped(1400, 60, "mid-rack")).order[0].footprint.bounds[1]
    for to_y, free in ((back, True), (back + 2, False)):
        assert admitted(turned_plan(stepped(to_y, 60, "mid-rack"), turn), "mid-rack") == free


@pytest.mark.parametrize("turn", TURNS)
def test_a_machine_across_a_step_is_a_care_alone_and_across_a_drop_a_stop(turn: float) -> None:
    machine = "running-machine"
    back = build_scene(stepped(1400, 60, machine)).order[0].footprint.bounds[1]
    low, high = (turned_plan(stepped(back + 2, up, machine), turn) for up in (60, 400))
    assert admitted(low, machine)
    assert not admitted(low, machine, wanted=True)
    assert not admitted(high, machine)


@pytest.mark.parametrize("turn", TURNS)
def test_nothing_stands_where_only_a_drop_leads_out(turn: float) -> None:
    box = place("other-thing", 2500, 700, width=400, depth=400, height=500)
    for wall, free in (("back", True), ("front", False)):
        assert admitted(turned_plan(over_a_drop(600, wall, box), turn), "other-thing") == free


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize("root", ["mid-rack", "platform"])
def test_a_platform_under_a_press_takes_its_height(turn: float, root: str) -> None:
    """Whichever of the two is put to the other; 2 mm less under the ceiling is too low."""
    least = demand("standing-press", 1640, held_mm=225).least_mm + HIGH_MM
    for over, free in ((0.0, True), (-2.0, False)):
        assert admitted(turned_plan(on_platform(least + over), turn), root) == free


@pytest.mark.parametrize("turn", TURNS)
@pytest.mark.parametrize("root", ["mid-rack", "platform"])
def test_a_rack_on_a_platform_is_so_much_taller(turn: float, root: str) -> None:
    for over, free in ((0.0, True), (-2.0, False)):
        plan = on_platform(RACK_MM + HIGH_MM + over, want="squat")
        assert admitted(turned_plan(plan, turn), root) == free


def test_beside_a_platform_nothing_is_higher() -> None:
    """The rack's feet end 1 beyond the platform's edge, and all is as on the floor."""
    plan = on_platform(RACK_MM + 5, y_mm=1400 + 2440 / 2 + 1, want="squat")
    assert admitted(plan, "mid-rack")
    assert admitted(plan, "platform")
