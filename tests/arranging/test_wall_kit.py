"""What is made for a wall hangs on one in every layout, or there is none."""

import pytest

from app.arranging.problem import Problem, Task
from app.arranging.search import Search
from app.checks.run import run
from app.model.plan import Plan
from app.model.room import Opening
from app.scene.build import build_scene
from tests.arranging.test_search import searched
from tests.builders import SIDES, make_plan, make_room, place

DEEP = 3000


def plan_with(y: float, *openings: Opening, stays: bool = False) -> Plan:
    """Wall bars with their back so far off the back wall, and a box to move as well."""
    half = build_scene(make_plan(place("wall-bars", 1500, 1500))).order[0].extent.depth_mm / 2
    bars = place("wall-bars", 1500, y + half, piece_id="bars", stays=stays)
    room = make_room(DEEP, DEEP, 2600, openings=openings)
    return make_plan(bars, place("jump-box", 2200, 2200, piece_id="box"), room=room)


def windows() -> list[Opening]:
    """A window in every wall that leaves 100 beside it."""
    return [
        Opening(
            id=f"window-{wall}",
            wall=wall,
            kind="window",
            offset_mm=100,
            width_mm=DEEP - 200,
            height_mm=1600,
            sill_mm=600,
        )
        for wall in SIDES
    ]


def whole(search: Search) -> list[float]:
    """How far off the nearest wall the bars hang in each layout without a stop, by hand, mm."""
    off = []
    for one in search.layouts.every:
        if not one.stops:
            placed = search.problem.at(one.poses).placed["bars"]
            x0, y0, x1, y1 = placed.footprint.bounds
            off.append(min(x0, y0, DEEP - x1, DEEP - y1))
    return off


def test_layouts_hang_it_on_a_wall() -> None:
    plan = plan_with(900)
    problem = Problem(Task(plan))
    assert [snag.pieces for snag in problem.stops(run(problem.as_is))] == [("bars",)]
    off = whole(searched(plan, 12))
    assert off
    assert max(off) == pytest.approx(0, abs=1)


def test_where_no_wall_carries_it_no_layout_is_without_a_stop() -> None:
    assert whole(searched(plan_with(900, *windows()), 25)) == []


def test_what_hangs_on_its_wall_and_what_stays_in_mid_air_are_no_stop_to_be_mended() -> None:
    for plan in (plan_with(0), plan_with(900, stays=True)):
        problem = Problem(Task(plan))
        assert problem.stops(run(problem.as_is)) == []
