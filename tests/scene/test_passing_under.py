"""What the ways on foot pass under, beside each way drawn as one line and asked by itself."""

import sys
from types import FrameType

import pytest
import shapely
from shapely import LineString, Polygon

from app.checks.run import run
from app.model.plan import Plan
from app.scene.build import build_scene
from app.scene.routes import Routes, routes
from app.scene.routes_graph import nodes_at
from app.scene.routes_lines import pass_under, track
from tests.benchmarks.crowd import DOOR, crowd
from tests.builders import low_thing, make_person, make_plan, make_room, rectangle


def _hall(count: int, bottom: float = 1800) -> Plan:
    """A hall of kit with beams across it every three metres."""
    pieces = crowd(count).pieces
    side = 1300 * (max(p.pose.x_mm for p in pieces) // 1300 + 1)
    beams = [
        low_thing(rectangle(0, y, side, y + 100), bottom, f"beam-{y}")
        for y in range(700, int(side), 1500)
    ]
    room = make_room(side, side, openings=[DOOR], low_things=beams)
    return make_plan(*pieces, room=room, people=(make_person(1880, want=("squat",)),))


def _alone(paths: Routes, stand: int, areas: list[Polygon]) -> frozenset[int]:
    """What one way meets, as one line; there is one way out."""
    drawn = track(paths, stand, 0)
    if drawn is None:
        return frozenset()
    met = shapely.intersects(LineString(drawn.points), areas)
    return frozenset(i for i, meets in enumerate(met) if meets)


@pytest.mark.parametrize("count", [4, 12, 30])
def test_ways_that_run_together_meet_what_each_meets_by_itself(count: int) -> None:
    plan = _hall(count)
    paths = routes(build_scene(plan))
    areas = [Polygon(thing.outline) for thing in plan.room.low_things]
    stands = range(len(paths.stands))
    alone = tuple(_alone(paths, stand, areas) for stand in stands)
    assert pass_under(paths, stands, areas) == alone
    assert len(set(alone)) > 1


def test_the_places_where_people_stand_are_looked_up_once_however_many_beams_there_are() -> None:
    scene = build_scene(_hall(30))
    looked_up = 0

    def count(frame: FrameType, event: str, _: object) -> None:
        nonlocal looked_up
        looked_up += event == "call" and frame.f_code is nodes_at.__code__

    before = sys.getprofile()
    sys.setprofile(count)
    try:
        snags = run(scene)
    finally:
        sys.setprofile(before)
    assert any(snag.code == "low-over-way" for snag in snags)
    # for all stands, and for both ends of each way from a plate store
    stores = sum(piece.type == "plate-tree" for piece in scene.plan.pieces)
    assert looked_up <= 1 + 2 * stores


def test_what_is_reached_without_passing_under_lies_between_all_and_nothing() -> None:
    plan = _hall(12)
    paths, least = routes(build_scene(plan)), 450.0
    side = 10_000.0
    wide = tuple(paths.best(i).width_mm >= least - 1 for i in range(len(paths.stands)))
    assert paths.reached_avoiding([], least) == wide
    everywhere = Polygon(rectangle(-side, -side, side, side))
    assert not any(paths.reached_avoiding([everywhere], least))
    beams = [Polygon(thing.outline) for thing in plan.room.low_things]
    fewer = paths.reached_avoiding(beams, least)
    # whose widest way meets none of them is reached by that very way
    free = pass_under(paths, range(len(paths.stands)), beams)
    for i, under in enumerate(free):
        assert fewer[i] <= wide[i]
        assert fewer[i] or under or not wide[i]
    assert any(fewer) != all(fewer)
