"""Ways on foot: neck widths against erosion of the floor, the tree against other programs."""

import gc
import math
from itertools import pairwise
from weakref import ref

import networkx as nx
import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from numpy.typing import NDArray
from shapely import Point, Polygon, box
from shapely.geometry.base import BaseGeometry

from app.model.plan import Plan
from app.model.room import Opening
from app.scene.build import Scene, build_scene
from app.scene.routes import (
    Routes,
    head_mm,
    near_any,
    routes,
)
from app.scene.routes_graph import medial, nodes_at, reach, sampled
from tests.builders import make_person, make_plan, make_room, place, turned_plan
from tests.thinned import drawn

Floats = NDArray[np.float64]
DOOR = Opening(
    id="door",
    wall="front",
    kind="hinged",
    offset_mm=2000,
    width_mm=900,
    height_mm=2000,
    swing="out",
)
BOXES = ("chest-freezer", "fridge", "bike", "plate-tree", "standing-bag", "running-machine")


def furnished(*pieces: tuple[str, float, float, float]) -> Plan:
    """A room of 5 x 5 m with one door at the front and some pieces in it."""
    kit = (place(k, x, y, a, piece_id=f"p{i}") for i, (k, x, y, a) in enumerate(pieces))
    return make_plan(*kit, room=make_room(openings=[DOOR]))


def floor_of(scene: Scene) -> BaseGeometry:
    """What nothing stands on, by plain subtraction of the true outlines; outdoors as well."""
    standing = [p for number in range(len(scene.order)) for p in walked_round(scene, number)]
    (door,) = scene.room.openings
    (x0, y), (x1, _) = sorted((door.left, door.right))
    # the door stands open: the floor goes on outside
    outside = box(x0, y - 1, x1, y + 1).union(box(-5000, y + 1, 10_000, y + 8000))
    return scene.room.free.union(outside).difference(shapely.union_all(standing))


def walked_round(scene: Scene, number: int) -> list[Polygon]:
    """The true outlines of those parts of a piece that are higher than 50 and begin below heads."""
    mine = scene.solids.owner == number
    parts = zip(
        scene.order[number].polygons(),
        scene.solids.low_mm[mine],
        scene.solids.high_mm[mine],
        strict=True,
    )
    return [polygon for polygon, low, high in parts if high > 50 and low < head_mm(scene)]


def joined(floor: BaseGeometry, one: Floats, other: Floats, width: float) -> bool:
    """Whether a disc of this width gets from one point to the other: erosion and parts."""
    eroded = shapely.get_parts(floor.buffer(-width / 2, quad_segs=32))
    near = 1 + width / 100  # buffers are only so exact
    return any(p.dwithin(Point(one), near) and p.dwithin(Point(other), near) for p in eroded)


pieces = st.lists(
    st.tuples(
        st.sampled_from(BOXES),
        st.integers(0, 500_000).map(lambda x: x / 100),
        st.integers(0, 500_000).map(lambda y: y / 100),
        st.integers(0, 359_999).map(lambda a: a / 1000),
    ),
    min_size=1,
    max_size=6,
)


@given(kit=pieces, data=st.data())
@drawn(20, 60)
def test_erosion_finds_the_same_necks(
    kit: list[tuple[str, float, float, float]], data: st.DataObject
) -> None:
    scene = build_scene(furnished(*kit))
    found = Routes(scene)
    floor = floor_of(scene)
    inside = floor.intersection(scene.room.free)
    graph = found.graph
    at = [i for i in np.flatnonzero(graph.radius_mm > 300) if inside.contains(Point(graph.at[i]))]
    if len(at) < 2:
        return
    start = data.draw(st.sampled_from(at))
    far = reach(graph, found.tree, np.array([start]), np.array([math.inf]), np.array([-1])).width_mm
    other = data.draw(st.sampled_from(at))
    ends = graph.at[[start]], graph.at[[other]]
    most = found.between(*ends).width_mm
    if 0 < most < math.inf:
        assert found.is_way(*ends, most)
        assert not found.is_way(*ends, most + 2)
    width = min(float(far[other]), 2 * min(graph.radius_mm[start], graph.radius_mm[other]))
    if width > 200:
        # the circle at a node touches samples of the outlines, not the outlines: a few mm less
        assert joined(floor, graph.at[start], graph.at[other], width - 12)
    if far[other] < 2 * min(graph.radius_mm[start], graph.radius_mm[other]) - 60:
        assert not joined(floor, graph.at[start], graph.at[other], max(far[other], 120) * 1.01 + 3)


