"""Outlines as points with their neighbours, ways between them and the widest ones: by hand."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from shapely import LineString, Point, Polygon

from app.scene.routes_graph import (
    Medial,
    Samples,
    line_to,
    medial,
    narrowed,
    nodes_at,
    parts_of,
    reach,
    sampled,
    to_stretch,
    widest_tree,
)

SQUARE = shapely.box(0, 0, 100, 100).exterior
LINE = shapely.LineString([(300, 0), (500, 0)])


def test_a_ring_goes_round_and_a_line_ends() -> None:
    lines = np.array([SQUARE, LINE], dtype=object)
    samples = sampled(lines, np.array([7, 9], dtype=np.intp), 1000)
    # four corners once, though a ring names its first twice; then the two ends of the line
    assert len(samples.xy) == 6
    assert samples.owner.tolist() == [7, 7, 7, 7, 9, 9]
    assert samples.xy[4:].tolist() == [[300, 0], [500, 0]]
    assert samples.before.tolist() == [3, 0, 1, 2, 4, 4]
    assert samples.after.tolist() == [1, 2, 3, 0, 5, 5]
    assert samples.spacing_mm == 1000


def test_no_gap_is_wider_than_the_spacing_and_each_point_knows_its_neighbours() -> None:
    lines = np.array([LINE, SQUARE, LINE], dtype=object)
    samples = sampled(lines, np.array([1, 2, 3], dtype=np.intp), 60)
    # 200 in four of 50, twice; each side of 100 in two
    assert samples.owner.tolist() == [1] * 5 + [2] * 8 + [3] * 5
    steps = np.hypot(*(samples.xy[samples.after] - samples.xy).T)
    ends = [4, 17]
    assert {round(float(step)) for i, step in enumerate(steps) if i not in ends} == {50}
    assert samples.after[ends].tolist() == ends
    assert samples.before[[0, 13]].tolist() == [0, 13]
    inner = [i for i in range(len(steps)) if i not in ends]
    assert samples.before[samples.after[inner]].tolist() == inner


def test_no_outline_has_no_points() -> None:
    samples = sampled(np.zeros(0, dtype=object), np.zeros(0, dtype=np.intp), 60)
    assert (len(samples.xy), len(samples.before), len(samples.after)) == (0, 0, 0)


def ints(*numbers: int) -> np.ndarray[tuple[int], np.dtype[np.intp]]:
    return np.array(numbers, dtype=np.intp)


def scattered(xy: np.ndarray[tuple[int, int], np.dtype[np.float64]]) -> Samples:
    """Points that belong to nothing, so far apart that no join is measured to an outline."""
    number = np.arange(len(xy), dtype=np.intp)
    return Samples(xy, number, number, np.zeros(len(xy), dtype=np.intp), 1e9)


CHANCE = np.random.default_rng(7).uniform(0, 1000, (40, 2))
# four times as far as all is large, and one more
FAR = (
    CHANCE.min(axis=0) / 2
    + CHANCE.max(axis=0) / 2
    + np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
    * (4 * (CHANCE.max(axis=0) - CHANCE.min(axis=0)).max() + 1)
)
EVERY = np.concatenate([CHANCE, FAR])


@pytest.mark.parametrize(
    ("point", "away"),
    # of a stretch from (0, 0) to (10, 0): before it, beside its start, its middle and its end, and
    # beyond; of one from (3, 4) to itself
    [((-3, 4), 5), ((0, 4), 4), ((5, -4), 4), ((10, 4), 4), ((13, 4), 5), ((4, 0), 0)],
)
def test_how_far_a_point_is_from_a_stretch(point: tuple[float, float], away: float) -> None:
    x, y = np.array([[0, 0], [10, 0], point, [6, 8]], dtype=float).T
    assert to_stretch(x, y, ints(2), ints(0), ints(1)).tolist() == [away]
    assert to_stretch(x, y, ints(2), ints(1), ints(0)).tolist() == [away]
    # 10 off by 6, 8, 10
    assert to_stretch(x, y, ints(0), ints(3), ints(3)).tolist() == [10]


def test_a_node_lies_as_far_from_all_its_corners_and_no_other_point_is_nearer() -> None:
    graph = medial(scattered(CHANCE))
    for at, radius, corners in zip(graph.at, graph.radius_mm, graph.corners, strict=True):
        away = np.hypot(*(EVERY - at).T)
        assert away[corners] == pytest.approx([radius] * 3)
        assert away.min() > radius - 1e-3


def test_a_join_is_as_wide_as_the_gap_that_it_passes_or_as_its_tighter_end() -> None:
    graph = medial(scattered(CHANCE))
    passes = 0
    for one, other, left, right, width in zip(
        graph.one, graph.other, graph.left, graph.right, graph.width_mm, strict=True
    ):
        ends = set(graph.corners[one].tolist()) & set(graph.corners[other].tolist())
        assert ends == {left, right}
        assert one in graph.beyond[other]
        assert other in graph.beyond[one]
        # middles of circles through two points lie on the line that halves their gap
        middle = Point((EVERY[left] + EVERY[right]) / 2)
        through = LineString(graph.at[[one, other]]).distance(middle) < 1e-6
        if through and max(left, right) < len(CHANCE):
            passes += 1
            assert width == pytest.approx(math.dist(EVERY[left], EVERY[right]))
        else:
            assert width == pytest.approx(2 * graph.radius_mm[[one, other]].min())
    assert 20 < passes < len(graph.one) - 20


@pytest.mark.parametrize("shift", [0, 30, 47])
def test_between_two_walls_a_way_is_as_wide_as_they_are_apart(shift: float) -> None:
    # however their samples every 100 stand to one another
    lines = np.array([LineString([(0, 0), (2000, 0)]), LineString([(shift, 500), (2000, 500)])])
    samples = sampled(lines, ints(0, 1), 100)
    graph = medial(samples)
    count = len(samples.xy)
    inner = [
        width
        for left, right, width in zip(graph.left, graph.right, graph.width_mm, strict=True)
        if max(left, right) < count
        and samples.owner[left] != samples.owner[right]
        and 200 < samples.xy[left][0] < 1800
    ]
    assert len(inner) > 20
    assert inner == pytest.approx([500] * len(inner))


def by_hand() -> Medial:
    """Five nodes: a round of four, 0 - 1 - 2 - 3 - 0, and 4 behind 3."""
    return Medial(
        at=np.array([[0, 0], [1, 0], [1, 1], [0, 1], [0, 2]], dtype=float),
        radius_mm=np.full(5, 1000.0),
        one=ints(0, 0, 1, 2, 3),
        other=ints(1, 3, 2, 3, 4),
        left=ints(0, 0, 1, 4, 2),
        right=ints(1, 2, 2, 5, 3),
        width_mm=np.array([900.0, 800, 700, 650, 500]),
        corners=np.zeros((5, 3), dtype=np.intp),
        beyond=np.zeros((5, 3), dtype=np.intp),
    )


@pytest.mark.parametrize(
    ("allowed", "tree"),
    [
        # of the round the narrowest join goes
        ((1, 1, 1, 1, 1), {0, 1, 2, 4}),
        ((0, 1, 1, 1, 1), {1, 2, 3, 4}),
        ((1, 0, 0, 0, 1), {0, 4}),
        ((0, 0, 0, 0, 0), set()),
    ],
)
def test_the_widest_tree_leaves_out_the_narrowest_of_a_round(
    allowed: tuple[int, ...], tree: set[int]
) -> None:
    assert set(widest_tree(by_hand(), np.array(allowed, dtype=bool)).tolist()) == tree


@pytest.mark.parametrize("walked", [(0, 1, 2, 3, 4), (4, 2, 0, 3, 1), (4, 2, 1, 0)])
def test_the_widest_way_has_the_widest_narrowest_place(walked: tuple[int, ...]) -> None:
    # two joins lead to 2, of which the wider counts, and a narrow one to 4
    starts, widths, joins = ints(2, 2, 4), np.array([300.0, 1000, 100]), ints(90, 91, 92)
    found = reach(by_hand(), ints(*walked), starts, widths, joins)
    # to 3 the way round by 1 and 0 is wider than the 650 straight there
    assert found.width_mm.tolist() == [700, 700, 1000, 700, 500, math.inf]
    assert found.neck.tolist() == [2, 2, 91, 2, 4, -1]
    assert found.up.tolist() == [1, 2, 5, 0, 3, -1]
    assert found.through.tolist() == [0, 2, 91, 1, 4, -1]
    way = line_to(by_hand(), found, 4)
    assert way is not None
    assert list(way.coords) == [(1, 1), (1, 0), (0, 0), (0, 1), (0, 2)]
    assert line_to(by_hand(), found, 2) is None


def test_where_no_join_leads_there_is_no_way() -> None:
    found = reach(by_hand(), ints(0), ints(2), np.array([400.0]), ints(90))
    assert found.width_mm.tolist() == [0, 0, 400, 0, 0, math.inf]
    assert found.neck.tolist() == [-1, -1, 90, -1, -1, -1]
    assert found.up.tolist() == [-1, -1, 5, -1, -1, -1]
    none = reach(by_hand(), ints(0, 1), ints(), np.zeros(0), ints())
    assert none.width_mm.tolist() == [0] * 6
    assert none.up.tolist() == none.neck.tolist() == none.through.tolist() == [-1] * 6


def test_nodes_that_joins_lead_between_are_of_one_part() -> None:
    part = parts_of(by_hand(), ints(4, 0)).tolist()
    assert part[0] == part[1]
    assert part[3] == part[4]
    assert len(set(part)) == 3


def test_ways_are_narrower_by_what_each_piece_beside_them_was_drawn_in() -> None:
    owner = ints(0, 1, 2, 1, 0, 2)
    samples = Samples(np.zeros((6, 2)), ints(), ints(), owner, 100.0)
    # of owners 0 and 1 are pieces: two of them beside the first join, one beside the others
    slim = narrowed(by_hand(), samples, 2, 0.5)
    assert slim.width_mm.tolist() == [899, 799.5, 699.5, 649.5, 499.5]
    # beyond the samples lie the far corners, which are no pieces
    few = Samples(np.zeros((2, 2)), ints(), ints(), ints(0, 1), 100.0)
    assert narrowed(by_hand(), few, 2, 0.5).width_mm.tolist() == [899, 799.5, 699.5, 650, 500]


@pytest.mark.parametrize("at_once", [1, 5, 60])
def test_a_point_is_found_in_its_triangle_however_many_are_sought(at_once: int) -> None:
    samples = scattered(CHANCE)
    graph = medial(samples)
    points = np.random.default_rng(8).uniform(-500, 1500, (60, 2))
    for begin in range(0, 60, at_once):
        some = points[begin : begin + at_once]
        for point, node in zip(some, nodes_at(graph, samples, some), strict=True):
            assert Polygon(EVERY[graph.corners[node]]).distance(Point(point)) < 1e-6
    # twenty times the size of it all away lies no triangle
    beyond = points + 20_000
    assert nodes_at(graph, samples, beyond[:at_once]).tolist() == [-1] * at_once
    both = np.concatenate([points[:at_once], beyond[:at_once]])
    found = nodes_at(graph, samples, both)
    assert found[:at_once].min() >= 0
    assert found[at_once:].tolist() == [-1] * at_once
    assert len(nodes_at(graph, samples, np.zeros((0, 2)))) == 0
