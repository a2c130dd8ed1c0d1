"""What is used together, and how near it stands: plates and bar, bench and dumbbells.

All of it common practice, no source.
"""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence

import numpy as np
import shapely

from app.arranging.layout import Layout
from app.arranging.open_floor import base_angle_deg
from app.arranging.shares import mean, nearness
from app.arranging.standing import corners_of, front_of, is_disc, is_floor, is_square, is_weighty
from app.published.register import published
from app.scene.build import Placed
from app.scene.shapes import turned_points

STORES = frozenset({"plate-tree", "plate-pegs"})
HANDS = frozenset({"dumbbell-rack-2", "dumbbell-rack-3", "adjustable-dumbbells"})
STORAGE = STORES | HANDS | {"kettlebell-shelf"}
"""What only holds others: nobody trains at it, so it belongs at a wall."""
FLOOR_KIT = frozenset({"jump-box", "step", "kettlebell-shelf"})
STEP_MM = 400
"""How far before a thing one stands who takes from it: half a body's depth and an arm's bend."""
HALF = 0.5
LONGEST_SHARE = 0.25
"""What the longest walk counts of all. With half of it benches were drawn off their walls into the
middle of a hall, only to be nearer to the dumbbells."""


def parts_a_room(placed: Placed) -> bool:
    """Return whether a piece in the middle of the floor is what somebody sees first.

    What is tall or heavy, a machine, and what only holds others. About what is round one walks.
    """
    seen = placed.kit.group == "Machines" or placed.kit.key in STORAGE
    return (seen or is_weighty(placed)) and not is_disc(placed)


def benches(order: Iterable[Placed]) -> list[Placed]:
    """Return the benches that dumbbells are used on: those that stand free, else those in racks."""
    every = [placed for placed in order if placed.kit.group == "Benches"]
    return [placed for placed in every if placed.root == placed.piece.id] or every


def go_together(order: Sequence[Placed]) -> frozenset[frozenset[str]]:
    """Return the pairs of stations that are one to train at: a bench, and what is lifted on it.

    A rack with a bench in it is used without dumbbells as well.
    """
    weights = [placed.root for placed in order if placed.kit.key in HANDS]
    return frozenset(
        frozenset((bench.root, weight))
        for bench in benches(order)
        if bench.root == bench.piece.id
        for weight in weights
    )


def near(layout: Layout) -> float:
    """Return how short the walks between things used together are.

    A quarter of it is the longest, the rest their mean: one bench far from its dumbbells is seen at
    once, however near all the rest is. A mat beside the open floor counts in the mean: it is no
    walk.
    """
    far = published("layout.near.far-mm")
    plates, hands = (published(f"layout.near.{what}-mm") for what in ("plates", "hands"))
    order = layout.scene.order
    shares, mats = list[float](), list[float]()
    stores = [p for p in order if p.kit.key in STORES]
    for bar in (p for p in order if p.kit.bar is not None and p.root != p.piece.id):
        for end in _ends(bar):
            if stores:
                away = min(float(shapely.distance(shapely.Point(end), s.footprint)) for s in stores)
                shares.append(float(nearness(away, plates, far)))
    weights = [p for p in order if p.kit.key in HANDS]
    for bench in benches(order):
        if weights:
            places = _got_on_from(layout.scene.placed[bench.root])
            fronts = [front_of(weight, STEP_MM) for weight in weights]
            away = min(_walk_mm(layout, one, other) for one in places for other in fronts)
            shares.append(float(nearness(away, hands, far)))
    if layout.floor is not None:
        area = layout.floor.polygon
        shares += [
            float(nearness(float(shapely.distance(area, p.footprint)), hands, far))
            for p in order
            if p.kit.key in FLOOR_KIT
        ]
        # a mat lies on the open floor and along it, not in a corner of its own between machines
        base = base_angle_deg(layout.scene)
        mats = [
            float(shapely.area(shapely.intersection(area, p.footprint)) / p.footprint.area)
            * (1.0 if is_square(p.pose.angle_deg, base) else HALF)
            for p in order
            if is_floor(p)
        ]
    return (1 - LONGEST_SHARE) * mean([*shares, *mats]) + LONGEST_SHARE * min(shares, default=1.0)


def _ends(bar: Placed) -> list[tuple[float, float]]:
    half = bar.extent.width_mm / 2
    ends = turned_points(np.array([(-half, 0.0), (half, 0.0)]), bar.pose.angle_deg)
    return [(bar.at[0] + float(x), bar.at[1] + float(y)) for x, y in ends]


def _got_on_from(placed: Placed) -> list[tuple[float, float]]:
    """Return where one stands who sits down on a bench: before it or at a side; before a rack."""
    if placed.kit.group != "Benches":
        return [front_of(placed, STEP_MM)]
    aside = placed.extent.width_mm / 2 + STEP_MM
    sides = turned_points(np.array([(-aside, 0.0), (aside, 0.0)]), placed.pose.angle_deg)
    beside = [(placed.at[0] + float(x), placed.at[1] + float(y)) for x, y in sides]
    return [front_of(placed, STEP_MM), *beside]


def _walk_mm(layout: Layout, one: tuple[float, float], other: tuple[float, float]) -> float:
    """Return about how far one walks between two places: round what stands between them."""
    straight = math.dist(one, other)
    line = shapely.LineString([one, other])
    crossed = [p for p in layout.standing.on_floor if line.intersects(p.footprint)]
    longest = straight
    for placed in crossed:
        ring = corners_of(placed)
        pairs = zip(ring, np.roll(ring, -1, axis=0), strict=True)
        legs = [
            math.dist(one, a) + math.dist(a, b) + math.dist(b, other)
            for near, far in pairs
            for a, b in ((near, far), (far, near))
        ]
        longest = max(longest, min(legs))
    return longest