@pytest.mark.parametrize("angle", [0, 17.3, 45, 90, 211.9])
@pytest.mark.parametrize("gap", [448, 450, 600, 762.5])
def test_the_width_of_a_neck_is_exact(angle: float, gap: float) -> None:
    # freezers of 950 x 640 in a row across the room leave one gap beside the wall
    shelf = [place("shelving", 450 + i * 900, 2500, piece_id=f"s{i}") for i in range(4)]
    last = place("shelving", 3600 + (5000 - gap - 3600) / 2, 2500, piece_id="s4", width=1400 - gap)
    goal = place("bike", 2500, 1000)
    plan = make_plan(*shelf, last, goal, room=make_room(openings=[DOOR]))
    scene = build_scene(turned_plan(plan, angle, (812.3, -77.1)))
    found = routes(scene)
    bike = next(i for i, s in enumerate(found.stands) if scene.order[s.number].kit.key == "bike")
    way = found.best(bike)
    assert way.width_mm == pytest.approx(gap, abs=0.6)
    names = [scene.order[o].piece.id if o < 6 else scene.fixed_names[o - 6] for o in way.between]
    assert sorted(names) == ["s4", "the right wall"]


def test_a_threshold_counts_wherever_the_middles_of_free_circles_lie() -> None:
    # A bar whose arms reach through a wide doorway is moved by a mm at a time: at 86 and at 132 the
    # middle of a circle between the arms lies on the threshold. The way leads past the left arm.
    wide = Opening(
        id="door", wall="back", kind="hinged", offset_mm=300, width_mm=2100, height_mm=1990
    )
    room, tall = make_room(5000, 5000, openings=[wide]), make_person(1880)
    for out in (85, 86, 87, 131, 132, 133):
        bar = place("pull-up-bar-wall", 1800, out, 2.282)
        scene = build_scene(make_plan(bar, room=room, people=[tall]))
        arms, jamb = shapely.union_all(walked_round(scene, 0)), Point(300, 0)
        least, most = jamb.distance(arms), jamb.distance(arms & scene.room.free)
        assert least - 1 <= routes(scene).best(0).width_mm <= most + 1


@given(kit=pieces)
@drawn(12, 30)
def test_the_widest_ways_are_those_of_another_program(
    kit: list[tuple[str, float, float, float]],
) -> None:
    found = Routes(build_scene(furnished(*kit)))
    graph = found.graph
    walked = np.flatnonzero(found._walked)
    other = nx.Graph()
    for i in walked:
        other.add_edge(int(graph.one[i]), int(graph.other[i]), width=float(graph.width_mm[i]))
    theirs = nx.maximum_spanning_tree(other, weight="width")
    # over the threshold itself a way is as wide as it likes
    total = sum(d["width"] for _, _, d in theirs.edges(data=True) if math.isfinite(d["width"]))
    widths = graph.width_mm[found.tree]
    assert float(widths[np.isfinite(widths)].sum()) == pytest.approx(total)
    start = int(graph.one[walked[0]])
    mine = reach(graph, found.tree, np.array([start]), np.array([math.inf]), np.array([-1]))
    for node, path in nx.single_source_shortest_path(theirs, start).items():
        steps = pairwise(path)
        widest = min((theirs.edges[a, b]["width"] for a, b in steps), default=math.inf)
        assert float(mine.width_mm[node]) == pytest.approx(widest)


def test_points_are_found_in_their_triangles() -> None:
    found = routes(build_scene(furnished(("bike", 2500, 2500, 30))))
    points = np.random.default_rng(3).random((200, 2)) * 5000
    nodes = nodes_at(found.graph, found.samples, points)
    xy = found.samples.xy
    for point, node in zip(points, nodes, strict=True):
        corners = found.graph.corners[node]
        if (corners < len(xy)).all():
            assert Polygon(xy[corners]).distance(Point(point)) < 1e-6


