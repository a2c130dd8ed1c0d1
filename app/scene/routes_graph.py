"""The ways between outlines: a medial graph, its widest tree, and how wide a way gets.

The outlines are sampled; the triangles of their Delaunay triangulation are the nodes (each at its
circumcentre, with the radius of its empty circle), and two that share a side are joined (the
Voronoi diagram of the samples). A join is as wide as the gap between the two samples that it
passes. Across an outline no join is wider than the distance of the samples, so that whatever is
wider stays on one side of every outline. Of all ways between two nodes the one in a maximum
spanning tree has the widest narrowest place (Hu 1961).
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import LineString

from app.scene.tolerance import Geometries
from app.scene.triangles import triangles

FAR_CORNERS = 4
"""Corners of a square round everything, which stands off by as many times the size of it all: no
gap of the room then lies nearer to one of them than to the outlines."""


SET_OUT_FROM = 8
"""Of so many triangles one is a place to set out from to points: it lies a few triangles off, and
to sort all of them by their places takes longer than those few steps."""


Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]


@dataclass(frozen=True, slots=True, eq=False)
class Samples:
    """Points on outlines, (n, 2) in mm, with the numbers of their neighbours and their owner.

    `spacing_mm` is the greatest distance between neighbours. At the end of an open outline a
    sample is its own neighbour.
    """

    xy: Floats
    before: Ints
    after: Ints
    owner: Ints
    spacing_mm: float


@dataclass(frozen=True, slots=True, eq=False)
class Medial:
    """The graph: nodes with their clear radius, joins with the two nodes and the two samples.

    `width_mm` is that of the gap between the two outlines there. `corners` and `beyond` are the
    samples of each triangle and the triangles opposite to them (-1: none).
    """

    at: Floats
    radius_mm: Floats
    one: Ints
    other: Ints
    left: Ints
    right: Ints
    width_mm: Floats
    corners: Ints
    beyond: Ints


@dataclass(frozen=True, slots=True, eq=False)
class Reach:
    """How far one gets from a start: the narrowest place on the widest way to each node.

    `width_mm` is 0 where there is no way. `neck` is the join that is narrowest (-1: none), `up`
    the node before on the way (-1 at the start and where there is no way), `through` the join
    to it.
    """

    width_mm: Floats
    neck: Ints
    up: Ints
    through: Ints


def sampled(lines: Geometries, owners: Ints, spacing_mm: float) -> Samples:
    """Sample rings and open lines, corners included, so that no gap exceeds the spacing."""
    fine = shapely.segmentize(lines, spacing_mm)
    xy, line = shapely.get_coordinates(fine, return_index=True)
    first = np.r_[True, np.diff(line) != 0] if len(line) else np.zeros(0, dtype=bool)
    last = np.r_[first[1:], True] if len(line) else first
    starts, ends = np.flatnonzero(first), np.flatnonzero(last)
    number = np.arange(len(xy), dtype=np.intp)
    before, after = number - 1, number + 1
    ring = (xy[starts] == xy[ends]).all(axis=1)
    before[starts] = np.where(ring, ends - 1, starts)
    after[ends] = np.where(ring, starts + 1, ends)
    # the last point of a ring is its first: told once
    after[ends[ring] - 1] = starts[ring]
    once = np.ones(len(xy), dtype=bool)
    once[ends[ring]] = False
    new = np.cumsum(once) - 1
    return Samples(xy[once], new[before[once]], new[after[once]], owners[line[once]], spacing_mm)


def medial(samples: Samples) -> Medial:
    """Build the graph of the ways between the outlines. At least one sample is needed."""
    xy = np.concatenate([samples.xy, _far_corners(samples.xy)])
    corners, beyond = triangles(xy)
    at, radius = _circles(xy, corners)
    one, side = np.nonzero(beyond > np.arange(len(corners))[:, None])
    other = beyond[one, side]
    left, right = corners[one, side - 1], corners[one, side - 2]
    width = _widths(samples, xy, at, radius, one, other, left, right)
    return Medial(at, radius, one, other, left, right, width, corners, beyond)


def _far_corners(xy: Floats) -> Floats:
    """Return four points far outside, so that every gap lies between two triangles."""
    low, high = xy.min(axis=0), xy.max(axis=0)
    # One more than a multiple: a room of one point must still get a square with an area.
    middle, away = (low + high) / 2, FAR_CORNERS * (high - low).max() + 1
    corners: Floats = middle + away * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
    return corners


def _circles(xy: Floats, corners: Ints) -> tuple[Floats, Floats]:
    """Return centre and radius of the circle through the three corners of each triangle."""
    a = xy[corners[:, 0]]
    b, c = xy[corners[:, 1]] - a, xy[corners[:, 2]] - a
    twice = 2 * (b[:, 0] * c[:, 1] - b[:, 1] * c[:, 0])
    bb, cc = (b * b).sum(axis=1), (c * c).sum(axis=1)
    with np.errstate(divide="ignore", invalid="ignore"):
        x = (c[:, 1] * bb - b[:, 1] * cc) / twice
        y = (b[:, 0] * cc - c[:, 0] * bb) / twice
    offset = np.stack([x, y], axis=1)
    offset[~np.isfinite(offset)] = 0.0  # three corners in one line: no floor between them
    return a + offset, np.hypot(offset[:, 0], offset[:, 1])


def _widths(
    samples: Samples,
    xy: Floats,
    at: Floats,
    radius: Floats,
    one: Ints,
    other: Ints,
    left: Ints,
    right: Ints,
) -> Floats:
    """Measure each join: the gap where it passes between its samples, else its tighter end."""
    across = xy[right] - xy[left]
    side_one = _cross(across, at[one] - xy[left])
    side_other = _cross(across, at[other] - xy[left])
    # Where the join does not pass between its own two samples, the empty circles at its ends bound
    # it.
    width = 2 * np.minimum(radius[one], radius[other])
    gap = (side_one * side_other <= 0) & (left < len(samples.xy)) & (right < len(samples.xy))
    width[gap] = np.hypot(across[gap, 0], across[gap, 1])
    # Only joins that may be walked are measured to the outline itself; it is the dear part.
    exact = np.flatnonzero(gap & (width > samples.spacing_mm))
    width[exact] = np.minimum(width[exact], _gaps(samples, left[exact], right[exact]))
    return width


def _cross(a: Floats, b: Floats) -> Floats:
    result: Floats = a[:, 0] * b[:, 1] - a[:, 1] * b[:, 0]
    return result


def _gaps(samples: Samples, left: Ints, right: Ints) -> Floats:
    """Measure exactly between the two stretches of outline on both sides of each sample."""
    xy = samples.xy
    gap = np.full(len(left), np.inf)
    for mine, theirs in ((left, right), (right, left)):
        points = (mine, samples.before[mine], samples.after[mine])
        for point in points:
            for end in (samples.before[theirs], samples.after[theirs]):
                gap = np.minimum(gap, _to_stretch(xy[point], xy[theirs], xy[end]))
    return gap


def _to_stretch(point: Floats, start: Floats, end: Floats) -> Floats:
    """Return the distance of each point from its straight stretch, which may have no length."""
    along, away = end - start, point - start
    length = (along * along).sum(axis=1)
    share = (away * along).sum(axis=1) / np.where(length > 0, length, 1)
    apart = away - np.clip(share, 0, 1)[:, None] * along
    result: Floats = np.hypot(apart[:, 0], apart[:, 1])
    return result


def widest_tree(graph: Medial, allowed: Bools) -> Ints:
    """Return numbers of the joins of a maximum spanning tree (a forest) of the allowed joins."""
    joins = np.flatnonzero(allowed)
    one, other = graph.one[joins], graph.other[joins]
    met = np.zeros(len(graph.at), dtype=bool)
    met[one] = met[other] = True
    number = np.cumsum(met) - 1
    if not len(joins):
        return joins
    count = int(number[-1]) + 1
    return joins[_tree(number[one], number[other], graph.width_mm[joins], count)[0]]


def _tree(one: Ints, other: Ints, width: Floats, count: int) -> tuple[Ints, Any]:
    """Return the joins of a maximum spanning tree and the tree as a table of nodes.

    The joins stand in the order in which the table holds them.
    """
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import minimum_spanning_tree

    # ranks instead of widths: no two alike, none nought, and each says which join it is
    order = np.argsort(-width, kind="stable")
    rank = np.empty(len(order))
    rank[order] = np.arange(1, len(order) + 1)
    forest = minimum_spanning_tree(coo_array((rank, (one, other)), shape=(count, count)).tocsr())
    joins: Ints = order[forest.data.astype(np.intp) - 1]
    return joins, forest


def reach(graph: Medial, walked: Ints, starts: Ints, widths: Floats, joins: Ints) -> Reach:
    """Return the widest way from a start outside the graph to every node.

    `walked` are the joins that may be taken, all of them or those of their widest tree. The start
    is joined to the nodes `starts`; `joins` are the numbers by which those joins are known,
    `widths` how wide they are.
    """
    from scipy.sparse.csgraph import breadth_first_order

    count = len(graph.at)
    nothing = np.full(count + 1, -1, dtype=np.intp)
    result = Reach(np.zeros(count + 1), nothing, nothing.copy(), nothing.copy())
    if not len(starts):
        return result
    # of several joins to one node only the widest counts
    order = np.argsort(-widths, kind="stable")
    _, best = np.unique(starts[order], return_index=True)
    first = order[best]
    one = np.concatenate([graph.one[walked], starts[first]])
    other = np.concatenate([graph.other[walked], np.full(len(first), count)])
    wide = np.concatenate([graph.width_mm[walked], widths[first]])
    names = np.concatenate([walked, joins[first]])
    # Few triangles lie where anybody walks: those alone are numbered, the start last.
    met = np.zeros(count + 1, dtype=bool)
    met[one] = met[other] = True
    nodes, number = np.flatnonzero(met), np.cumsum(met) - 1
    one, other, start = number[one], number[other], len(nodes) - 1
    forest, joined = _tree(one, other, wide, len(nodes))
    # In a tree there is one way to each node, so any order that starts at the root finds the
    # widest.
    order, before = breadth_first_order(joined, start, directed=False)
    rest = order[1:].astype(np.intp)
    width, neck, up = np.zeros(len(nodes)), nothing[: len(nodes)].copy(), nothing[nodes].copy()
    up[rest] = before[rest]
    ends = np.sort(np.stack([one[forest], other[forest]]), axis=0)
    # One number for each pair of ends, to look up by sorting which join leads from a node to the
    # one before.
    keys = ends[0] * len(nodes) + ends[1]
    by_key = np.argsort(keys)
    low, high = np.minimum(rest, up[rest]), np.maximum(rest, up[rest])
    join = forest[by_key[np.searchsorted(keys[by_key], low * len(nodes) + high)]]
    width[rest], neck[rest] = wide[join], names[join]
    # Nothing is narrow at the start itself; else its nought would go down every way.
    width[start] = math.inf
    width, neck = _narrowest(width, neck, up)
    width[start] = math.inf
    result.width_mm[nodes], result.neck[nodes] = width, neck
    result.up[nodes[rest]], result.through[nodes[rest]] = nodes[up[rest]], names[join]
    return result


def parts_of(graph: Medial, walked: Ints) -> Ints:
    """Return for each node the number of the part that it lies in, all walked joins taken."""
    from scipy.sparse import coo_array
    from scipy.sparse.csgraph import connected_components

    count = len(graph.at)
    ends = graph.one[walked], graph.other[walked]
    table = coo_array((np.ones(len(walked), dtype=bool), ends), shape=(count, count))
    _, part = connected_components(table, directed=False)
    result: Ints = part.astype(np.intp)
    return result


def _narrowest(width: Floats, neck: Ints, up: Ints) -> tuple[Floats, Ints]:
    """Take the least width on the way to the root, doubling the stride until all are there."""
    # Doubling the stride takes as many rounds as the longest way has binary digits, all nodes at
    # once.
    stride = np.where(up < 0, np.arange(len(up)), up)
    while (stride[stride] != stride).any():
        further = width[stride]
        narrower = further < width
        neck = np.where(narrower, neck[stride], neck)
        width = np.where(narrower, further, width)
        stride = stride[stride]
    return width, neck


def narrowed(graph: Medial, samples: Samples, pieces_up_to: int, by_mm: float) -> Medial:
    """Take off what the cores of pieces were drawn in by; owners up to a number are pieces."""
    drawn_in = np.concatenate([samples.owner < pieces_up_to, np.zeros(FAR_CORNERS, dtype=bool)])
    count = drawn_in[graph.left].astype(float) + drawn_in[graph.right]
    return replace(graph, width_mm=graph.width_mm - by_mm * count)


def nodes_at(graph: Medial, samples: Samples, points: Floats) -> Ints:
    """Return the node of the triangle in which each point lies; -1 if it lies outside all.

    From a point to the node of its triangle the way is free: the triangle lies in the empty
    circle about the node. Walks from triangle to triangle towards all points at once.
    """
    from scipy.spatial import cKDTree

    if not len(points):
        return np.zeros(0, dtype=np.intp)
    xy = np.concatenate([samples.xy, _far_corners(samples.xy)])
    near = cKDTree(graph.at[::SET_OUT_FROM]).query(points)[1]
    node = np.asarray(near, dtype=np.intp) * SET_OUT_FROM
    todo = np.arange(len(points))
    # The walk turns no circles in a Delaunay triangulation; the count is only a rail against
    # rounding.
    for _ in range(len(graph.at)):
        tri = graph.corners[node[todo]]
        a = xy[tri]
        b = xy[np.roll(tri, -1, axis=1)]
        c = xy[np.roll(tri, 1, axis=1)]
        p = points[todo][:, None, :]
        # for each corner: is the point on the far side of the opposite side b-c?
        side, inner = _turn(b, c, p), _turn(b, c, a)
        out = side * np.sign(inner) < 0
        moving = out.any(axis=1)
        if not moving.any():
            break
        # Across the side that the point is farthest beyond: a straight walk, the fewest triangles.
        step = np.where(out, -np.abs(side), 1.0)[moving].argmin(axis=1)
        after = graph.beyond[node[todo[moving]], step]
        todo = todo[moving]
        node[todo] = after
        todo = todo[after >= 0]
    return node


def _turn(a: Floats, b: Floats, c: Floats) -> Floats:
    result: Floats = (b[..., 0] - a[..., 0]) * (c[..., 1] - a[..., 1]) - (b[..., 1] - a[..., 1]) * (
        c[..., 0] - a[..., 0]
    )
    return result


def line_to(graph: Medial, reached: Reach, node: int) -> LineString | None:
    """Draw the way from the start to a node, None if it is less than one join long."""
    points, at = [], node
    while at >= 0 and at < len(graph.at):
        points.append(graph.at[at])
        at = int(reached.up[at])
    return LineString(points[::-1]) if len(points) > 1 else None
