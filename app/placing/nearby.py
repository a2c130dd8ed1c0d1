"""What a convex thing takes of a working space: a share of its depth, for many places at once."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from app.placing.convex import Floats, Ring, meeting
from app.placing.form import Band
from app.scene.tolerance import HALF_MM, TOLERANCE_MM, falls_short

FAR_MM = 1e9
"""What nothing stands nearer than."""
Box = tuple[float, float, float, float]
"""The least x and y and the most of some points."""


@dataclass(frozen=True, slots=True, eq=False)
class Wanted:
    """A working space with its recommended depth, in the frame of a turned station.

    Of those with one `choice` the best counts. `band` is the midst of a lane. `outline` is what a
    ring goes round or an area covers, with its `box`; strips have `out` in its place: `edge_mm`
    along it the depth begins, from `low_mm` to `high_mm` across.
    """

    depth_mm: float
    heights_mm: tuple[float, float]
    choice: int
    out: tuple[float, float] | None
    edge_mm: float
    low_mm: float
    high_mm: float
    outline: Ring | None
    band: Band | None
    walls: bool
    box: Box = (0.0, 0.0, 0.0, 0.0)


@dataclass(frozen=True, slots=True, eq=False)
class Hull:
    """A convex thing, and the box about it."""

    ring: Ring
    box: Box


@dataclass(frozen=True, slots=True, eq=False)
class Strip:
    """A convex thing before a strip: its near side, in mm across and along that, and its ends.

    `xs` and `ys` are the corners of the near side, `lowest_at_mm` is where across it comes nearest;
    `first_mm` and `last_mm` are its ends across, `farthest_mm` that along.
    """

    xs: Floats
    ys: Floats
    lowest_at_mm: float
    first_mm: float
    last_mm: float
    farthest_mm: float


def may_take(space: Wanted, hull: Hull, box: Box) -> bool:
    """Return whether a thing may take something of a space from any place in a box.

    Both are seen from the owner of the space; boxes alone are looked at.
    """
    x0, y0, x1, y1 = hull.box
    there = x0 + box[0], y0 + box[1], x1 + box[2], y1 + box[3]
    if space.out is None:
        assert space.outline is not None
        far = space.depth_mm + TOLERANCE_MM
        x0, y0, x1, y1 = space.box
        return (
            there[0] <= x1 + far
            and there[2] >= x0 - far
            and there[1] <= y1 + far
            and there[3] >= y0 - far
        )
    ox, oy = space.out
    first, last = _reach(-oy, ox, there)
    nearest, farthest = _reach(ox, oy, there)
    return (
        last >= space.low_mm - TOLERANCE_MM
        and first <= space.high_mm + TOLERANCE_MM
        and farthest > space.edge_mm - TOLERANCE_MM
        and nearest < space.edge_mm + space.depth_mm + TOLERANCE_MM
    )


def _reach(x: float, y: float, box: Box) -> tuple[float, float]:
    """Return the least and the most of the points of a box along a direction."""
    a, b, c, d = x * box[0], x * box[2], y * box[1], y * box[3]
    return min(a, b) + min(c, d), max(a, b) + max(c, d)


def nearby(space: Wanted, ring: Ring) -> Strip | BaseGeometry:
    """Return what a convex thing is to a space, wherever it stands.

    To a ring or an area it is the places at which it meets what that goes round.
    """
    if space.out is None:
        assert space.outline is not None
        one = np.zeros(1, dtype=np.intp)
        met: BaseGeometry = meeting([space.outline], [ring], one, one)[0]
        return met
    out = np.array(space.out)
    along, across = ring @ out, ring @ np.array([-out[1], out[0]])
    order = np.lexsort((along, across))
    xs, ys = _near_side(across[order], along[order])
    ends = float(across.min()), float(across.max()), float(along.max())
    return Strip(xs, ys, float(xs[int(ys.argmin())]), *ends)


def share(space: Wanted, near: Strip | BaseGeometry, away: Floats) -> Floats:
    """Return the share of its depth that a space lacks by a convex thing, (n,).

    `away` are the places of the thing's owner as seen from that of the space.
    """
    if isinstance(near, Strip):
        gap = _depth(space, near, away)
    else:
        gap = np.asarray(shapely.distance(near, shapely.points(away)))
        if space.depth_mm <= 0:
            return np.where(gap <= 0, 1.0, 0.0)
    short: Floats = np.clip(1 - gap / space.depth_mm, 0.0, 1.0)
    short[~falls_short(gap, space.depth_mm)] = 0.0
    return short


def _depth(space: Wanted, near: Strip, away: Floats) -> Floats:
    """Return how deep a strip is free before a convex thing at each place.

    Its near side is a convex line over the width of the strip: least where its lowest corner lies,
    or as near to that as the strip is wide.
    """
    assert space.out is not None
    out = np.array(space.out)
    there, beside = away @ out, away @ np.array([-out[1], out[0]])
    low = np.maximum(space.low_mm - beside, near.first_mm)
    high = np.minimum(space.high_mm - beside, near.last_mm)
    meets = (low <= high) & (near.farthest_mm + there > space.edge_mm)
    if space.band is not None:
        meets &= near.last_mm + beside > space.band.low
        meets &= near.first_mm + beside < space.band.high
    if not meets.any():
        return np.full(len(away), FAR_MM)
    # the lowest corner may lie beside the strip: then what is nearest to it counts
    nearest = np.clip(near.lowest_at_mm, low, high)
    depth = np.interp(nearest, near.xs, near.ys) + there - space.edge_mm - HALF_MM
    return np.where(meets, np.maximum(depth, 0.0), FAR_MM)


def box_of(points: Floats) -> Box:
    """Return the box about some points."""
    (x0, y0), (x1, y1) = points.min(axis=0).tolist(), points.max(axis=0).tolist()
    return x0, y0, x1, y1


def _near_side(xs: Floats, ys: Floats) -> tuple[Floats, Floats]:
    """Return the lower hull of points that are sorted from left to right."""
    hull: list[int] = []
    for i in range(len(xs)):
        while len(hull) > 1:
            a, b = hull[-2], hull[-1]
            turn = (xs[b] - xs[a]) * (ys[i] - ys[a]) - (ys[b] - ys[a]) * (xs[i] - xs[a])
            if turn > 0:
                break
            hull.pop()
        if not hull or xs[i] > xs[hull[-1]]:
            hull.append(i)
    return xs[hull], ys[hull]