def test_the_ways_are_found_once_and_go_with_their_scene() -> None:
    scene = build_scene(furnished(("bike", 2500, 2500, 30)))
    assert routes(scene) is routes(scene)
    kept = ref(routes(scene))
    del scene
    gc.collect()
    assert kept() is None


def test_a_way_is_drawn_from_the_door_to_where_one_stands() -> None:
    found = routes(build_scene(furnished(("bike", 2500, 1000, 0))))
    way = found.line(0, 0)
    assert way is not None
    # beside the bike at its left or right, half a metre from its middle; the door is in front
    (first, *_, last) = way.coords
    assert Point(first).distance(Point(2550, 5000)) < 2000
    assert min(Point(last).distance(Point(at)) for at in found.stands[0].points) < 1500
    straight = Point(first).distance(Point(last))
    assert straight < way.length < 2 * straight
    shut = furnished(
        ("bike", 2500, 1000, 0), *(("chest-freezer", 475 + 950 * i, 2600, 0) for i in range(6))
    )
    nowhere = routes(build_scene(shut))
    bike = next(i for i, s in enumerate(nowhere.stands) if s.number == 0)
    assert nowhere.line(bike, 0) is None


def test_a_room_with_no_way_to_measure_has_ways_all_the_same() -> None:
    # three walls that lean towards one another, nothing in between: no gap wider than the samples
    corners = [(0.0, 0.0), (100.0, 0.0), (50.0, 86.6)]
    samples = sampled(np.array([shapely.linearrings(corners)]), np.zeros(1, dtype=np.intp), 120)
    graph = medial(samples)
    assert len(graph.width_mm) == len(graph.one)
    assert graph.width_mm.max() < math.inf


def test_near_any_is_where_boxes_meet() -> None:
    # by another library's boxes: stretches all over a room of 10 x 10, five areas in it
    chance = np.random.default_rng(3)
    one, other = chance.uniform(0, 10_000, (2, 200, 2))
    corners = chance.uniform(0, 9000, (5, 2))
    areas = [box(x, y, x + 900, y + 400) for x, y in corners]
    boxes = [box(*np.minimum(a, b), *np.maximum(a, b)) for a, b in zip(one, other, strict=True)]
    expected = [any(each.intersects(area) for area in areas) for each in boxes]
    assert near_any(one, other, areas).tolist() == expected
    assert 10 < sum(expected) < 190


@pytest.mark.parametrize(
    ("corner", "front_mm"),
    [
        ((30, 30), 5000 / 42),
        ((4970, 30), 5000 / 42),
        ((30, 4970), 2100 / 18),
        ((4970, 4970), 2000 / 17),
    ],
)
def test_who_is_there_already_has_as_wide_a_way_as_there_is_room(
    corner: tuple[float, float], front_mm: float
) -> None:
    # walls are sampled in even steps of 120 at the most: 42 for 5000, 18 and 17 beside the door
    # (2100 and 2000). The circle through a corner and one step along either wall is as wide as the
    # line between those two (Thales)
    paths = routes(build_scene(make_plan(room=make_room(openings=[DOOR]))))
    here = np.array([corner], dtype=float)
    wide = math.hypot(5000 / 42, front_mm)
    assert paths.between(here, here).width_mm == pytest.approx(wide, abs=0.1)


@pytest.mark.parametrize("corner", [(400, 400), (4600, 400), (400, 4600), (4600, 4600)])
def test_from_the_middle_of_a_bare_room_a_way_leads_to_each_corner(
    corner: tuple[float, float],
) -> None:
    # By hand: a circle of radius r in the corner touches both walls r from it, and the triangle of
    # these points and the corner's samples reaches 400 + 400 out where r is 800; less by as much as
    # two steps of 120 on the walls.
    paths = routes(build_scene(make_plan(room=make_room(5000, 5000))))
    middle, there = np.array([(2500.0, 2500.0)]), np.array([corner], dtype=float)
    for one, other in ((middle, there), (there, middle)):
        assert 1600 - 2 * 120 <= paths.between(one, other).width_mm <= 1600
        assert paths.is_way(one, other, 1360)
