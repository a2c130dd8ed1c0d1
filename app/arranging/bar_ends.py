"""How free the ends of bars are: beyond each, below its sleeve and where one stands to load it.

All of it common practice, no source.
"""

from __future__ import annotations

import numpy as np
import shapely

from app.arranging.layout import Layout
from app.arranging.shares import mean, ramp
from app.arranging.standing import is_floor, keeps_its_floor
from app.checks.loading import has_place_to_load, racked
from app.published.register import published
from app.scene.bar_lengths import bar_of
from app.scene.build import Placed
from app.scene.shapes import turned_points
from app.scene.swept import put
from app.scene.tolerance import TOLERANCE_MM


def bar_ends(layout: Layout) -> float:
    """Return how free both ends of each bar are, and how evenly."""
    none, full = published("layout.bar.none-mm"), published("layout.bar.full-mm")
    uneven = published("layout.bar.uneven-mm")
    shares = []
    for bar in layout.scene.order:
        if bar.kit.bar is None or bar.root == bar.piece.id:
            continue
        one, other = (beyond_mm(layout, bar, side, full) for side in (-1, 1))
        share = ramp(min(one, other), none, full)
        if min(one, other) < full - TOLERANCE_MM:
            share = min(share, max(0.0, 1 - abs(one - other) / uneven))
        shares.append(share)
    return mean(shares)


def beyond_mm(layout: Layout, bar: Placed, side: int, most_mm: float) -> float:
    """Return how much is free beyond an end of a bar, up to a most; `side` is -1 or 1.

    Nothing where nobody puts plates on there: with no place to stand before or behind the sleeve,
    or with something below it.
    """
    scene = layout.scene
    if racked(scene, bar) and (
        stands_below(layout, bar, side) or not has_place_to_load(scene, bar, side)
    ):
        return 0.0
    half = bar.extent.width_mm / 2
    plate = (bar.piece.plate_mm or published("plate.large-diameter-mm")) / 2
    ring = np.array(
        [(half, -plate), (half + most_mm, -plate), (half + most_mm, plate), (half, plate)]
    )
    ring[:, 0] *= side
    strip = shapely.Polygon(turned_points(ring, bar.pose.angle_deg) + np.array(bar.at))
    edge = shapely.LineString(turned_points(ring[[0, 3]], bar.pose.angle_deg) + np.array(bar.at))
    hits = scene.tree.query(strip, predicate="intersects")
    low, high = bar.rest_mm
    solids = scene.solids
    meets = (solids.low_mm[hits] < high + plate) & (solids.high_mm[hits] > low - plate)
    owners = solids.owner[hits]
    count = len(scene.order)
    mine = np.array(
        [o < count and scene.order[o].root == bar.root for o in owners], dtype=bool
    ).reshape(-1)
    hits = hits[meets & ~mine]
    inside = shapely.intersection(solids.cores[hits], strip)
    away = shapely.distance(inside, edge)
    return float(away.min()) if len(hits) else most_mm


def stands_below(layout: Layout, bar: Placed, side: int) -> bool:
    """Return whether another station stands on the floor below a sleeve of a bar."""
    shape = bar_of(bar)
    if shape is None:
        return False
    half = bar.extent.width_mm / 2
    plate = (bar.piece.plate_mm or published("plate.large-diameter-mm")) / 2
    x0, x1 = sorted((side * (half - shape.sleeve_mm), side * half))
    below = put(shapely.box(x0, -plate, x1, plate), bar, (0.0, 0.0))
    below = below.buffer(-TOLERANCE_MM, join_style="mitre")
    return any(
        keeps_its_floor(p)
        and not is_floor(p)
        and p.root != bar.root
        and below.intersects(p.footprint)
        for p in layout.standing.pieces
    )
