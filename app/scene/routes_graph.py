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
from typing import Any, TypeVar

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


FEW = 12
"""Points of which so many are still on their way walk one by one: arrays of a few cost more."""
_NEXT, _LAST = [1, 2, 0], [2, 0, 1]
"""The corners of a triangle after each of them, and those before."""


Floats = NDArray[np.float64]
Ints = NDArray[np.intp]
Bools = NDArray[np.bool_]
Number = TypeVar("Number", np.float64, np.intp)


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
    samples of each triangle and the triangles opposite to them (-1: none). Nodes that are no
    triangles have neither, and are the last.
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
    x, y = _columns(xy)
    low, high = np.array([x.min(), y.min()]), np.array([x.max(), y.max()])
    # One more than a multiple: a room of one point must still get a square with an area.
    middle, away = (low + high) / 2, FAR_CORNERS * (high - low).max() + 1
    corners: Floats = middle + away * np.array([[-1, -1], [1, -1], [1, 1], [-1, 1]])
    return corners


def _circles(xy: Floats, corners: Ints) -> tuple[Floats, Floats]:
    """Return centre and radius of the circle through the three corners of each triangle."""
    # by columns: sums over the two numbers of a point take several times as long
    x, y = _columns(xy)
    first, second, third = _columns(corners)
    ax, ay = x[first], y[first]
    bx, by, cx, cy = x[second] - ax, y[second] - ay, x[third] - ax, y[third] - ay
    twice = 2 * (bx * cy - by * cx)
    bb, cc = bx * bx + by * by, cx * cx + cy * cy
    with np.errstate(divide="ignore", invalid="ignore"):
        dx = (cy * bb - by * cc) / twice
        dy = (bx * cc - cx * bb) / twice
    for one in (dx, dy):
        one[~np.isfinite(one)] = 0.0  # three corners in one line: no floor between them
    return np.column_stack([ax + dx, ay + dy]), np.hypot(dx, dy)


def _columns(table: NDArray[Number]) -> NDArray[Number]:
    """Return the columns of a table, each of them in one piece."""
    return np.ascontiguousarray(table.T)


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
    (x, y), (mx, my) = _columns(xy), _columns(at)
    lx, ly = x[left], y[left]
    across_x, across_y = x[right] - lx, y[right] - ly
    side_one = across_x * (my[one] - ly) - across_y * (mx[one] - lx)
    side_other = across_x * (my[other] - ly) - across_y * (mx[other] - lx)
    # Where the join does not pass between its own two samples, the empty circles at its ends bound
    # it.
    width = 2 * np.minimum(radius[one], radius[other])
    gap = (side_one * side_other <= 0) & (left < len(samples.xy)) & (right < len(samples.xy))
    width[gap] = np.hypot(across_x[gap], across_y[gap])
    # Only joins that may be walked are measured to the outline itself; it is the dear part.
    exact = np.flatnonzero(gap & (width > samples.spacing_mm))
    width[exact] = np.minimum(width[exact], _gaps(samples, x, y, left[exact], right[exact]))
    return width


def _gaps(samples: Samples, x: Floats, y: Floats, left: Ints, right: Ints) -> Floats:
    """Measure exactly between the two stretches of outline on both sides of each sample."""
    # one table of all that is measured: three points of each side to two stretches of the other
    mine, theirs = np.stack([left, right]), np.stack([right, left])
    points = np.stack([mine, samples.before[mine], samples.after[mine]])[:, None]
    ends = np.stack([samples.before[theirs], samples.after[theirs]])[None]
    apart = to_stretch(x, y, points, theirs[None, None], ends)
    least: Floats = apart.min(axis=(0, 1, 2))
    return least


