"""The triangles between points in whose circles no other point lies (Delaunay 1934)."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

Floats = NDArray[np.float64]
Ints = NDArray[np.intp]

APART_MM = 1e-6
"""Points nearer than this are one: no more than what rounding makes of a turned corner."""

CORNERS = 3
"""Corners of a triangle, and as many sides."""

_MIXING = np.int64(0x9E3779B97F4A7C1)
"""An odd number far from any ratio of two lengths (of the golden section), which wraps round."""


def triangles(xy: Floats) -> tuple[Ints, Ints]:
    """Return the corners of each triangle, and the triangle opposite to each corner (-1: none).

    `xy` are points, (n, 2), not all in one line. Of points that coincide one is a corner.
    """
    try:
        from startinpy import DT
    except ImportError:
        # where nobody has built it: the same triangles, in five times the time
        return by_hull(xy)
    # Stacked prisms have the same outline. The triangulation would number the points anew, were
    # it given one twice.
    once = _first_of_alike(xy)
    plane = DT()
    plane.snap_tolerance = APART_MM
    plane.insert(np.column_stack([xy[once], np.zeros(len(once))]), insertionstrategy="BBox")
    if plane.number_of_vertices() != len(once):
        return by_hull(xy)
    # its first point is one at infinity
    corners = once[np.asarray(plane.triangles, dtype=np.intp) - 1]
    return corners, _beyond(corners, len(xy))


def _first_of_alike(xy: Floats) -> Ints:
    """Return the first of each points that coincide, in their order."""
    rounded = np.round(xy / APART_MM).astype(np.int64)
    # one number for both: points that differ hardly ever share it, and then both are compared
    mixed = rounded[:, 0] * _MIXING + rounded[:, 1]
    order = np.argsort(mixed, kind="stable")
    same = mixed[order[1:]] == mixed[order[:-1]]
    if (rounded[order[1:][same]] != rounded[order[:-1][same]]).any():
        order = np.lexsort(rounded.T)
        same = (np.diff(rounded[order], axis=0) == 0).all(axis=1)
    return np.sort(order[np.r_[True, ~same]])


def by_hull(xy: Floats) -> tuple[Ints, Ints]:
    """Return what `triangles` does, found by the lower hull of the points lifted to a bowl."""
    from scipy.spatial import Delaunay

    hull = Delaunay(xy)
    return hull.simplices.astype(np.intp), hull.neighbors.astype(np.intp)


def _beyond(corners: Ints, count: int) -> Ints:
    """Find for each side of each triangle the one on its other side: both name the same two."""
    one, other = corners[:, [1, 2, 0]].ravel(), corners[:, [2, 0, 1]].ravel()
    side = np.minimum(one, other) * count + np.maximum(one, other)
    # sides come in long rising runs, which this kind of sorting makes use of
    order = np.argsort(side, kind="stable")
    twice = np.flatnonzero(side[order[1:]] == side[order[:-1]])
    here, there = order[twice], order[twice + 1]
    beyond = np.full(corners.size, -1, dtype=np.intp)
    beyond[here], beyond[there] = there // CORNERS, here // CORNERS
    return beyond.reshape(-1, CORNERS)
