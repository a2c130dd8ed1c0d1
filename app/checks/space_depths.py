"""How deep working spaces are free: measured before the solids that stand in them."""

from __future__ import annotations

import numpy as np
import shapely
from numpy.typing import NDArray

from app.checks.lanes import reach_across
from app.scene.build import Scene
from app.scene.tolerance import HALF_MM, TOLERANCE_MM, Geometries

Numbers = NDArray[np.intp]
Floats = NDArray[np.float64]

COLUMNS = 11
"""Whether the two meet, the free depth in mm, the area of the solid in mm2, and where (x, y); then
what `reach_across` says of them."""
ACROSS = 4
"""Where in the answers of a pair that which lies across its space begins."""


def figures_of(scene: Scene, of: Numbers, hit: Numbers) -> Floats:
    """Return the figures of each space and solid, (n, `COLUMNS`)."""
    cores = scene.solids.cores[hit]
    figures = np.zeros((len(of), COLUMNS))
    met = np.asarray(shapely.intersects(scene.spaces.looked_in[of], cores))
    depths, nearest = _depths(scene, of[met], hit[met])
    across = reach_across(scene, of[met], hit[met])
    area = shapely.area(cores[met])
    figures[met] = np.column_stack([np.ones(len(depths)), depths, area, nearest, across])
    return figures


def _depths(scene: Scene, of: Numbers, hit: Numbers) -> tuple[Floats, Floats]:
    """Measure how deep each space is free before the thing in it, and where that is.

    In a strip it is the distance from the edge outwards, for a ring that from the outline, for an
    area nothing.
    """
    measured, nearest = np.full(len(of), np.inf), np.zeros((len(of), 2))
    strip = (scene.spaces.outward[of] != 0).any(axis=1)
    for mine, measure in ((strip, _along), (~strip, _about)):
        if mine.any():
            measured[mine], nearest[mine] = measure(scene, of[mine], hit[mine])
    return measured, nearest


def _along(scene: Scene, of: Numbers, hit: Numbers) -> tuple[Floats, Floats]:
    """Measure in strips: the least distance from the edge over the part that lies abreast of it.

    That least lies at a corner of the thing, or where a side of it enters the strip from beside.
    """
    spaces = scene.spaces
    xy, index = shapely.get_coordinates(scene.solids.cores[hit], return_index=True)
    space = of[index]
    out = spaces.outward[space]
    away = xy - scene.at[spaces.owner[space]]
    across = away[:, 1] * out[:, 0] - away[:, 0] * out[:, 1]
    depth = (away * out).sum(axis=1) - spaces.edge_mm[space]
    low, high = spaces.aside_mm[space].T
    abreast = (across >= low) & (across <= high)
    cuts = [(index[abreast], depth[abreast], xy[abreast])]
    # A side with both ends abreast is nearest at an end, which is a corner already looked at; the
    # first difference leaves out steps from one thing to the next.
    sides = np.flatnonzero((np.diff(index) == 0) & ~(abreast[:-1] & abreast[1:]))
    for bound in (low, high):
        enters = sides[(across[sides] - bound[sides]) * (across[sides + 1] - bound[sides]) < 0]
        share = (bound[enters] - across[enters]) / (across[enters + 1] - across[enters])
        there = depth[enters] + share * (depth[enters + 1] - depth[enters])
        places = xy[enters] + share[:, None] * (xy[enters + 1] - xy[enters])
        cuts.append((index[enters], there, places))
    whose, depths, places = (np.concatenate(parts) for parts in zip(*cuts, strict=True))
    # assignment keeps the last of several values for one place, so the least depth wins
    order = np.argsort(-depths, kind="stable")
    measured, nearest = np.full(len(of), np.inf), np.zeros((len(of), 2))
    # Corners of a core lie half a millimetre inside the thing, on its near side too.
    measured[whose[order]] = depths[order] - HALF_MM
    nearest[whose[order]] = places[order]
    behind = np.flatnonzero(measured < -TOLERANCE_MM)
    if len(behind):
        # it reaches behind the edge as well: only what lies in the strip itself counts
        common = shapely.intersection(spaces.cores[of[behind]], scene.solids.cores[hit[behind]])
        measured[behind], nearest[behind] = _within(scene, of[behind], common)
    return np.maximum(measured, 0.0), nearest


def _within(scene: Scene, of: Numbers, common: Geometries) -> tuple[Floats, Floats]:
    """Measure the least distance from the edge of what lies in each strip."""
    spaces = scene.spaces
    measured, nearest = np.full(len(of), np.inf), np.zeros((len(of), 2))
    xy, index = shapely.get_coordinates(common, return_index=True)
    space = of[index]
    away = (xy - scene.at[spaces.owner[space]]) * spaces.outward[space]
    depth = away.sum(axis=1) - spaces.edge_mm[space] - HALF_MM
    order = np.argsort(-depth, kind="stable")
    measured[index[order]] = depth[order]
    nearest[index[order]] = xy[order]
    return measured, nearest


def _about(scene: Scene, of: Numbers, hit: Numbers) -> tuple[Floats, Floats]:
    """Measure in rings the distance from the outline; in an area nothing is free."""
    spaces, cores = scene.spaces, scene.solids.cores[hit]
    ring = np.array([spaces.shapes[n].space.side == "ring" for n in of], dtype=bool)
    owners = [scene.order[owner] for owner in spaces.owner[of]]
    outlines = np.array([placed.footprint for placed in owners], dtype=object)
    lines = shapely.shortest_line(outlines, cores)
    apart = np.maximum(shapely.length(lines) - HALF_MM, 0.0)
    nearest = shapely.get_coordinates(shapely.get_point(lines, 1))
    return np.where(ring, apart, 0.0), nearest