def to_stretch(x: Floats, y: Floats, point: Ints, start: Ints, end: Ints) -> Floats:
    """Return the distance of each point from its straight stretch, which may have no length."""
    start_x, start_y = x[start], y[start]
    along_x, along_y = x[end] - start_x, y[end] - start_y
    away_x, away_y = x[point] - start_x, y[point] - start_y
    length = along_x * along_x + along_y * along_y
    share = (away_x * along_x + away_y * along_y) / np.where(length > 0, length, 1)
    share = np.clip(share, 0, 1)
    result: Floats = np.hypot(away_x - share * along_x, away_y - share * along_y)
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

    `one` must not fall. The joins stand in the order in which the table holds them.
    """
    from scipy.sparse import csr_array
    from scipy.sparse.csgraph import minimum_spanning_tree

    # ranks instead of widths: no two alike, none nought, and each says which join it is
    order = np.argsort(-width, kind="stable")
    rank = np.empty(len(order))
    rank[order] = np.arange(1, len(order) + 1)
    begins = np.searchsorted(one, np.arange(count + 1))
    table = csr_array((rank, other, begins), shape=(count, count))
    forest = minimum_spanning_tree(table, overwrite=True)
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
    # the start is the last of all nodes, so its joins stand last of those in the order of nodes
    walked = np.sort(walked)
    one = np.concatenate([graph.one[walked], np.full(len(first), count)])
    other = np.concatenate([graph.other[walked], starts[first]])
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
    # Of the two ends of a join of the tree one lies behind the other: it leads there.
    end, far = one[forest], other[forest]
    leads = np.empty(len(nodes), dtype=np.intp)
    leads[np.where(up[far] == end, far, end)] = forest
    join = leads[rest]
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
    from scipy.sparse import csr_array
    from scipy.sparse.csgraph import connected_components

    count = len(graph.at)
    walked = np.sort(walked)
    begins = np.searchsorted(graph.one[walked], np.arange(count + 1))
    ones = np.ones(len(walked), dtype=np.int8)
    table = csr_array((ones, graph.other[walked], begins), shape=(count, count))
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
    circle about the node. Walks from triangle to triangle towards all points at once, and with the
    last few alone.
    """
    from scipy.spatial import cKDTree

    if not len(points):
        return np.zeros(0, dtype=np.intp)
    x, y = _columns(np.concatenate([samples.xy, _far_corners(samples.xy)]))
    px, py = (column[:, None] for column in _columns(points))
    # nodes that are no triangles come after those that are
    near = cKDTree(graph.at[: len(graph.corners) : SET_OUT_FROM]).query(points)[1]
    node = np.asarray(near, dtype=np.intp) * SET_OUT_FROM
    todo = np.arange(len(points))
    # The walk turns no circles in a Delaunay triangulation; the count is only a rail against
    # rounding.
    for _ in range(len(graph.at)):
        if len(todo) <= FEW:
            break
        corners = graph.corners[node[todo]]
        ax, ay = x[corners], y[corners]
        bx, by = ax[:, _NEXT], ay[:, _NEXT]
        along_x, along_y = ax[:, _LAST] - bx, ay[:, _LAST] - by
        # for each corner: is the point on the far side of the opposite side?
        side = along_x * (py[todo] - by) - along_y * (px[todo] - bx)
        inner = along_x * (ay - by) - along_y * (ax - bx)
        out = side * np.sign(inner) < 0
        moving = np.flatnonzero(out.any(axis=1))
        # Across the side that the point is farthest beyond: a straight walk, the fewest triangles.
        step = np.where(out[moving], -np.abs(side[moving]), np.inf).argmin(axis=1)
        todo = todo[moving]
        after = graph.beyond[node[todo], step]
        node[todo] = after
        todo = todo[after >= 0]
    for i in todo.tolist():
        node[i] = _walked_to(graph, x, y, int(node[i]), *points[i].tolist())
    return node


def _walked_to(graph: Medial, x: Floats, y: Floats, node: int, px: float, py: float) -> int:
    """Walk from one triangle to that in which a point lies; -1 if it lies outside all."""
    for _ in range(len(graph.at)):
        corners = graph.corners[node]
        xs, ys = x[corners].tolist(), y[corners].tolist()
        far, step = 0.0, -1
        for k in range(len(xs)):
            b, c = _NEXT[k], _LAST[k]
            along_x, along_y = xs[c] - xs[b], ys[c] - ys[b]
            side = along_x * (py - ys[b]) - along_y * (px - xs[b])
            inner = along_x * (ys[k] - ys[b]) - along_y * (xs[k] - xs[b])
            if (side < 0 < inner or inner < 0 < side) and abs(side) > far:
                far, step = abs(side), k
        if step < 0:
            return node
        node = int(graph.beyond[node, step])
        if node < 0:
            return node
    return node


def line_to(graph: Medial, reached: Reach, node: int) -> LineString | None:
    """Draw the way from the start to a node, None if it is less than one join long."""
    points, at = [], node
    while at >= 0 and at < len(graph.at):
        points.append(graph.at[at])
        at = int(reached.up[at])
    return LineString(points[::-1]) if len(points) > 1 else None
