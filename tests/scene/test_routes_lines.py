"""Ways on foot as lines: a room of 5 x 5 m, shelves across it with one gap known by hand."""

from itertools import pairwise

import numpy as np
import pytest
from shapely import LineString, Point, box

from app.model.plan import Plan
from app.model.room import Opening
from app.scene.build import build_scene
from app.scene.routes import Routes, routes
from app.scene.routes_graph import nodes_at
from app.scene.routes_lines import Track, pass_under, track
from tests.builders import make_plan, make_room, place


def door(wall: str, offset_mm: float, width_mm: float = 900) -> Opening:
    return Opening(
        id=f"door-{wall}", wall=wall, kind="hinged", offset_mm=offset_mm, width_mm=width_mm,
        height_mm=2000, swing="out",
    )  # fmt: skip


# Along the front wall offsets run from the right: the door lies from 2100 to 3000.
FRONT = door("front", 2000)
# Along the back wall from the left: from 100 to 700. From there to the bike some 800 are free.
BACK = door("back", 100, 600)


def barred(gap: float, *doors: Opening) -> Plan:
    """Shelves from 2275 to 2725 down that leave a gap at the right wall; at the back a bike."""
    shelves = [place("shelving", 450 + i * 900, 2500, piece_id=f"s{i}") for i in range(4)]
    width = 1400 - gap
    last = place("shelving", 3600 + width / 2, 2500, piece_id="s4", width=width)
    bike = place("bike", 2500, 1000, piece_id="bike")
    return make_plan(*shelves, last, bike, room=make_room(openings=doors or (FRONT,)))


def to_bike(plan: Plan) -> tuple[Routes, int]:
    scene = build_scene(plan)
    paths = routes(scene)
    bike = next(i for i, one in enumerate(scene.order) if one.piece.id == "bike")
    (stand,) = [i for i, one in enumerate(paths.stands) if one.number == bike]
    return paths, stand


def drawn(plan: Plan, way_out: int = 0) -> Track:
    paths, stand = to_bike(plan)
    found = track(paths, stand, way_out)
    assert found is not None
    assert (found.stand, found.door) == (stand, way_out)
    assert min(Point(found.points[-1]).distance(Point(at)) for at in paths.stands[stand].points) < 1
    # the last stretch leads there from the place of the way that serves it
    (node,) = nodes_at(paths.graph, paths.samples, np.array([found.points[-1]]))
    assert tuple(paths.graph.at[node]) == pytest.approx(found.points[-2])
    return found


@pytest.mark.parametrize("gap", [460, 560, 700])
def test_a_way_runs_from_the_middle_of_the_door_through_the_gap(gap: float) -> None:
    found = drawn(barred(gap))
    assert found.points[0] == pytest.approx((2550, 5000), abs=30)
    # to where one stands it is a step over free floor, not across the bike
    last = LineString(found.points[-2:])
    assert last.length < 900
    assert not last.intersects(box(2110, 410, 2890, 1590))
    # every way from the front passes the right wall, in the middle of the gap
    line = LineString(found.points)
    level = line.intersection(box(0, 2400, 5000, 2600))
    assert level.bounds[0] > 5000 - gap
    assert line.distance(Point(5000 - gap / 2, 2500)) < 30
    assert found.way.width_mm == pytest.approx(gap, abs=1)
    # a width for each stretch: what one has come through so far, so it never grows
    assert len(found.widths_mm) == len(found.points) - 1
    assert all(after <= before for before, after in pairwise(found.widths_mm))
    assert found.widths_mm[-1] == found.way.width_mm
    before = [w for w, (_, y) in zip(found.widths_mm, found.points[1:], strict=True) if y > 3300]
    assert min(before) > gap + 100
    assert found.neck is not None
    assert found.neck.gap is not None
    assert found.neck.disc is None
    (ax, ay), (bx, by) = sorted(found.neck.gap)
    assert (ax, bx) == pytest.approx((5000 - gap, 5000), abs=1)
    assert 2274 <= min(ay, by) <= max(ay, by) <= 2726


def test_each_way_out_has_a_way_of_its_own() -> None:
    plan = barred(560, FRONT, BACK)
    names = [shape.opening.id for shape in to_bike(plan)[0].ways_out]
    back, front = (drawn(plan, names.index(f"door-{wall}")) for wall in ("back", "front"))
    assert front.points[0] == pytest.approx((2550, 5000), abs=30)
    assert back.points[0] == pytest.approx((400, 0), abs=30)
    assert min(y for _, y in front.points) < 2275 < max(y for _, y in front.points)
    assert max(y for _, y in back.points) < 2275


def test_no_way_is_no_line_and_passes_under_nothing() -> None:
    paths, stand = to_bike(barred(0))
    assert track(paths, stand, 0) is None
    assert pass_under(paths, [stand], [box(0, 0, 5000, 5000)]) == (frozenset(),)
    assert pass_under(paths, [], [box(0, 0, 5000, 5000)]) == ()


def test_what_the_widest_way_passes_under() -> None:
    # over the gap, over the shelves, before the front door, before the narrow back door
    areas = [
        *(box(4100, 2300, 5000, 2700), box(0, 2300, 3000, 2700)),
        *(box(2000, 4800, 3100, 5000), box(0, 0, 800, 300)),
    ]
    paths, stand = to_bike(barred(900, FRONT, BACK))
    assert pass_under(paths, [stand], areas) == (frozenset({0, 2}),)
    # the back door is the wider way where the gap is narrower than what is free there
    paths, stand = to_bike(barred(500, FRONT, BACK))
    assert pass_under(paths, [stand], areas) == (frozenset({3}),)
    # asked for twice, or beside another, it is the same
    others = [i for i in range(len(paths.stands)) if i != stand]
    every = pass_under(paths, [stand, *others, stand], areas)
    assert every[0] == every[-1] == frozenset({3})


def test_a_way_into_the_first_triangle_of_a_room_is_one_as_any_other() -> None:
    # a mat of 60 in the corner where triangles are counted from; the door is at the front, so every
    # way to it passes the middle of the room from wall to wall, and none the far corner
    mat = place("mat-space", 30, 30, width=60, depth=60)
    paths = routes(build_scene(make_plan(mat, room=make_room(4990, 5000, openings=[FRONT]))))
    ((way,),) = paths.ways
    assert (way.node, way.width_mm > 0) == (0, True)
    assert pass_under(paths, [0], [box(0, 2000, 4990, 3000), box(4900, 0, 4990, 100)]) == (
        frozenset({0}),
    )
